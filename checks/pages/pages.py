"""Times the server's pages over HTTP, small record and large. Needs nothing but Python's own library."""

import argparse
import datetime
import http.client
import json
import math
import pathlib
import re
import shutil
import statistics
import subprocess
import tempfile
import time
import urllib.parse

PONDS = 20
TIMES = 41
WARM = ("06-01", 120)  # each season's first day and its days


def farm_of_many(sample: pathlib.Path, folder: pathlib.Path) -> pathlib.Path:
    """The sample's farm with its ponds several times over."""
    text = (sample / "farm.toml").read_text()
    head, *ponds = re.split(r"(?m)^(?=\[\[pond\]\])", text)
    # What stands behind the last pond belongs to the farm.
    last, *rest = re.split(r"(?m)^(?=# -{20,})", ponds[-1], maxsplit=1)
    ponds[-1] = last
    many = []
    for n in range(PONDS):
        pond = ponds[n % len(ponds)]
        many.append(re.sub(r'(?m)^name = "(.*)"', lambda m: f'name = "{m[1]} {n // len(ponds) + 1}"', pond, count=1))
    folder.mkdir()
    for file in sample.iterdir():
        shutil.copy(file, folder / file.name)
    path = folder / "farm.toml"
    path.write_text(head.replace("Hazel Bend", "Many Ponds") + "".join(many) + "".join(rest))
    return path


class Served:
    def __init__(self, program: str, store: pathlib.Path, farm: pathlib.Path | None):
        more = ["--farm", str(farm)] if farm else []
        self.child = subprocess.Popen(
            [program, "serve", "--store", str(store), "--address", "127.0.0.1:0", *more],
            stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True)
        for line in self.child.stderr:
            if found := re.search(r"http://127\.0\.0\.1:(\d+)", line):
                self.port = int(found[1])
                return
        raise SystemExit("the program did not say where it serves")

    def ask(self, method: str, path: str, body: bytes | None = None, kind: str = "") -> tuple[float, int, bytes]:
        link = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        headers = {"Host": f"127.0.0.1:{self.port}", "Accept-Encoding": "gzip"}
        if kind:
            headers |= {"Content-Type": kind, "Origin": f"http://127.0.0.1:{self.port}"}
        begun = time.perf_counter()
        link.request(method, path, body, headers)
        answer = link.getresponse()
        text = answer.read()
        taken_ms = 1000 * (time.perf_counter() - begun)
        link.close()
        return taken_ms, answer.status, text

    def wait_for_answer(self, farm: str) -> float:
        begun = time.perf_counter()
        link_ready = lambda: b"http-equiv" not in self.plain(f"/f/{farm}/")
        while not link_ready():
            time.sleep(0.2)
        return time.perf_counter() - begun

    def plain(self, path: str) -> bytes:
        link = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        link.request("GET", path, headers={"Host": f"127.0.0.1:{self.port}"})
        return link.getresponse().read()

    def end(self):
        self.child.kill()
        self.child.wait()


def measure(served: Served, what: str, paths: list[tuple[str, str]], post: tuple[str, bytes]):
    print(f"\n{what}\n{'page':<34}{'middle, ms':>12}{'worst, ms':>12}{'bytes':>10}")
    for name, path in paths:
        times = []
        for _ in range(TIMES):
            taken_ms, status, text = served.ask("GET", path)
            if status != 200:
                raise SystemExit(f"{path}: {status}")
            times.append(taken_ms)
        print(f"{name:<34}{statistics.median(times):>12.1f}{max(times):>12.1f}{len(text):>10}")
    times = []
    for n in range(9):
        taken_ms, status, _ = served.ask("POST", post[0], post[1].replace(b"ID", f"{n:032x}".encode()), "application/x-www-form-urlencoded")
        if status not in (200, 303):
            raise SystemExit(f"{post[0]}: {status}")
        times.append(taken_ms)
        time.sleep(0.05)
    print(f"{'an entry kept by the form':<34}{statistics.median(times):>12.1f}{max(times):>12.1f}{'':>10}")


def logger_file(path: pathlib.Path, seasons: list[int], pond: int):
    with path.open("w") as out:
        out.write("time,temp_c\n")
        for year in seasons:
            first = datetime.datetime.fromisoformat(f"{year}-{WARM[0]}T00:00:00")
            for n in range(WARM[1] * 288):
                at = first + datetime.timedelta(minutes=5 * n)
                warm = 26 - n / 9000 + 2 * math.sin(n / 288 * 2 * math.pi) + pond / 10
                out.write(f"{at:%Y-%m-%dT%H:%M:%S},{warm:.2f}\n")


def type_in(served: Served, farm: str, ponds: list[str], seasons: list[int]) -> int:
    facts, n = [], 1 << 60
    for year in seasons:
        first = datetime.datetime.fromisoformat(f"{year}-{WARM[0]}T10:40:00+00:00")
        for day in range(WARM[1]):
            for hour in (0, 9):
                at = int((first + datetime.timedelta(days=day, hours=hour)).timestamp())
                for pond in ponds:
                    n += 1
                    facts.append({
                        "id": f"{n:032x}", "farm": farm, "device": "phone", "person": "", "kind": "reading", "form": 1,
                        "happened": {"utc_s": at, "offset_s": -14400}, "typed_ms": at * 1000, "corrects": None,
                        "typed": {"pond": pond, "temperature": f"{70 + n % 9} F", "oxygen": "6.1 mg/L", "end": "deep"}})
    for first in range(0, len(facts), 500):
        body = {"schema": "warmspell.sync", "version": 1, "device": "phone", "facts": facts[first:first + 500]}
        _, status, text = served.ask("POST", f"/f/{farm}/sync", json.dumps(body).encode(), "application/json")
        if status != 200:
            raise SystemExit(f"sync: {status} {text[:200]}")
    return len(facts)


def main():
    asked = argparse.ArgumentParser()
    asked.add_argument("program")
    asked.add_argument("sample", type=pathlib.Path)
    asked.add_argument("--seasons", type=int, default=10)
    asked = asked.parse_args()
    work = pathlib.Path(tempfile.mkdtemp(prefix="warmspell-pages-"))
    entry = lambda pond: urllib.parse.urlencode({"id": "ID", "kind": "reading", "pond": pond, "temperature": "72.5", "unit-temperature": "F"}).encode()
    paths = lambda farm, pond: [
        ("morning", f"/f/{farm}/"), ("a pond", f"/f/{farm}/ponds/{pond}"), ("harvest plan", f"/f/{farm}/plan"),
        ("what a plan sets going", f"/f/{farm}/plan/accept"), ("log", f"/f/{farm}/log"), ("a new entry", f"/f/{farm}/log/new?pond={pond}"),
        ("set-up", f"/f/{farm}/setup"), ("files", f"/f/{farm}/files"), ("how good the calls were", f"/f/{farm}/called-and-came")]
    try:
        served = Served(asked.program, work / "small.db", None)
        print(f"first answer after {served.wait_for_answer('hazel-bend'):.1f} s")
        measure(served, "The sample farm", paths("hazel-bend", "willow"), ("/f/hazel-bend/log/new", entry("willow")))
        served.end()

        farm = farm_of_many(asked.sample, work / "many")
        seasons = list(range(2012 - asked.seasons, 2012))
        served = Served(asked.program, work / "large.db", farm)
        ponds = re.findall(r'href="/f/many-ponds/ponds/([a-z0-9-]+)"', served.plain("/f/many-ponds/log/new").decode())
        served.end()
        if not ponds:
            names = re.findall(r'(?m)^\[\[pond\]\]\nname = "(.*)"', farm.read_text())
            ponds = [re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") for name in names]
        begun = time.perf_counter()
        for n, pond in enumerate(ponds):
            file = work / "logger.csv"
            logger_file(file, seasons, n)
            subprocess.run([asked.program, "log", str(file), "--pond", pond, "--farm", str(farm), "--store", str(work / "large.db"), "--take"],
                           check=True, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
        rows = len(ponds) * len(seasons) * WARM[1] * 288
        print(f"\n{rows:,} logger readings of {len(ponds)} ponds written and taken within {time.perf_counter() - begun:.0f} s")
        served = Served(asked.program, work / "large.db", farm)
        begun = time.perf_counter()
        typed = type_in(served, "many-ponds", ponds, seasons)
        print(f"{typed:,} typed readings sent within {time.perf_counter() - begun:.0f} s")
        print(f"the file: {(work / 'large.db').stat().st_size / 1e6:.0f} MB")
        served.end()
        served = Served(asked.program, work / "large.db", farm)
        print(f"first answer after {served.wait_for_answer('many-ponds'):.1f} s")
        measure(served, f"{len(ponds)} ponds, {len(seasons)} seasons", paths("many-ponds", ponds[0]), ("/f/many-ponds/log/new", entry(ponds[0])))
        served.end()
    finally:
        shutil.rmtree(work, ignore_errors=True)


main()
