"""Compares a run with the traces, findings and events another program has written for the same scenario.

Usage: compare.py SCENARIO.toml TRACE.csv FINDINGS.json [lsoda|radau]
"""

import csv
import json
import sys

from findings import findings
from integrate import Run
from scenario import read


def departures(mine, theirs):
    """For each channel the largest difference over its greatest size, when, and when it first exceeds a thousandth."""
    result = []
    for name in mine[0]:
        if name not in theirs[0]:
            result.append((name, None, None, None))
            continue
        pairs = [(a["time_s"], a[name], float(b[name])) for a, b in zip(mine, theirs)]
        size = max(max(abs(a), abs(b)) for _, a, b in pairs) or 1.0
        worst = max(pairs, key=lambda pair: abs(pair[1] - pair[2]))
        first = next((t for t, a, b in pairs if abs(a - b) > 1e-3 * size), None)
        result.append((name, abs(worst[1] - worst[2]) / size, worst[0], first))
    return result


def main(scenario, trace, other, stepper="lsoda"):
    run = Run(read(scenario), stepper).go()
    with open(trace) as file:
        theirs = list(csv.DictReader(file))
    with open(other) as file:
        report = json.load(file)
    print(scenario, len(run.trace), len(theirs))
    for name, value in findings(run).items():
        their = report["findings"].get(name)
        if value is None or their is None:
            if value != their:
                print("  finding", name, value, their)
            continue
        relative = abs(value - their) / max(abs(their), 1e-12)
        print(f"  finding {name:20} {value:14.9g} {their:14.9g} {relative:9.2e}", "  <---" if relative > 1e-3 else "")
    left = [(event["kind"], event["time_s"]) for event in report["events"]]
    for time, name in sorted(run.events):
        near = [pair for pair in left if pair[0] == name]
        if not near:
            print("  event", name, time, "missing there")
            continue
        pair = min(near, key=lambda pair: abs(pair[1] - time))
        left.remove(pair)
        difference = (time - pair[1]) * 1e3
        print(f"  event {name:20} {time:12.7f} {pair[1]:12.7f} {difference:9.4f} ms", "  <---" if abs(difference) > 0.5 else "")
    for pair in left:
        print("  event", *pair, "missing here")
    for name, size, when, first in departures(run.trace, theirs):
        if size is None:
            print("  channel", name, "missing there")
        elif size > 1e-6:
            print(f"  channel {name:26} {size:9.2e} at {when:6.3f}", "" if first is None else f" first over 1e-3 at {first:.3f}")
    return run


if __name__ == "__main__":
    main(*sys.argv[1:])
