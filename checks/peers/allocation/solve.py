"""Shares a catch out with scipy's HiGHS, one rank after the other, each kept on its best face while the next is served; compares with ours."""
import json
import sys

from scipy.optimize import linprog

count, worst = 0, 0.0
for line in open(sys.argv[1], encoding="ascii"):
    day = json.loads(line)
    classes, orders = range(len(day["kg"])), range(len(day["amount"]))
    pairs = [(c, o) for c in classes for o in orders if day["from"][o] <= day["g"][c] < day["to"][o] and day["amount"][o] > 0]
    if not pairs:
        assert all(given == 0 for given in day["given"])
        continue
    per_kg = [day["tails"][c] if day["as"][o] == 2 else 1.0 for c, o in pairs]
    rows, right = [], []
    for c in classes:
        rows.append([float(p[0] == c) for p in pairs])
        right.append(day["kg"][c])
        rows.append([float(p[0] == c and day["as"][p[1]] == 0) for p in pairs])
        right.append(day["live"][c])
    for o in orders:
        rows.append([k * float(p[1] == o) for p, k in zip(pairs, per_kg)])
        right.append(day["amount"][o])
    rows.append([float(day["as"][p[1]] == 2) for p in pairs])
    right.append(day["headed"])
    rows.append([float(day["as"][p[1]] == 0) for p in pairs])
    right.append(day["tanks"])
    most, equal = [None] * len(pairs), set()
    for rank in sorted(set(day["rank"])):
        earns = [day["pays"][p[1]] * k * float(day["rank"][p[1]] == rank) for p, k in zip(pairs, per_kg)]
        bound = [at for at in range(len(rows)) if at not in equal]
        held = sorted(equal)
        best = linprog([-one for one in earns], A_ub=[rows[at] for at in bound], b_ub=[right[at] for at in bound],
                       A_eq=[rows[at] for at in held] or None, b_eq=[right[at] for at in held] or None,
                       bounds=[(0, one) for one in most], method="highs")
        assert best.status == 0, best.message
        ours = sum(given * pays for given, pays, own in zip(day["given"], day["pays"], day["rank"]) if own == rank)
        apart = abs(ours + best.fun) / (1.0 + abs(best.fun))
        worst = max(worst, apart)
        assert apart < 1e-6, f"rank {rank}: ours {ours}, HiGHS {-best.fun}"
        # What is best for this rank stays: all that lies on its face, told by the prices of rows and columns, and nothing else.
        equal |= {at for at, price in zip(bound, best.ineqlin.marginals) if abs(price) > 1e-7}
        for at, price in enumerate(best.lower.marginals):
            if price > 1e-7:
                most[at] = 0
    count += 1
assert count > 150, count
print(f"{count} market days: every rank earns what HiGHS finds, to {worst:.0e} of it.")
