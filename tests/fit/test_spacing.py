"""Which parts the distances between their pins leave out of a pattern at once."""

from __future__ import annotations

import pytest

from bom.boards.board import Hole
from bom.fit.placement import place
from bom.fit.spacing import HoleSpacing, PinSpacing
from bom.relays.footprint import Pin


def two_pins(apart: float, lead: float | None = 0.8) -> PinSpacing:
    return PinSpacing.of([Pin("1", 0, 0, lead), Pin("2", apart, 0, lead)])


def two_holes(apart: float, drill: float | None = 1.0, dressing_mm: float = 0.0) -> HoleSpacing:
    return HoleSpacing.of([Hole("a", 0, 0, drill), Hole("b", 0, apart, drill)], dressing_mm)


@pytest.mark.parametrize(
    ("pins", "holes", "may"),
    [
        (two_pins(10.19), two_holes(10.0), True),  # 0.1 mm of room at either end
        (two_pins(10.21), two_holes(10.0), False),
        (two_pins(9.81), two_holes(10.0), True),
        (two_pins(9.79), two_holes(10.0), False),
        (two_pins(10.0, 1.1), two_holes(10.0), False),  # thicker than the holes
        (two_pins(10.59), two_holes(10.0, dressing_mm=0.2), True),
        (two_pins(10.61), two_holes(10.0, dressing_mm=0.2), False),
        (two_pins(10.99, None), two_holes(10.0), True),  # a lead as thin as air
        (two_pins(11.01, None), two_holes(10.0), False),
        (two_pins(11.99), two_holes(10.0, None), True),  # a drill 1 mm too wide all round
        (two_pins(12.01), two_holes(10.0, None), False),
        (PinSpacing.of([Pin("1", 0, 0, 0.8)]), HoleSpacing.of([]), False),
        (PinSpacing.of([Pin("1", 0, 0, 0.8)]), two_holes(10.0), True),
    ],
)
def test_two_pins_need_two_holes_about_as_far_apart(pins: PinSpacing, holes: HoleSpacing, may: bool) -> None:
    assert holes.may_take(pins) is may


def test_flat_leads_may_be_further_off_across_their_thin_side() -> None:
    """0.5 x 0.9 mm in 1.3 mm: the diagonal leaves 0.135 mm, yet 0.2 mm off across the thin side all corners are in."""
    pins = [Pin("1", 0, 0, 0.9, 0.5, 90.0), Pin("2", 5, 0, 0.9, 0.5, 90.0)]
    holes = [Hole("a", 0, 0, 1.3), Hole("b", 5.4, 0, 1.3)]
    assert place(pins, holes) and HoleSpacing.of(holes).may_take(PinSpacing.of(pins))


def test_pins_just_as_far_apart_as_the_room_allows_may_go_in() -> None:
    assert two_holes(10.0).may_take(two_pins(10.2)) and two_holes(10.0).may_take(two_pins(9.8))


def test_no_leg_is_bent_where_nobody_allows_it() -> None:
    holes = HoleSpacing.of([Hole("a", 0, 0, 1.0), Hole("b", 0, 10, 1.0)])
    assert not holes.may_take(two_pins(10.21)) and holes.may_take(two_pins(10.19))


def test_three_pins_have_three_distances_the_longest_first() -> None:
    assert PinSpacing.of([Pin("1", 0, 0), Pin("2", 3, 0), Pin("3", 3, 4)]).apart == (5.0, 4.0, 3.0)
    assert HoleSpacing.of([Hole("a", 0, 0), Hole("b", 3, 0), Hole("c", 3, 4)]).apart == (3.0, 4.0, 5.0)


def test_no_pins_need_no_hole() -> None:
    assert HoleSpacing.of([]).may_take(PinSpacing.of([]))
