"""A network of spans: its equations, whether it holds every hole, and which span would hold it better.

The slopes of the spans at some positions are the rigidity matrix of the network; what it does not hold are the ways in
which the pattern can still bend. At positions without any pattern of their own its rank depends only on which spans
there are (generic rigidity; in the plane 2 n - 3 well-chosen spans of n holes, by Pollaczek-Geiringer, 1927, and
Laman, 1970, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

import numpy as np

from bom.measure.least_squares import Adjusted, Numbers, adjusted, circles, in_own_datum, rigid_motions
from bom.measure.spans import Measured, Row, Span, standard

_TINY_MM = 1e-6
_LEAST_ERROR_MM = 1e-4  # what is stated as exact: far below what anyone measures
_STILL = 1e-6  # share of the largest bending from which on a distance is said to change


class Network:
    """The equations of a measured pattern: x and y of every name in order, then what each thing measures across.

    The readings are the spans, what things measure across, and how far each of a row is off the line.
    """

    def __init__(self, measured: Measured) -> None:
        self.names, self.spans = measured.names, measured.spans
        place = {name: n for n, name in enumerate(self.names)}
        edged = {end for s in self.spans if s.jaws.halves for end in (s.a, s.b)}
        self.across = tuple(a for a in measured.across if a.name in edged)
        widths = {a.name: 2 * len(self.names) + n for n, a in enumerate(self.across)}
        self.a, self.b = (np.array([place[getattr(s, end)] for s in self.spans], int) for end in ("a", "b"))
        self.mm = np.array([s.mm for s in self.spans])
        self.error = np.array([max(standard(s.error_mm), _LEAST_ERROR_MM) for s in self.spans])
        self.halves = np.array([s.jaws.halves for s in self.spans], float)
        self.width_of = np.array([[widths.get(s.a, 0), widths.get(s.b, 0)] for s in self.spans], int).reshape(-1, 2)
        self.rows = measured.rows
        self._inner = np.array(
            [[place[n] for n in (name, r.names[0], r.names[-1])] for r in measured.rows for name in r.names[1:-1]], int
        ).reshape(-1, 3)
        limits = [r.error_mm for r in measured.rows for _ in r.names[1:-1]]
        self._row_error = np.array([max(standard(limit), _LEAST_ERROR_MM) for limit in limits])
        self.own_mm = np.array([a.mm for a in self.across])
        self.own_error = np.array([max(standard(a.error_mm), _LEAST_ERROR_MM) for a in self.across])

    @property
    def holes(self) -> int:
        return len(self.names)

    @property
    def largest_error(self) -> float:
        """The largest error of any span, in mm."""
        return max(s.error_mm for s in self.spans)

    @property
    def unknowns(self) -> int:
        return 2 * self.holes + len(self.across)

    @property
    def own_readings(self) -> int:
        """How many readings there are of spans, widths and rows."""
        return len(self.spans) + len(self.across) + len(self._inner)

    @property
    def readings(self) -> int:
        return self.own_readings

    @cached_property
    def centre_mm(self) -> Numbers:
        """Each span as a distance between centres, by what the things measure across as stated."""
        own = np.concatenate((np.zeros(2 * self.holes), self.own_mm))
        found: Numbers = self.mm - self.halves * own[self.width_of].sum(axis=1) / 2 * (self.halves != 0)
        return found

    def with_own(self, points: Numbers) -> Numbers:
        """Rows of unknowns from positions (starts, holes, 2)."""
        return np.hstack((points.reshape(len(points), -1), np.tile(self.own_mm, (len(points), 1))))

    def points(self, unknowns: Numbers) -> Numbers:
        """Positions (holes, 2) of one row of unknowns."""
        return unknowns[: 2 * self.holes].reshape(-1, 2)

    def off(self, starts: Numbers) -> Numbers:
        apart = self._apart(starts)
        distance = np.hypot(apart[..., 0], apart[..., 1])
        widths = starts[:, self.width_of].sum(axis=2) / 2
        spans = (distance + self.halves * widths - self.mm) / self.error
        own = (starts[:, 2 * self.holes :] - self.own_mm) / self.own_error
        _, _, off_line = self._off_rows(starts)
        return np.hstack((spans, own, off_line / self._row_error))

    def slopes(self, starts: Numbers) -> Numbers:
        apart = self._apart(starts)
        distance = np.hypot(apart[..., 0], apart[..., 1])
        along = apart / np.maximum(distance, _TINY_MM)[..., None] / self.error[:, None]
        count, rows = len(self.spans), np.arange(len(self.spans))
        found = np.zeros((len(starts), self.readings, self.unknowns))
        for axis in (0, 1):
            found[:, rows, 2 * self.a + axis] = along[..., axis]
            found[:, rows, 2 * self.b + axis] = -along[..., axis]
        for end in (0, 1):
            edged = self.halves != 0
            found[:, rows[edged], self.width_of[edged, end]] += (self.halves / self.error / 2)[edged]
        own = np.arange(len(self.across))
        found[:, count + own, 2 * self.holes + own] = 1 / self.own_error
        self._row_slopes(starts, found[:, count + len(own) : self.own_readings])
        return found

    def _off_rows(self, starts: Numbers) -> tuple[Numbers, Numbers, Numbers]:
        """Of each inner one of a row: the direction across it, how far along it lies (0 first, 1 last), how far off."""
        points = starts[:, : 2 * self.holes].reshape(len(starts), -1, 2)
        inner, first, last = (points[:, self._inner[:, n]] for n in range(3))
        line, out = last - first, inner - first
        long = np.maximum(np.hypot(line[..., 0], line[..., 1]), _TINY_MM)[..., None]
        across = np.stack((-line[..., 1], line[..., 0]), axis=2) / long
        along = (out * line).sum(axis=2) / long[..., 0] ** 2
        return across, along, (out * across).sum(axis=2)

    def _row_slopes(self, starts: Numbers, into: Numbers) -> None:
        across, along, _ = self._off_rows(starts)
        rows = np.arange(len(self._inner))
        for hole, share in ((0, np.ones_like(along)), (1, along - 1), (2, -along)):
            for axis in (0, 1):
                into[:, rows, 2 * self._inner[:, hole] + axis] += share * across[..., axis] / self._row_error

    def _apart(self, starts: Numbers) -> Numbers:
        points = starts[:, : 2 * self.holes].reshape(len(starts), -1, 2)
        found: Numbers = points[:, self.a] - points[:, self.b]
        return found

    def used(self, without: Sequence[int] = ()) -> Numbers:
        """Which readings count, some spans being left out."""
        found = np.ones(self.readings, bool)
        found[list(without)] = False
        return found

    def adjusted(self, unknowns: Numbers, without: Sequence[int] = ()) -> Adjusted:
        return adjusted(self, unknowns, self.used(without))

    def covariance(self, solved: Adjusted) -> Numbers:
        """Of the holes' coordinates, in the pattern's own datum."""
        many = 2 * self.holes
        return in_own_datum(self.points(solved.unknowns), solved.cofactor[:many, :many])


@dataclass(frozen=True, slots=True)
class Bending:
    """How a pattern can still move though every span keeps its length: its positions, and the ways (each per hole)."""

    points: Numbers
    ways: Numbers

    @classmethod
    def of(cls, network: Network, solved: Adjusted) -> Bending:
        """What remains of what the spans do not hold once shifts and turns of the whole are taken out."""
        points = network.points(solved.unknowns)
        loose = solved.loose_ways[:, : 2 * network.holes]
        rigid, _ = np.linalg.qr(rigid_motions(points))
        rest = loose - loose @ rigid @ rigid.T
        _, sizes, ways = np.linalg.svd(rest, full_matrices=False)
        return cls(points, ways[sizes > 1e-6 * max(1.0, sizes.max(initial=0.0))])

    def stretch(self, i: int, k: int) -> float:
        """How much the distance of two holes changes, all ways together."""
        return float(np.hypot.reduce(self.ways @ self._along(i, k))) if len(self.ways) else 0.0

    def held(self, i: int, k: int) -> Bending:
        """What remains once the distance of these two is measured too."""
        along = self.ways @ self._along(i, k)
        if not np.any(np.abs(along) > _STILL):
            return self
        _, _, turned = np.linalg.svd(along[None])
        return Bending(self.points, turned[1:] @ self.ways)

    def _along(self, i: int, k: int) -> Numbers:
        apart = self.points[i] - self.points[k]
        row = np.zeros(2 * len(self.points))
        direction = apart / max(float(np.hypot(*apart)), _TINY_MM)
        row[2 * i : 2 * i + 2], row[2 * k : 2 * k + 2] = direction, -direction
        return row

    def body(self) -> frozenset[int]:
        """Many holes that all keep their distances to each other, the most that are found from any two of them."""
        pairs = combinations(range(len(self.points)), 2)
        return max((self._grown(pair) for pair in pairs if self.stretch(*pair) < _STILL), key=len, default=frozenset())

    def _grown(self, pair: tuple[int, int]) -> frozenset[int]:
        body = list(pair)
        for n in range(len(self.points)):
            if n not in body and all(self.stretch(n, other) < _STILL for other in body):
                body.append(n)
        return frozenset(body)


def to_measure(network: Network, bending: Bending) -> Iterator[tuple[str, str]]:
    """Pairs to measure until nothing bends any more, each the one that moves most against what is measured."""
    known = {s.ends for s in network.spans}
    while len(bending.ways):
        pairs = [p for p in combinations(range(network.holes), 2) if _ends(network, p) not in known]
        i, k = max(pairs, key=lambda p: round(bending.stretch(*p), 6), default=(0, 0))
        if i == k or bending.stretch(i, k) < _STILL:
            return
        yield network.names[i], network.names[k]
        known.add(_ends(network, (i, k)))
        bending = bending.held(i, k)


def _ends(network: Network, pair: tuple[int, int]) -> frozenset[str]:
    return frozenset((network.names[pair[0]], network.names[pair[1]]))


def ways_to_bend(spans: Sequence[Span], names: Sequence[str], rows: Sequence[Row] = ()) -> int:
    """How many more spans it takes at least until nothing bends, whatever the lengths are."""
    bare = tuple(Span(s.a, s.b, 1.0, 1.0) for s in spans)
    plain = Network(Measured(tuple(names), bare, rows=tuple(Row(r.names, 1.0) for r in rows)))
    somewhere = np.random.default_rng(1).normal(size=(1, plain.holes, 2))
    solved = plain.adjusted(plain.with_own(somewhere)[0])
    return solved.loose - (3 if plain.holes > 1 else 2)


@dataclass(frozen=True, slots=True)
class Better:
    """A span that is not measured yet, and the widest circle of any hole in mm once it is."""

    a: str
    b: str
    widest_mm: float


def best_next(network: Network, points: Numbers, covariance: Numbers, error_mm: float) -> Better | None:
    """The span that would narrow the widest circle most; None where all are measured."""
    known = {s.ends for s in network.spans}
    tried = [
        Better(network.names[i], network.names[k], _widest_with(points, covariance, (i, k), error_mm))
        for i, k in combinations(range(len(points)), 2)
        if _ends(network, (i, k)) not in known
    ]
    return min(tried, key=lambda b: b.widest_mm, default=None)


def _widest_with(points: Numbers, covariance: Numbers, pair: tuple[int, int], error_mm: float) -> float:
    """By one step of the filter that takes one more reading into a covariance."""
    row = Bending(points, np.zeros((0, 0)))._along(*pair)
    taken = covariance @ row
    return float(circles(covariance - np.outer(taken, taken) / (standard(error_mm) ** 2 + row @ taken)).max())
