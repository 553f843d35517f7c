"""Ends of modes and what follows them (equations.md, sections 5, 7 and 14)."""

from engine import STALL_SPEED
from model import JET1, JET2, OMEGA, PLACE, PLUNGER1, PLUNGER2, SPEED, WELL1, WELL2

SIGMA = 1.1
# Conditions are strict by these rounding margins.
PLACE_MARGIN = 1e-12
SPEED_MARGIN = 1e-11
FORCE_MARGIN = 1e-10
LEVER_MARGIN = 1e-13

SIDES = ((WELL1, JET1, "main1"), (WELL2, JET2, "main2"))
PLUNGERS = (PLUNGER1, PLUNGER2)


def well_end(bench, state, modes, side):
    well, jet, name = SIDES[side]
    if modes.well[side] == "filling":
        return state[jet] > 0 and state[well] >= getattr(bench, name).well
    return state[jet] < 0


def pump_end(bench, now, state, modes, index):
    """The mode that follows, or None."""
    pump, mode = bench.pumps[index], modes.pump[index]
    if pump.stroke <= 0:
        return None
    ahead = now.lever[index] - state[PLUNGERS[index]]
    if mode == "follows":
        if now.lever_speed[index] > pump.down * (1 + 1e-12):
            return "squeezed"
        if now.lever_speed[index] < -pump.up * (1 + 1e-12):
            return "refills"
    elif mode == "squeezed" and ahead < -LEVER_MARGIN:
        return "follows"
    elif mode == "refills" and ahead > LEVER_MARGIN:
        return "follows"
    return None


def part_end(bench, now, state, modes):
    """What ends the mode of the part: 'free', 'lower', 'upper', 'leaves' or None."""
    family, mode = bench.family, modes.part
    force, friction = now.force, family.friction
    margin = FORCE_MARGIN * friction
    place, speed, upper = state[PLACE], state[SPEED], now.upper
    above = place > upper + PLACE_MARGIN
    below = place < -PLACE_MARGIN
    if mode == "held":
        if above:
            return "upper"
        return "free" if abs(force) > SIGMA * friction + margin else None
    if mode == "at lower":
        return "free" if force > SIGMA * friction + margin and upper > PLACE_MARGIN else None
    ended = None
    if mode == "at upper":
        if now.upper_speed > 0:
            leaves = force < friction - margin
        elif now.upper_speed < 0:
            leaves = force < -friction - margin
        else:
            leaves = force < -SIGMA * friction - margin
        if not (leaves or below):
            return None
        return "lower" if place <= 0 else "leaves"
    if mode == "rising" and speed < -SPEED_MARGIN or mode == "falling" and speed > SPEED_MARGIN:
        ended = "free"
    if below or (ended and place <= 0):
        return "lower"
    if above or (ended and place >= upper):
        return "upper"
    return ended


def free_part(bench, look, state, modes):
    """The part stands and the forces decide."""
    state[SPEED] = 0.0
    modes.part = "held"
    force, limit = look().force, SIGMA * bench.family.friction
    if force > limit:
        modes.part = "rising"
    elif force < -limit:
        modes.part = "falling"


def change_part(bench, look, now, state, modes, end):
    family = bench.family
    if end == "free":
        free_part(bench, look, state, modes)
    elif end == "leaves":
        modes.part = "rising" if now.upper_speed > 0 else "falling"
        state[SPEED] = now.upper_speed
    elif end == "lower":
        closing = -now.speed
        state[PLACE] = 0.0
        if closing <= family.settle_speed or now.upper <= 0:
            modes.part, state[SPEED] = "at lower", 0.0
        else:
            modes.part, state[SPEED] = "rising", family.restitution * closing
    elif end == "upper":
        closing = now.speed - now.upper_speed
        state[PLACE] = now.upper
        if closing <= family.settle_speed:
            modes.part, state[SPEED] = "at upper", now.upper_speed
        else:
            state[SPEED] = now.upper_speed - family.restitution * closing
            modes.part = "rising" if state[SPEED] > 0 else "falling"


def corner(bench, look, old_speed, state, modes):
    """A part at its upper stop when the pedal turns a corner (section 14)."""
    if not bench.family.moves or modes.part != "at upper":
        return
    if look().upper_speed > old_speed:
        state[SPEED] = old_speed
        if old_speed > 0:
            modes.part = "rising"
        elif old_speed < 0:
            modes.part = "falling"
        else:
            free_part(bench, look, state, modes)


def any_end(bench, now, state, modes):
    if well_end(bench, state, modes, 0) or well_end(bench, state, modes, 1):
        return True
    if any(pump_end(bench, now, state, modes, index) for index in range(len(bench.pumps))):
        return True
    if modes.released and not modes.stalled and state[OMEGA] < STALL_SPEED:
        return True
    return bench.family.moves and part_end(bench, now, state, modes) is not None


def settle(bench, look, state, modes):
    """Changes modes at an instant until nothing more ends there; look() evaluates the instant anew."""
    for _ in range(60):
        now = look()
        changed = False
        for side, (well, _jet, name) in enumerate(SIDES):
            if well_end(bench, state, modes, side):
                modes.well[side] = "spilling" if modes.well[side] == "filling" else "filling"
                state[well] = getattr(bench, name).well
                changed = True
        for index in range(len(bench.pumps)):
            following = pump_end(bench, now, state, modes, index)
            if following:
                modes.pump[index] = following
                state[PLUNGERS[index]] = now.lever[index]
                changed = True
        if modes.released and not modes.stalled and state[OMEGA] < STALL_SPEED:
            modes.stalled = changed = True
        if bench.family.moves:
            now = look()
            end = part_end(bench, now, state, modes)
            if end:
                change_part(bench, look, now, state, modes, end)
                changed = True
        if not changed:
            return
    raise RuntimeError("modes do not settle")
