"""Asks whether telling upper from lower water betters the projection of dawn oxygen on the observed ponds.

    python3 oxygen_layers.py CASES WORK

CASES holds farm-pond-early-summer; WORK holds layers-B.csv and layers-F.csv, our water's profile at the deep string hour by hour. Each
evening reading is carried to 06:00 by the mean use of the nights before (half-life five nights), once as one mixed water, once as two:
the upper as deep as the water is warm (by the loggers, then by our own water), the lower holding what it held at the dawn before less
half the use since, the two meeting as the night deepens the upper. It prints a table for docs/model/oxygen.md.
"""

import csv
import datetime
import math
import os
import sys

DAWN, DAYS, LEVEL_M = 6, 45, 1.85
EXCHANGE_PER_H = 0.01
LOWER_PART = 0.5


def rows_of(path):
    with open(path, newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def line_at(pairs, x):
    for (x0, y0), (x1, y1) in zip(pairs, pairs[1:]):
        if x1 >= x:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0) if x1 > x0 else y1
    return pairs[-1][1]


def oxygen(case, pond):
    zero = datetime.datetime(2020, 5, 22)
    hour = lambda row: (datetime.datetime.fromisoformat(row["time"]) - zero).total_seconds() / 3600
    mine = [row for row in rows_of(os.path.join(case, "surface_oxygen_30min.csv")) if row["pond"] == pond]
    return [(hour(r), float(r["do_mgl"])) for r in mine], [(hour(r), float(r["temp_c"])) for r in mine]


def mixed_depth(profile, apart_k):
    for (above, _), (_, temp) in zip(profile, profile[1:]):
        if profile[0][1] - temp > apart_k:
            return above
    return LEVEL_M


def depths(path, prefix, parse, apart_k):
    table = rows_of(path)
    names = sorted((n for n in table[0] if n and n.startswith(prefix)), key=parse)
    names = [n for n in names if parse(n) > 0]
    return [mixed_depth([(parse(n), float(row[n])) for n in names if row[n]], apart_k) for row in table]


def saturation(temp_c):
    k = temp_c + 273.15
    return 0.965 * math.exp(-139.34411 + 1.575701e5 / k - 6.642308e7 / k**2 + 1.2438e10 / k**3 - 8.621949e11 / k**4)


def volume(areas, top_m):
    steps = 40
    at = lambda i: line_at(areas, 2.0 - LEVEL_M + top_m * i / steps)
    return sum(0.5 * (at(i) + at(i + 1)) for i in range(steps)) * top_m / steps


def carried(start, use, warm, sat, before, evening_h, deep, areas):
    """The evening's value at dawn. `deep`: how deep the upper water reaches in each hour, or None for one mixed water."""
    upper, lower = start, max(0.0, before - LOWER_PART * use * warm * (24 - DAWN + evening_h))
    reach = deep[0] if deep else LEVEL_M
    for hour in range(DAWN - evening_h):
        upper = max(0.0, upper + EXCHANGE_PER_H * (sat - upper) - use * warm)
        lower = max(0.0, lower - LOWER_PART * use * warm)
        if deep and deep[hour + 1] > reach:
            was, now = volume(areas, reach), volume(areas, deep[hour + 1])
            upper, reach = (upper * was + lower * (now - was)) / now, deep[hour + 1]
    return upper


def misses(series, temps, areas, evening_h, mixed):
    uses, weights, out = [0.22] * 2, [1.0] * 2, []
    for day in range(1, DAYS):
        midnight = 24 * day
        start, dawn = line_at(series, midnight + evening_h), line_at(series, midnight + DAWN)
        before, temp = line_at(series, midnight - 24 + DAWN), line_at(temps, midnight)
        deep = mixed and [mixed[h] for h in range(midnight + evening_h, midnight + DAWN + 1)]
        at = lambda use: carried(start, use, 1.047 ** (temp - 20), saturation(temp), before, evening_h, deep, areas)
        out.append(at(sum(u * w for u, w in zip(uses, weights)) / sum(weights)) - dawn)
        low, high = -0.6, 1.5
        for _ in range(40):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if at(middle) > dawn else (low, middle)
        weights = weights[:2] + [w * 0.5**0.2 for w in weights[2:]] + [1.0]
        uses.append(low)
    return out


def main():
    case, work = os.path.join(sys.argv[1], "farm-pond-early-summer"), sys.argv[2]
    areas = [(float(r["depths"]), float(r["areas"])) for r in rows_of(os.path.join(case, "hypsography.csv"))]
    print("| pond, from | one mixed water | two, by the loggers | two, by our own water |")
    print("|---|---|---|---|")
    for pond in "BF":
        series, temps = oxygen(case, pond)
        logged = depths(os.path.join(case, f"pond_{pond}_temperature_hourly.csv"), "deep_", lambda n: float(n[5:-1]), 0.5)
        ours = depths(os.path.join(work, f"layers-{pond}.csv"), "deep@", lambda n: float(n[5:]), 0.3)
        for evening_h in (-3, 0):
            cells = []
            for mixed in (None, logged, ours):
                off = misses(series, temps, areas, evening_h, mixed)
                mean = sum(map(abs, off)) / len(off)
                cells.append(f"{mean:.2f} ({math.sqrt(sum(o * o for o in off) / len(off)):.2f})")
            print(f"| {pond}, {24 + evening_h if evening_h else 24} h | {' | '.join(cells)} |")


if __name__ == "__main__":
    main()
