"""A pattern out of spans: where every hole lies and how surely, or what must be measured or said before that is known.

Never a position that the readings do not hold: where the pattern can bend, where a second shape agrees with the spans
as well, where the spans contradict each other and none can be blamed, or where nobody said which way round it goes, the
answer is what to do next.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from bom.measure.answer import WEAK_MM, Checked, Lacks, Next, Open, Pattern, Spot
from bom.measure.least_squares import Numbers, circles, settle
from bom.measure.mistakes import EVIDENCE, Cleaned, cleaned
from bom.measure.network import Bending, Network, best_next, to_measure, ways_to_bend
from bom.measure.shapes import SAME_MM, alike, clearest, differ, distances, goes_round, several, way_round
from bom.measure.spans import Measured, Span, Turn
from bom.measure.starts import starts

_MOST_SHAPES = 24
_MOST_SUSPECTS = 4
_AT_MOST = 25.0  # of a sum of squares is laid to one reading: it may be a mistake, however large
_WORTH_IT = 0.75  # of the widest circle: a span that leaves more is not worth proposing


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
    shapes = [s for s in _shapes(network) if goes_round(network, s, measured.turns)]
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
    suspects = [network.spans[n] for n in best.suspects[:_MOST_SUSPECTS]]
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
    return float((distances(points) + np.diag([np.inf] * len(points))).min())


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


def too_weak(network: Network, points: Numbers, covariance: Numbers, wide: Numbers) -> Open:
    loose = tuple(name for name, r in zip(network.names, wide, strict=True) if r > WEAK_MM)
    better = best_next(network, points, covariance, network.largest_error)
    proposed = (Next(better.a, better.b, widest_mm=better.widest_mm),) if better else ()
    return Open(Lacks.WEAK, proposed, loose, widest_mm=float(wide.max()))


def _told(network: Network, turns: Sequence[Turn], best: Cleaned, shapes: Sequence[Numbers]) -> Pattern | Open:
    """The pattern, unless it is too loose, not the only one, or nobody said which of two mirror images it is."""
    points, covariance = network.points(best.solved.unknowns), network.covariance(best.solved)
    wide = circles(covariance)
    if wide.max() > WEAK_MM:
        return too_weak(network, points, covariance, wide)
    others = [network.points(shape) for shape in shapes[1:]]
    if rivals := [other for other in others if differ(points, other, wide)]:
        return several(network, turns, [points, *rivals])
    told = next((t for t in turns if way_round(network, points, t, 2 * float(wide.max()))), None)
    clearest_one = clearest(network, points)
    if told is None and clearest_one is not None and way_round(network, points, clearest_one, 2 * float(wide.max())):
        return Open(Lacks.TURN, turn=clearest_one)
    frame = frame_of(points, mirrored=told is not None and way_round(network, points, told) < 0)
    return pattern_of(network, best, points, covariance, frame)


_RIGID = 3  # shifts along x and y, and a turn


def frame_of(points: Numbers, *, mirrored: bool) -> Numbers:
    """The turn, or the mirroring, that puts the second hole to the right of the first: new = old @ it."""
    (x, y), rest = points[1] - points[0], np.diag((1.0, -1.0 if mirrored else 1.0))
    if mirrored:
        y = -y
    long = max(float(np.hypot(x, y)), SAME_MM)
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
    better = best_next(network, points, covariance, network.largest_error)
    if better is None or better.widest_mm > _WORTH_IT * float(circles(covariance).max()):
        return None
    return Next(better.a, better.b, widest_mm=better.widest_mm)
