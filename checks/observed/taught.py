"""What one thermometer taught on observed water, as a page.

taught.py WORK COMMIT DATE: reads WORK/taught-*.json, which `warmspell water --taught-by` wrote, and prints docs/model/taught.md.
"""

import json
import sys

work, commit, date = sys.argv[1:4]
CASES = [
    ("pond B", "B", "0.5"),
    ("pond F", "F", "0.5"),
    ("small lake", "lake", "1.4"),
]
COST_MOST_K = 0.15


def leads(name, key):
    with open(f"{work}/{name}.json") as file:
        rows = json.load(file)[key]
    return {row["lead_days"]: row["upper_metre"]["rmse_k"] for row in rows if row["place"] == "deep"}


def said(values):
    return " / ".join(f"{values[lead]:.2f}" for lead in sorted(values))


print("# What one thermometer teaches: observed water")
print()
print(f"Written by checks/observed/run at commit {commit} on {date}. How it is done: [readings.md](readings.md).")
print()
print("One reading a day at 06:00, 0.5 m down at the deep end, from the first day on; weather as measured; each forecast is one run of the")
print("mean state and factors. Root mean square error of the mean of 0.25 to 1 m at 06:00, K, 1 / 3 / 5 / 10 days ahead. Doubt of the wind")
print("factor told beforehand: 25 %, the default of the table of inputs, in every case. Wrong is 1.0, right is what the free runs are scored with.")
print()
print("| water | wind factor begun from | untaught | taught | aim | |")
print("|---|---|---|---|---|---|")
for name, case, right in CASES:
    for kind, factor in (("wrong", "1.0"), ("right", right)):
        plain, taught = (leads(f"taught-{case}-{kind}", key) for key in ("leads_untaught", "leads"))
        if kind == "wrong":
            aim, met = "better at every lead", all(taught[lead] < plain[lead] for lead in plain)
        else:
            aim = f"at most {COST_MOST_K} K worse"
            met = all(taught[lead] - plain[lead] <= COST_MOST_K for lead in plain)
        print(f"| {name} | {factor} ({kind}) | {said(plain)} | {said(taught)} | {aim} | {'met' if met else '**missed**'} |")
