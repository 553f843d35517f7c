"""The foot and the link (equations.md, section 3)."""

from dataclasses import dataclass


@dataclass
class Piece:
    """A stretch of time in which the pedal is straight and the link stays below, in or above its range."""

    begin: float
    end: float
    place: float
    slope: float
    link_moves: bool
    corner: bool  # begins at a pedal corner

    def share(self, time):
        return self.place + self.slope * (time - self.begin)


def corners(pedal):
    """Corners of the pedal's share; a movement cut by the end of the run ends where it is then."""
    first_end = pedal.begin + pedal.stab
    points = [(0.0, pedal.rest), (pedal.begin, pedal.rest), (first_end, pedal.floor)]
    if pedal.hold > 0:
        points.append((first_end + pedal.hold, pedal.floor))
        points.append((first_end + pedal.hold + pedal.stab, pedal.rest))
        points.append((first_end + pedal.hold + pedal.stab + pedal.off, pedal.rest))
        points.append((first_end + pedal.hold + 2 * pedal.stab + pedal.off, pedal.floor))
    end = max(pedal.length, pedal.begin + pedal.stab + 0.1)
    kept = [points[0]]
    for (t_a, s_a), (t_b, s_b) in zip(points, points[1:]):
        if t_b < end:
            kept.append((t_b, s_b))
        else:
            kept.append((end, s_a + (s_b - s_a) * (end - t_a) / (t_b - t_a)))
            return kept
    kept.append((end, points[-1][1]))
    return kept


class Link:
    """The share of the secondary travel that the link allows, from the primary's plate angles."""

    def __init__(self, settings):
        primary, curb = settings.primary, settings.idle.curb
        whole = primary.wide_open - primary.closed
        starts = min(settings.linkage.starts, 0.98 * whole)
        self.begin = max(starts - curb, 0.0) / (whole - curb)
        self.exponent = settings.linkage.progression

    def share(self, s):
        q = min(max((s - self.begin) / (1 - self.begin), 0.0), 1.0)
        return q if self.exponent == 1 else q**self.exponent

    def rate(self, s, slope, moves):
        if not moves or slope == 0:
            return 0.0
        q = min(max((s - self.begin) / (1 - self.begin), 0.0), 1.0)
        steepness = 1.0 if self.exponent == 1 else self.exponent * q ** (self.exponent - 1)
        return steepness * slope / (1 - self.begin)

    def pieces(self, points):
        """Straight pieces between corners, divided where the link enters or leaves its range."""
        found = []
        for (t_a, s_a), (t_b, s_b) in zip(points, points[1:]):
            if t_b <= t_a:
                continue
            slope = (s_b - s_a) / (t_b - t_a)
            times = [t_a, t_b]
            for limit in (self.begin, 1.0):
                if (s_a - limit) * (s_b - limit) < 0:
                    times.append(t_a + (limit - s_a) / slope)
            times.sort()
            for begin, end in zip(times, times[1:]):
                middle = s_a + slope * ((begin + end) / 2 - t_a)
                moves = self.begin <= middle <= 1.0
                found.append(Piece(begin, end, s_a + slope * (begin - t_a), slope, moves, begin == t_a))
        return found
