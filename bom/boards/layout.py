"""Where a board's positions lie beside each other, as far as its files tell: each in its place and turn, or unknown.

A position may state where the zero of its holes lies on the board, and how far they are turned. Where none does, holes
that all keep clear of each other were given from one zero; holes that lie over each other were not, and where each
position lies is then not known.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import cos, hypot, radians, sin

from bom.boards.board import Board, Hole, HolePattern, Position

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Lying:
    """A position with its holes from the component side, in mm: from the board's zero, or from one of its own where
    ``placed`` is no. ``origin`` and ``turn_deg`` are what moved them there."""

    position: Position
    holes: tuple[Hole, ...]
    placed: bool
    origin: Point = (0.0, 0.0)
    turn_deg: float = 0.0

    def moved(self, point: Point) -> Point:
        """Where a point of the pattern lies, in mm."""
        return turned(point, self.turn_deg, self.origin)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of its holes' rims."""
        rims = [(h, (h.slot_mm or h.drill_mm or 0.0) / 2) for h in self.holes]
        return (
            min(h.x_mm - r for h, r in rims),
            min(h.y_mm - r for h, r in rims),
            max(h.x_mm + r for h, r in rims),
            max(h.y_mm + r for h, r in rims),
        )


def turned(point: Point, turn_deg: float, origin: Point) -> Point:
    """A point turned about zero, then shifted; x is to the right and y down, so a turn above 0 is clockwise.

    >>> turned((1.0, 0.0), 90.0, (10.0, 20.0))
    (10.0, 21.0)
    """
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    return round(point[0] * c - point[1] * s + origin[0], 9), round(point[0] * s + point[1] * c + origin[1], 9)


def laid_out(board: Board) -> tuple[Lying, ...]:
    """Every position that has holes, in the board's order."""
    drawn = [(p, pattern) for p in board.positions if (pattern := board.pattern_of(p)) is not None and pattern.holes]
    stated = any(p.x_mm is not None for p, _ in drawn)
    lying = tuple(_lying(p, pattern.from_component_side()) for p, pattern in drawn)
    if stated:
        return lying
    shared = len({pattern.name for _, pattern in drawn}) == len(drawn) and not any(_meet(lying))
    return tuple(replace(one, placed=shared or len(lying) == 1) for one in lying)


def _lying(position: Position, pattern: HolePattern) -> Lying:
    if position.x_mm is None or position.y_mm is None:
        return Lying(position, pattern.holes, placed=False)
    origin, turn = (position.x_mm, position.y_mm), position.turn_deg or 0.0
    holes = tuple(_moved(hole, turn, origin) for hole in pattern.holes)
    return Lying(position, holes, True, origin, turn)


def _moved(hole: Hole, turn: float, origin: Point) -> Hole:
    x, y = turned((hole.x_mm, hole.y_mm), turn, origin)
    angle = None if hole.slot_angle_deg is None else hole.slot_angle_deg + turn
    return replace(hole, x_mm=x, y_mm=y, slot_angle_deg=angle)


def _meet(lying: Sequence[Lying]) -> Iterator[bool]:
    """Whether the boxes of two positions touch, pair by pair."""
    for one, other in combinations(lying, 2):
        a, b = one.box, other.box
        yield a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def over_each_other(lying: Sequence[Lying]) -> Iterator[tuple[Lying, Lying]]:
    """Pairs of placed positions of which a hole lies over a hole of the other, which no board has."""
    for one, other in combinations([one for one in lying if one.placed], 2):
        if any(_over(h, k) for h in one.holes for k in other.holes):
            yield one, other


def _over(hole: Hole, other: Hole) -> bool:
    room = ((hole.drill_mm or 0.0) + (other.drill_mm or 0.0)) / 2
    return hypot(hole.x_mm - other.x_mm, hole.y_mm - other.y_mm) <= room
