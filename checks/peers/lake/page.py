"""Puts our runs and the peer's side by side: python3 page.py WORK COMMIT DATE NAME..."""

import json
import os
import platform
import sys


def load(work, name):
    with open(os.path.join(work, name)) as file:
        return json.load(file)


def main():
    work, commit, date, *names = sys.argv[1:]
    with open("/proc/cpuinfo") as file:
        processor = next((line.split(":", 1)[1].strip() for line in file if line.startswith("model name")), platform.machine())
    print("# Beside the general lake model\n")
    print(f"Written by `checks/peers/lake/run [DIR]` on {date} at commit {commit}, {processor}, one core, everything in one run.\n")
    print("The peer is GLM 3.3.3 as the package glm-py 0.5.0 ships it, given the same hours, heat radiation of the sky, start, light and")
    print("ground. *Defaults*: transfer coefficients 0.0013, wind as read. *Fitted*: the best of five wind factors (0.3 to 1.4), four")
    print("coefficients (0.0013 to 0.0045) and, in the ponds, five constant lights (0.6 to 3 per m), chosen on the very readings that")
    print("are scored, which favours it. It has no place for light, plants and level that change with the date; in a pond that is much of")
    print("its miss. Ours are the settings of `scores.md`: one wind factor for each kind of water. K; deep string; first day not scored.\n")
    print("| case | ours, all depths | ours, dawn to 1 m | peer, defaults: all depths | dawn to 1 m | peer, fitted: all depths | dawn to 1 m | fitted settings |")
    print("|---|---|---|---|---|---|---|---|")
    show = lambda value: "-" if value is None else f"{value:.2f}"
    for name in names:
        ours, peer = load(work, f"{name}.ours.json"), load(work, f"{name}.peer.json")
        deep = next(place for place in ours["places"] if place["place"] == "deep")
        dawn = deep["dawn_to_1_m"]
        fitted = peer["fitted"]
        settings = ", ".join(f"{key} {value:g}" for key, value in fitted["settings"].items())
        print(f"| {name} | {deep['all_depths']['rmse_k']:.2f} | {show(dawn and dawn['rmse_k'])} | {show(peer['defaults']['rmse_k'])} | "
              f"{show(peer['defaults']['dawn_rmse_k'])} | {show(fitted['rmse_k'])} | {show(fitted['dawn_rmse_k'])} | {settings} |")
    print("\nSpeed, simulated hours per second of one core. Ours *alone* is one basin in f64; *in a crowd* is 64 members side by side in")
    print("single precision (the figure that a plan lives on), one column, steps of 20 minutes. The peer steps by the hour; it was timed")
    print("without the hourly writing that scoring needs and without its start (a run of one day is taken off), the least of three runs;\nwith the writing it takes about five times as long.\n")
    print("| case | cells | ours alone | ours in a crowd, member-hours | peer | crowd / peer | alone / peer | f32 from f64 at the end, K |")
    print("|---|---|---|---|---|---|---|---|")
    for name in names:
        speed, peer = load(work, f"{name}.speed.json"), load(work, f"{name}.peer.json")
        alone, crowd = 1e6 / speed["alone_us_per_hour"], 1e6 / speed["crowd_us_per_member_hour"]
        theirs = peer["hours"] / peer["cpu_s"]
        print(f"| {name} | {speed['cells']} | {alone:,.0f} | {crowd:,.0f} | {theirs:,.0f} | {crowd / theirs:.0f} | {alone / theirs:.1f} | "
              f"{speed['largest_difference_at_the_end_k']:.4f} |")


if __name__ == "__main__":
    main()
