"""Ratings of a carburettor (equations.md, section 19)."""

import copy
from types import SimpleNamespace

from air import AirPath
from families import BrakedDoor, SpringDoor
from fuel import plate_area
from integrate import Run
from model import Bench

PRESSURE = 101325.0
TEMPERATURE = 298.15
DENSITY = PRESSURE / (287.05 * TEMPERATURE)
PLENUM = PRESSURE - 1.5 * 3386.389


def open_path(barrel, flap):
    """A side with a cleaner of 1 m² of its own and the plate at its stop."""
    return AirPath(barrel, 2.0, PRESSURE, TEMPERATURE, flap), plate_area(barrel, barrel.wide_open)


def rated_flow(settings):
    """Volume flow with and without the flap, and where the flap stands."""
    family = Bench(settings).family
    path1, plate1 = open_path(settings.primary, None)
    bare, plate2 = open_path(settings.secondary, None)
    first = path1.solve(PLENUM, plate1).flow
    without = (first + bare.solve(PLENUM, plate2).flow) / DENSITY
    if not family.flap:
        return {"flow_m3_per_s": without, "without_device_m3_per_s": without, "opening": 1.0}
    path2, plate2 = open_path(settings.secondary, family.flap)

    def force(opening):
        place = opening * settings.family.open
        air = path2.solve(PLENUM, plate2, family.gap(place), 0.0)
        now = SimpleNamespace(place=place, acceleration=0.0, air2=air)
        closing = SpringDoor.closing(family, now, 0.0) if isinstance(family, BrakedDoor) else family.closing(now, 0.0)
        return family.drop(now) * family.arm(place) - closing

    if force(1.0) >= 0:
        opening = 1.0
    elif force(0.0) < 0:
        opening = min((0.0, 1.0), key=lambda place: abs(force(place)))
    else:
        low, high = 0.0, 1.0
        for _ in range(100):
            middle = 0.5 * (low + high)
            if force(middle) > 0:
                low = middle
            else:
                high = middle
        opening = 0.5 * (low + high)
    second = path2.solve(PLENUM, plate2, family.gap(opening * settings.family.open), 0.0).flow
    return {"flow_m3_per_s": (first + second) / DENSITY, "without_device_m3_per_s": without, "opening": opening}


def top_end(settings):
    """Mean of the last 3 s on a dynamometer at top speed, and what the device costs of the air."""

    def held(kind, family):
        top = copy.deepcopy(settings)
        top.kind, top.family = kind, family
        top.load.kind, top.load.start = "dynamometer", top.engine.top_speed
        for key, value in dict(rest=0.9, floor=1.0, begin=0.05, stab=0.05, hold=0.0, length=6.0).items():
            setattr(top.pedal, key, value)
        rows = Run(top).go().trace[-1501:]
        names = "engine_air_kg_per_s", "torque_nm", "lambda"
        return {name: sum(0.5 * (a[name] + b[name]) for a, b in zip(rows, rows[1:])) / 1500 for name in names}

    row = held(settings.kind, settings.family)
    bare = row if settings.kind == "bare_link" else held("bare_link", SimpleNamespace())
    return {
        "air_kg_per_s": row["engine_air_kg_per_s"],
        "torque_nm": row["torque_nm"],
        "lambda": row["lambda"],
        "device_cost": 1 - row["engine_air_kg_per_s"] / bare["engine_air_kg_per_s"],
    }
