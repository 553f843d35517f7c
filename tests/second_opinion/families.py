"""What each family adds (equations.md, section 15): a part with dry friction, its force, its chamber, its jets."""

import math

from air import R, chamber_flow
from fuel import G, circle


LIFT = 50.0  # pressure over which a check opens (15.1, 15.3)


def lifted_area(narrow, wide, difference):
    """Area of a hole beside which a check lifts."""
    return narrow + (wide - narrow) * min(max(difference / LIFT, 0.0), 1.0)


class NoPart:
    """bare_link, twin_pump: nothing between the link and the plates."""

    moves = False
    flap = None
    chamber = False

    def __init__(self, settings):
        pass

    def plate_share(self, place, link):
        return link

    def opening(self, place):
        return 1.0

    def area_factor(self, opening):
        return 1.0

    def signal(self, gain, depression, drop, opening):
        return gain * depression + drop


class Diaphragm(NoPart):
    """15.1; its upper stop is what the link allows."""

    moves = True
    chamber = True
    restitution = 0.1
    settle_speed = 0.02

    def __init__(self, settings):
        s = self.s = settings.family
        self.stroke = s.stroke
        self.inertia = s.mass
        self.friction = s.friction
        barrel = settings.secondary
        self.plate = 2 * circle(barrel.bore) * s.plate_offset
        self.closed = barrel.closed
        self.turn = barrel.wide_open - barrel.closed
        self.temperature = settings.ambient.temperature

    def upper(self, link, link_rate):
        return link * self.stroke, link_rate * self.stroke

    def plate_share(self, place, link):
        return min(max(place / self.stroke, 0.0), 1.0)

    def opening(self, place):
        return place / self.stroke

    def volume(self, place):
        return self.s.dead + self.s.area * max(self.stroke - place, 0.0)

    def first_chamber(self, now):
        return now.air1.throat_pressure * self.volume(0.0) / (R * self.temperature)

    def act(self, now, speed, mass):
        """Force on the part and rate of the chamber's air."""
        s, place = self.s, now.place
        pressure = now.chamber_pressure = mass * R * self.temperature / self.volume(place)
        throat = now.air1.throat_pressure
        angle = self.closed + self.turn * place / self.stroke
        offset = (now.air2.plates_pressure - now.plenum) * self.plate * math.cos(angle) * self.turn / self.stroke
        now.force = (
            (now.ambient - pressure) * s.area - s.spring_preload - s.spring_rate * place - s.viscous * speed - offset
        )
        narrow = wide = 0.65 * circle(s.restriction)
        if s.check_ball == "fitted":
            wide = max(narrow, 0.65 * circle(getattr(s, "return")))
        area = lifted_area(narrow, wide, throat - pressure)
        now.chamber_rate = chamber_flow(throat, pressure, area, now.root)

    def channels(self, now):
        return {
            "diaphragm_travel": now.place,
            "diaphragm_speed": now.speed,
            "chamber_depression": now.ambient - now.chamber_pressure,
            "primary_signal": now.ambient - now.air1.throat_pressure,
        }


class Door(NoPart):
    """15.2: a flap with a closing moment; subclasses say which."""

    moves = True
    flap = "above"
    restitution = 0.25
    settle_speed = 0.4

    def __init__(self, settings):
        s = self.s = settings.family
        self.inertia = s.inertia
        self.friction = s.friction
        self.area = s.length * s.width

    def upper(self, link, link_rate):
        return self.s.open, 0.0

    def opening(self, place):
        return place / self.s.open

    def area_factor(self, opening):
        return self.s.area_factor

    def arm(self, angle):
        return self.area * self.s.offset * min(math.cos(angle) + self.s.torque_open_share * math.sin(angle), 1.0)

    def gap(self, angle):
        s = self.s
        free = self.area - self.area * math.cos(angle) - s.thickness * s.width * math.sin(angle)
        return s.coefficient * (s.leak + max(free, 0.0))

    def drop(self, now):
        return now.air2.drop_above

    def closing(self, now, mass):
        raise NotImplementedError

    def act(self, now, speed, mass):
        now.chamber_rate = 0.0
        now.force = self.drop(now) * self.arm(now.place) - self.closing(now, mass) - self.s.viscous * speed

    def channels(self, now):
        return {"door_angle": now.place, "door_speed": now.speed, "door_drop": self.drop(now)}


class WeightDoor(Door):
    def __init__(self, settings):
        super().__init__(settings)
        self.inertia += self.s.mass * self.s.arm**2

    def closing(self, now, mass):
        angle = now.place - self.s.ahead
        return self.s.mass * self.s.arm * (G * math.cos(angle) + now.acceleration * math.sin(angle))

    def signal(self, gain, depression, drop, opening):
        return gain * depression + drop * (1 + self.s.notch_share * (1 - opening))


class WeightValve(WeightDoor):
    flap = "below"

    def area_factor(self, opening):
        return 1.0

    def drop(self, now):
        return now.air2.drop_below

    def signal(self, gain, depression, drop, opening):
        return gain * depression + drop


class SpringDoor(Door):
    def closing(self, now, mass):
        return self.s.spring_rate * (self.s.wind_up + now.place)


class BrakedDoor(SpringDoor):
    """15.3: a spring door that pulls a capsule."""

    chamber = True

    def __init__(self, settings):
        super().__init__(settings)
        self.temperature = settings.ambient.temperature

    def volume(self, travel):
        return self.s.brake_volume + self.s.brake_area * (self.s.brake_travel - travel)

    def pressure(self, mass, travel):
        return mass * R * self.temperature / self.volume(travel)

    def pull(self, ambient, mass, travel):
        s = self.s
        return (ambient - self.pressure(mass, travel)) * s.brake_area - s.brake_preload - s.brake_rate * travel

    def rod(self, ambient, mass, angle):
        """Travel and pull of the rod, which pulls and never pushes."""
        s = self.s
        taut = max(s.brake_travel - s.brake_arm * angle, 0.0)
        if taut > 0:
            pull = self.pull(ambient, mass, taut)
            if pull > 0:
                return taut, pull
        a, k = s.brake_area, s.brake_rate
        offered = ambient * a - s.brake_preload
        whole = self.volume(0.0)
        held = mass * R * self.temperature * a
        # k a x^2 - (offered a + k whole) x + offered whole - held = 0, the smaller root
        middle, last = offered * a + k * whole, offered * whole - held
        if k == 0:
            travel = last / middle
        else:
            travel = 2 * last / (middle + math.sqrt(max(middle**2 - 4 * k * a * last, 0.0)))
        return min(max(travel, 0.0), taut), 0.0

    def first_chamber(self, now):
        """Air at which the capsule has plenum pressure with the door shut."""
        s, low, high = self.s, 0.0, 2 * now.ambient * self.volume(0.0) / (R * self.temperature)
        for _ in range(200):
            middle = 0.5 * (low + high)
            if self.pressure(middle, self.rod(now.ambient, middle, 0.0)[0]) < now.plenum:
                low = middle
            else:
                high = middle
        return 0.5 * (low + high)

    def closing(self, now, mass):
        s = self.s
        now.brake_travel, pull = self.rod(now.ambient, mass, now.place)
        now.chamber_pressure = self.pressure(mass, now.brake_travel)
        narrow = 0.80 * circle(s.brake_orifice)
        wide = max(narrow, 0.80 * circle(s.brake_check))
        area = lifted_area(narrow, wide, now.chamber_pressure - now.plenum)
        now.brake_flow = chamber_flow(now.plenum, now.chamber_pressure, area, now.root)
        return super().closing(now, mass) + s.brake_arm * pull

    def act(self, now, speed, mass):
        super().act(now, speed, mass)
        now.chamber_rate = now.brake_flow

    def channels(self, now):
        return {
            "door_angle": now.place,
            "brake_travel": now.brake_travel,
            "brake_pressure": now.chamber_pressure,
            "door_drop": self.drop(now),
        }


class LiftedRods(BrakedDoor):
    def area_factor(self, opening):
        s, share = self.s, min(max(opening, 0.0), 1.0)
        if share < 0.5:
            return s.rods_shut_share + 2 * share * (s.rods_half_share - s.rods_shut_share)
        return s.rods_half_share + (2 * share - 1) * (s.rods_open_share - s.rods_half_share)


class FixedJets(BrakedDoor):
    def signal(self, gain, depression, drop, opening):
        return drop


KINDS = {
    "bare_link": NoPart,
    "twin_pump": NoPart,
    "vacuum_diaphragm": Diaphragm,
    "counterweighted_door": WeightDoor,
    "spring_door": SpringDoor,
    "damped_lifted_rods": LiftedRods,
    "damped_fixed_jets": FixedJets,
    "weighted_valve": WeightValve,
}
