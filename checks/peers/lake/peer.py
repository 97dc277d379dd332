"""Runs the general lake model (package glm-py) on one case in this program's own files, and scores it on the same readings.

    python3 peer.py CASE WORK [--fit]

CASE holds BASIN.toml, W.csv and O.csv. Prints one JSON object: settings, score, processor time per simulated hour.
The peer gets what ours gets: the same hours, the same heat radiation of the sky, the same start, light and ground.
Its defaults are those of its manual (transfer coefficients 0.0013, wind as read). The fit tries wind factors and transfer
coefficients (and, where light changes with the season, constant lights) on the scored readings themselves, which favours it.
"""

import csv
import datetime
import itertools
import json
import math
import os
import resource
import subprocess
import sys
import tomllib

import glmpy
import netCDF4

BINARY = os.path.join(os.path.dirname(glmpy.__file__), "bin", "glm")
STEFAN_BOLTZMANN = 5.670374e-8
EPOCH = datetime.datetime(1970, 1, 1)


def rows_of(path):
    with open(path, newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def moment(text):
    return datetime.datetime.fromisoformat(text.removesuffix("Z"))


def vapour_hpa(temp_c, humidity_pct):
    return humidity_pct / 100.0 * 6.112 * math.exp(17.67 * temp_c / (temp_c + 243.5))


def clear_sun(when, basin, offset_h):
    """Haurwitz (1945) with Spencer's sun, as good as hourly cloud needs."""
    day = when.timetuple().tm_yday
    hour = when.hour + when.minute / 60.0 + 0.5 - offset_h + basin["longitude_deg"] / 15.0
    g = 2.0 * math.pi * (day - 1 + (hour - 12.0) / 24.0) / 365.0
    decl = 0.006918 - 0.399912 * math.cos(g) + 0.070257 * math.sin(g) - 0.006758 * math.cos(2 * g) + 0.000907 * math.sin(2 * g)
    eot = 229.18 * (0.000075 + 0.001868 * math.cos(g) - 0.032077 * math.sin(g) - 0.014615 * math.cos(2 * g) - 0.040849 * math.sin(2 * g))
    angle = math.radians(15.0 * (hour + eot / 60.0 - 12.0))
    lat = math.radians(basin["latitude_deg"])
    cosz = math.sin(lat) * math.sin(decl) + math.cos(lat) * math.cos(decl) * math.cos(angle)
    return 1098.0 * cosz * math.exp(-0.059 / cosz) if cosz > 0.01 else 0.0


def clouds(times, table, basin, offset_h):
    """Cloud 0 to 1 as the share of clear sun that is missing: from the cloud column, or from the sun itself."""
    if "cloud_fraction" in table[0]:
        return [0.75 * float(row["cloud_fraction"]) ** 3.4 for row in table]
    raw = []
    for when, row in zip(times, table):
        clear = clear_sun(when, basin, offset_h)
        raw.append(min(max(1.0 - float(row["shortwave_w_m2"]) / clear, 0.0), 1.0) if clear > 150.0 else None)
    known = [k for k, value in enumerate(raw) if value is not None]
    filled = []
    for k in range(len(raw)):
        near = [raw[j] for j in range(max(k - 1, 0), min(k + 2, len(raw))) if raw[j] is not None]
        if raw[k] is not None:
            filled.append(sum(near) / len(near))
            continue
        before = max((j for j in known if j < k), default=known[0])
        after = min((j for j in known if j > k), default=known[-1])
        part = 0.0 if before == after else (k - before) / (after - before)
        filled.append(raw[before] + part * (raw[after] - raw[before]))
    return filled


def longwave(temp_c, vapour, cloud):
    """Prata (1996) clear sky, Unsworth and Monteith (1975) cloud: what ours uses."""
    w = 46.5 * vapour / (temp_c + 273.15)
    clear = 1.0 - (1.0 + w) * math.exp(-math.sqrt(1.2 + 3.0 * w))
    return (clear + 0.84 * cloud * (1.0 - clear)) * STEFAN_BOLTZMANN * (temp_c + 273.15) ** 4


def read_case(case):
    with open(os.path.join(case, "BASIN.toml"), "rb") as file:
        basin = tomllib.load(file)
    zone = basin["time_zone"]
    offset_h = 0.0 if zone == "UTC" else float(zone[:3])
    table = rows_of(os.path.join(case, "W.csv"))
    shift = datetime.timedelta(hours=1 if basin["hour_label"] == "end" else 0)
    times = [moment(row["time"]) - shift for row in table]
    met = []
    for when, row, cloud in zip(times, table, clouds(times, table, basin, offset_h)):
        temp, humidity = float(row["air_temp_c"]), float(row["relative_humidity_pct"])
        met.append((when, float(row["shortwave_w_m2"]), longwave(temp, vapour_hpa(temp, humidity), cloud), temp, humidity,
                    float(row["wind_speed_m_s"]), float(row["rain_mm"]) * 0.024))
    return basin, met, rows_of(os.path.join(case, "O.csv"))


def light_of(basin):
    """The mean over the season of attenuation with plants (1.7 over Secchi depth, and 2 per m at full cover)."""
    if "light_attenuation_per_m" in basin:
        return basin["light_attenuation_per_m"], False
    plants, rates = 0.0, []
    for row in basin["by_date"]:
        plants = row.get("plants", plants)
        if "secchi_m" in row:
            rates.append(1.7 / row["secchi_m"] + 2.0 * plants)
    return sum(rates) / len(rates), True


def nml(basin, met, settings, nsave, days):
    rows = sorted(basin["depth_area_m_m2"], reverse=True)
    full = rows[0][0]
    base = basin["elevation_m"]
    level = basin.get("by_date", [{}])[0].get("level_m", full)
    # The model asks for some area at the lowest point.
    heights = [base + full - depth for depth, _ in rows]
    areas = [max(area, 1.0) for _, area in rows]
    if level > full:
        heights.append(base + level + 0.2)
        areas.append(areas[-1] + (areas[-1] - areas[-2]) / (rows[-2][0] - rows[-1][0]) * (level + 0.2 - full))
    profile = [(depth, temp) for depth, temp in basin["start_profile_m_c"] if depth < level]
    number = lambda values: ", ".join(f"{value:.6g}" if abs(value) < 1000 else f"{value:.3f}" for value in values)
    thick = 0.05 if full < 4 else 0.15
    return f"""&glm_setup
  sim_name = 'case'
  max_layers = 500
  min_layer_vol = {0.005 if full < 4 else 0.5}
  min_layer_thick = {thick}
  max_layer_thick = {0.15 if full < 4 else 0.5}
  density_model = 1
/
&time
  timefmt = {3 if days else 2}
  start = '{met[0][0]:%Y-%m-%d %H:%M:%S}'
  stop = '{met[-1][0]:%Y-%m-%d %H:%M:%S}'
  dt = 3600
  num_days = {days or (met[-1][0] - met[0][0]).days}
  timezone = 0
/
&morphometry
  lake_name = 'case'
  latitude = {basin["latitude_deg"]}
  longitude = {basin["longitude_deg"]}
  crest_elev = {heights[-1]:.3f}
  bsn_len = {basin["length_m"]}
  bsn_wid = {basin["width_m"]}
  bsn_vals = {len(heights)}
  H = {number(heights)}
  A = {number(areas)}
/
&init_profiles
  lake_depth = {level}
  num_depths = {len(profile)}
  the_depths = {number([depth for depth, _ in profile])}
  the_temps = {number([temp for _, temp in profile])}
  the_sals = {number([0.0] * len(profile))}
/
&mixing
  surface_mixing = 1
  coef_mix_conv = 0.2
  coef_wind_stir = 0.23
  coef_mix_shear = 0.3
  coef_mix_turb = 0.51
  coef_mix_KH = 0.3
  deep_mixing = 2
  coef_mix_hyp = 0.5
  diff = 0.0
/
&light
  light_mode = 0
  Kw = {settings["kw"]}
/
&sediment
  sed_heat_Ksoil = {1.0}
  sed_temp_depth = 0.5
  benthic_mode = 1
  n_zones = 1
  zone_heights = {level + 0.2}
  sed_temp_mean = {basin["ground_mean_c"]}
  sed_temp_amplitude = {basin["ground_half_range_c"]}
  sed_temp_peak_doy = 205
/
&meteorology
  met_sw = .true.
  lw_type = 'LW_IN'
  rain_sw = .false.
  atm_stab = 0
  subdaily = .true.
  meteo_fl = 'met.csv'
  wind_factor = {settings["wind"]}
  ce = {settings["ce"]}
  ch = {settings["ce"]}
  cd = 0.0013
/
&output
  out_dir = 'out'
  out_fn = 'output'
  nsave = {nsave}
/
"""


def run(work, basin, met, settings, nsave=1, days=None):
    os.makedirs(os.path.join(work, "out"), exist_ok=True)
    with open(os.path.join(work, "glm3.nml"), "w") as file:
        file.write(nml(basin, met, settings, nsave, days))
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run([BINARY, "--nml", "glm3.nml"], cwd=work, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode != 0:
        raise SystemExit(f"the lake model stopped: {done.stdout[-600:]}")
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def at_depth(heights, temps, count, depth):
    """Layers are counted from the floor; heights are of their tops."""
    surface = heights[count - 1]
    target = surface - depth
    bottom = 0.0
    middles = []
    for k in range(count):
        middles.append(0.5 * (bottom + heights[k]))
        bottom = heights[k]
    if target <= middles[0]:
        return temps[0]
    if target >= middles[-1]:
        return temps[count - 1]
    for k in range(1, count):
        if middles[k] >= target:
            part = (target - middles[k - 1]) / (middles[k] - middles[k - 1])
            return temps[k - 1] + part * (temps[k] - temps[k - 1])
    return temps[count - 1]


def score(work, met, readings):
    names = [name for name in readings[0] if name.startswith("deep@")]
    depths = [float(name.split("@")[1]) for name in names]
    start = met[0][0]
    series = {}
    with netCDF4.Dataset(os.path.join(work, "out", "output.nc")) as out:
        counts = out.variables["NS"][:]
        hours = out.variables["time"][:]
        heights = out.variables["z"][:, :, 0, 0]
        temps = out.variables["temp"][:, :, 0, 0]
        for k in range(len(hours)):
            when = start + datetime.timedelta(hours=float(hours[k]))
            count = int(counts[k])
            series[when] = [at_depth(heights[k], temps[k], count, depth) for depth in depths]
    daily = len(readings[0]["time"]) == 10
    misses, dawn = [], []
    for row in readings:
        if daily:
            day = datetime.datetime.fromisoformat(row["time"])
            hours_of_day = [day + datetime.timedelta(hours=hour) for hour in range(1, 25)]
            if day < start + datetime.timedelta(hours=24) or any(hour not in series for hour in hours_of_day):
                continue
            model = [sum(series[hour][c] for hour in hours_of_day) / 24.0 for c in range(len(depths))]
        else:
            when = moment(row["time"])
            if when < start + datetime.timedelta(hours=24) or when not in series:
                continue
            model = series[when]
        for c, name in enumerate(names):
            if row[name]:
                miss = model[c] - float(row[name])
                misses.append(miss)
                if not daily and when.hour == 6 and depths[c] <= 1.0:
                    dawn.append(miss)
    rms = lambda values: math.sqrt(sum(value * value for value in values) / len(values)) if values else None
    return {"rmse_k": rms(misses), "bias_k": sum(misses) / len(misses), "n": len(misses), "dawn_rmse_k": rms(dawn)}


def main():
    case, work = sys.argv[1:3]
    os.makedirs(work, exist_ok=True)
    basin, met, readings = read_case(case)
    with open(os.path.join(work, "met.csv"), "w") as file:
        file.write("Date,ShortWave,LongWave,AirTemp,RelHum,WindSpeed,Rain\n")
        for when, *values in met:
            file.write(f"{when:%Y-%m-%d %H:%M:%S}," + ",".join(f"{value:.6g}" for value in values) + "\n")
    kw, changes = light_of(basin)
    result = {"package": f"glm-py {glmpy.__version__}" if hasattr(glmpy, "__version__") else "glm-py"}
    defaults = {"wind": 1.0, "ce": 0.0013, "kw": round(kw, 3)}
    run(work, basin, met, defaults)
    result["defaults"] = {"settings": defaults, **score(work, met, readings)}
    # Time without the hourly writing that scoring needs.
    # Starting up and reading the first lines is taken off with a run of one day.
    whole = min(run(work, basin, met, defaults, nsave=24 * 400) for _ in range(3))
    one_day = min(run(work, basin, met, defaults, nsave=24 * 400, days=1) for _ in range(3))
    result["hours"] = len(met) - 24
    result["cpu_s"] = whole - one_day
    result["cpu_writing_s"] = min(run(work, basin, met, defaults) for _ in range(3)) - one_day
    if "--fit" in sys.argv:
        lights = [0.6, 1.0, 1.5, 2.2, 3.0] if changes else [kw]
        best = None
        for wind, ce, light in itertools.product([0.3, 0.5, 0.7, 1.0, 1.4], [0.0013, 0.002, 0.003, 0.0045], lights):
            settings = {"wind": wind, "ce": ce, "kw": light}
            run(work, basin, met, settings)
            found = {"settings": settings, **score(work, met, readings)}
            if best is None or found["rmse_k"] < best["rmse_k"]:
                best = found
        result["fitted"] = best
    json.dump(result, sys.stdout, indent=1)
    print()


if __name__ == "__main__":
    main()
