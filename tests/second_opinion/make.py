"""Runs scenario files and writes findings.csv, events.csv and ratings.csv beside this script.

Usage: make.py [SCENARIO.toml …]; without arguments the scenarios that come with the program
and those in scenarios/, which exercise what the former do not.
SI units, nine digits; a finding without a value has an empty field.
"""

import csv
import sys
import time
from pathlib import Path

from findings import findings
from integrate import Run
from ratings import rated_flow, top_end
from scenario import read

HERE = Path(__file__).resolve().parent
SHIPPED = HERE.parent.parent / "content" / "scenarios"
OWN = HERE / "scenarios"


def digits(value):
    return "" if value is None else f"{float(value):.9g}"


def write(name, head, rows):
    with open(HERE / name, "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(head)
        writer.writerows(rows)


def main(paths):
    found, events, ratings = [], [], []
    for path in paths:
        begin = time.perf_counter()
        settings = read(path)
        run = Run(settings).go()
        found += [(path.stem, name, digits(value)) for name, value in findings(run).items()]
        stall = min((at for at, name in run.events if name == "stalls"), default=float("inf"))
        events += [
            (path.stem, name, digits(at))
            for at, name in sorted(run.events)
            if at <= stall or not name.startswith(("lean_", "rich_"))
        ]
        rated = rated_flow(settings) | top_end(settings)
        ratings += [(path.stem, name, digits(value)) for name, value in rated.items()]
        air, fuel = run.closure
        print(f"{path.stem}: {time.perf_counter() - begin:.1f} s; closure {air:.1e} air, {fuel:.1e} fuel", flush=True)
    write("findings.csv", ("scenario", "finding", "value"), found)
    write("events.csv", ("scenario", "event", "time_s"), events)
    write("ratings.csv", ("scenario", "rating", "value"), ratings)


if __name__ == "__main__":
    main([Path(name) for name in sys.argv[1:]] or [*sorted(SHIPPED.glob("*.toml")), *sorted(OWN.glob("*.toml"))])
