"""Registration: how a set of pins best goes into a set of holes, for every way of telling pins to holes.

For an assignment of pins to holes the *play* is the smallest, over the pins, of hole radius - lead radius - distance
between centres; turning and shifting the part (never mirroring it) make it as large as it can be.  The angle is found
by branch and bound, the shift for a fixed angle exactly (the smallest circle that reaches round a few points, with an
allowance for each).  Answers are certified to ``CLOSE_MM``: at each angle tried the few pins that decide give weights
whose weighted error bounds the largest error from below at *every* angle (own derivation: the maximum is never less
than a weighted mean, and a distance never less than its component along a fixed direction).

Lengths are in mm, x to the right and y down, so a positive rotation is clockwise as seen.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import asin, atan2, cos, degrees, hypot, pi, radians, sin, sqrt

from bom.boards.board import Hole
from bom.relays.footprint import Pin

CLOSE_MM = 2e-6  # how far from the true optimum an answer may be
_EXACT_MM = 1e-10  # rounding allowance inside one shift problem
_ROUNDING_MM = 3e-6  # a play of exactly nought is a fit, though found only to within CLOSE_MM
_WIDENING = (0.02, 0.1, 0.3, 1.0)  # shares of the limit tried in turn: a close answer spares the wide search

Point = tuple[float, float]
Room = Callable[[Pin, Hole], float]
Accept = Callable[[dict[str, str]], bool]


@dataclass(frozen=True, slots=True)
class Placement:
    """One way in: the hole each pin takes; turn by ``rotation_deg``, move by ``shift_mm`` (hole = turned pin + shift).

    ``play_mm`` is the least room left round any lead (negative: it misses by that much), ``tightest`` the pin that has
    it, ``deviation_mm`` the largest distance between a pin and its hole's centre in this position.
    """

    assignment: dict[str, str]
    rotation_deg: float
    shift_mm: Point
    play_mm: float
    tightest: str
    deviation_mm: float


def radial_room(pin: Pin, hole: Hole) -> float:
    """Hole radius less lead radius in mm (a flat lead by half its diagonal). ValueError where either is not stated."""
    if pin.lead_diameter_mm is None or hole.drill_mm is None:
        raise ValueError(f"lead of pin {pin.name} or drill of hole {hole.name} is not stated")
    return (hole.drill_mm - pin.lead_diameter_mm) / 2


def no_room(pin: Pin, hole: Hole) -> float:
    """Nought, so that play is the deviation with its sign turned."""
    return 0.0


def mirrored(pins: Sequence[Pin]) -> tuple[Pin, ...]:
    """The same pins seen from the other side."""
    return tuple(replace(p, x_mm=-p.x_mm) for p in pins)


def place(
    pins: Sequence[Pin],
    holes: Sequence[Hole],
    limit_mm: float = 0.0,
    allowed: Accept | None = None,
    room: Room = radial_room,
) -> tuple[Placement, ...]:
    """Every distinct assignment that goes in with play >= -``limit_mm``, the most play first.

    ``allowed`` may refuse assignments ({pin: hole}) before they are measured.
    ValueError where ``room`` needs a size that is not stated.
    """
    task = _Task.of(pins, holes, room)
    found = (task.settle(a, limit_mm + _ROUNDING_MM) for a in task.assignments(limit_mm, allowed))
    return tuple(sorted((p for p in found if p), key=lambda p: -p.play_mm))


def closest(
    pins: Sequence[Pin],
    holes: Sequence[Hole],
    limit_mm: float = 1.0,
    allowed: Accept | None = None,
    room: Room = no_room,
    angles_deg: Sequence[float] | None = None,
) -> Placement | None:
    """The placement with the most play, None where even that is below -``limit_mm``.

    ``angles_deg`` keeps to those angles; lengths in mm.
    """
    task = _Task.of(pins, holes, room, angles_deg)
    return next(filter(None, (task.best(limit_mm * share, allowed) for share in _WIDENING)), None)


def deviation(
    pins: Sequence[Pin],
    holes: Sequence[Hole],
    limit: float = 1.0,
    accept: Accept | None = None,
    angles_deg: Sequence[float] | None = None,
) -> float | None:
    """The smallest possible largest pin-to-hole-centre distance in mm, None above ``limit``.

    Only assignments ({pin: hole}) that ``accept`` lets through count.
    """
    found = closest(pins, holes, limit, accept, no_room, angles_deg)
    return None if found is None else found.deviation_mm


@dataclass(frozen=True, slots=True)
class _Reach:
    """The best shift at one angle: the error there, and the bound a*cos + b*sin + c on it at any angle turned on."""

    error: float
    shift: Point
    a: float
    b: float
    c: float

    def least(self, half: float) -> float:
        """No angle within ``half`` radians has a smaller largest error than this."""
        return min(self.a, self.a * cos(half)) - abs(self.b) * sin(half) + self.c


@dataclass(frozen=True, slots=True)
class _Task:
    """Pins and holes about their middles, the room of every pair, and the distances among each."""

    pins: tuple[Pin, ...]
    holes: tuple[Hole, ...]
    points: tuple[Point, ...]
    spots: tuple[Point, ...]
    room: tuple[tuple[float, ...], ...]
    spans: tuple[tuple[float, ...], ...]
    gaps: tuple[tuple[float, ...], ...]
    angles: tuple[float, ...] | None = None

    @classmethod
    def of(cls, pins: Sequence[Pin], holes: Sequence[Hole], room: Room, angles: Sequence[float] | None = None) -> _Task:
        points, spots = _centred(_xy(pins)), _centred(_xy(holes))
        rooms = tuple(tuple(room(p, h) for h in holes) for p in pins)
        turned = None if angles is None else tuple(map(radians, angles))
        return cls(tuple(pins), tuple(holes), points, spots, rooms, _distances(points), _distances(spots), turned)

    def best(self, limit: float, allowed: Accept | None) -> Placement | None:
        """The placement with the most play, each one measured only while it may still beat the best so far."""
        best: Placement | None = None
        for assignment in self.assignments(limit, allowed):
            found = self.settle(assignment, limit if best is None else -best.play_mm - CLOSE_MM)
            best = found or best
        return best

    def assignments(self, limit: float, allowed: Accept | None = None) -> Iterator[tuple[int, ...]]:
        """Hole numbers in pin order, for every assignment in which no two pins contradict each other."""
        if not self.pins or len(self.pins) > len(self.holes):
            return
        for chosen in self._extend(self._order(), {}, limit, None):
            assignment = tuple(chosen[i] for i in range(len(self.pins)))
            if allowed is None or allowed(self.named(assignment)):
                yield assignment

    def named(self, assignment: Sequence[int]) -> dict[str, str]:
        return {pin.name: self.holes[j].name for pin, j in zip(self.pins, assignment, strict=True)}

    def settle(self, assignment: Sequence[int], limit: float) -> Placement | None:
        """The assignment in its best position, or None where its largest error is certainly above ``limit``."""
        spots = [self.spots[j] for j in assignment]
        rooms = [self.room[i][j] for i, j in enumerate(assignment)]
        found = self._fixed(spots, rooms) if self.angles else self._free(spots, rooms, limit)
        if found is None or found[0] > limit:
            return None
        return self._placement(assignment, found[1], found[2])

    def _fixed(self, spots: list[Point], rooms: list[float]) -> tuple[float, float, Point]:
        tried = ((_reach(self.points, spots, rooms, angle), angle) for angle in self.angles or ())
        return min((reach.error, angle, reach.shift) for reach, angle in tried)

    def _free(self, spots: list[Point], rooms: list[float], limit: float) -> tuple[float, float, Point] | None:
        """Branch and bound over the angle: best-first on the certified bound of each range."""
        best: tuple[float, float, Point] | None = None
        heap: list[tuple[float, float, float]] = []
        ranges = self._ranges(spots, rooms, limit)
        while True:
            for middle, half, floor in ranges:
                reach = _reach(self.points, spots, rooms, middle)
                if best is None or reach.error < best[0]:
                    best = (reach.error, middle, reach.shift)
                least = max(floor, reach.least(half))
                if least <= limit:
                    heapq.heappush(heap, (least, middle, half))
            if not heap or (best is not None and heap[0][0] >= best[0] - CLOSE_MM):
                return best if best is not None and best[0] <= limit else None
            least, middle, half = heapq.heappop(heap)
            ranges = [(middle - half / 2, half / 2, least), (middle + half / 2, half / 2, least)]

    def _ranges(self, spots: list[Point], rooms: list[float], limit: float) -> list[tuple[float, float, float]]:
        """The angles worth trying, (middle, half width, bound): what the two pins farthest apart leave."""
        if len(self.points) < 2:
            return [(0.0, 0.0, float("-inf"))]
        i, k = self._order()[:2]
        middle, half = _swing(self.points[i], self.points[k], spots[i], spots[k], rooms[i] + rooms[k] + 2 * limit)
        parts = max(1, int(half / (pi / 8)) + 1) if half > pi / 8 else 1
        step = half / parts
        return [(middle - half + step * (2 * n + 1), step, float("-inf")) for n in range(parts)]

    def _order(self) -> list[int]:
        """Pins, the two farthest apart first: they tell most; then the rest, the farthest out first."""
        if len(self.points) < 2:
            return list(range(len(self.points)))
        i, k = max(combinations(range(len(self.points)), 2), key=lambda pair: self.spans[pair[0]][pair[1]])
        rest = [n for n in range(len(self.points)) if n not in (i, k)]
        return [i, k, *sorted(rest, key=lambda n: -self.spans[i][n])]

    def _extend(
        self, order: list[int], chosen: dict[int, int], limit: float, swing: tuple[float, float] | None
    ) -> Iterator[dict[int, int]]:
        if len(chosen) == len(order):
            yield chosen
            return
        pin = order[len(chosen)]
        for hole in range(len(self.holes)):
            if hole in chosen.values() or not self._agrees(order, chosen, pin, hole, limit, swing):
                continue
            chosen[pin] = hole
            yield from self._extend(order, chosen, limit, swing or self._swing_of(order, chosen, limit))
            del chosen[pin]

    def _agrees(
        self,
        order: list[int],
        chosen: dict[int, int],
        pin: int,
        hole: int,
        limit: float,
        swing: tuple[float, float] | None,
    ) -> bool:
        """Whether the pin may take the hole beside the pins already told: distances first, then the predicted spot."""
        slack = self.room[pin][hole] + limit + _ROUNDING_MM
        if slack < 0:
            return False
        span, gap = self.spans[pin], self.gaps[hole]
        for other, taken in chosen.items():
            if abs(span[other] - gap[taken]) > slack + self.room[other][taken] + limit:
                return False
        return swing is None or self._near(order[0], chosen[order[0]], pin, hole, slack + limit, swing)

    def _near(self, first: int, taken: int, pin: int, hole: int, slack: float, swing: tuple[float, float]) -> bool:
        angle, half = swing
        x, y = _turned(_minus(self.points[pin], self.points[first]), angle)
        gap = _minus(self.spots[hole], self.spots[taken])
        loose = self.spans[pin][first] * 2 * sin(min(half, pi) / 2)
        return hypot(x - gap[0], y - gap[1]) <= slack + self.room[first][taken] + loose + _ROUNDING_MM

    def _swing_of(self, order: list[int], chosen: dict[int, int], limit: float) -> tuple[float, float] | None:
        """The angles two told pins leave, (middle, half width), or None while fewer are told."""
        if len(chosen) < 2:
            return None
        i, k = order[:2]
        slack = self.room[i][chosen[i]] + self.room[k][chosen[k]] + 2 * limit
        return _swing(self.points[i], self.points[k], self.spots[chosen[i]], self.spots[chosen[k]], slack)

    def _placement(self, assignment: Sequence[int], angle: float, shift: Point) -> Placement:
        off = [_error(self.points[i], self.spots[j], angle, shift) for i, j in enumerate(assignment)]
        play = [self.room[i][j] - off[i] for i, j in enumerate(assignment)]
        tight = min(range(len(play)), key=play.__getitem__)
        return Placement(
            self.named(assignment),
            _half_turn(degrees(angle)),
            self._whole_shift(angle, shift),
            play[tight],
            self.pins[tight].name,
            max(off),
        )

    def _whole_shift(self, angle: float, shift: Point) -> Point:
        """The shift between the drawings as they were given, not about their middles."""
        here, there = _middle(_xy(self.pins)), _middle(_xy(self.holes))
        x, y = _turned(here, angle)
        return (shift[0] + there[0] - x, shift[1] + there[1] - y)


def _reach(points: Sequence[Point], spots: Sequence[Point], rooms: Sequence[float], angle: float) -> _Reach:
    """The best shift at one angle, with its bound."""
    co, si = cos(angle), sin(angle)
    turned = [(x * co - y * si, x * si + y * co) for x, y in points]
    wanted = [(hx - x, hy - y) for (hx, hy), (x, y) in zip(spots, turned, strict=True)]
    (sx, sy), basis = _smallest_reach(wanted, rooms)
    error = max(hypot(sx - x, sy - y) - r for (x, y), r in zip(wanted, rooms, strict=True))
    a = b = c = 0.0
    for i, weight in basis:
        ux, uy = _direction(_minus((sx, sy), wanted[i])) if len(basis) > 1 else (0.0, 0.0)
        qx, qy = turned[i]
        a += weight * (ux * qx + uy * qy)
        b += weight * (uy * qx - ux * qy)
        c -= weight * (ux * spots[i][0] + uy * spots[i][1] + rooms[i])
    return _Reach(error, (sx, sy), a, b, c)


def _smallest_reach(wanted: Sequence[Point], rooms: Sequence[float]) -> tuple[Point, list[tuple[int, float]]]:
    """The point whose largest (distance - room) is smallest, and the places that decide with their weights.

    Pivoting on the place that is worst off: each step's answer is larger than the last, so it ends.
    """
    first = min(range(len(wanted)), key=rooms.__getitem__)
    shift, error, basis = wanted[first], -rooms[first], [(first, 1.0)]
    for _ in range(8 * len(wanted)):
        worst, over = -1, error + _EXACT_MM
        for i, (x, y) in enumerate(wanted):
            off = hypot(shift[0] - x, shift[1] - y) - rooms[i]
            if off > over:
                worst, over = i, off
        if worst < 0:
            break
        shift, error, basis = _pivot(wanted, rooms, [i for i, _ in basis], worst)
    return shift, basis


def _pivot(
    wanted: Sequence[Point], rooms: Sequence[float], basis: list[int], worst: int
) -> tuple[Point, float, list[tuple[int, float]]]:
    """The smallest set of deciding places that serves the old ones and the worst one."""
    everyone = [*basis, worst]
    best: tuple[float, Point, float, list[tuple[int, float]]] | None = None
    for size in (1, 2):
        for others in combinations(basis, size):
            solved = _between(wanted, rooms, [worst, *others])
            if solved is None:
                continue
            (x, y), error, _ = solved
            over = max(hypot(x - wanted[i][0], y - wanted[i][1]) - rooms[i] for i in everyone) - error
            if over <= _EXACT_MM:
                return solved
            if best is None or over < best[0]:
                best = (over, *solved)
    if best is None:
        return wanted[worst], -rooms[worst], [(worst, 1.0)]
    return best[1:]


def _between(
    wanted: Sequence[Point], rooms: Sequence[float], places: list[int]
) -> tuple[Point, float, list[tuple[int, float]]] | None:
    """The point equally badly off at two or three places, or None where they do not decide it."""
    if len(places) == 2:
        return _between_two(wanted, rooms, *places)
    return _between_three(wanted, rooms, places)


def _between_two(
    wanted: Sequence[Point], rooms: Sequence[float], i: int, k: int
) -> tuple[Point, float, list[tuple[int, float]]] | None:
    dx, dy = _minus(wanted[k], wanted[i])
    apart = hypot(dx, dy)
    if apart <= abs(rooms[i] - rooms[k]):
        loose = i if rooms[i] < rooms[k] else k  # one place has room to spare for the other
        return wanted[loose], -rooms[loose], [(loose, 1.0)]
    error = (apart - rooms[i] - rooms[k]) / 2
    along = (error + rooms[i]) / apart
    return (wanted[i][0] + dx * along, wanted[i][1] + dy * along), error, [(i, 0.5), (k, 0.5)]


def _between_three(
    wanted: Sequence[Point], rooms: Sequence[float], places: list[int]
) -> tuple[Point, float, list[tuple[int, float]]] | None:
    """Apollonius' problem: distance to each of three places = error + its room; one linear pair, then a quadratic."""
    i, k, m = places
    (ax, ay), (bx, by) = _minus(wanted[k], wanted[i]), _minus(wanted[m], wanted[i])
    cross = ax * by - ay * bx
    if abs(cross) < 1e-18:
        return None
    ra, rb = rooms[k] - rooms[i], rooms[m] - rooms[i]
    # With z = distance to place i: 2 a.t = |a|^2 - ra^2 - 2 ra z, and the same for b.
    fa, fb = (ax * ax + ay * ay - ra * ra) / 2, (bx * bx + by * by - rb * rb) / 2
    px, py = (fa * by - fb * ay) / cross, (ax * fb - bx * fa) / cross
    qx, qy = (-ra * by + rb * ay) / cross, (-ax * rb + bx * ra) / cross
    for z in _roots(qx * qx + qy * qy - 1, px * qx + py * qy, px * px + py * py):
        tx, ty = px + qx * z, py + qy * z
        if z < 0 or z + ra < 0 or z + rb < 0:
            continue
        weights = _balance([_direction((tx, ty)), _direction((tx - ax, ty - ay)), _direction((tx - bx, ty - by))])
        if weights:
            shift = (wanted[i][0] + tx, wanted[i][1] + ty)
            return shift, z - rooms[i], list(zip(places, weights, strict=True))
    return None


def _roots(a: float, half_b: float, c: float) -> list[float]:
    """Roots of a z^2 + 2 half_b z + c, the smaller first."""
    if abs(a) < 1e-15:
        return [] if half_b == 0 else [-c / (2 * half_b)]
    square = half_b * half_b - a * c
    if square < 0:
        return []
    root = sqrt(square)
    return sorted(((-half_b - root) / a, (-half_b + root) / a))


def _balance(directions: list[Point]) -> list[float] | None:
    """Weights >= 0, summing to 1, under which three directions cancel; None where they all point to one side."""
    (ux, uy), (vx, vy), (wx, wy) = directions
    raw = [vx * wy - vy * wx, wx * uy - wy * ux, ux * vy - uy * vx]
    total = sum(raw)
    if abs(total) < 1e-15:
        return None
    weights = [r / total for r in raw]
    return weights if min(weights) >= 0 else None


def _swing(p: Point, q: Point, h: Point, k: Point, slack: float) -> tuple[float, float]:
    """The angle that lines p-q up with h-k, and how far it may be off (radians) while the ends miss by ``slack``."""
    pin, hole = _minus(q, p), _minus(k, h)
    longer = max(hypot(*pin), hypot(*hole))
    middle = atan2(hole[1], hole[0]) - atan2(pin[1], pin[0])
    return middle, pi if slack >= longer else asin(max(slack, 0.0) / longer) + 1e-9


def _half_turn(angle_deg: float) -> float:
    """The same angle, above -180 and up to 180 degrees; the last bits are dropped so that a half turn reads 180."""
    return round(180.0 - (180.0 - angle_deg) % 360.0, 9) + 0.0


def _error(point: Point, spot: Point, angle: float, shift: Point) -> float:
    x, y = _turned(point, angle)
    return hypot(x + shift[0] - spot[0], y + shift[1] - spot[1])


def _turned(point: Point, angle: float) -> Point:
    co, si = cos(angle), sin(angle)
    return (point[0] * co - point[1] * si, point[0] * si + point[1] * co)


def _minus(a: Point, b: Point) -> Point:
    return (a[0] - b[0], a[1] - b[1])


def _direction(v: Point) -> Point:
    length = hypot(*v)
    return (v[0] / length, v[1] / length) if length else (0.0, 0.0)


def _xy(things: Sequence[Pin] | Sequence[Hole]) -> tuple[Point, ...]:
    return tuple((t.x_mm, t.y_mm) for t in things)


def _middle(points: Sequence[Point]) -> Point:
    """The middle of the box round the points (nought where there are none)."""
    xs, ys = [p[0] for p in points] or [0.0], [p[1] for p in points] or [0.0]
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def _centred(points: Sequence[Point]) -> tuple[Point, ...]:
    middle = _middle(points)
    return tuple(_minus(p, middle) for p in points)


def _distances(points: Sequence[Point]) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(hypot(*_minus(p, q)) for q in points) for p in points)
