"""A pattern out of spans: where every hole lies and how surely, or what must be measured or said before that is known.

Never a position that the readings do not hold: where the pattern can bend, where a second shape agrees with the spans
as well, where the spans contradict each other and none can be blamed, or where nobody said which way round it goes, the
answer is what to do next.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

import numpy as np

from bom.measure.least_squares import Numbers, circles, settle
from bom.measure.mistakes import EVIDENCE, Cleaned, cleaned
from bom.measure.network import Bending, Network, best_next, to_measure, ways_to_bend
from bom.measure.spans import Measured, Span, Turn
from bom.measure.starts import starts

WEAK_MM = 0.5
"""A hole that is known no better than this is not known: half the pitch of the closest pins. Our own choice."""

_SAME_MM = 0.01  # by which two shapes may differ that are one
_MOST_SHAPES = 24
_AT_MOST = 25.0  # of a sum of squares is laid to one reading: it may be a mistake, however large
_CLEARLY = 4.0  # times the callipers' error: what tells two shapes apart
_WORTH_IT = 0.75  # of the widest circle: a span that leaves more is not worth proposing


@dataclass(frozen=True, slots=True)
class Spot:
    """One hole in mm, x to the right and y down; ``error_mm`` as ``least_squares.circles`` gives it."""

    name: str
    x_mm: float
    y_mm: float
    error_mm: float


@dataclass(frozen=True, slots=True)
class Checked:
    """A reading beside what the pattern gives for it; ``off_mm`` is reading less pattern, ``mistake`` left out."""

    span: Span
    fitted_mm: float
    mistake: bool = False

    @property
    def off_mm(self) -> float:
        return self.span.mm - self.fitted_mm


@dataclass(frozen=True, slots=True)
class Next:
    """A span to measure. ``either`` are the lengths that it has in shapes that agree so far; ``widest_mm`` the widest
    circle that is left once it is measured; ``again`` where it is measured already."""

    a: str
    b: str
    either: tuple[float, ...] = ()
    widest_mm: float | None = None
    again: bool = False


@dataclass(frozen=True, slots=True)
class Pattern:
    """The pattern found: every hole, every reading checked, how many readings there are to spare.

    ``covariance`` is that of x and y of each hole in turn, in mm squared. ``unchecked`` are spans in which a mistake of
    ``WEAK_MM`` would not show. ``better`` is the span that would sharpen it most, where that is worth it.
    """

    spots: tuple[Spot, ...]
    readings: tuple[Checked, ...]
    spare: int
    covariance: tuple[tuple[float, ...], ...]
    unchecked: tuple[Span, ...] = ()
    better: Next | None = None

    @property
    def widest_mm(self) -> float:
        return max(s.error_mm for s in self.spots)

    @property
    def mistakes(self) -> tuple[Checked, ...]:
        return tuple(r for r in self.readings if r.mistake)


class Lacks(StrEnum):
    """Why there is no pattern yet."""

    SPANS = "it can still bend"
    PERSPECTIVE = "the picture has no scale or perspective yet"
    WEAK = "it is held too loosely"
    SHAPES = "several shapes agree with the spans"
    AGREEMENT = "the spans contradict each other"
    TURN = "nobody said which way round it goes"
    OTHER_TURN = "no shape goes round as stated"


@dataclass(frozen=True, slots=True)
class Open:
    """No pattern yet: what it lacks, what to measure, and what to say instead where that does too.

    ``loose`` are the holes that still move against the rest, or the ends of what contradicts; ``turn`` is a turn whose
    statement would settle it; ``at_least`` so many more spans are needed whatever they are.
    """

    lacks: Lacks
    measure: tuple[Next, ...] = ()
    loose: tuple[str, ...] = ()
    turn: Turn | None = None
    at_least: int = 0
    widest_mm: float | None = None


def find_pattern(measured: Measured) -> Pattern | Open:
    """The pattern that these readings give, or what is open.

    >>> spans = [("a", "b", 3.0), ("b", "c", 4.0), ("a", "c", 5.0)]
    >>> told = Measured(("a", "b", "c"), tuple(Span(*s, 0.02) for s in spans), turns=(Turn("a", "b", "c"),))
    >>> [(s.name, round(s.x_mm, 2), round(s.y_mm, 2)) for s in find_pattern(told).spots]
    [('a', 0.0, 0.0), ('b', 3.0, 0.0), ('c', 3.0, 4.0)]
    """
    network = Network(measured)
    if lacking := ways_to_bend(measured.spans, measured.names, measured.rows):
        return _bending(network, lacking)
    shapes = [s for s in _shapes(network) if _goes_round(network, s, measured.turns)]
    if not shapes:
        return Open(Lacks.OTHER_TURN, loose=tuple(dict.fromkeys(n for t in measured.turns for n in (t.a, t.b, t.c))))
    best = cleaned(network, shapes[0])
    if best.suspects:
        return contradiction(network, best)
    if best.solved.loose > _RIGID:
        return _bending(network, best.solved.loose - _RIGID, best.mistakes)
    return _told(network, measured.turns, best, shapes)


def contradiction(network: Network, best: Cleaned) -> Open:
    """The spans to read again where they disagree and none can be blamed."""
    suspects = [network.spans[n] for n in best.suspects[:_MOST_PROPOSED]]
    ends = dict.fromkeys(end for span in suspects for end in (span.a, span.b))
    return Open(Lacks.AGREEMENT, tuple(Next(s.a, s.b, again=True) for s in suspects), tuple(ends))


def _bending(network: Network, lacking: int, without: Sequence[int] = ()) -> Open:
    """What holds the pattern, found at positions that agree with the spans there are."""
    bending = Bending.of(network, network.adjusted(_spread_out(network), without))
    body = bending.body()
    loose = tuple(name for n, name in enumerate(network.names) if n not in body)
    return Open(Lacks.SPANS, tuple(Next(*pair) for pair in to_measure(network, bending)), loose, at_least=lacking)


def _spread_out(network: Network) -> Numbers:
    """A shape that agrees with the spans and in which no two holes lie on each other, if there is one."""
    rough = settle(network, network.with_own(starts(network)[:_TRIED]))
    good = [u for u, left in zip(rough.unknowns, rough.left, strict=True) if left <= rough.left.min() + EVIDENCE]
    return max(good, key=lambda unknowns: _closest(network.points(unknowns)))


_TRIED = 32


def _closest(points: Numbers) -> float:
    return float((_distances(points) + np.diag([np.inf] * len(points))).min())


def _shapes(network: Network) -> list[Numbers]:
    """Rows of unknowns of every shape that agrees about as well as the best, that first; one of two mirror images."""
    rough = network.with_own(starts(network))
    settled = settle(network, rough, robust=True)
    worth = np.minimum(network.off(settled.unknowns) ** 2, _AT_MOST).sum(axis=1)
    found: list[Numbers] = []
    for number in np.argsort(worth, kind="stable"):
        if worth[number] > worth.min() + EVIDENCE or len(found) == _MOST_SHAPES:
            break
        at = settled.unknowns[number]
        if not any(alike(network.points(at), network.points(other)) for other in found):
            found.append(at)
    return found


def _distances(points: Numbers) -> Numbers:
    found: Numbers = np.linalg.norm(points[:, None] - points, axis=2)
    return found


def alike(one: Numbers, other: Numbers) -> bool:
    """Whether they are one shape, or mirror images."""
    return bool(np.abs(_distances(one) - _distances(other)).max() < _SAME_MM)


def laid_on(one: Numbers, other: Numbers) -> Numbers:
    """``other`` shifted, turned and, where that serves, mirrored so that it lies on ``one`` as well as it can (least
    squares; closed form)."""
    here, there = one - one.mean(axis=0), other - other.mean(axis=0)
    left, _, right = np.linalg.svd(there.T @ here)
    found: Numbers = there @ left @ right + one.mean(axis=0)
    return found


def differ(one: Numbers, other: Numbers, wide: Numbers) -> bool:
    """Whether some hole of the other shape lies outside its circle, in whichever mirror image."""
    return bool((np.linalg.norm(laid_on(one, other) - one, axis=1) > wide + _SAME_MM).any())


def too_weak(network: Network, points: Numbers, covariance: Numbers, wide: Numbers) -> Open:
    loose = tuple(name for name, r in zip(network.names, wide, strict=True) if r > WEAK_MM)
    better = best_next(network, points, covariance, largest_error(network))
    proposed = (Next(better.a, better.b, widest_mm=better.widest_mm),) if better else ()
    return Open(Lacks.WEAK, proposed, loose, widest_mm=float(wide.max()))


def largest_error(network: Network) -> float:
    return max(s.error_mm for s in network.spans)


def _told(network: Network, turns: Sequence[Turn], best: Cleaned, shapes: Sequence[Numbers]) -> Pattern | Open:
    """The pattern, unless it is too loose, not the only one, or nobody said which of two mirror images it is."""
    points, covariance = network.points(best.solved.unknowns), network.covariance(best.solved)
    wide = circles(covariance)
    if wide.max() > WEAK_MM:
        return too_weak(network, points, covariance, wide)
    others = [network.points(shape) for shape in shapes[1:]]
    if rivals := [other for other in others if differ(points, other, wide)]:
        return several(network, turns, [points, *rivals])
    told = next((t for t in turns if _way_round(network, points, t, 2 * float(wide.max()))), None)
    clearest = _clearest(network, points)
    if told is None and clearest is not None and _way_round(network, points, clearest, 2 * float(wide.max())):
        return Open(Lacks.TURN, turn=clearest)
    frame = frame_of(points, mirrored=told is not None and _way_round(network, points, told) < 0)
    return pattern_of(network, best, points, covariance, frame)


_RIGID = 3  # shifts along x and y, and a turn


def _way_round(network: Network, points: Numbers, turn: Turn, least_mm: float = 0.0) -> int:
    """1 where the shape goes round as the turn says, -1 where its mirror image does, 0 where the three lie about on a
    line: none is further than ``least_mm`` off the line through the other two."""
    a, b, c = (points[network.names.index(name)] for name in (turn.a, turn.b, turn.c))
    area = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    longest = max(float(np.hypot(*(p - q))) for p, q in ((a, b), (b, c), (a, c)))
    if abs(area) <= least_mm * longest:
        return 0
    return 1 if bool(area > 0) == turn.clockwise else -1


def _goes_round(network: Network, shape: Numbers, turns: Sequence[Turn]) -> bool:
    """Whether one of the two mirror images of a shape goes round as all turns say that it tells clearly."""
    clearly = _CLEARLY * largest_error(network)
    return len({_way_round(network, network.points(shape), turn, clearly) for turn in turns} - {0}) < 2


def _clearest(network: Network, points: Numbers) -> Turn | None:
    """The three holes farthest from lying on a line, as they go round one way."""

    def area(three: Sequence[int]) -> float:
        (a, b), (c, d) = (points[three[n]] - points[three[0]] for n in (1, 2))
        return abs(float(a * d - b * c))

    three = max(combinations(range(network.holes), 3), key=area, default=None)
    return None if three is None else _turn([network.names[n] for n in three])


def _turn(three: Sequence[str]) -> Turn:
    a, b, c = three
    return Turn(a, b, c)


def several(network: Network, turns: Sequence[Turn], shapes: Sequence[Numbers]) -> Open:
    """What tells the shapes apart: spans that differ among them, and a turn that only one of them has."""
    apart = [_distances(shape) for shape in shapes]
    measured = {s.ends for s in network.spans}
    pairs = [(i, k) for i, k in combinations(range(len(shapes[0])), 2) if _ends(network, i, k) not in measured]
    alike = set(combinations(range(len(shapes)), 2))
    proposed: list[Next] = []
    while alike and len(proposed) < _MOST_PROPOSED:
        told = {p: {(m, n) for m, n in alike if _tells(network, apart, p, m, n)} for p in pairs}
        best = max(pairs, key=lambda p: (len(told[p]), _gap(apart, p)), default=None)
        if best is None or not told[best]:
            break
        lengths = sorted({round(float(a[best]), 2) for a in apart})
        proposed.append(Next(network.names[best[0]], network.names[best[1]], tuple(lengths)))
        alike -= told[best]
    return Open(Lacks.SHAPES, tuple(proposed), turn=_telling_turn(network, turns, shapes), at_least=len(shapes))


_MOST_PROPOSED = 4


def _ends(network: Network, i: int, k: int) -> frozenset[str]:
    return frozenset((network.names[i], network.names[k]))


def _tells(network: Network, apart: Sequence[Numbers], pair: tuple[int, int], m: int, n: int) -> bool:
    return abs(float(apart[m][pair] - apart[n][pair])) > _CLEARLY * largest_error(network)


def _gap(apart: Sequence[Numbers], pair: tuple[int, int]) -> float:
    """The least by which this distance differs between any two shapes."""
    return min((abs(float(m[pair] - n[pair])) for m, n in combinations(apart, 2)), default=0.0)


def _telling_turn(network: Network, turns: Sequence[Turn], shapes: Sequence[Numbers]) -> Turn | None:
    """Three holes that go round one way in the first shape and the other way in all others, once one turn is stated."""
    if not turns:
        return _clearest(network, shapes[0])
    clearly = _CLEARLY * largest_error(network)
    sides = [_way_round(network, shape, turns[0]) or 1 for shape in shapes]
    for three in combinations(network.names, 3):
        first, *rest = (
            side * _way_round(network, s, _turn(three), clearly) for side, s in zip(sides, shapes, strict=True)
        )
        if first and all(way == -first for way in rest):
            return _turn(three)
    return None


def frame_of(points: Numbers, *, mirrored: bool) -> Numbers:
    """The turn, or the mirroring, that puts the second hole to the right of the first: new = old @ it."""
    (x, y), rest = points[1] - points[0], np.diag((1.0, -1.0 if mirrored else 1.0))
    if mirrored:
        y = -y
    long = max(float(np.hypot(x, y)), _SAME_MM)
    found: Numbers = rest @ np.array([[x, -y], [y, x]]) / long
    return found


def pattern_of(network: Network, best: Cleaned, points: Numbers, covariance: Numbers, frame: Numbers) -> Pattern:
    """The first of the network's names, as many as there are points, put into the frame; every span checked."""
    wide = circles(covariance)
    placed = (points - points[0]) @ frame
    spread = np.kron(np.eye(len(points)), frame)
    turned = spread.T @ covariance @ spread
    spots = tuple(
        Spot(name, float(x), float(y), float(r))
        for name, (x, y), r in zip(network.names[: len(points)], placed + 0.0, wide, strict=True)
    )
    off = network.off(best.solved.unknowns[None])[0][: len(network.spans)] * network.error
    readings = tuple(
        Checked(span, span.mm + float(rest), n in best.mistakes)
        for n, (span, rest) in enumerate(zip(network.spans, off, strict=True))
    )
    rows = tuple(map(tuple, turned.tolist()))
    unchecked, better = tuple(_unchecked(network, best)), _sharper(network, points, covariance)
    return Pattern(spots, readings, best.solved.spare, rows, unchecked, better)


_SHOWS = 4.13
"""Standard deviations of its residual by which a mistake shows four times in five, beside one false alarm in a thousand
(W. Baarda, *A testing procedure for use in geodetic networks*, 1968, from memory)."""


def _unchecked(network: Network, best: Cleaned) -> Iterator[Span]:
    there = [n for n in range(network.readings) if n not in best.mistakes]
    for n, share in zip(there, best.solved.share, strict=True):
        if n < len(network.spans) and _SHOWS * network.error[n] > WEAK_MM * np.sqrt(max(float(share), 0.0)):
            yield network.spans[n]


def _sharper(network: Network, points: Numbers, covariance: Numbers) -> Next | None:
    better = best_next(network, points, covariance, largest_error(network))
    if better is None or better.widest_mm > _WORTH_IT * float(circles(covariance).max()):
        return None
    return Next(better.a, better.b, widest_mm=better.widest_mm)
