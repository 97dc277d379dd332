"""Best dates of exported farms by a mixed-integer solver (highspy), beside those found by warmspell.

Reads one farm as JSON (see README.md) from each file named, builds a time-indexed model from the raw limits, solves it to a
relative gap of 1e-9, and prints both optima and both times. Exit 1 when either finds more than half a coin better than what the
other calls proved.
"""

import json
import math
import os
import statistics
import sys
import time

import highspy
import numpy as np


def choices(farm):
    """Every (pond, way, first day, first share) with its start and end hour, were the pond alone."""
    light = farm["first_light_hours"]
    found = []
    for p, pond in enumerate(farm["ponds"]):
        takes = [(d, 1.0) for d in range(len(light))]
        takes += [(d, s) for s in pond["first_day_shares"] for d in range(len(light) - 1)]
        for day, share in takes:
            days = [day] if share == 1.0 else [day, day + 1]
            if any(
                not farm["workday"][d]
                or pond["closed"][d]
                or light[d] < farm["now_hour"] + farm["notice_hours"]
                for d in days
            ):
                continue
            last_share = 1.0 if share == 1.0 else 1.0 - share
            end = light[days[-1]] + math.ceil(last_share * pond["catch_hours"])
            for w, way in enumerate(pond["ways"]):
                start = light[day] - way["lead_hours"]
                while not farm["start_hours"][start % 24]:
                    start -= 1
                if start >= farm["now_hour"]:
                    found.append((p, w, day, share, start, end))
    return found


class Model:
    """Rows and columns gathered, then given to the solver at once."""

    def __init__(self):
        self.cost, self.upper, self.whole = [], [], []
        self.rows = []

    def column(self, cost, upper, whole):
        self.cost.append(cost)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.cost) - 1

    def row(self, low, terms, high):
        if terms:
            self.rows.append((low, terms, high))

    def solve(self):
        inf = highspy.kHighsInf
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.cost), len(self.rows)
        lp.sense_ = highspy.ObjSense.kMaximize
        lp.col_cost_ = np.array(self.cost)
        lp.col_lower_ = np.zeros(len(self.cost))
        lp.col_upper_ = np.array([inf if u is None else u for u in self.upper])
        kind = highspy.HighsVarType
        lp.integrality_ = [kind.kInteger if w else kind.kContinuous for w in self.whole]
        lp.row_lower_ = np.array([-inf if low is None else low for low, _, _ in self.rows])
        lp.row_upper_ = np.array([inf if high is None else high for _, _, high in self.rows])
        starts, index, value = [0], [], []
        for _, terms, _ in self.rows:
            merged = {}
            for column, amount in terms:
                merged[column] = merged.get(column, 0.0) + amount
            index += merged.keys()
            value += merged.values()
            starts.append(len(index))
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.array(starts)
        lp.a_matrix_.index_ = np.array(index)
        lp.a_matrix_.value_ = np.array(value)
        solver = highspy.Highs()
        solver.setOptionValue("output_flag", False)
        solver.setOptionValue("mip_rel_gap", 1e-9)
        solver.setOptionValue("mip_abs_gap", 1e-3)
        solver.setOptionValue("threads", 1)
        solver.setOptionValue("time_limit", TIME_LIMIT)
        solver.passModel(lp)
        begin = time.perf_counter()
        solver.run()
        seconds = time.perf_counter() - begin
        return solver.getInfo(), list(solver.getSolution().col_value), seconds, solver.getModelStatus()


TIME_LIMIT = 600.0
# Leaving a pond costs more than any farm here is worth.
LEFT = 1.0e8


def gear_rows(farm, found, model):
    """At every hour at which some job starts, what is held is no more than there is."""
    for hour in sorted({choice[4] for choice in found}):
        held = [i for i, choice in enumerate(found) if choice[4] <= hour < choice[5]]
        for g, amount in enumerate(farm["gear"]):
            terms = [(i, a) for i in held for gear, a in way_of(farm, found[i])["gear"] if gear == g]
            model.row(None, terms, amount)


def fuel_rows(farm, found, model, days):
    in_store, per_day = farm["fuel"]
    for day in range(days):
        until = 24 * (day + 1)
        burnt = lambda c: max(0, min(until, c[5]) - max(c[4], 0)) * way_of(farm, c)["fuel_per_hour"]
        model.row(None, [(i, burnt(c)) for i, c in enumerate(found) if burnt(c) > 0], in_store + per_day * (day + 1))


def way_of(farm, choice):
    return farm["ponds"][choice[0]]["ways"][choice[1]]


def kept_rows(model, terms_of, high, most, members, may_break):
    """The row holds in all members but `may_break`; `most` is the largest its left side can be."""
    if most <= high:
        return
    broken = [model.column(0.0, 1.0, True) for _ in range(members)] if may_break else []
    for m in range(members):
        model.row(None, terms_of(m) + ([(broken[m], -(most - high))] if may_break else []), high)
    if may_break:
        model.row(None, [(b, 1.0) for b in broken], may_break)


def build(farm):
    value = (np.array(farm["worth"]) - farm["risk_weight"] * np.array(farm["cold_loss"])).mean(axis=2)
    pounds = np.array(farm["pounds"])  # stream, pond, day, member
    days, members = pounds.shape[2], pounds.shape[3]
    may_break = members - math.ceil(farm["keep"] * members - 1e-9)
    found, model = choices(farm), Model()
    caught = [[] for _ in range(days)]  # (column, pond, share)
    for i, (p, w, day, share, _, _) in enumerate(found):
        coins = share * value[p, day] - way_of(farm, found[i])["cost"]
        caught[day].append((i, p, share))
        if share < 1.0:
            coins += (1.0 - share) * value[p, day + 1]
            caught[day + 1].append((i, p, 1.0 - share))
        model.column(coins, 1.0, True)
    for p in range(len(farm["ponds"])):
        left = model.column(-LEFT, 1.0, True)
        model.row(1.0, [(i, 1.0) for i, c in enumerate(found) if c[0] == p] + [(left, 1.0)], 1.0)
    gear_rows(farm, found, model)
    fuel_rows(farm, found, model, days)
    for day, today in enumerate(caught):
        hours = [(i, share * farm["ponds"][p]["catch_hours"]) for i, p, share in today]
        model.row(None, hours, farm["daylight"][day])
        model.row(None, [(i, 1.0) for i, _, _ in today], farm["catches_per_day"])

    def weight(per_lb, p, day, m):
        return sum(per_lb[s] * pounds[s, p, day, m] for s in range(3))

    def most_of(rows):
        """Largest sum when each pond is caught at most once in full."""
        most = {}
        for p, amount in rows:
            most[p] = max(most.get(p, 0.0), amount)
        return sum(most.values())

    for limit in farm["day_limits"]:
        for day, today in enumerate(caught):
            amount = lambda p, share, m: share * (weight(limit["per_lb"], p, day, m) + limit["per_catch"])
            most = max(most_of([(p, amount(p, share, m)) for _, p, share in today]) for m in range(members)) if today else 0.0
            terms = lambda m: [(i, amount(p, share, m)) for i, p, share in today]
            kept_rows(model, terms, limit["amount"][day], most, members, may_break)
    for order in farm["orders"]:
        span = range(order["from"], order["to"] + 1)
        rows = [(i, p, share, day) for day in span for i, p, share in caught[day]]
        terms = lambda m: [(i, share * weight(order["per_lb"], p, day, m)) for i, p, share, day in rows]
        most = 2 * max(most_of([(p, weight(order["per_lb"], p, day, m)) for _, p, _, day in rows]) for m in range(members))
        kept_rows(model, terms, order["ceiling"], most, members, may_break)
    for store in farm["stores"]:
        store_rows(model, store, caught, weight, days, members, may_break)
    return model, found


def store_rows(model, store, caught, weight, days, members, may_break):
    most = store["at_start"] + sum(
        max([weight(store["per_lb"], p, day, m) for day in range(days) for m in range(members)], default=0.0)
        for p in {p for today in caught for _, p, _ in today}
    )
    # Stock of each member by day; it may be larger than the true one but never smaller.
    stock = [[model.column(0.0, None, False) for _ in range(members)] for _ in range(days)]
    broken = [[model.column(0.0, 1.0, True) if may_break else None for _ in range(members)] for _ in range(days)]
    untouched = store["at_start"]
    for day in range(days):
        for m in range(members):
            arrivals = [(i, -share * weight(store["per_lb"], p, day, m)) for i, p, share in caught[day]]
            if day == 0:
                model.row(store["at_start"], [(stock[0][m], 1.0)] + arrivals, None)
            else:
                carried = [(stock[day - 1][m], -1.0)]
                model.row(-store["offtake"][day - 1], [(stock[day][m], 1.0)] + carried + arrivals, None)
                model.row(0.0, [(stock[day][m], 1.0)] + arrivals, None)
            room = max(store["room"][day], untouched)
            spare = [(broken[day][m], -max(0.0, most - room))] if may_break else []
            model.row(None, [(stock[day][m], 1.0)] + spare, room)
        if may_break:
            model.row(None, [(b, 1.0) for b in broken[day]], may_break)
        untouched = max(0.0, untouched - store["offtake"][day])


def compare(path):
    """Prints one farm's answers; returns (a fault or None, both proved, seconds of each, coins below the solver)."""
    with open(path) as file:
        farm = json.load(file)
    ours = farm["found"]
    model, found = build(farm)
    info, columns, seconds, status = model.solve()
    picked = [found[i] for i in range(len(found)) if columns[i] > 0.5]
    left = len(farm["ponds"]) - len(picked)
    optimum = info.objective_function_value + LEFT * left
    proved = status == highspy.HighsModelStatus.kOptimal
    print(
        f"{os.path.basename(path)}: {len(farm['ponds'])} ponds, {len(found)} jobs; warmspell {ours['objective']:.2f} "
        f"(proved {ours['proved']}, {ours['nodes']} nodes) in {ours['seconds']:.3f} s; highspy {optimum:.2f} "
        f"(proved {proved}, bound {info.mip_dual_bound:.2f}, {info.mip_node_count} nodes) in {seconds:.1f} s; "
        f"left {len(ours['left'])} and {left}",
        flush=True,
    )
    below = optimum - ours["objective"] if left == len(ours["left"]) else math.inf
    # Who has proved an answer can never be bettered by the other.
    fault = None
    if ours["proved"] and below > 0.5:
        fault = "the solver found better than what warmspell calls proved"
    if proved and below < -0.5:
        fault = "warmspell found better than what the solver calls proved"
    if fault:
        print(f"  DIFFERENCE: {fault}", flush=True)
    return fault, ours["proved"] and proved, (ours["seconds"], seconds), below


def main():
    farms = {}
    for path in sys.argv[1:]:
        farms.setdefault(os.path.basename(path).split("-")[0], []).append(compare(path))
    for ponds, answers in sorted(farms.items()):
        both = [answer for answer in answers if answer[1]]
        most = max((abs(below) for _, _, _, below in both), default=0.0)
        ours, solver = ([times[who] for _, _, times, _ in answers] for who in (0, 1))
        print(
            f"farms of {int(ponds)} ponds: {len(answers)}, {len(both)} proved by both, largest difference among these "
            f"{most:.4f} coins; seconds, median and worst: warmspell {statistics.median(ours):.4f}, {max(ours):.3f}; "
            f"highspy {statistics.median(solver):.1f}, {max(solver):.1f}"
        )
        for _, proved, _, below in answers:
            if not proved:
                print(f"  not proved by both: warmspell {below:.2f} coins below the solver")
    differences = sum(1 for answers in farms.values() for answer in answers if answer[0])
    print(f"{differences} differences")
    return 1 if differences else 0


if __name__ == "__main__":
    sys.exit(main())
