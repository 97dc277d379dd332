"""Sums of the sample's books by others; see run."""

import csv
import json
import sys
from decimal import Decimal

import formulas
import openpyxl

base = sys.argv[1]
said = json.load(open(base + ".json"))
per_unit = said["coins_per_unit"]

# The journal: debit is credit, and each account of the whole farm is what the program says.
sums = {}
debit = credit = Decimal(0)
with open(base + ".csv", newline="") as file:
    for row in csv.DictReader(file):
        one, other = Decimal(row["debit"] or 0), Decimal(row["credit"] or 0)
        debit, credit = debit + one, credit + other
        sums[row["account"]] = sums.get(row["account"], Decimal(0)) + one - other
assert debit == credit, (debit, credit)
for account, coins in said["whole"]["accounts"].items():
    sign = -1 if account == "sales" else 1
    assert sign * sums.get(account, Decimal(0)) * per_unit == coins, (account, sums.get(account), coins)

# The workbook: every formula, reckoned from a copy that holds none of our results.
ours = openpyxl.load_workbook(base + ".xlsx", data_only=True)
bare = openpyxl.load_workbook(base + ".xlsx")
cells = {
    (sheet.title, cell.coordinate): ours[sheet.title][cell.coordinate].value
    for sheet in bare
    for line in sheet.iter_rows()
    for cell in line
    if isinstance(cell.value, str) and cell.value.startswith("=")
}
copy = base + "-bare.xlsx"
bare.save(copy)
assert openpyxl.load_workbook(copy, data_only=True)["Made"]["B2"].value is None, "the copy holds no results"
reckoned = formulas.ExcelModel().loads(copy).finish().calculate()
name = copy.rsplit("/", 1)[-1]
worst = 0.0
for (sheet, at), value in cells.items():
    found = reckoned[f"'[{name}]{sheet.upper()}'!{at}"].value[0, 0]
    off = abs(float(found) - float(value))
    assert off < 0.005, (sheet, at, found, value)
    worst = max(worst, off)
print(f"{base.rsplit('/', 1)[-1]}: journal balances at {debit}; {len(cells)} formulas, worst off by {worst:.1e}")
