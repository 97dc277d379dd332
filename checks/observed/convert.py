"""Turns the observed cases of a data folder into this program's own files: BASIN.toml, W.csv, O.csv for each basin.

    python3 convert.py CASES OUT

Only rearranges: every number is the file's own, but for units (pressure in Pa, rain in m an hour) and for the settings that the
reference page on the physics gives for these cases (light, plants, ground).
"""

import csv
import datetime
import os
import sys

# Reference page on the physics, section c: yearly mean and half range of the ground.
POND_GROUND = (11.0, 13.0)
LAKE_GROUND = (5.5, 1.0)
LAKE_LIGHT_PER_M = 1.5
WIND_FACTOR = {"pond": 0.5, "lake": 1.4}

POND_CREDIT = (
    "# Experimental ponds of a university research station, Iowa, summer 2020 (Albright, Ladwig, Wilkinson). For measuring\n"
    "# only: the source states no licence, so this file stays out of the repository.\n"
)
LAKE_CREDIT = (
    "# Langtjern, a small humic lake in Norway, 2014. Data: Norwegian Institute for Water Research (NIVA), from the public\n"
    "# repository aemon-j/LER_examples, commit 61eadc5, MIT licence. Trimmed and renamed; see LICENCE in this folder.\n"
)


def rows_of(path):
    with open(path, newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def write(path, text):
    with open(path, "w") as file:
        file.write(text)


def number(value):
    """As short as the value allows, without losing any of it."""
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return text if text not in ("", "-0") else "0"


def pond_weather(case):
    lines = [POND_CREDIT, "time,air_temp_c,relative_humidity_pct,wind_speed_m_s,shortwave_w_m2,rain_mm,sea_level_pressure_hpa\n"]
    for row in rows_of(os.path.join(case, "forcing_hourly.csv")):
        rain_mm = number(1000.0 * float(row["rain_m_per_h"]))
        cells = [row["time"], row["air_c"], row["rh_pct"], row["wind_ms"], row["sw_wm2"], rain_mm, row["slp_hpa"]]
        lines.append(",".join(cells) + "\n")
    return "".join(lines)


def pond_readings(case, pond):
    table = rows_of(os.path.join(case, f"pond_{pond}_temperature_hourly.csv"))
    place = {"deep": "deep", "mid": "middle", "shallow": "shallow"}

    def column(name):
        where, depth = name.split("_")
        return f"{place[where]}@{depth.removesuffix('m')}"

    names = [name for name in table[0] if name != "time"]
    lines = [POND_CREDIT, ",".join(["time"] + [column(name) for name in names]) + "\n"]
    for row in table:
        lines.append(",".join([row["time"]] + [row[name] for name in names]) + "\n")
    return "".join(lines), [(column(name), float(table[0][name])) for name in names]


def date_of(day_of_year):
    return (datetime.date(2020, 1, 1) + datetime.timedelta(days=int(day_of_year) - 1)).isoformat()


def pond_season(case, pond):
    """Level from the deepest string, Secchi depth as read, plants from the canopy at the three strings."""
    by_day = {}
    strings = {}
    for row in rows_of(os.path.join(case, "stage_secchi.csv")):
        if row["pond"] != pond:
            continue
        day = by_day.setdefault(row["doy"], {})
        if row["secchi_m"]:
            day["secchi_m"] = float(row["secchi_m"])
        if row["depth_m"]:
            day["level_m"] = max(day.get("level_m", 0.0), float(row["depth_m"]))
            if row["canopy_m"]:
                cover = min(max((float(row["canopy_m"]) / float(row["depth_m"]) - 0.8) / 0.2, 0.0), 1.0)
                day.setdefault("covers", []).append(cover)
        if row["site_id"]:
            strings.setdefault(row["site_id"][-2:], []).append(float(row["depth_m"]))
    plants = 0.0
    rows = []
    for doy in sorted(by_day, key=int):
        day = by_day[doy]
        if "covers" not in day and "level_m" in day and not rows:
            # Pond B's canopy was not read on the first survey; the neighbour's, that day, was too low to count.
            day["plants"] = 0.0
        if "covers" in day:
            # Plants do not fall back before they die: the survey's dips are the survey's.
            plants = max(plants, sum(day["covers"]) / len(day["covers"]))
            day["plants"] = plants
        cells = [f"{key} = {number(day[key])}" for key in ("level_m", "secchi_m", "plants") if key in day]
        rows.append(f'  {{ date = "{date_of(doy)}", {", ".join(cells)} }},\n')
    # The first survey's depths at the shallow and deep string, put back to the full pond of the depth table (2 m). The strings
    # are taken to hang in the middle of the first and last of five equal parts, so the end of the slope lies half a part on.
    shallow, deep = strings["21"][0], strings["19"][0]
    slope_end = 2.0 - (deep - shallow) * 9.0 / 8.0
    return "".join(rows), slope_end


def profile_of(readings, place):
    pairs = [(float(name.split("@")[1]), value) for name, value in readings if name.startswith(place + "@")]
    return ", ".join(f"[{number(depth)}, {number(value)}]" for depth, value in sorted(pairs))


def hypsography(case, depth, area):
    rows = rows_of(os.path.join(case, "hypsography.csv"))
    return ", ".join(f"[{row[depth]}, {row[area]}]" for row in rows)


def convert_pond(case, pond, out):
    os.makedirs(out, exist_ok=True)
    readings, first = pond_readings(case, pond)
    season, slope_end = pond_season(case, pond)
    write(os.path.join(out, "W.csv"), pond_weather(case))
    write(os.path.join(out, "O.csv"), readings)
    write(
        os.path.join(out, "BASIN.toml"),
        f"""{POND_CREDIT}name = "Pond {pond}"
latitude_deg = 42.11
longitude_deg = -93.59
elevation_m = 305
time_zone = "-05:00"
depth_area_m_m2 = [{hypsography(case, "depths", "areas")}]
length_m = 20
width_m = 20
shallow_depth_m = {number(slope_end)}
wind_height_m = 10
wind_factor = {WIND_FACTOR["pond"]}
hour_label = "end"
start_profile_m_c = [{profile_of(first, "deep")}]
by_date = [
{season}]
ground_mean_c = {POND_GROUND[0]}
ground_half_range_c = {POND_GROUND[1]}
""",
    )


def convert_lake(case, out):
    os.makedirs(out, exist_ok=True)
    lines = [LAKE_CREDIT, "time,air_temp_c,relative_humidity_pct,wind_speed_m_s,shortwave_w_m2,cloud_fraction,rain_mm,"]
    lines.append("sea_level_pressure_hpa\n")
    for row in rows_of(os.path.join(case, "forcing_hourly.csv")):
        pressure = number(float(row["p_source_pa"]) / 100.0)
        cells = [row["air_c"], row["rh_pct"], row["wind_ms"], row["sw_wm2"], row["cloud"], row["rain_mm_per_h"], pressure]
        lines.append(",".join([row["time_utc"] + "Z"] + cells) + "\n")
    write(os.path.join(out, "W.csv"), "".join(lines))
    table = rows_of(os.path.join(case, "temperature_daily_mean.csv"))
    names = [name for name in table[0] if name != "date"]
    columns = [f"deep@{name.removesuffix('m')}" for name in names]
    lines = [LAKE_CREDIT, ",".join(["time"] + columns) + "\n"]
    for row in table:
        lines.append(",".join([row["date"]] + [row[name] for name in names]) + "\n")
    write(os.path.join(out, "O.csv"), "".join(lines))
    first = [(column, float(table[0][name])) for column, name in zip(columns, names)]
    write(
        os.path.join(out, "BASIN.toml"),
        f"""{LAKE_CREDIT}name = "Small lake"
latitude_deg = 60.37
longitude_deg = 9.73
elevation_m = 510
time_zone = "UTC"
depth_area_m_m2 = [{hypsography(case, "depth_m", "area_m2")}]
length_m = 300
width_m = 200
light_attenuation_per_m = {LAKE_LIGHT_PER_M}
wind_height_m = 10
wind_factor = {WIND_FACTOR["lake"]}
hour_label = "start"
start_profile_m_c = [{profile_of(first, "deep")}]
ground_mean_c = {LAKE_GROUND[0]}
ground_half_range_c = {LAKE_GROUND[1]}
""",
    )


def main():
    cases, out = sys.argv[1:3]
    ponds = os.path.join(cases, "farm-pond-early-summer")
    for pond in ("B", "F"):
        convert_pond(ponds, pond, os.path.join(out, f"pond-{pond}"))
    convert_lake(os.path.join(cases, "small-lake-2014"), os.path.join(out, "lake"))


if __name__ == "__main__":
    main()
