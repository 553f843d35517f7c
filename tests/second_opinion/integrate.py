"""Integration with all ends of modes located, trace and events (equations.md, sections 12, 13, 16 and 17)."""

import copy
import math
import warnings

import numpy
from scipy.integrate import LSODA, Radau

import parts
from model import AIR_IN, AIR_OUT, CYLINDERS, DISTANCE, NEEDLE, OMEGA, PLENUM, ROAD, TOLERANCES, Bench, Modes
from pedal import Piece, corners

SAMPLE = 0.002
RELATIVE = 1e-9
LEAD_IN = 1.5
STEPPERS = {"lsoda": LSODA, "radau": Radau}


def channels(bench, now, state):
    """The trace of one instant (section 16)."""
    s = bench.settings
    surface = s.bowl.surface
    density = bench.fuel.density
    plunger = [0.0, 0.0]
    lever = [0.0, 0.0]
    for index, pump in enumerate(bench.pumps):
        if pump.stroke > 0:
            plunger[index] = state[parts.PLUNGERS[index]] / pump.stroke
            lever[index] = now.lever[index] / pump.stroke
    row = {
        "time_s": now.time, "pedal": now.pedal, "primary_plate_rad": now.plate1, "secondary_plate_rad": now.plate2,
        "device_opening": now.opening, "plenum_pa": now.plenum, "primary_air_kg_per_s": now.air1.flow,
        "secondary_air_kg_per_s": now.air2.flow, "leak_kg_per_s": now.leak, "engine_air_kg_per_s": now.engine_air,
        "primary_throat_pa": now.air1.throat_depression, "secondary_throat_pa": now.air2.throat_depression,
        "primary_signal_pa": now.signal1, "secondary_signal_pa": now.signal2,
        "primary_throat_m_per_s": now.air1.throat_speed, "secondary_throat_m_per_s": now.air2.throat_speed,
        "primary_well": state[parts.WELL1] / bench.main1.well, "secondary_well": state[parts.WELL2] / bench.main2.well,
        "primary_main_kg_per_s": now.main[0], "secondary_main_kg_per_s": now.main[1],
        "idle_kg_per_s": density * now.idle, "pump_kg_per_s": density * now.shot[0],
        "second_pump_kg_per_s": density * now.shot[1], "pump_plunger": plunger[0], "pump_lever": lever[0],
        "second_pump_plunger": plunger[1], "second_pump_lever": lever[1], "slot_share": now.slot,
        "enrichment_lift": now.enrichment, "primary_bowl_drop_m": state[9] / surface,
        "secondary_bowl_drop_m": state[13] / surface, "film_kg": state[4], "port_fuel_kg_per_s": now.port_fuel,
        "cylinder_fuel_kg_per_s": now.cylinder_fuel, "lambda": now.lam, "mixture_share": now.mixture,
        "torque_nm": now.torque, "ideal_torque_nm": now.ideal_torque, "engine_rad_per_s": now.omega,
        "road_m_per_s": now.road, "distance_m": now.distance, "acceleration_m_per_s2": now.acceleration,
    }  # fmt: skip
    if bench.family.moves:
        row |= bench.family.channels(now)
    return row


def monitors(bench, now, state):
    """An event happens when its monitor becomes positive (section 17)."""
    fuel1, fuel2 = now.main[0] - 1e-7, now.main[1] - 1e-7
    values = {
        "primary_wide_open": now.pedal - 0.999,
        "secondary_air": now.air2.flow - 0.10 * now.engine_air - 1e-5,
        "secondary_fuel": fuel2, "secondary_fuel_fails": -fuel2,
        "primary_fuel": fuel1, "primary_fuel_fails": -fuel1,
        "device_starts": now.opening - 0.02, "device_open": now.opening - 0.98,
        "enrichment_opens": now.enrichment - 0.5, "stalls": 36 - now.omega,
        "lean_limit": now.lam - 1.25, "lean_over": 1.25 - now.lam,
        "rich_limit": 0.62 - now.lam, "rich_over": now.lam - 0.62,
    }  # fmt: skip
    for index, (name, pump) in enumerate(zip(("pump_empty", "second_pump_empty"), bench.pumps)):
        share = state[parts.PLUNGERS[index]] / pump.stroke if pump.stroke > 0 else 0.0
        values[name] = share - 0.98
    return values


class Run:
    """One run of a scenario: lead-in, release, pieces of the pedal, samples, events."""

    def __init__(self, settings, stepper="lsoda"):
        self.bench = Bench(settings)
        self.stepper = STEPPERS[stepper]
        self.modes = Modes()
        self.trace = []
        self.events = []
        self.changes = []
        self.instants = []  # time, lambda and mixture share where a mode changes
        self.index = 0
        self.seen = None
        self.recording = False

    def go(self):
        bench = self.bench
        points = corners(bench.settings.pedal)
        self.samples = [k * SAMPLE for k in range(int(math.floor(points[-1][0] / SAMPLE + 0.5)) + 1)]
        rest = Piece(-LEAD_IN, 0.0, points[0][1], 0.0, False, True)
        state = bench.first_state(rest, self.modes)
        parts.settle(bench, self.looker(rest.begin, state, rest), state, self.modes)
        state = self.piece(rest, state)
        now = bench.at(0.0, state, self.modes, rest)
        state[ROAD] = bench.load.release(now.torque, state[OMEGA])
        state[DISTANCE] = state[AIR_IN] = state[AIR_OUT] = state[NEEDLE] = state[CYLINDERS] = 0.0
        self.modes.released = True
        first = list(state)
        self.recording = True
        self.sample(0.0, state, rest)
        before = rest
        for piece in bench.link.pieces(points):
            look = self.looker(piece.begin, state, piece)
            if piece.corner:
                old = bench.at(piece.begin, state, self.modes, before)
                parts.corner(bench, look, old.upper_speed, state, self.modes)
            parts.settle(bench, look, state, self.modes)
            self.jump(look(), state)
            state = self.piece(piece, state)
            before = piece
        self.closure = self.balances(first, state)
        return self

    def looker(self, time, state, piece):
        return lambda: self.bench.at(time, state, self.modes, piece)

    def piece(self, piece, state):
        """Integrates a piece of the pedal with all changes of modes in it."""
        time = piece.begin
        while piece.end - time > 1e-12:
            time, state = self.stretch(time, piece, state)
        return state

    def stretch(self, begin, piece, state):
        """Integrates until a mode ends or the piece does; changes modes there."""
        bench, modes = self.bench, self.modes

        def rates(time, y):
            return bench.at(time, y.tolist(), modes, piece).rates

        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            solver = self.stepper(
                rates, begin, numpy.array(state), piece.end, rtol=RELATIVE, atol=TOLERANCES, max_step=SAMPLE,
                first_step=min(1e-6, (piece.end - begin) / 2),
            )  # fmt: skip
            steps = []
            while True:
                message = solver.step()
                if solver.status == "failed":
                    raise RuntimeError(message)
                dense = solver.dense_output()
                y = solver.y.tolist()
                if parts.any_end(bench, bench.at(solver.t, y, modes, piece), y, modes):
                    end = self.locate(solver.t_old, solver.t, dense, piece)
                    y = dense(end).tolist()
                    steps.append((end, dense))
                    self.record(begin, end, steps, piece)
                    look = self.looker(end, y, piece)
                    old = copy.deepcopy(modes)
                    parts.settle(bench, look, y, modes)
                    self.note(end, old)
                    self.jump(look(), y)
                    if self.recording:
                        now = look()
                        self.instants.append((end, now.lam, now.mixture))
                    return end, y
                steps.append((solver.t, dense))
                if solver.status == "finished":
                    self.record(begin, piece.end, steps, piece)
                    return piece.end, y

    def note(self, time, old):
        new = self.modes
        for name in ("well", "pump", "part", "stalled"):
            if getattr(old, name) != getattr(new, name):
                self.changes.append((time, name, getattr(old, name), getattr(new, name)))

    def locate(self, low, high, dense, piece):
        """The first instant in a step at which a mode has ended."""
        while high - low > 1e-12:
            middle = 0.5 * (low + high)
            if middle in (low, high):
                break
            y = dense(middle).tolist()
            if parts.any_end(self.bench, self.bench.at(middle, y, self.modes, piece), y, self.modes):
                high = middle
            else:
                low = middle
        return high

    def record(self, begin, end, steps, piece):
        """Samples and crossings of monitors over a stretch without a change of mode."""
        if not self.recording:
            return
        position = 0

        def state_at(time):
            nonlocal position
            if time < (steps[position - 1][0] if position else begin):
                position = 0
            while position < len(steps) - 1 and steps[position][0] < time:
                position += 1
            return steps[position][1](time).tolist()

        last = begin
        while True:
            is_sample = self.index < len(self.samples) and self.samples[self.index] <= end + 1e-9
            time = min(self.samples[self.index], end) if is_sample else end
            state = state_at(time)
            now = self.bench.at(time, state, self.modes, piece)
            values = monitors(self.bench, now, state)
            for name, value in values.items():
                if value > 0 and self.seen[name] <= 0:
                    self.events.append((self.cross(name, last, time, state_at, piece), name))
            self.seen = values
            last = time
            if is_sample:
                self.trace.append(channels(self.bench, now, state) | {"time_s": self.samples[self.index]})
                self.index += 1
            elif time >= end:
                return

    def cross(self, name, low, high, state_at, piece):
        while high - low > 1e-9:
            middle = 0.5 * (low + high)
            state = state_at(middle)
            if monitors(self.bench, self.bench.at(middle, state, self.modes, piece), state)[name] > 0:
                high = middle
            else:
                low = middle
        return high

    def sample(self, time, state, piece):
        now = self.bench.at(time, state, self.modes, piece)
        self.trace.append(channels(self.bench, now, state))
        self.seen = monitors(self.bench, now, state)
        self.index = 1

    def jump(self, now, state):
        """Events at a change of mode."""
        if not self.recording:
            return
        values = monitors(self.bench, now, state)
        for name, value in values.items():
            if value > 0 and self.seen[name] <= 0:
                self.events.append((now.time, name))
        self.seen = values

    def balances(self, first, last):
        """Closure of air and fuel (section 16)."""
        engine = self.bench.settings.engine
        stored = (last[PLENUM] - first[PLENUM]) * engine.manifold / (287.05 * engine.charge)
        air = (last[AIR_IN] - last[AIR_OUT] - stored) / max(abs(last[AIR_IN]), 1e-6)
        held = self.bench.stored_fuel(last) - self.bench.stored_fuel(first)
        fuel = (last[NEEDLE] - last[CYLINDERS] - held) / max(last[NEEDLE], last[CYLINDERS], 1e-6)
        return air, fuel
