"""Laws of the fuel side (equations.md, sections 3 and 5 to 7): plates, jets, bleeds, idle circuit, pumps."""

import math

G = 9.80665
C_JET = 0.81
K_LAMINAR = 280.0
C_HOLE = 0.82


def circle(diameter):
    return math.pi / 4 * diameter**2


def plate_area(barrel, angle):
    """Open area of one plate (section 3)."""
    ratio = barrel.shaft_ratio
    c = math.cos(min(max(angle, barrel.closed), math.pi / 2)) / math.cos(barrel.closed)
    shaft = ratio * math.sqrt(1 - ratio**2) + math.asin(ratio)
    if ratio < c:
        middle = ratio * math.sqrt(1 - (ratio / c) ** 2) + c * math.asin(ratio / c) - shaft
        share = 1 - c + 2 / math.pi * middle
    else:
        share = 1 - 2 / math.pi * shaft
    return max(share, 0.0) * circle(barrel.bore)


def edge_rise(barrel, angle):
    return barrel.bore / 2 * (math.sin(angle) - math.sin(barrel.closed)) / math.cos(barrel.closed)


class Fuel:
    """Density, stoichiometric ratio and the laws of a jet (sections 2 and 5)."""

    def __init__(self, settings, air_density):
        ethanol = settings.ethanol
        self.density = 789 * ethanol + (1 - ethanol) * settings.density
        by_mass = 789 * ethanol / self.density
        self.ratio = 9.00 * by_mass + 14.60 * (1 - by_mass)
        self.viscosity = settings.viscosity
        self.air_density = air_density

    def jet_loss(self, flow, area, diameter):
        v = flow / area
        return self.density * v * abs(v) / (2 * C_JET**2) + K_LAMINAR * self.viscosity * v / (2 * diameter)

    def jet_flow(self, difference, area, diameter):
        alpha = self.density / (2 * C_JET**2)
        beta = K_LAMINAR * self.viscosity / (2 * diameter)
        size = abs(difference)
        if size == 0:
            return 0.0
        flow = area * 2 * size / (beta + math.sqrt(beta**2 + 4 * alpha * size))
        return math.copysign(flow, difference)

    def bleed_share(self, jet, bleed, outlet):
        heavy, light = math.sqrt(self.density), math.sqrt(self.air_density)
        k = (jet * heavy + bleed * light) * (jet / heavy + bleed / light) / outlet**2
        return 1 / (1 + k)


class MainCircuit:
    """Jet, wells and nozzle of one side, both barrels together (section 5)."""

    def __init__(self, barrel, fuel):
        self.fuel = fuel
        self.jet = barrel.main_jet
        self.jet_area = 2 * circle(barrel.main_jet)
        self.outlet = 2 * circle(barrel.nozzle) * C_HOLE
        self.bleed = 2 * circle(barrel.air_bleed) * C_HOLE
        self.well = 2 * barrel.refill
        self.lip = barrel.lip
        self.inertance = fuel.density * barrel.passage_length / (2 * circle(barrel.passage_bore))
        self.gain = barrel.booster_gain

    def share(self, factor):
        return self.fuel.bleed_share(C_JET * self.jet_area * factor, self.bleed, self.outlet)

    def flow_rate(self, signal, factor, well, flow, drop):
        """dQ/dt of the column."""
        head = self.fuel.density * G * (self.lip * well / self.well + drop)
        loss = self.fuel.jet_loss(flow, self.jet_area * factor, self.jet)
        return (self.share(factor) * signal - head - loss) / self.inertance

    def settled(self, signal, factor):
        """Well and flow of the steady state without a drop of the bowl (section 13)."""
        lifted = self.share(factor) * signal
        needed = self.fuel.density * G * self.lip
        if lifted < needed:
            return self.well * lifted / needed, 0.0
        return self.well, self.fuel.jet_flow(lifted - needed, self.jet_area * factor, self.jet)


class Idle:
    """Idle and transfer circuit (section 6), both barrels together."""

    def __init__(self, settings, fuel):
        self.settings = settings
        self.fuel = fuel
        self.feed = circle(settings.feed)
        self.slot = settings.slot_length * settings.slot_width

    def slot_share(self, rise):
        return min(max((self.settings.slot_below + rise) / self.settings.slot_length, 0.0), 1.0)

    def flow(self, vacuum, most, beta):
        s = self.settings
        outlet = circle(s.screw) * C_HOLE + self.slot * beta * C_HOLE
        if vacuum <= 0 or outlet == 0:
            return 0.0
        bleed = circle(s.bleed) * C_HOLE + self.slot * (1 - beta) * C_HOLE
        share = self.fuel.bleed_share(self.feed * C_HOLE, bleed, outlet)
        difference = min(vacuum, most) * share - self.fuel.density * G * s.lift
        return 2 * self.fuel.jet_flow(max(difference, 0.0), self.feed, s.feed)


class Pump:
    """An accelerator pump (section 7)."""

    def __init__(self, settings, fuel):
        self.area = circle(settings.cylinder)
        self.stroke = settings.shot / self.area
        self.profile = settings.profile
        self.preload = settings.spring_preload
        self.stiffness = settings.spring_rate
        self.shooter = settings.shooter
        self.fuel = fuel
        inlet = fuel.jet_flow(getattr(settings, "return"), circle(settings.inlet), settings.inlet)
        self.up = inlet / self.area
        self.down = self.squeezed_speed(0.0)

    def squeezed_speed(self, compression):
        pressure = (self.preload + self.stiffness * compression) / self.area
        return self.fuel.jet_flow(pressure, 2 * circle(self.shooter), self.shooter) / self.area

    def lever(self, turn):
        u = min(max(turn, 0.0), 1.0)
        return self.stroke * {"a": 1 - (1 - u) ** 2, "b": u, "c": u * u}[self.profile]

    def lever_speed(self, turn, rate):
        u = min(max(turn, 0.0), 1.0)
        return self.stroke * {"a": 2 * (1 - u), "b": 1.0, "c": 2 * u}[self.profile] * rate

    def plunger_speed(self, mode, place, lever, lever_speed):
        if mode == "squeezed":
            return self.squeezed_speed(lever - place)
        if mode == "refills":
            return -self.up
        return lever_speed
