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
    print("are scored, which favours it. It is given one light for the whole season, no plants and no change of level beyond its own water")
    print("balance; in a pond that is part of its miss. Ours are the settings of `scores.md`: one wind factor for each kind of water. K; deep string; first day not scored.\n")
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
    print("\nSpeed, simulated hours per second of one core, processor time. Ours *alone* is one basin in f64; *in a crowd* is 64 members")
    print("side by side in single precision, one column, steps of 20 minutes, with two temperatures kept for every hour: the figure that")
    print("a plan lives on. The peer steps by the hour. It is timed both as it must run to be scored, writing its hours, and without any")
    print("writing; its start (a run of one day) is taken off. The least of three or five runs.\n")
    print("| case | cells | ours alone | ours in a crowd | peer, writing its hours | peer, not writing | crowd / peer writing | crowd / peer not writing | alone / peer writing | f32 from f64 at the end, K |")
    print("|---|---|---|---|---|---|---|---|---|---|")
    for name in names:
        speed, peer = load(work, f"{name}.speed.json"), load(work, f"{name}.peer.json")
        alone, crowd = 1e6 / speed["alone_us_per_hour"], 1e6 / speed["crowd_us_per_member_hour"]
        writing, quiet = peer["hours"] / peer["cpu_writing_s"], peer["hours"] / peer["cpu_s"]
        print(f"| {name} | {speed['cells']} | {alone:,.0f} | {crowd:,.0f} | {writing:,.0f} | {quiet:,.0f} | {crowd / writing:.0f} | {crowd / quiet:.0f} | "
              f"{alone / writing:.0f} | {speed['largest_difference_at_the_end_k']:.1e} |")


if __name__ == "__main__":
    main()
