"""The way of the air through one side of the carburettor (equations.md, section 4)."""

import math

import numpy

R = 287.05
CRITICAL_RATIO = 0.528281787717174
CHOKED = 0.6847314563772705
DELTA_PATH = 1.0
DELTA_HOLE = 50.0

# With e = 1 - r^(2/7) the flow function is psi^2 = 7 e (1 - e)^5, rising up to e = 1/6. Its inverse is smooth in
# sqrt(1 - w/w*), w = psi^2/7; a polynomial gives a start for Newton's rule.
W_CHOKED = (1 / 6) * (5 / 6) ** 5


def _start_polynomial():
    e = numpy.sin(numpy.linspace(0, math.pi / 2, 400)) / 6
    s = numpy.sqrt(numpy.maximum(1 - e * (1 - e) ** 5 / W_CHOKED, 0))
    return [float(c) for c in numpy.polynomial.Chebyshev.fit(s, e, 7).convert(kind=numpy.polynomial.Polynomial).coef]


C0, C1, C2, C3, C4, C5, C6, C7 = _start_polynomial()


def laminar_share(d, delta):
    x2 = (d / delta) ** 2
    return (x2 / (1 + x2)) ** 0.25


def flow_function_squared(upstream, behind):
    """psi^2; below 0, continued smoothly, where the pressure behind is the higher one."""
    if behind <= CRITICAL_RATIO * upstream:
        return CHOKED**2
    e = -math.expm1(math.log1p((behind - upstream) / upstream) * (2 / 7))
    return 7 * e * (1 - e) ** 5


def opening_flow(upstream, behind, area, root):
    """M(P, P', A); root is sqrt(R T0)."""
    if behind >= upstream:
        return 0.0
    return area * upstream / root * math.sqrt(flow_function_squared(upstream, behind))


def pressure_behind(upstream, flow, area, root):
    """B(P, m, A); None where it does not exist."""
    if flow <= 0:
        return upstream
    w = (flow * root / (area * upstream)) ** 2 / 7
    if w >= W_CHOKED:
        return None
    s = math.sqrt(1 - w / W_CHOKED)
    e = C0 + s * (C1 + s * (C2 + s * (C3 + s * (C4 + s * (C5 + s * (C6 + s * C7))))))
    for _ in (0, 1):
        rest = 1 - e
        slope = rest**4 * (1 - 6 * e)
        if slope > 1e-7:
            e += (w - e * rest**5) / slope
    return upstream * (1 - e) ** 3.5


def chamber_flow(here, there, area, root):
    """m_h(P, P', A) of section 4.4, positive from the first to the second."""
    difference = abs(here - there)
    if difference == 0:
        return 0.0
    flow = opening_flow(max(here, there), min(here, there), area, root) * laminar_share(difference, DELTA_HOLE)
    return flow if here > there else -flow


class TooMuch(Exception):
    """An opening before the plates cannot carry the flow."""


class TooLittle(Exception):
    """An opening flap pushes more air than its gap lets back."""


class SideAir:
    """The result: flow into the plenum, throat pressure, depressions and drops of one side."""

    __slots__ = ("flow", "throat_pressure", "throat_depression", "drop_above", "drop_below", "throat_speed", "plates_pressure")

    def __init__(self, path, flow, carried, stations):
        cleaner, above, before_plates_bare, before_plates = stations
        throat = pressure_behind(above, carried, path.venturi, path.root)
        if throat is None:
            throat = CRITICAL_RATIO * above
        self.flow = flow
        self.plates_pressure = before_plates
        self.throat_pressure = throat
        self.throat_depression = above - throat
        self.drop_above = cleaner - above if path.flap == "above" else 0.0
        self.drop_below = before_plates_bare - before_plates if path.flap == "below" else 0.0
        ratio = min(throat / above, 1.0)
        self.throat_speed = math.sqrt(max(7 * path.root**2 * (1 - ratio ** (2 / 7)), 0.0))


class AirPath:
    """One side, two barrels, perhaps with a flap above the venturi or below it (section 4.2)."""

    def __init__(self, barrel, cleaner_area, pressure, temperature, flap=None):
        self.ambient = pressure
        self.root = math.sqrt(R * temperature)
        self.density = pressure / (R * temperature)
        self.cleaner = cleaner_area / 2
        self.venturi = 2 * math.pi / 4 * barrel.venturi**2 * barrel.throat_coefficient
        self.loss = self.venturi / math.sqrt(barrel.venturi_loss)
        self.plate_coefficient = barrel.plate_coefficient
        self.flap = flap
        self.last = 0.0
        self.known = {}

    def solve(self, plenum, plate_area, gap=0.0, sweep=0.0):
        """State of the side; results for the same arguments are kept for a while."""
        key = (plenum, plate_area, gap, sweep)
        result = self.known.get(key)
        if result is None:
            if len(self.known) > 64:
                self.known.clear()
            result = self.known[key] = self._solve(plenum, 2 * plate_area * self.plate_coefficient, gap, sweep)
        return result

    def _solve(self, plenum, throttle, gap, sweep):
        ambient = self.ambient
        if throttle <= 0 or plenum >= ambient:
            flow = 0.0
            if throttle > 0:
                inverse = self.cleaner**-2 + self.loss**-2 + throttle**-2 + (gap**-2 if self.flap else 0.0)
                excess = plenum - ambient
                flow = -math.sqrt(2 * self.density * excess / inverse) * laminar_share(excess, DELTA_PATH)
            return SideAir(self, flow, 0.0, self._at_rest(gap, sweep))
        carried, stations = self._carried(plenum, throttle, gap, sweep)
        return SideAir(self, carried * laminar_share(ambient - plenum, DELTA_PATH), carried, stations)

    def _at_rest(self, gap, sweep):
        """The still march: only what a moving flap sweeps passes its gap."""
        if sweep == 0:
            return (self.ambient,) * 4
        swept = self.ambient / self.root**2 * sweep
        behind = pressure_behind(self.ambient, abs(swept), gap, self.root)
        if behind is None:
            behind = CRITICAL_RATIO * self.ambient
        last = behind if sweep < 0 else 2 * self.ambient - behind
        above = last if self.flap == "above" else self.ambient
        return self.ambient, above, above, last

    def _behind(self, upstream, flow, area):
        result = pressure_behind(upstream, flow, area, self.root)
        if result is None:
            raise TooMuch
        return result

    def _flap(self, upstream, flow, gap, sweep):
        through = flow - upstream / self.root**2 * sweep
        if through >= 0:
            return self._behind(upstream, through, gap)
        back = pressure_behind(upstream, -through, gap, self.root)
        if back is None:
            raise TooLittle
        return 2 * upstream - back

    def _march(self, flow, gap, sweep):
        cleaner = self._behind(self.ambient, flow, self.cleaner)
        above = self._flap(cleaner, flow, gap, sweep) if self.flap == "above" else cleaner
        if flow * self.root >= self.venturi * above * CHOKED:
            raise TooMuch
        bare = self._behind(above, flow, self.loss)
        last = self._flap(bare, flow, gap, sweep) if self.flap == "below" else bare
        if last <= 0:
            raise TooMuch
        return cleaner, above, bare, last

    def _carried(self, plenum, throttle, gap, sweep):
        """The flow that the plates take as the march brings it, and the pressures of that march."""
        scale = (throttle / self.root) ** 2

        def excess(flow):
            """What the plates would take over what comes, in squares: smooth, and falling with the flow."""
            try:
                stations = self._march(flow, gap, sweep)
            except TooMuch:
                return -math.inf, None
            except TooLittle:
                return math.inf, None
            last = stations[3]
            return scale * last * last * flow_function_squared(last, plenum) - flow * flow, stations

        low, high = 0.0, self.cleaner * self.ambient * CHOKED / self.root
        best = None
        if sweep != 0:
            offer, best = excess(0.0)
            if offer <= 0:
                return 0.0, self._at_rest(gap, sweep)
        flow = self.last if 0 < self.last < high else 0.5 * high
        older = older_value = None
        for count in range(200):
            value, stations = excess(flow)
            if value > 0:
                low, best = flow, stations if stations else best
            elif value < 0:
                high = flow
            else:
                self.last = flow
                return flow, stations
            following = 0.5 * (low + high)
            if math.isfinite(value) and count < 40:
                if older is None:
                    guess = flow + value / (2 * flow + 1e-9)
                elif value != older_value:
                    guess = flow - value * (flow - older) / (value - older_value)
                else:
                    guess = flow
                if older is not None and abs(guess - flow) <= 1e-10 * flow + 1e-16:
                    final, stations = excess(guess)
                    if math.isfinite(final):
                        self.last = guess
                        return guess, stations
                if low < guess < high:
                    following = guess
                older, older_value = flow, value
            if high - low <= 2e-16 * high:
                break
            flow = following
        # The march is bounded by choking before the plates: the largest flow that can be carried.
        if best is None:
            _, best = excess(low)
        self.last = low
        return low, best if best else (self.ambient,) * 4
