"""The stock filter once more, written with numpy from docs/model/stock-estimate.md, growth.md, survival.md and sizes.md.

It shares no code and no draws with the program. Reads the season that the bench writes; prints the fastest of three runs and the bands.
"""
import sys
import time

import numpy as np

N = 1000
GEAR_SD = np.array([0.10, 0.10, 0.10, 0.14, 0.14])
GROWTH, TREND, COUNT, HAZARD, ORANGE, DEAD, EATS, FAVOUR, LEAN, HELD = 0, 1, 2, 3, 4, 5, 6, 7, 12, 13


def season(path):
    sights, stocked, warm = [], None, None
    for line in open(path, encoding="utf-8"):
        key, *rest = line.split()
        numbers = [float(one) for one in rest]
        if key == "stocked":
            stocked = numbers
        elif key == "warm_days":
            warm = np.array(numbers)
        else:
            sights.append((key, int(numbers[0]), numbers[1:]))
    return stocked, warm, sights


def warmth(temp_c):
    return (38 - temp_c) / 9 * ((temp_c - 18.3) / 10.7) ** (10.7 / 9)


class Pond:
    def __init__(self, stocked, warm, sights):
        self.count, weight, per_ha, substrate = stocked
        self.crowding = per_ha / (1 + 0.26 * substrate)
        self.start = weight ** (1 / 3)
        self.rate = 0.0142 * (self.crowding / 60_000) ** -0.5 * (min(weight, 0.3) / 0.3) ** 0.27
        self.hazard = 0.27 / 100 * (weight / 0.3) ** -0.2
        steps = np.diff(warm)
        late = (np.arange(len(steps)) - 50) / 50
        add = lambda values: np.concatenate([[0.0], np.cumsum(values)])
        self.sums = np.stack([add(steps), add(steps * late), add(0.5 * steps * late**2)])
        self.days = len(steps)
        self.appetite = [min((warm[min(d + 1, self.days)] - warm[min(d + 1, self.days) - 1]) / warmth(26.0), 1.0) for d in range(self.days + 1)]
        self.look_days = np.array([day for key, day, _ in sights if key == "dead"])

    def made(self, z):
        count = 0.10 * z[:, COUNT]
        hazard = 0.60 * z[:, HAZARD]
        made = {
            "rate": np.exp(0.20 * z[:, GROWTH] - 0.5 * count), "trend": 0.08 * z[:, TREND], "died": np.exp(hazard) * self.hazard,
            "start": np.log(self.count) + count, "seen": np.minimum(np.log(0.05) + z[:, DEAD], 0.0), "eats": 0.35 * z[:, EATS],
            "favour": GEAR_SD * z[:, FAVOUR:LEAN],
        }
        counted = np.array([0.421, 0.036, 0.358, 0.171, 0.014])
        females, males = counted[:2].sum(), counted[2:].sum()
        odds = counted[3] / (counted[2] + counted[4]) * (self.crowding / 45_000) ** 0.8
        large = males / (1 + odds)
        orange = large * counted[2] / (counted[2] + counted[4])
        others = females + males - orange
        share = np.clip(orange + 0.06 * z[:, ORANGE], 0.05 * orange, orange + 0.7 * others)
        odds = share / (females + males - share) * np.exp(0.30 * z[:, LEAN])
        made["orange"] = (share, np.log(odds / (1 + odds)), -np.log1p(odds))
        return made

    def weight(self, made, day):
        a, b, c = self.sums[:, day]
        grown = made["rate"] * (a + made["trend"] * (b + made["trend"] * c))
        return (4.10 - (4.10 - self.start) * np.exp(-self.rate * grown)) ** 3

    def log_chance(self, made, off, sight, looked):
        key, day, rest = sight
        if key == "weighed":
            seen, error, gear, orange, others = rest
            away = np.log(seen / self.weight(made, day)) - made["favour"][:, int(gear)]
            bell = lambda sd: np.exp(-0.5 * (away / sd) ** 2) / sd
            chance = np.log(0.98 * bell(error) + 0.02 * bell(np.hypot(error, 0.7)) + 1e-300)
            _, in_catch, not_in = made["orange"]
            return chance + 0.5 * (orange * in_catch + others * not_in)
        if key == "dead":
            since = min(max(day - looked, 0.5), 3.0)
            before = off[:, self.look_days < day].sum(axis=1)
            now = 1 - np.exp(off[:, self.look_days == day].sum(axis=1))
            usual = 1 - np.exp(-made["died"] * since)
            mean = np.exp(made["seen"] + made["start"] + before - made["died"] * max(day - since, 0)) * (usual + now)
            mean = np.maximum(mean, 0.02)
            return rest[0] * np.log(mean / (mean + 1.5)) - 1.5 * np.log(mean + 1.5)
        kg, left = rest
        weight = self.weight(made, day)
        eats = np.interp(weight, [10, 20, 35], [0.07, 0.05, 0.03])
        left_ln = off[:, self.look_days <= day].sum(axis=1)
        number = made["start"] + left_ln - made["died"] * day
        ratio = np.log(kg / (weight / 1000 * eats * self.appetite[day])) - number - made["eats"]
        within = lambda share: 1 / (1 + np.exp(np.clip(-(share + ratio) / 0.138, -500, 500)))
        chance = [1 - within(0), within(0) - within(-np.log(2)), within(-np.log(2))][int(left)]
        return np.where(weight < 5, 0.0, np.log(0.02 / 3 + 0.98 * chance))


def shares(weights):
    raw = np.exp(weights - weights.max())
    return raw / raw.sum()


def carrying(weights):
    return 1 / (shares(weights) ** 2).sum() / N


def run(stocked, warm, sights, seed):
    luck = np.random.default_rng(seed)
    pond = Pond(stocked, warm, sights)
    z = luck.standard_normal((N, HELD))
    off = np.zeros((N, len(pond.look_days)))
    weights, seen_log = np.zeros(N), np.zeros(N)
    taken, looked = [], 0
    made = pond.made(z)
    for sight in sights:
        here = (sight, looked)
        if sight[0] == "dead":
            chance = pond.log_chance(made, off, sight, looked)
            since = min(max(sight[1] - looked, 0.5), 3.0)
            usual = 1 - np.exp(-made["died"] * since)
            mean = np.exp(made["seen"] + made["start"] + off[:, pond.look_days < sight[1]].sum(axis=1) - made["died"] * max(sight[1] - since, 0)) * usual
            tried = 0.5 if sight[2][0] > 3 * (shares(weights) * mean).sum() + 10 else 0.01
            dies = luck.random(N) < tried
            part = 0.02 * 45 ** luck.random(N)
            at = int(np.flatnonzero(pond.look_days == sight[1])[0])
            off[dies, at] = np.log(1 - part[dies])
            weights = weights + np.where(dies, np.log(0.01 / tried), np.log(0.99 / (1 - tried)))
            looked = sight[1]
        done = 0.0
        for _ in range(40):
            chance = pond.log_chance(made, off, *here)
            if carrying(weights + (1 - done) * chance) >= 0.5:
                weights, seen_log = weights + (1 - done) * chance, seen_log + chance
                break
            low, high = 0.0, 1 - done
            for _ in range(10):
                middle = 0.5 * (low + high)
                if carrying(weights + middle * chance) >= 0.5:
                    low = middle
                else:
                    high = middle
            weights, done = weights + high * chance, done + high
            share = shares(weights)
            mean = share @ z
            root = np.linalg.cholesky((z - mean).T @ ((z - mean) * share[:, None]) + 1e-8 * np.eye(HELD))
            drawn = np.searchsorted(np.cumsum(share), (np.arange(N) + luck.random()) / N).clip(max=N - 1)
            z, off, seen_log, chance = z[drawn], off[drawn], seen_log[drawn], chance[drawn]
            weights = np.zeros(N)
            for _ in range(int(np.clip(120 // (len(taken) + 1), 1, 4))):
                place = np.linalg.solve(root, (z - mean).T).T
                moved = 0.3 * place + np.sqrt(1 - 0.09) * luck.standard_normal((N, HELD))
                other = mean + moved @ root.T
                parts = 1 - np.exp(off)
                parts = np.where(parts > 0, parts * np.exp(0.3 * luck.standard_normal(off.shape)), 0)
                inside = ((parts == 0) | ((parts >= 0.02) & (parts <= 0.9))).all(axis=1)
                off2 = np.log1p(-np.minimum(parts, 0.95))
                made2 = pond.made(other)
                seen2 = sum((pond.log_chance(made2, off2, *one) for one in taken), np.zeros(N))
                chance2 = pond.log_chance(made2, off2, *here)
                value = lambda seen, chance, place, z: seen + done * chance + 0.5 * ((place**2).sum(axis=1) - (z**2).sum(axis=1))
                better = value(seen2, chance2, moved, other) - value(seen_log, chance, place, z)
                accept = inside & (np.log(luck.random(N)) < better)
                z, off = np.where(accept[:, None], other, z), np.where(accept[:, None], off2, off)
                seen_log, chance = np.where(accept, seen2, seen_log), np.where(accept, chance2, chance)
            made = pond.made(z)
        taken.append(here)
    share = shares(weights)
    weight = pond.weight(made, pond.days)
    number = np.exp(made["start"] + off.sum(axis=1) - made["died"] * pond.days)
    return share, {"mean weight, g": weight, "number": number, "mass, kg": number * weight / 1000, "orange-claw males off usual": 0.06 * z[:, ORANGE]}


def band(values, share):
    order = np.argsort(values)
    return [values[order][np.searchsorted(np.cumsum(share[order]), part)] for part in (0.1, 0.5, 0.9)]


def main():
    stocked, warm, sights = season(sys.argv[1])
    took, bands = [], {}
    for seed in range(3):
        start = time.perf_counter()
        share, values = run(stocked, warm, sights, seed)
        took.append((time.perf_counter() - start) * 1000)
        for name, of in values.items():
            bands.setdefault(name, []).append(band(of, share))
    print(f"numpy {np.__version__}: {min(took):.0f} ms fastest, {sorted(took)[1]:.0f} ms middle")
    for name, of in bands.items():
        low, middle, high = np.mean(of, axis=0)
        print(f"{name:28} {low:9.3f} {middle:9.3f} {high:9.3f}")


main()
