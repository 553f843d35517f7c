"""Findings of a run (equations.md, section 18)."""

SAMPLE = 0.002


def between(rows, name, time):
    """A channel at a time between samples; None beyond the last."""
    if time > rows[-1]["time_s"] + 1e-9:
        return None
    place = time / SAMPLE
    index = min(int(place), len(rows) - 2)
    share = place - index
    return rows[index][name] + share * (rows[index + 1][name] - rows[index][name])


def time_above(values):
    total = 0.0
    for a, b in zip(values, values[1:]):
        if a > 0 and b > 0:
            total += SAMPLE
        elif a > 0:
            total += SAMPLE * a / (a - b)
        elif b > 0:
            total += SAMPLE * b / (b - a)
    return total


def to_share(after, goal, begin):
    """When the torque comes to stay above the goal."""
    below = [i for i, row in enumerate(after) if row["torque_nm"] < goal]
    if not below:
        return after[0]["time_s"] - begin
    i = below[-1]
    if i == len(after) - 1:
        return None
    a, b = after[i], after[i + 1]
    share = (goal - a["torque_nm"]) / (b["torque_nm"] - a["torque_nm"])
    return a["time_s"] + share * SAMPLE - begin


def travel(rows, start, goal):
    """Time from the start of the device to the goal of its opening, straight between samples."""
    for before, row in zip(rows, rows[1:]):
        if row["time_s"] >= start - 1e-12 and row["device_opening"] >= goal:
            low, high, time = before["device_opening"], row["device_opening"], row["time_s"]
            if low < goal:
                time -= SAMPLE * (high - goal) / (high - low)
            return max(time - start, 0.0)
    return None


def verdict(lost, stalled):
    if stalled or lost >= 0.60:
        return "dies"
    return "bogs" if lost >= 0.13 else "hesitates" if lost >= 0.06 else "clean"


def findings(run):
    """All findings in the order of section 18; None is without a value."""
    rows, begin = run.trace, run.bench.settings.pedal.begin
    after = [row for row in rows if row["time_s"] >= begin - 1e-9]
    last = rows[-1]
    moves = run.bench.family.moves

    lost = [row["ideal_torque_nm"] - row["torque_nm"] for row in after]
    lost_torque_time = sum(0.5 * SAMPLE * (a + b) for a, b in zip(lost, lost[1:]))
    final = max(last["ideal_torque_nm"], 0.5 * max(row["ideal_torque_nm"] for row in after), 1.0)
    # a stalled engine has no mixture
    stall = min((time for time, name in run.events if name == "stalls"), default=float("inf"))
    burning = [row for row in after if row["time_s"] <= stall]
    lambdas = [row["lambda"] for row in burning]
    changes = [(lam, share) for time, lam, share in run.instants if begin < time < stall]
    all_lambdas = lambdas + [lam for lam, _ in changes]
    shares = [row["mixture_share"] for row in burning] + [share for _, share in changes]

    def gain(name, seconds):
        later = between(rows, name, begin + seconds)
        return None if later is None else later - between(rows, name, begin)

    def first(kind):
        times = [time for time, name in run.events if name == kind and time >= begin - 1e-6]
        return min(times) - begin if times else None

    def comes(kind, flows):
        """0 for what flows before the pedal moves."""
        return 0.0 if flows > 0 else first(kind)

    air = between(rows, "secondary_air_kg_per_s", begin) - 0.10 * between(rows, "engine_air_kg_per_s", begin) - 1e-5
    fuel = between(rows, "secondary_main_kg_per_s", begin) - 1e-7

    found = {
        "lost_torque_time": lost_torque_time,
        "lost_s": lost_torque_time / final,
        "peak_lambda": max(all_lambdas),
        "least_lambda": min(all_lambdas),
        "lean_s": time_above([value - 1.25 for value in lambdas]),
        "rich_s": time_above([0.62 - value for value in lambdas]),
        "deepest_share": min(shares),
        "to_90_percent_s": to_share(after, 0.9 * final, begin),
        "speed_gain_1_s": gain("road_m_per_s", 1),
        "speed_gain_2_s": gain("road_m_per_s", 2),
        "distance_1_s": gain("distance_m", 1),
        "distance_2_s": gain("distance_m", 2),
        "engine_gain_1_s": gain("engine_rad_per_s", 1),
        "secondary_air_s": comes("secondary_air", air),
        "secondary_fuel_s": comes("secondary_fuel", fuel),
    }
    air, fuel = found["secondary_air_s"], found["secondary_fuel_s"]
    found["air_to_fuel_s"] = fuel - air if air is not None and fuel is not None else None
    starts = found["device_starts_s"] = first("device_starts") if moves else None
    end = found["device_end"] = last["device_opening"] if moves else None
    found["device_travel_s"] = None
    if starts is not None:
        found["device_travel_s"] = travel(rows, begin + starts, 0.9 * end)
    return found


def judged(run, lost):
    return verdict(lost, any(name == "stalls" for _, name in run.events))
