"""Scenario files (equations.md, section 1): units, defaults, and a reader that gives SI numbers."""

import math
import re
import tomllib
from types import SimpleNamespace

POUND = 0.45359237
POUND_FORCE = POUND * 9.80665
INCH = 0.0254

UNITS = {
    "m": 1, "mm": 1e-3, "cm": 1e-2, "in": INCH, "thou": 2.54e-5, "ft": 0.3048,
    "rad": 1, "°": math.pi / 180, "deg": math.pi / 180,
    "m²": 1, "cm²": 1e-4, "mm²": 1e-6, "in²": 6.4516e-4, "thou²": 6.4516e-10, "ft²": 0.3048**2,
    "m³": 1, "L": 1e-3, "cm³": 1e-6, "cc": 1e-6, "cm³/s": 1e-6, "in³": INCH**3, "cid": INCH**3,
    "Pa": 1, "kPa": 1e3, "inHg": 3386.389, "inH₂O": 249.0889, "mbar": 100, "psi": POUND_FORCE / INCH**2,
    "rpm": math.pi / 30, "r/min": math.pi / 30, "rad/s": 1,
    "s": 1, "ms": 1e-3, "%": 0.01, "K": 1,
    "mPa·s": 1e-3, "cP": 1e-3, "Pa·s": 1,
    "kg": 1, "g": 1e-3, "lb": POUND, "oz": POUND / 16,
    "N": 1, "lbf": POUND_FORCE, "ozf": POUND_FORCE / 16,
    "N/m": 1, "ozf/in": POUND_FORCE / 16 / INCH, "lbf/in": POUND_FORCE / INCH,
    "N·m": 1, "lbf·ft": POUND_FORCE * 0.3048, "mN·m": 1e-3, "mN·m·s": 1e-3, "mN·m/rad": 1e-3,
    "ozf·in": POUND_FORCE / 16 * INCH, "ozf·in/turn": POUND_FORCE / 16 * INCH / (2 * math.pi), "N·s/m": 1,
    "kg·m²": 1, "lb·ft²": POUND * 0.3048**2, "g·cm²": 1e-7, "oz·in²": POUND / 16 * INCH**2,
    "kg/m³": 1, "lb/gal": POUND / 3.785411784e-3,
}

BARREL = {
    "venturi": "32.5 mm", "bore": "42.9 mm", "shaft_ratio": 0.2, "closed": "8 °", "wide_open": "87 °",
    "throat_coefficient": 0.9, "venturi_loss": 0.55, "plate_coefficient": 0.85, "booster_gain": 2.4,
    "main_jet": "1.42 mm", "lip": "6 mm", "refill": "0.35 cm³", "passage_length": "45 mm",
    "passage_bore": "2.6 mm", "nozzle": "3.6 mm", "air_bleed": "0.6 mm",
}
PUMP = {
    "shot": "1.6 cm³", "shooter": "0.65 mm", "spring_preload": "1.2 N", "spring_rate": "800 N/m",
    "cylinder": "18 mm", "inlet": "1.6 mm", "return": "1500 Pa", "profile": "b",
}

# Section 1.1.
DEFAULTS = {
    "pedal": {
        "rest": "8 %", "floor": "100 %", "begin": "0.25 s", "stab": "120 ms", "hold": "0 s", "off": "0.3 s",
        "length": "2.5 s",
    },
    "engine": {
        "displacement": "4.6 L", "efficiency_peak": "87 %", "efficiency_speed": "3200 rpm",
        "efficiency_width": 0.40, "manifold": "4.0 L", "charge": "46.85 °C", "wall": "76.85 °C",
        "efficiency_indicated": "37 %", "inertia": "0.22 kg·m²", "friction_scale": 1, "top_speed": "4800 rpm",
    },
    "load": {
        "kind": "vehicle", "start": "1500 rpm", "mass": "1450 kg", "gear": 2.2, "axle": 3.36, "tyre": "330 mm",
        "drag_area": "0.9 m²", "rolling": 0.014, "coupling": "clutch", "stall": "1800 rpm",
        "stall_torque": "300 N·m",
    },
    "primary": BARREL,
    "secondary": BARREL | {"main_jet": "1.71 mm"},
    "linkage": {"starts": "40 °", "progression": 1},
    "pump": PUMP,
    "idle": {
        "feed": "0.36 mm", "bleed": "2.2 mm", "screw": "1.25 mm", "slot_length": "4.5 mm",
        "slot_width": "0.3 mm", "slot_below": "0.4 mm", "curb": "3 °", "lift": "12 mm",
    },
    "enrichment": {"opens_below": "20.318 kPa", "over": "5 kPa", "extra_area": "32 %"},
    "leak": {"area": "0 mm²"},
    "bowl": {"surface": "28 cm²", "needle": "12 cm³/s", "float_travel": "3 mm", "depth": "38 mm"},
    "fuel": {"density": "740 kg/m³", "viscosity": "0.5 mPa·s", "ethanol": "0 %"},
    "ambient": {"altitude": "0 m", "temperature": "25 °C", "cleaner": "90 cm²"},
    "film": {
        "share_base": 0.15, "share_per_pressure": 0.50, "time_base": "0.15 s", "time_per_pressure": "0.35 s",
        "cold_share": 0.35, "cold_time": 60,
    },
}

# Section 1.2.
DOOR = {
    "length": "60 mm", "width": "70 mm", "thickness": "1.6 mm", "offset": "9 mm", "open": "1.38 rad",
    "leak": "0.6 cm²", "coefficient": 0.75, "torque_open_share": 0.35, "inertia": "150 g·cm²",
    "friction": "0.4 mN·m", "viscous": "0.15 mN·m·s",
}
WEIGHT_DOOR = DOOR | {"thickness": "4.0 mm", "open": "1.25 rad", "inertia": "250 g·cm²"}
BRAKE = {
    "brake_area": "6.0 cm²", "brake_travel": "9 mm", "brake_arm": "8 mm", "brake_preload": "9.0 N",
    "brake_rate": "400 N/m", "brake_orifice": "0.40 mm", "brake_check": "1.5 mm", "brake_volume": "12 cm³",
}
FAMILIES = {
    "bare_link": {},
    "twin_pump": PUMP | {"profile": "a"},
    "vacuum_diaphragm": {
        "spring_preload": "1.8 N", "spring_rate": "180 N/m", "area": "16 cm²", "stroke": "20 mm",
        "restriction": "0.76 mm", "check_ball": "fitted", "return": "2.0 mm", "dead": "15 cm³", "mass": "60 g",
        "friction": "0.12 N", "viscous": "2.0 N·s/m", "plate_offset": "0.3 mm",
    },
    "counterweighted_door": WEIGHT_DOOR | {
        "mass": "60 g", "arm": "22 mm", "ahead": "20 °", "notch_share": "25 %", "area_factor": 0.85,
    },
    "spring_door": DOOR | {"wind_up": "7.0 rad", "spring_rate": "1.5 mN·m/rad", "area_factor": 0.85},
    "damped_lifted_rods": DOOR | BRAKE | {
        "wind_up": "7.0 rad", "spring_rate": "1.5 mN·m/rad", "rods_shut_share": "72 %", "rods_half_share": "90 %",
        "rods_open_share": "105 %",
    },
    "damped_fixed_jets": DOOR | BRAKE | {"wind_up": "8.0 rad", "spring_rate": "1.5 mN·m/rad", "area_factor": 1.25},
    "weighted_valve": DOOR | {
        "length": "52 mm", "width": "88 mm", "thickness": "3.0 mm", "open": "1.25 rad", "mass": "200 g",
        "arm": "26 mm", "ahead": "20 °",
    },
}

NUMBER = re.compile(r"\s*([-+]?[0-9][0-9,]*\.?[0-9]*(?:[eE][-+]?[0-9]+)?|[-+]?\.[0-9]+)\s*(\S.*?)\s*$")


def quantity(value):
    """The SI value of a number with a unit, a bare number as it is, a word as it is."""
    if not isinstance(value, str):
        return float(value)
    match = NUMBER.match(value)
    if match is None:
        return value
    number, unit = float(match.group(1)), match.group(2)
    if unit == "°C":
        return number + 273.15
    if unit == "°F":
        return (number - 32) * 5 / 9 + 273.15
    return number * UNITS[unit]


def group(defaults, given, name):
    """A group of settings with the defaults for what is not given; unknown keys are an error."""
    unknown = set(given) - set(defaults)
    if unknown:
        raise KeyError(f"{name}: {sorted(unknown)}")
    return SimpleNamespace(**{key: quantity(given.get(key, default)) for key, default in defaults.items()})


def read(path):
    """All settings of a scenario file as nested names."""
    with open(path, "rb") as file:
        return from_tables(tomllib.load(file))


def from_tables(tables):
    family = dict(tables["family"])
    kind = family.pop("kind")
    settings = {name: group(defaults, tables.get(name, {}), name) for name, defaults in DEFAULTS.items()}
    settings["family"] = group(FAMILIES[kind], family, "family")
    return SimpleNamespace(kind=kind, **settings)
