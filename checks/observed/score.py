"""Puts the runs of checks/observed/run side by side with what was aimed at, as a page of the model's documents.

    python3 score.py WORK COMMIT DATE NOTES

WORK holds NAME.json and NAME.csv of each run and the converted cases. NOTES is a file of remarks added at the end.
"""

import csv
import datetime
import json
import math
import os
import sys

# The reference page's three falls, dawn to dawn, mean of the loggers from 0.25 to 1 m at the deep string.
NAMED_FALLS = [("2020-05-28", "2020-05-30"), ("2020-06-09", "2020-06-12"), ("2020-06-21", "2020-06-24")]
UPPER = (0.2, 1.05)


def rows_of(path):
    with open(path, newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def stamp(text):
    """Local clock time without its offset, as the cases' files have it."""
    return text[:16].replace(" ", "T")


def upper_series(path, place="deep"):
    """Mean of the upper metre by local time; columns are the loggers' own."""
    table = rows_of(path)
    names = [n for n in table[0] if n.startswith(place + "@") and UPPER[0] <= float(n.split("@")[1]) <= UPPER[1]]
    return {stamp(row["time"]): sum(float(row[n]) for n in names) / len(names) for row in table if all(row[n] for n in names)}


def rms(values):
    return math.sqrt(sum(value * value for value in values) / len(values)) if values else float("nan")


class Run:
    def __init__(self, work, name):
        with open(os.path.join(work, name + ".json")) as file:
            self.json = json.load(file)
        self.csv = os.path.join(work, name + ".csv")

    def place(self, place):
        return next(p for p in self.json["places"] if p["place"] == place)

    def lead(self, place, days):
        return next(p for p in self.json["leads"] if p["place"] == place and p["lead_days"] == days)


class Aims:
    def __init__(self):
        self.rows = []

    def most(self, what, value, most):
        self.rows.append((what, f"{value:.2f}", f"at most {most}", value <= most))

    def between(self, what, value, least, most):
        self.rows.append((what, f"{value:.2f}", f"{least} to {most}", least <= value <= most))

    def better(self, what, value, other):
        self.rows.append((what, f"{value:.2f}", f"below {other:.2f}", value < other))


def named_falls(work, pond, run):
    seen = upper_series(os.path.join(work, "cases", f"pond-{pond}", "O.csv"))
    ours = upper_series(run.csv)
    falls = []
    for start, end in NAMED_FALLS:
        a, b = f"{start}T06:00", f"{end}T06:00"
        falls.append((start, end, seen[a] - seen[b], ours[a] - ours[b]))
    return falls


def aims_table(work, runs):
    aims = Aims()
    for pond in "BF":
        one, five = runs[f"pond-{pond}-1"], runs[f"pond-{pond}-5"]
        deep = five.place("deep")
        aims.most(f"pond {pond}, deep string, 06:00, loggers 0 to 1 m singly, K", deep["dawn_to_1_m"]["rmse_k"], 0.65)
        aims.most(f"pond {pond}, deep string, all depths, K", deep["all_depths"]["rmse_k"], 1.1 if pond == "B" else 0.8)
        aims.most(f"pond {pond}, middle string, all depths, K", five.place("middle")["all_depths"]["rmse_k"], 1.35)
        aims.most(f"pond {pond}, shallow string, all depths, K", five.place("shallow")["all_depths"]["rmse_k"], 1.25)
        for days, most in ((1, 0.5), (5, 0.7), (10, 0.7)):
            lead = five.lead("deep", days)
            aims.most(f"pond {pond}, restarted daily, {days} days ahead, K", lead["upper_metre"]["rmse_k"], most)
            aims.better(f"pond {pond}, the same beside persistence", lead["upper_metre"]["rmse_k"],
                        lead["upper_metre_persistence"]["rmse_k"])
        for start, end, seen, ours in named_falls(work, pond, five):
            aims.between(f"pond {pond}, fall {start} to {end} (seen {seen:.1f} K), times", ours / seen, 0.8, 1.5)
        for spell in deep["cool_spells"]:
            what = f"pond {pond}, spell found {spell['from']} to {spell['to']} (seen {spell['observed_fall_k']:.1f} K), times"
            aims.between(what, spell["ratio"], 0.8, 1.5)
        aims.between(f"pond {pond}, daily range, deep string, times", deep["daily_range"]["ratio"], 0.85, 1.25)
        assert one.json["columns"] == 1
    aims.most("lake 2014, 0.5 to 8 m, daily means, K", runs["lake-1"].place("deep")["all_depths"]["rmse_k"], 0.75)
    lines = ["| what | ours | aim | |", "|---|---|---|---|"]
    lines += [f"| {what} | {value} | {aim} | {'met' if met else '**missed**'} |" for what, value, aim, met in aims.rows]
    met = sum(1 for row in aims.rows if row[3])
    return lines + ["", f"{met} of {len(aims.rows)} met."]


def fit(value):
    return "-" if value is None else f"{value['rmse_k']:.2f} ({value['bias_k']:+.2f})"


def depth_table(runs, names):
    lines = ["| run | place | all hours: rmse (mean miss) by depth | dawn |", "|---|---|---|---|"]
    for name in names:
        for place in ("deep", "middle", "shallow"):
            spots = [s for s in runs[name].json["spots"] if s["place"] == place]
            if not spots:
                continue
            hours = ", ".join(f"{s['depth_m']:g} m {fit(s['all_hours'])}" for s in spots)
            dawn = ", ".join(f"{s['depth_m']:g} m {fit(s['dawn'])}" for s in spots) if spots[0]["dawn"] else "daily means"
            lines.append(f"| {name} | {place} | {hours} | {dawn} |")
    return lines


def wind_table(runs):
    lines = ["| run | wind factor | columns | deep, all depths | dawn to 1 m | middle | shallow | daily range | 1 / 3 / 5 / 10 days ahead (persistence) |",
             "|---|---|---|---|---|---|---|---|---|"]
    for name, run in runs.items():
        places = {p["place"]: p for p in run.json["places"]}
        other = [fit(places[p]["all_depths"]) if p in places else "-" for p in ("middle", "shallow")]
        ranged = places["deep"]["daily_range"]
        leads = [run.lead("deep", days) for days in (1, 3, 5, 10)]
        ours = " / ".join(f"{lead['upper_metre']['rmse_k']:.2f}" for lead in leads)
        stays = " / ".join(f"{lead['upper_metre_persistence']['rmse_k']:.2f}" for lead in leads)
        lines.append(f"| {name} | {run.json['wind_factor']:g} | {run.json['columns']} | {fit(places['deep']['all_depths'])} | "
                     f"{fit(places['deep']['dawn_to_1_m'])} | {other[0]} | {other[1]} | "
                     f"{'-' if ranged is None else format(ranged['ratio'], '.2f')} | {ours} ({stays}) |")
    return lines


def fahrenheit(celsius):
    return celsius * 1.8 + 32.0


def regression(work, pond, run):
    """Wax and others (1987): morning and afternoon pond from air extremes and the pond half a day before, degrees F."""
    air = {}
    for row in rows_of(os.path.join(work, "cases", f"pond-{pond}", "W.csv")):
        # The label is the end of the hour: midnight belongs to the day before.
        when = datetime.datetime.fromisoformat(row["time"]) - datetime.timedelta(minutes=30)
        air.setdefault(when.date(), []).append(float(row["air_temp_c"]))
    low = {day: fahrenheit(min(values)) for day, values in air.items()}
    high = {day: fahrenheit(max(values)) for day, values in air.items()}
    mean = {day: sum(values) / len(values) for day, values in air.items()}
    seen, ours = upper_series(os.path.join(work, "cases", f"pond-{pond}", "O.csv")), upper_series(run.csv)
    one_day = datetime.timedelta(days=1)
    days = sorted(day for day in air if day - one_day in air and f"{day}T16:00" in seen and f"{day - one_day}T16:00" in seen)
    out = []
    free_afternoon = fahrenheit(seen[f"{days[0] - one_day}T16:00"])
    for day in days:
        front = any(mean[day - k * one_day] - mean[day - (k + 2) * one_day] <= -4.0
                    for k in (0, 1) if day - (k + 2) * one_day in mean)

        def morning(afternoon):
            return 6.937 + 0.062 * high[day - one_day] + 0.285 * low[day] + 0.561 * afternoon

        def afternoon(of_morning):
            return 5.136 - 0.068 * low[day] + 0.651 * of_morning + 0.373 * high[day]

        told_morning = morning(fahrenheit(seen[f"{day - one_day}T16:00"]))
        told_afternoon = afternoon(fahrenheit(seen[f"{day}T06:00"]))
        free_morning = morning(free_afternoon)
        free_afternoon = afternoon(free_morning)
        if day < days[0] + one_day:
            continue
        truth_m, truth_a = seen[f"{day}T06:00"], seen[f"{day}T16:00"]
        celsius = lambda f: (f - 32.0) / 1.8
        out.append({
            "front": front,
            "ours": (ours[f"{day}T06:00"] - truth_m, ours[f"{day}T16:00"] - truth_a),
            "told": (celsius(told_morning) - truth_m, celsius(told_afternoon) - truth_a),
            "free": (celsius(free_morning) - truth_m, celsius(free_afternoon) - truth_a),
        })
    return out


def regression_table(work, runs):
    lines = ["| pond | days | n | morning: ours, free run | regression told yesterday's afternoon pond | regression, free run | afternoon: ours, free run | regression told this morning's pond | regression, free run |",
             "|---|---|---|---|---|---|---|---|---|"]
    worst = {}
    for pond in "BF":
        rows = regression(work, pond, runs[f"pond-{pond}-5"])
        for name, chosen in (("all", rows), ("front days", [row for row in rows if row["front"]])):
            cells = [f"{rms([row[who][part] for row in chosen]):.2f}" for part in (0, 1) for who in ("ours", "told", "free")]
            lines.append(f"| {pond} | {name} | {len(chosen)} | " + " | ".join(cells) + " |")
            worst[pond, name] = max(abs(row[who][part]) for row in chosen for part in (0, 1) for who in ("told", "free"))
    top = max(worst.values())
    return lines + ["", f"Largest single miss of the regression here: {top:.1f} K ({1.8 * top:.0f} °F)."]


def main():
    work, commit, date, notes = sys.argv[1:5]
    names = ["pond-B-5", "pond-B-1", "pond-B-5-wind-1", "pond-F-5", "pond-F-1", "pond-F-5-wind-1", "lake-1", "lake-1-wind-1"]
    runs = {name: Run(work, name) for name in names}
    page = [
        "# Scores against thermometers",
        "",
        f"Written by `checks/observed/run DIR` on {date} at commit {commit}. Do not edit by hand: remarks come from",
        "`checks/observed/scores-notes.md`.",
        "",
        "Two farm ponds of 400 m2 and 2 m, Iowa, 22 May to 5 July 2020 (Albright, Ladwig, Wilkinson; for measuring only), and a",
        "small humic lake in Norway, May to November 2014 (NIVA, from the repository aemon-j/LER_examples, commit 61eadc5, MIT).",
        "Free runs from the first profile, perfect weather, first 24 hours not scored, K, model less thermometer. Nothing is fitted",
        "to a pond but one wind factor; light, plants and level come by date from the case files, the ground from the reference page.",
        "\"Upper metre\" is the mean of the loggers from 0.25 to 1 m. A logger deeper than the water is held against the lowest cell.",
        "",
        "## Aims",
        "",
        *aims_table(work, runs),
        "",
        "## All runs",
        "",
        *wind_table(runs),
        "",
        "## By depth",
        "",
        *depth_table(runs, ["pond-B-5", "pond-F-5", "lake-1"]),
        "",
        "## Beside the published regression",
        "",
        "Wax and others (1987), degrees F: morning = 6.937 + 0.062 max air yesterday + 0.285 min air today + 0.561 afternoon pond",
        "yesterday; afternoon = 5.136 - 0.068 min air + 0.651 morning pond + 0.373 max air. Its authors report misses of 8 °F in",
        "fronts. Here morning is 06:00 and afternoon 16:00, the pond is the upper metre of the deep string, rmse in K. \"Told\" means",
        "that it is given the observed pond half a day before; \"free run\" starts once from an observed afternoon, as ours starts",
        "once from an observed profile. Front days: the day's mean air is at least 4 K below that of two days before, and the day",
        "after such a day.",
        "",
        *regression_table(work, runs),
        "",
    ]
    with open(notes) as file:
        page.append(file.read().rstrip())
    print("\n".join(page))


if __name__ == "__main__":
    main()
