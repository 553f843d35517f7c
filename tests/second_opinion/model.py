"""All equations of one instant: from states and modes to every quantity and every rate."""

import math
from types import SimpleNamespace

from air import CRITICAL_RATIO, R, AirPath, chamber_flow
from engine import Engine, Film, Load, mixture_share
from families import KINDS
from fuel import Fuel, Idle, MainCircuit, Pump, circle, edge_rise, plate_area
from pedal import Link

# States (section 12), then four running sums for the closure of section 16.
NAMES = (
    "PLENUM OMEGA ROAD DISTANCE FILM AIRBORNE PLUNGER1 WELL1 JET1 BOWL1 PLUNGER2 WELL2 JET2 BOWL2 PLACE SPEED CHAMBER "
    "AIR_IN AIR_OUT NEEDLE CYLINDERS"
).split()
for _index, _name in enumerate(NAMES):
    globals()[_name] = _index
COUNT = len(NAMES)
# Absolute tolerances in the same order.
TOLERANCES = [
    1e-5, 1e-9, 1e-10, 1e-9, 1e-13, 1e-13, 1e-11, 1e-14, 1e-14, 1e-13, 1e-11, 1e-14, 1e-14, 1e-13, 1e-10, 1e-8, 1e-14,
    1e-10, 1e-10, 1e-11, 1e-12,
]  # fmt: skip


def ambient_pressure(altitude):
    """US Standard Atmosphere 1976 (section 2)."""
    height = 6356766 * altitude / (6356766 + altitude)
    exponent = 9.80665 * 0.0289644 / (8.31432 * 0.0065)
    return 101325 * (1 - 0.0065 * height / 288.15) ** exponent


class Modes:
    """The discrete state."""

    def __init__(self):
        self.well = ["filling", "filling"]
        self.pump = ["follows", "follows"]
        self.part = "at lower"
        self.stalled = False
        self.released = False


class Bench:
    """A scenario made ready: constants, and the equations of an instant."""

    def __init__(self, settings):
        self.settings = settings
        self.ambient = ambient_pressure(settings.ambient.altitude)
        self.temperature = settings.ambient.temperature
        air_density = self.ambient / (R * self.temperature)
        self.root = math.sqrt(R * self.temperature)
        self.link = Link(settings)
        self.family = KINDS[settings.kind](settings)
        cleaner = settings.ambient.cleaner
        self.path1 = AirPath(settings.primary, cleaner, self.ambient, self.temperature)
        self.path2 = AirPath(settings.secondary, cleaner, self.ambient, self.temperature, self.family.flap)
        self.fuel = Fuel(settings.fuel, air_density)
        self.main1 = MainCircuit(settings.primary, self.fuel)
        self.main2 = MainCircuit(settings.secondary, self.fuel)
        self.idle = Idle(settings.idle, self.fuel)
        self.pumps = [Pump(settings.pump, self.fuel)]
        if settings.kind == "twin_pump":
            self.pumps.append(Pump(settings.family, self.fuel))
        self.engine = Engine(settings.engine, self.ambient)
        self.film = Film(settings.film, settings.engine.wall)
        self.load = Load(settings.load, settings.engine.inertia, air_density)

    def secondary_air(self, plenum, place, speed, link):
        barrel, family = self.settings.secondary, self.family
        share = family.plate_share(place, link)
        angle = barrel.closed + (barrel.wide_open - barrel.closed) * share
        gap = sweep = 0.0
        if family.flap:
            gap = family.gap(place)
            sweep = family.arm(place) * speed
        return angle, self.path2.solve(plenum, plate_area(barrel, angle), gap, sweep)

    def primary_air(self, plenum, pedal):
        barrel, curb = self.settings.primary, self.settings.idle.curb
        angle = barrel.closed + curb + (barrel.wide_open - barrel.closed - curb) * pedal
        return angle, self.path1.solve(plenum, plate_area(barrel, angle))

    def leak(self, plenum):
        """Air past the plates (section 4.5)."""
        area = self.settings.leak.area
        return chamber_flow(self.ambient, plenum, area, self.root) if area > 0 else 0.0

    def part_speed(self, state, modes, upper_speed):
        if modes.part in ("rising", "falling"):
            return state[SPEED]
        return upper_speed if modes.part == "at upper" else 0.0

    def at(self, time, state, modes, piece):
        """Everything at an instant; rates in the order of the states."""
        settings, family, fuel = self.settings, self.family, self.fuel
        now = SimpleNamespace(time=time, ambient=self.ambient, root=self.root)
        now.pedal = pedal = piece.share(time)
        now.link = self.link.share(pedal)
        now.link_rate = self.link.rate(pedal, piece.slope, piece.link_moves)
        plenum, omega = state[PLENUM], state[OMEGA]
        now.plenum, now.omega, now.road, now.distance = plenum, omega, state[ROAD], state[DISTANCE]
        now.place = place = state[PLACE]
        now.upper, now.upper_speed = family.upper(now.link, now.link_rate) if family.moves else (0.0, 0.0)
        now.speed = speed = self.part_speed(state, modes, now.upper_speed) if family.moves else 0.0

        # Air (section 4).
        now.plate1, now.air1 = self.primary_air(plenum, pedal)
        now.plate2, now.air2 = self.secondary_air(plenum, place, speed, now.link)
        now.leak = self.leak(plenum)
        now.engine_air = self.engine.air(plenum, omega)
        vacuum = self.ambient - plenum

        # Fuel (sections 5 to 8).
        now.opening = family.opening(place)
        enrichment = settings.enrichment
        now.enrichment = min(max((enrichment.opens_below - vacuum) / enrichment.over, 0.0), 1.0)
        now.signal1 = self.main1.gain * now.air1.throat_depression
        drop = now.air2.drop_above
        now.signal2 = family.signal(self.main2.gain, now.air2.throat_depression, drop, now.opening)
        factor1 = 1 + enrichment.extra_area * now.enrichment
        factor2 = family.area_factor(now.opening)
        now.slot = self.idle.slot_share(edge_rise(settings.primary, now.plate1))
        now.idle = self.idle.flow(vacuum, (1 - CRITICAL_RATIO) * self.ambient, now.slot)
        surface, needle = settings.bowl.surface, settings.bowl.needle
        bowl_travel = surface * settings.bowl.float_travel
        rates = [0.0] * COUNT
        now.main, now.shot, now.lever, now.lever_speed, refill = [0.0] * 2, [0.0] * 2, [0.0] * 2, [0.0] * 2, [0.0] * 2
        for index, pump in enumerate(self.pumps):
            turn, rate = (pedal, piece.slope) if index == 0 else (now.link, now.link_rate)
            plunger = PLUNGER1 if index == 0 else PLUNGER2
            lever, lever_speed = pump.lever(turn), pump.lever_speed(turn, rate)
            now.lever[index], now.lever_speed[index] = lever, lever_speed
            if pump.stroke > 0:
                rates[plunger] = pump.plunger_speed(modes.pump[index], state[plunger], lever, lever_speed)
            now.shot[index] = pump.area * max(rates[plunger], 0.0)
            refill[index] = pump.area * max(-rates[plunger], 0.0)
        sides = (
            (self.main1, now.signal1, factor1, WELL1, JET1, BOWL1, now.idle),
            (self.main2, now.signal2, factor2, WELL2, JET2, BOWL2, 0.0),
        )
        for index, (main, signal, factor, well, jet, bowl, idle) in enumerate(sides):
            spills = modes.well[index] == "spilling"
            rates[well] = 0.0 if spills else state[jet]
            rates[jet] = main.flow_rate(signal, factor, state[well], state[jet], state[bowl] / surface)
            fill = needle * min(max(state[bowl] / bowl_travel, 0.0), 1.0)
            rates[bowl] = state[jet] + idle + refill[index] - fill
            rates[NEEDLE] += fuel.density * fill
            now.main[index] = fuel.density * state[jet] if spills else 0.0

        # Film and engine (sections 9 and 10).
        now.port_fuel = now.main[0] + now.main[1] + fuel.density * (now.idle + now.shot[0] + now.shot[1])
        share, film_time = self.film.share(plenum), self.film.time(plenum)
        turns = max(omega, 0.0) / math.pi
        leaves = state[FILM] / film_time
        now.film_share, now.film_time, now.turns = share, film_time, turns
        now.cylinder_fuel = turns * state[AIRBORNE]
        rates[FILM] = share * now.port_fuel - leaves
        rates[AIRBORNE] = (1 - share) * now.port_fuel + leaves - now.cylinder_fuel
        rates[CYLINDERS] = now.cylinder_fuel
        richness = fuel.ratio * now.cylinder_fuel / now.engine_air if now.engine_air > 1e-7 else 0.0
        now.richness = richness
        now.lam = 9.99 if richness <= 1 / 9.99 else 1 / richness
        now.mixture = 0.0 if modes.stalled else mixture_share(richness)
        now.torque, now.ideal_torque = self.engine.torques(plenum, omega, now.engine_air, now.mixture)
        now.acceleration = 0.0
        if modes.released:
            rates[OMEGA], now.acceleration = self.load.rates(now.torque, omega, now.road)
            rates[ROAD] = now.acceleration
            rates[DISTANCE] = now.road
        rates[PLENUM] = self.engine.plenum_rate * (now.air1.flow + now.air2.flow + now.leak - now.engine_air)
        rates[AIR_IN] = now.air1.flow + now.air2.flow + now.leak
        rates[AIR_OUT] = now.engine_air

        # The family's part (sections 14 and 15).
        if family.moves:
            family.act(now, speed, state[CHAMBER])
            rates[PLACE] = speed
            if modes.part == "rising":
                rates[SPEED] = (now.force - family.friction) / family.inertia
            elif modes.part == "falling":
                rates[SPEED] = (now.force + family.friction) / family.inertia
            rates[CHAMBER] = now.chamber_rate
        now.rates = rates
        return now

    def stored_fuel(self, state):
        """What the bench holds of fuel, less what is missing from the bowls (section 16, closure)."""
        volume = state[WELL1] - state[BOWL1] + state[WELL2] - state[BOWL2]
        for pump, plunger in zip(self.pumps, (PLUNGER1, PLUNGER2)):
            volume -= pump.area * state[plunger]
        return state[FILM] + state[AIRBORNE] + self.fuel.density * volume

    def first_state(self, piece, modes):
        """Near the steady state with the pedal at rest (section 13)."""
        state = [0.0] * COUNT
        settings, family = self.settings, self.family
        state[OMEGA] = settings.load.start
        low, high = 1e-3 * self.ambient, self.ambient
        for _ in range(200):
            middle = 0.5 * (low + high)
            if self.primary_air(middle, piece.place)[1].flow + self.leak(middle) > self.engine.air(middle, state[OMEGA]):
                low = middle
            else:
                high = middle
        state[PLENUM] = 0.5 * (low + high)
        now = self.at(piece.begin, state[:CHAMBER] + [1e-6] + state[CHAMBER + 1 :], modes, piece)
        if family.chamber:
            state[CHAMBER] = family.first_chamber(now)
        factor = 1 + settings.enrichment.extra_area * now.enrichment
        state[WELL1], state[JET1] = self.main1.settled(now.signal1, factor)
        if state[JET1] > 0:
            modes.well[0] = "spilling"
        state[PLUNGER1] = now.lever[0]
        state[PLUNGER2] = now.lever[1]
        travel = settings.bowl.surface * settings.bowl.float_travel
        state[BOWL1] = (state[JET1] + now.idle) * travel / settings.bowl.needle
        port = self.fuel.density * (state[JET1] + now.idle)
        state[FILM] = now.film_share * now.film_time * port
        state[AIRBORNE] = port / now.turns
        return state
