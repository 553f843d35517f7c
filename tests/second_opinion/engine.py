"""Engine and load (equations.md, sections 9 to 11)."""

import bisect
import math

from air import R
from fuel import G

HEAT = 42.9e6 / 14.6
STALL_SPEED = 36.0

LAMBDAS = [0.40, 0.50, 0.60, 0.70, 0.80, 0.88, 0.96, 1.05, 1.15, 1.25, 1.35, 1.45, 1.60, 1.75]
SHARES = [0, 0.30, 0.70, 0.91, 0.985, 1, 0.985, 0.93, 0.83, 0.68, 0.42, 0.18, 0.03, 0]


def _slopes():
    secants = [(b - a) / (y - x) for a, b, x, y in zip(SHARES, SHARES[1:], LAMBDAS, LAMBDAS[1:])]
    inner = [2 * a * b / (a + b) if a * b > 0 else 0.0 for a, b in zip(secants, secants[1:])]
    return [0.0, *inner, 0.0]


SLOPES = _slopes()


def mixture_share(richness):
    """Monotone cubic through the table (section 10)."""
    if richness <= 1 / 1.75 or richness >= 1 / 0.40:
        return 0.0
    x = 1 / richness
    i = min(max(bisect.bisect_right(LAMBDAS, x) - 1, 0), len(LAMBDAS) - 2)
    width = LAMBDAS[i + 1] - LAMBDAS[i]
    s = (x - LAMBDAS[i]) / width
    s2, s3 = s * s, s * s * s
    return (
        (2 * s3 - 3 * s2 + 1) * SHARES[i]
        + width * (s3 - 2 * s2 + s) * SLOPES[i]
        + (3 * s2 - 2 * s3) * SHARES[i + 1]
        + width * (s3 - s2) * SLOPES[i + 1]
    )


class Engine:
    def __init__(self, settings, ambient_pressure):
        self.settings = settings
        self.ambient = ambient_pressure
        self.plenum_rate = R * settings.charge / settings.manifold

    def air(self, plenum, omega):
        e = self.settings
        bent = 1 - e.efficiency_width * (omega / e.efficiency_speed - 1) ** 2
        efficiency = max(e.efficiency_peak * bent, 0.2 * e.efficiency_peak)
        return efficiency * e.displacement * max(omega, 0.0) / (2 * math.pi) * plenum / (2 * R * e.charge)

    def torques(self, plenum, omega, air, share):
        """Torque and ideal torque."""
        e = self.settings
        best = air * HEAT * e.efficiency_indicated / max(omega, 1.0)
        n = omega * 30 / math.pi / 1000
        turning = e.displacement / (4 * math.pi) * math.tanh(omega / 5)
        friction = e.friction_scale * (0.97 + 0.15 * n + 0.05 * n * n) * 1e5 * turning
        pumping = (self.ambient - plenum) * turning
        return best * share - friction - pumping, best - friction - pumping


class Film:
    """Fuel on the wall (section 9)."""

    def __init__(self, settings, wall):
        self.settings = settings
        self.cold = 350 - wall

    def share(self, plenum):
        s = self.settings
        value = s.share_base + s.share_per_pressure * plenum / 101325 + s.cold_share * self.cold / 100
        return min(max(value, 0.0), 0.95)

    def time(self, plenum):
        s = self.settings
        return (s.time_base + s.time_per_pressure * max(plenum, 0.0) / 101325) * math.exp(self.cold / s.cold_time)


class Load:
    """What the engine turns (section 11); balance is Z of section 13."""

    def __init__(self, settings, inertia, air_density):
        self.settings = settings
        self.inertia = inertia
        self.density = air_density
        self.turns = settings.gear * settings.axle / settings.tyre
        self.kind = settings.kind
        if settings.kind == "vehicle":
            self.kind = settings.coupling
        self.balance = 0.0

    def road(self, v):
        s = self.settings
        return 0.5 * self.density * s.drag_area * v * abs(v) + s.rolling * s.mass * G * math.tanh(v / 0.5)

    def converter(self, omega, turbine):
        """Torques at the engine and at the turbine."""
        if omega <= 0 and turbine <= 0:
            return 0.0, 0.0
        factor = self.settings.stall_torque / self.settings.stall**2

        def bite(x):
            return 1 - (1 - min(x, 0.3) / 0.3) ** 2

        if turbine <= omega:
            ratio = max(turbine / omega, 0.0)
            engine = factor * omega**2 * bite(1 - ratio)
            return engine, engine * max(2 - ratio / 0.9, 1.0)
        torque = -factor * turbine**2 * bite(1 - omega / turbine)
        return torque, torque

    def rates(self, torque, omega, v):
        """dw/dt and dv/dt after the release."""
        n = self.turns
        if self.kind == "dynamometer":
            return 0.0, 0.0
        if self.kind == "free":
            return (torque - self.balance * math.tanh(omega / 5)) / self.inertia, 0.0
        if self.kind == "clutch":
            rate = (torque * n - self.road(v) - self.balance) / (self.settings.mass + self.inertia * n * n)
            return n * rate, rate
        engine, turbine = self.converter(omega, n * v)
        rate = (turbine * n - self.road(v) - self.balance) / self.settings.mass
        return (torque - engine) / self.inertia, rate

    def release(self, torque, omega):
        """Sets the balance; gives the road speed."""
        n = self.turns
        if self.kind == "dynamometer":
            self.balance = 0.0
            return omega / n
        if self.kind == "free":
            self.balance = torque
            return 0.0
        if self.kind == "clutch":
            v = omega / n
            self.balance = torque * n - self.road(v)
            return v
        turbine = self.matching_turbine(torque, omega)
        v = turbine / n
        self.balance = self.converter(omega, turbine)[1] * n - self.road(v)
        return v

    def matching_turbine(self, torque, omega):
        """The turbine speed at which the converter takes the torque; the torque falls with it."""
        low, high = 0.0, 1.5 * omega

        def over(turbine):
            return self.converter(omega, turbine)[0] - torque

        if over(low) * over(high) > 0:
            return min((low, high), key=lambda turbine: abs(over(turbine)))
        for _ in range(200):
            middle = 0.5 * (low + high)
            if over(middle) > 0:
                low = middle
            else:
                high = middle
        return 0.5 * (low + high)
