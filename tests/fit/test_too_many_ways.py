"""Patterns with more ways of pairing pins with holes than can be tried: answered in time, and never refused."""

from __future__ import annotations

from math import cos, pi, sin
from time import process_time

import pytest

from bom.boards.board import Hole, HolePattern
from bom.fit.check import fit
from bom.fit.placement_cache import PlacementCache
from bom.relays.footprint import Footprint, Pin
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Outcome

Points = list[tuple[float, float]]
LONGEST_S = 15.0  # of the processor; several times what the slowest takes


def pins(points: Points, lead: float = 0.8) -> Footprint:
    return Footprint("pins", tuple(Pin(str(n), x, y, lead) for n, (x, y) in enumerate(points, 1)))


def holes(points: Points, drill: float | None = 1.1) -> HolePattern:
    return HolePattern("holes", tuple(Hole(f"h{n}", x, y, drill) for n, (x, y) in enumerate(points, 1)))


def grid(columns: int, rows: int, pitch: float) -> Points:
    return [(column * pitch, row * pitch) for column in range(columns) for row in range(rows)]


def ring(count: int, radius: float = 8.0) -> Points:
    return [(radius * cos(2 * pi * n / count), radius * sin(2 * pi * n / count)) for n in range(count)]


TOO_MANY = [
    (pins(grid(8, 5, 1.27), 0.4), holes(grid(8, 5, 1.27), None)),
    (pins(grid(2, 2, 5)), holes(grid(2, 2, 5) * 10)),
    (pins([(0, 0)] * 10), holes([(0, 0)] * 10)),
    (pins(grid(4, 4, 2.54), 0.3), holes(grid(4, 4, 2.54), 6.0)),
]


@pytest.mark.parametrize(("footprint", "pattern"), TOO_MANY)
def test_what_has_more_ways_than_can_be_tried_is_answered_in_time_and_never_refused(
    footprint: Footprint, pattern: HolePattern
) -> None:
    start = process_time()
    answer = fit(footprint, pattern)
    assert process_time() - start < LONGEST_S
    assert answer.outcome is not Outcome.FAIL and answer.assignment


def wiring(name: str, ends: list[tuple[Kind, str, str]]) -> Wiring:
    return Wiring(name, tuple(Element("A", "1", kind, a, b) for kind, a, b in ends))


def test_where_no_way_tried_connects_and_there_are_more_nobody_knows() -> None:
    """Ten pins among twenty holes that lie in pairs on the same spots; the wiring asks for what none of them gives."""
    spots = grid(5, 2, 2.54)
    ours = wiring("ours", [(Kind.COIL, "1", "2"), (Kind.MAKE, "3", "4")])
    theirs = wiring("theirs", [(Kind.COIL, "h1", "h2"), (Kind.MAKE, "h3", "h9")])
    answer = fit(pins(spots), holes(spots * 2), wiring=ours, expected=theirs)
    assert answer.outcome is Outcome.UNKNOWN
    assert "10 pins and 20 holes so close together, or so many, that not every way can be tried" in answer.why
    assert "none of them connects alike" in answer.why


def test_a_whole_board_is_not_searched() -> None:
    answer = fit(pins(grid(2, 2, 5)), holes(grid(40, 30, 2.54)))
    assert answer.outcome is Outcome.UNKNOWN and "leave out what is not round the position" in answer.why


def test_a_search_cut_short_is_not_stored() -> None:
    cache = PlacementCache()
    tried = cache.look_up(pins([(0, 0)] * 10).pins, holes([(0, 0)] * 10).holes, 0.0)
    assert not tried.whole and not cache.hand_out()
