"""A line of three places with one hand each, in simpy, from the arrivals and times that the bench writes.

Prints the hour at which the last basket is done, the mean wait before each place, and the fastest of three runs.
"""
import sys
import time

import simpy


def basket(env, at, places, times, waits):
    yield env.timeout(at)
    for number, (place, hours) in enumerate(zip(places, times)):
        came = env.now
        with place.request() as turn:
            yield turn
            waits[number] += env.now - came
            yield env.timeout(hours)


def live(rows):
    env = simpy.Environment()
    places = [simpy.Resource(env) for _ in range(3)]
    waits = [0.0] * 3
    for at, *times in rows:
        env.process(basket(env, at, places, times, waits))
    env.run()
    return env.now, [wait / len(rows) for wait in waits]


rows = [[float(one) for one in line.split()] for line in open(sys.argv[1], encoding="utf-8")]
best = float("inf")
for _ in range(3):
    begin = time.perf_counter()
    finish, waits = live(rows)
    best = min(best, time.perf_counter() - begin)
print(f"tandem_finish_h {finish:.4f}")
print("tandem_waits_h", *(f"{wait:.5f}" for wait in waits))
print(f"tandem_ms {1000 * best:.1f}")
