"""Crowds: many drawings at once as arrays, all those with the same number of pins (or holes) together.

Every array's first axis is the drawing.  Positions are complex numbers, x + iy, in mm about the middle of the drawing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from bom.boards.board import Hole
from bom.relays.footprint import Pin

Floats = npt.NDArray[np.float64]
Points = npt.NDArray[np.complex128]
Whole = npt.NDArray[np.intp]
Marks = npt.NDArray[np.bool_]
Spot = TypeVar("Spot", Pin, Hole)
Size = Callable[[Spot], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Crowd:
    """Drawings with the same number of spots.

    ``which`` are their numbers in the list they were made from; ``radius`` a lead's or hole's half diameter, not a
    number where a drill is not stated (a lead not stated is as thin as air); ``reach`` the half diagonal of a flat lead
    of known angle, else nought, ``farthest`` the greatest of them; ``outermost`` the thinnest lead or the widest stated
    hole; ``spans`` the distances between any two spots, rising; ``breadth`` how far the spots spread about their
    middle, along and across (root mean square: the singular values of the centred positions over the root of p).
    """

    which: Whole  # (n,)
    spots: Points  # (n, p)
    radius: Floats  # (n, p)
    reach: Floats  # (n, p)
    stated: Marks  # (n,) whether every size is
    outermost: Floats  # (n,)
    farthest: Floats  # (n,)
    spans: Floats  # (n, p (p - 1) / 2)
    breadth: Floats  # (n, 2)

    @property
    def count(self) -> int:
        """How many spots each drawing has."""
        return int(self.spots.shape[1])

    def __len__(self) -> int:
        return len(self.which)


def crowds_of_pins(drawings: Sequence[Sequence[Pin]]) -> tuple[Crowd, ...]:
    """The pins of many footprints, seen from the component side."""
    return _crowds(drawings, _lead, np.fmin)


def crowds_of_holes(drawings: Sequence[Sequence[Hole]]) -> tuple[Crowd, ...]:
    """The holes of many patterns, seen from the component side."""
    return _crowds(drawings, _drill, np.fmax)


def _lead(pin: Pin) -> tuple[float, float]:
    radius = (pin.lead_diameter_mm or 0.0) / 2
    flat = pin.lead_width_mm is not None and pin.lead_angle_deg is not None
    return radius, radius if flat else 0.0


def _drill(hole: Hole) -> tuple[float, float]:
    return (float("nan") if hole.drill_mm is None else hole.drill_mm / 2), 0.0


def _crowds(drawings: Sequence[Sequence[Spot]], size: Size[Spot], pick: np.ufunc) -> tuple[Crowd, ...]:
    groups: dict[int, list[int]] = defaultdict(list)
    for number, drawing in enumerate(drawings):
        groups[len(drawing)].append(number)
    return tuple(_crowd(which, [drawings[n] for n in which], size, pick) for _, which in sorted(groups.items()))


def _crowd(which: Iterable[int], drawings: Sequence[Sequence[Spot]], size: Size[Spot], pick: np.ufunc) -> Crowd:
    shape = (len(drawings), len(drawings[0]))
    places = [complex(s.x_mm, s.y_mm) for d in drawings for s in d]
    spots: Points = np.array(places, dtype=np.complex128).reshape(shape)
    sizes = np.array([size(s) for d in drawings for s in d], dtype=np.float64).reshape(*shape, 2)
    if shape[1]:
        spots = spots - spots.mean(axis=1, keepdims=True)
    stated = np.array([all(_is_stated(s) for s in d) for d in drawings], dtype=np.bool_)
    outermost: Floats = pick.reduce(sizes[..., 0], axis=1, initial=np.nan)
    bounds = (stated, outermost, sizes[..., 1].max(axis=1, initial=0.0))
    around = (spans_of(spots), breadth_of(spots))
    return Crowd(np.array(which, dtype=np.intp), spots, sizes[..., 0], sizes[..., 1], *bounds, *around)


def _is_stated(spot: Pin | Hole) -> bool:
    return (spot.lead_mm if isinstance(spot, Pin) else spot.drill_mm) is not None


def spans_of(spots: Points) -> Floats:
    """The distances between any two spots of each drawing, rising."""
    one, other = np.triu_indices(spots.shape[1], 1)
    spans = np.abs(spots[:, one] - spots[:, other])
    spans.sort(axis=1)
    return spans


def breadth_of(spots: Points) -> Floats:
    """How far spots spread about their middle, the longer way first, in mm."""
    count = max(1, spots.shape[1])
    whole = (np.abs(spots) ** 2).sum(axis=1) / count
    lengthwise = np.abs((spots * spots).sum(axis=1)) / count
    both = np.stack((whole + lengthwise, np.maximum(whole - lengthwise, 0.0)), axis=1)
    breadth: Floats = np.sqrt(both / 2)
    return breadth


def farthest_two(points: Points) -> Whole:
    """The two spots farthest apart, of each drawing."""
    apart = np.abs(points[:, :, None] - points[:, None, :]).reshape(len(points), -1)
    return np.stack(np.divmod(apart.argmax(axis=1), points.shape[1]), axis=1)


def mirrored_crowd(pins: Crowd) -> Crowd:
    """The same pins seen from the other side."""
    return replace(pins, spots=pins.spots.conj())


def every(marks: Marks) -> Marks:
    """Whether all along the last axis hold."""
    held: Marks = np.logical_and.reduce(marks, axis=-1)
    return held


def some(marks: Marks) -> Marks:
    """Whether any along the last axis holds."""
    held: Marks = np.logical_or.reduce(marks, axis=-1)
    return held
