"""Puts the states of another program's trace into these equations: do its other channels and its progress follow?

Usage: check_trace.py SCENARIO.toml TRACE.csv

Two tables: (1) channels that are functions of the states, largest difference; (2) states, largest difference between
their step over two samples and Simpson's rule over these equations' rates at the three samples. A difference in (1) is
a difference of equations; one in (2), away from jumps, that is not also there in this implementation's own trace (last
column) is a difference of rates or an error of integration.
"""

import csv
import sys

import integrate
import model
from pedal import corners
from scenario import read

R = 287.05


def states_of(bench, row):
    """States as far as the trace shows them."""
    s, state = bench.settings, [0.0] * model.COUNT
    surface = s.bowl.surface
    state[model.PLENUM] = row["plenum_pa"]
    state[model.OMEGA] = row["engine_rad_per_s"]
    state[model.ROAD] = row["road_m_per_s"]
    state[model.DISTANCE] = row["distance_m"]
    state[model.FILM] = row["film_kg"]
    state[model.AIRBORNE] = row["cylinder_fuel_kg_per_s"] / (row["engine_rad_per_s"] / 3.141592653589793)
    state[model.WELL1] = row["primary_well"] * bench.main1.well
    state[model.WELL2] = row["secondary_well"] * bench.main2.well
    state[model.JET1] = row["primary_main_kg_per_s"] / bench.fuel.density
    state[model.JET2] = row["secondary_main_kg_per_s"] / bench.fuel.density
    state[model.BOWL1] = row["primary_bowl_drop_m"] * surface
    state[model.BOWL2] = row["secondary_bowl_drop_m"] * surface
    state[model.PLUNGER1] = row["pump_plunger"] * bench.pumps[0].stroke
    if len(bench.pumps) > 1:
        state[model.PLUNGER2] = row["second_pump_plunger"] * bench.pumps[1].stroke
    temperature = s.ambient.temperature
    if "diaphragm_travel" in row:
        state[model.PLACE], state[model.SPEED] = row["diaphragm_travel"], row["diaphragm_speed"]
        pressure = bench.ambient - row["chamber_depression"]
        state[model.CHAMBER] = pressure * bench.family.volume(state[model.PLACE]) / (R * temperature)
    if "door_angle" in row:
        state[model.PLACE], state[model.SPEED] = row["door_angle"], row.get("door_speed", 0.0)
    if "brake_pressure" in row:
        state[model.CHAMBER] = row["brake_pressure"] * bench.family.volume(row["brake_travel"]) / (R * temperature)
    return state


def modes_of(row, state):
    modes = model.Modes()
    modes.released = True
    modes.well = ["spilling" if row[k] != 0 else "filling" for k in ("primary_main_kg_per_s", "secondary_main_kg_per_s")]
    modes.pump = ["squeezed" if a > b + 1e-9 else "refills" if b > a + 1e-9 else "follows"
                  for a, b in ((row["pump_lever"], row["pump_plunger"]),
                               (row["second_pump_lever"], row["second_pump_plunger"]))]  # fmt: skip
    modes.part = "rising" if state[model.SPEED] > 0 else "falling" if state[model.SPEED] < 0 else "held"
    return modes


def follow(bench, rows):
    """For each row the channels and the rates that these equations give."""
    pieces = bench.link.pieces(corners(bench.settings.pedal))
    found = []
    for row in rows:
        time = row["time_s"]
        piece = next((p for p in pieces if time <= p.end + 1e-9), pieces[-1])
        state = states_of(bench, row)
        modes = modes_of(row, state)
        now = bench.at(time, state, modes, piece)
        found.append((state, now, integrate.channels(bench, now, state), modes))
    return found


def steps(found):
    """Step over two samples less Simpson's rule, for states whose modes stay."""
    worst = {}
    names = [n for n in model.NAMES if n not in ("AIR_IN", "AIR_OUT", "NEEDLE", "CYLINDERS", "DISTANCE")]
    for a, b, c in zip(found, found[1:], found[2:]):
        if not a[3].well == b[3].well == c[3].well or not a[3].pump == b[3].pump == c[3].pump or not a[3].part == b[3].part == c[3].part:
            continue
        for name in names:
            k = getattr(model, name)
            integral = 0.002 / 3 * (a[1].rates[k] + 4 * b[1].rates[k] + c[1].rates[k])
            error = c[0][k] - a[0][k] - integral
            if name not in worst or abs(error) > abs(worst[name][0]):
                worst[name] = (error, b[1].time, c[0][k] - a[0][k], integral)
    return worst


def main(scenario, trace):
    run = integrate.Run(read(scenario)).go()
    bench = run.bench
    with open(trace) as file:
        rows = [{k: float(v) for k, v in row.items()} for row in csv.DictReader(file)]
    found = follow(bench, rows)
    for name in found[0][2]:
        size = max(abs(row[name]) for row in rows) or 1.0
        value, time = max((abs(f[2][name] - row[name]), row["time_s"]) for f, row in zip(found, rows))
        if value > 1e-7 * size:
            print(f"  channel {name:28} {value / size:9.2e} at {time:.3f}")
    theirs, own = steps(found), steps(follow(bench, run.trace))
    for name, (error, time, step, integral) in theirs.items():
        size = max(abs(f[0][getattr(model, name)]) for f in found) or 1.0
        print(f"  step {name:10} {error / size:10.2e} at {time:.3f} (step {step:.6g}, rates give {integral:.6g}); "
              f"own trace {own[name][0] / size:10.2e} at {own[name][1]:.3f}")  # fmt: skip


if __name__ == "__main__":
    main(*sys.argv[1:])
