"""A pattern out of a picture: marks set on a photo or a scan, and spans that give it its scale and its perspective.

A flat scan shows the board as it is but for its size and turn: one span gives the size. A scanner whose carriage runs
a little fast or slow stretches one way: three spans. A photo shows a plane in perspective (a homography, R. Hartley and
A. Zisserman, *Multiple View Geometry in Computer Vision*, 2nd edition, chapter 2, from memory): five spans, or three
where the lens is known, since it then shows right angles as such. Positions, perspective and scale are found together
with marks and spans each in their own error, by the same least squares as a pattern out of spans alone.

All marks must lie in one plane, that of the board; a lens that bends straight lines is not allowed for, and shows in
what the spans are off.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import product

import numpy as np

from bom.measure.answer import WEAK_MM, Lacks, Next, Open, Pattern
from bom.measure.least_squares import Adjusted, Numbers, circles, in_own_datum, settle
from bom.measure.mistakes import EVIDENCE, cleaned
from bom.measure.network import Bending, Network, to_measure
from bom.measure.pattern import contradiction, frame_of, pattern_of, too_weak
from bom.measure.shapes import alike, differ, several
from bom.measure.spans import Measured, standard


@dataclass(frozen=True, slots=True)
class Mark:
    """Where a thing was marked on the picture: pixels from its upper left corner, to the right and down."""

    name: str
    x_px: float
    y_px: float


class Taken(StrEnum):
    """How the picture was taken."""

    SCAN = "scan"
    STRETCHED = "stretched scan"
    PHOTO = "photo"

    @property
    def needs(self) -> int:
        """How many spans it takes at least."""
        return {Taken.SCAN: 1, Taken.STRETCHED: 3, Taken.PHOTO: 5}[self]


@dataclass(frozen=True, slots=True)
class Lens:
    """How long the lens is in pixels, and the size of the whole picture, whose middle it looked at.

    ``error_share`` is how far off its length may be; common practice, no source.
    """

    focal_px: float
    width_px: float
    height_px: float
    error_share: float = 0.03


SMALL_FILM_DIAGONAL_MM = 43.27
"""Of the 36 mm x 24 mm that an equivalent focal length is stated for: its diagonal, by Pythagoras."""


def lens_of(equivalent_mm: float, width_px: float, height_px: float) -> Lens:
    """The lens by its focal length on 35 mm film, as cameras note it: pictures of one diagonal show one angle.

    >>> round(lens_of(26, 4000, 3000).focal_px)
    3004
    """
    return Lens(equivalent_mm / SMALL_FILM_DIAGONAL_MM * float(np.hypot(width_px, height_px)), width_px, height_px)


@dataclass(frozen=True, slots=True)
class Pictured:
    """A picture's marks, each off by ``error_px`` at most, and what was measured; ``helpers`` are marks that are no
    part of the pattern, such as the corners of a card of known size."""

    marks: tuple[Mark, ...]
    error_px: float
    measured: Measured
    taken: Taken
    lens: Lens | None = None
    helpers: frozenset[str] = frozenset()


# What each kind of picture leaves of the eight numbers of a homography (the ninth is 1), as a matrix from its own.
_SIMILAR = np.zeros((8, 4))
_SIMILAR[[0, 4], 0], _SIMILAR[3, 1], _SIMILAR[1, 1], _SIMILAR[2, 2], _SIMILAR[5, 3] = 1.0, 1.0, -1.0, 1.0, 1.0
_OF = {Taken.SCAN: _SIMILAR, Taken.STRETCHED: np.eye(8)[:, :6], Taken.PHOTO: np.eye(8)}


class PictureNetwork(Network):
    """The equations of spans and marks; behind the unknowns of the spans stand those of the picture.

    Pixels count from the picture's middle in units of the marks' spread, so that all numbers are about 1.
    """

    def __init__(self, pictured: Pictured) -> None:
        by_name = {m.name: m for m in pictured.marks}
        names = sorted(by_name, key=lambda name: name in pictured.helpers)
        told = pictured.measured
        super().__init__(Measured(tuple(names), told.spans, told.across, rows=told.rows))
        self.placed = len(names) - len(pictured.helpers & by_name.keys())
        pixels = np.array([[by_name[n].x_px, by_name[n].y_px] for n in names])
        lens = pictured.lens
        middle = pixels.mean(axis=0) if lens is None else np.array([lens.width_px, lens.height_px]) / 2
        self.unit = max(float(np.sqrt(((pixels - pixels.mean(axis=0)) ** 2).sum(axis=1).mean())), 1e-6)
        self.pixels = (pixels - middle) / self.unit
        self.mark_error = max(standard(pictured.error_px), 1e-4) / self.unit
        self.of = _OF[pictured.taken]
        self.focal = None if lens is None or pictured.taken is not Taken.PHOTO else lens.focal_px / self.unit
        self.lens_error = 1.0 if lens is None else standard(lens.error_share)

    @property
    def plain(self) -> int:
        """How many unknowns stand before those of the picture."""
        return 2 * self.holes + len(self.across)

    @property
    def unknowns(self) -> int:
        return self.plain + len(self.of[0])

    @property
    def readings(self) -> int:
        return self.own_readings + 2 * self.holes + (0 if self.focal is None else 2)

    def off(self, starts: Numbers) -> Numbers:
        seen = (self._seen(starts) - self.pixels) / self.mark_error
        return np.hstack((super().off(starts[:, : self.plain]), seen.reshape(len(starts), -1), self._lens_off(starts)))

    def slopes(self, starts: Numbers) -> Numbers:
        found = np.zeros((len(starts), self.readings, self.unknowns))
        first = self.own_readings
        found[:, :first, : self.plain] = super().slopes(starts[:, : self.plain])[:, :first, : self.plain]
        self._mark_slopes(starts, found[:, first : first + 2 * self.holes])
        if self.focal is not None:
            found[:, -2:, self.plain :] = self._lens_slopes(starts)
        return found

    def _view(self, starts: Numbers) -> Numbers:
        """The homographies, (starts, 3, 3)."""
        eight = starts[:, self.plain :] @ self.of.T
        return np.hstack((eight, np.ones((len(starts), 1)))).reshape(-1, 3, 3)

    def _spread(self, starts: Numbers) -> Numbers:
        """Every place as x, y, 1."""
        points = starts[:, : 2 * self.holes].reshape(len(starts), -1, 2)
        return np.concatenate((points, np.ones((*points.shape[:2], 1))), axis=2)

    def depth(self, starts: Numbers) -> Numbers:
        """How far before the picture each place lies, in some unit; not above 0 is behind it."""
        found: Numbers = np.einsum("bij,bnj->bni", self._view(starts), self._spread(starts))[:, :, 2]
        return found

    def _seen(self, starts: Numbers) -> Numbers:
        lies = np.einsum("bij,bnj->bni", self._view(starts), self._spread(starts))
        deep = np.where(np.abs(lies[:, :, 2:]) > 1e-9, lies[:, :, 2:], 1e-9)
        found: Numbers = lies[:, :, :2] / deep
        return found

    def _mark_slopes(self, starts: Numbers, into: Numbers) -> None:
        view, spread, seen = self._view(starts), self._spread(starts), self._seen(starts)
        deep = np.einsum("bj,bnj->bn", view[:, 2], spread)
        deep = np.where(np.abs(deep) > 1e-9, deep, 1e-9) * self.mark_error
        holes = np.arange(self.holes)
        for axis in (0, 1):
            rows = 2 * holes + axis
            for of in (0, 1):
                by = (view[:, None, axis, of] - seen[:, :, axis] * view[:, None, 2, of]) / deep
                into[:, rows, 2 * holes + of] = by
            eight = np.zeros((*seen.shape[:2], 8))
            eight[:, :, 3 * axis : 3 * axis + 3] = spread
            eight[:, :, 6:8] = -seen[:, :, axis, None] * spread[:, :, :2]
            into[:, rows, self.plain :] = eight @ self.of / deep[:, :, None]

    def _lens_off(self, starts: Numbers) -> Numbers:
        """The board's axes, as the lens shows them, are square to each other and alike: by how much they are not."""
        if self.focal is None:
            return np.zeros((len(starts), 0))
        view = self._view(starts)
        axes = np.concatenate((view[:, :2, :2] / self.focal, view[:, 2:, :2]), axis=1)
        x, y = axes[:, :, 0], axes[:, :, 1]
        long = np.linalg.norm(x, axis=1) * np.linalg.norm(y, axis=1) + 1e-12
        square = (x * y).sum(axis=1) / long
        even = ((x * x).sum(axis=1) - (y * y).sum(axis=1)) / (2 * long)
        found: Numbers = np.stack((square, even), axis=1) / self._lens_sigma(axes)
        return found

    def _lens_sigma(self, axes: Numbers) -> Numbers:
        """What the lens's own error makes of it, which grows with the tilt; never quite 0."""
        tilt = (axes[:, 2] ** 2).sum(axis=1) / ((axes**2).sum(axis=(1, 2)) + 1e-12)
        found: Numbers = np.maximum(2 * self.lens_error * tilt, 1e-4)[:, None]
        return found

    def _lens_slopes(self, starts: Numbers) -> Numbers:
        """By differences; what the tilt makes of the error is held still."""
        found = np.zeros((len(starts), 2, self.of.shape[1]))
        for n in range(self.of.shape[1]):
            step = np.zeros(self.unknowns)
            step[self.plain + n] = 1e-6 * max(1e-3, float(np.abs(starts[:, self.plain + n]).max()))
            change = self._lens_off(starts + step) - self._lens_off(starts - step)
            found[:, :, n] = change / (2 * step[self.plain + n])
        return found

    def covariance(self, solved: Adjusted) -> Numbers:
        """Of the coordinates of what is part of the pattern, in its own datum."""
        many = 2 * self.placed
        return in_own_datum(self.points(solved.unknowns)[: self.placed], solved.cofactor[:many, :many])

    def starts(self) -> Numbers:
        """The marks as if the picture were taken squarely, and tilted one way and another, scaled by the spans."""
        tilts = (0.0,) if self.of.shape[1] < 8 else (-0.25, 0.0, 0.25)
        stretches = (1.0,) if self.of.shape[1] < 6 else (0.75, 1.0, 1.3)
        return np.array([self._start(*how) for how in product(tilts, tilts, stretches)])

    def _start(self, across: float, down: float, stretch: float) -> Numbers:
        deep = 1 + self.pixels @ np.array([across, down])
        flat = self.pixels / np.maximum(deep, 0.1)[:, None] * np.array([1.0, stretch])
        apart = np.linalg.norm(flat[self.a] - flat[self.b], axis=1)
        size = float(np.median(self.centre_mm / np.maximum(apart, 1e-6))) if len(self.spans) else 1.0
        back = np.array([[size, 0, 0], [0, size * stretch, 0], [across, down, 1.0]])
        view = np.linalg.inv(back)
        own = np.linalg.lstsq(self.of, (view / view[2, 2]).ravel()[:8], rcond=None)[0]
        return np.concatenate(((flat * size).ravel(), self.own_mm, own))


def find_in_picture(pictured: Pictured) -> Pattern | Open:
    """The pattern that marks and spans give together, or what is open."""
    network = PictureNetwork(pictured)
    found = _solutions(network)
    best = cleaned(network, found[0])
    if best.solved.loose > _RIGID:
        return _untied(network, best.solved)
    if best.suspects:
        return contradiction(network, best)
    points, covariance = network.points(best.solved.unknowns)[: network.placed], network.covariance(best.solved)
    wide = circles(covariance)
    if wide.max() > WEAK_MM:
        return too_weak(network, points, covariance, wide)
    others = [network.points(other)[: network.placed] for other in found[1:]]
    if rivals := [other for other in others if differ(points, other, wide)]:
        return replace(several(network, (), [points, *rivals]), turn=None)
    return pattern_of(network, best, points, covariance, frame_of(points, mirrored=False))


_RIGID = 3


def _solutions(network: PictureNetwork) -> list[Numbers]:
    """Unknowns of every way of seeing it that agrees about as well as the best, that first; none from behind."""
    settled = settle(network, network.starts(), robust=True)
    seen = [n for n in np.argsort(settled.left, kind="stable") if _from_before(network, settled.unknowns[n])]
    seen = seen or [int(np.argmin(settled.left))]
    least, found = settled.left[seen[0]], list[Numbers]()
    for at in (settled.unknowns[n] for n in seen if settled.left[n] <= least + EVIDENCE):
        if not any(alike(network.points(at), network.points(other)) for other in found):
            found.append(at)
    return found


def _from_before(network: PictureNetwork, unknowns: Numbers) -> bool:
    view = network._view(unknowns[None])[0]
    return bool((network.depth(unknowns[None]) > 0).all() and np.linalg.det(view) > 0)


def _untied(network: PictureNetwork, solved: Adjusted) -> Open:
    """Spans that tie the picture down: those that change most in the ways that it may still be drawn out."""
    bending = Bending.of(network, solved)
    lacking = solved.loose - _RIGID
    pairs = tuple(Next(*pair) for pair in to_measure(network, bending))[:lacking]
    return Open(Lacks.PERSPECTIVE, pairs, at_least=lacking)
