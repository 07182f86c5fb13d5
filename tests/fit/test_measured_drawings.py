"""What goes in by less than it was measured to is tried on the board; what misses by less is unknown, never refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bom.boards.board import Hole, HolePattern
from bom.fit.answer import FitAnswer
from bom.fit.check import fit
from bom.fit.spacing import HoleSpacing, PinSpacing
from bom.relays.footprint import Footprint, Pin
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Outcome

PASS, CONDITION, FAIL, UNKNOWN = Outcome


def holes(pitch: float, error: float | None, drill: float | None = 1.0) -> HolePattern:
    return HolePattern("p", tuple(Hole(f"h{n}", n * pitch, 0.0, drill, error_mm=error) for n in range(2)))


def pins(pitch: float, error: float | None = None, lead: float = 0.6) -> Footprint:
    return Footprint("f", tuple(Pin(f"p{n}", n * pitch, 0.0, lead, error_mm=error) for n in range(2)))


@pytest.mark.parametrize(
    ("pitch", "of_holes", "of_pins", "outcome", "said"),
    [
        (10.0, None, None, PASS, "0.200 mm play"),
        (10.0, 0.19, None, PASS, "0.200 mm play"),
        (10.0, 0.10, 0.10, PASS, "0.200 mm play"),
        (10.0, 0.21, None, CONDITION, "measured to ±0.21 mm: print it at 1:1 and lay it on, or measure hole h0"),
        (10.0, 0.10, 0.11, CONDITION, "or measure pin p0 more closely"),
        (10.3, 0.05, None, PASS, "0.050 mm play"),
        (10.3, 0.06, None, CONDITION, "0.050 mm play at pin p0 in hole h0, measured to ±0.06 mm"),
        (10.36, 0.10, None, CONDITION, "0.020 mm play"),
        (10.5, None, None, FAIL, "misses hole h"),
        (10.5, 0.04, None, FAIL, "misses hole h"),
        (10.5, 0.06, None, UNKNOWN, "misses by 0.050 mm"),
        (10.5, 0.03, 0.03, UNKNOWN, "print it at 1:1 and lay it on"),
        (10.5, 0.0, 0.0, FAIL, "misses hole h"),
    ],
)
def test_the_error_is_held_against_the_play(
    pitch: float, of_holes: float | None, of_pins: float | None, outcome: Outcome, said: str
) -> None:
    answer = fit(pins(10.0, of_pins), holes(pitch, of_holes))
    assert answer.outcome is outcome
    assert said in answer.why


def test_a_size_that_nobody_stated_is_asked_first() -> None:
    answer = fit(pins(10.0, 0.5), holes(10.0, 0.5, drill=None))
    assert (answer.outcome, "measure the drill of hole" in answer.why) == (UNKNOWN, True)


def test_legs_to_be_dressed_stay_a_condition_with_its_doubt() -> None:
    answer = fit(pins(10.0), holes(10.5, 0.1), dressing_mm=0.1)
    assert answer.outcome is CONDITION
    assert answer.why.startswith("legs must be dressed by 0.050 mm") and "measured to ±0.10 mm" in answer.why


def test_of_two_ways_the_one_that_is_sure_serves() -> None:
    """Two pairs of holes: one with more play, whose holes nobody measured well."""
    drilled = ((0, 0, 1.2, 0.5), (10, 0, 1.2, 0.5), (0, 30, 1.0, None), (10, 30, 1.0, None))
    pattern = HolePattern("p", tuple(Hole(f"h{n}", *at, "", error_mm=e) for n, (*at, e) in enumerate(drilled)))
    answer = fit(pins(10.0), pattern)
    assert answer.outcome is PASS
    assert set(answer.assignment.values()) == {"h2", "h3"}


def wired(error: float | None) -> FitAnswer:
    """As measured the part goes in one way round, where its coil meets the contact's nets; the other way misses."""
    corners = ((0.0, 0.0), (10.0, 0.0), (10.9, 5.0), (0.0, 5.0))
    legs = Footprint("f", tuple(Pin(str(n), *at, 0.6) for n, at in enumerate(corners, 1)))
    made = zip("abcd", corners, strict=True)
    board = HolePattern("p", tuple(Hole(n, *at, 1.0, n.upper(), error_mm=error) for n, at in made))
    ours = Wiring("w", (Element("A", "1", Kind.COIL, "1", "2"), Element("A", "1", Kind.MAKE, "3", "4")))
    theirs = Wiring("v", (Element("A", "1", Kind.COIL, "c", "d"), Element("A", "1", Kind.MAKE, "a", "b")))
    return fit(legs, board, wiring=ours, expected=theirs)


@pytest.mark.parametrize(("error", "outcome"), [(None, FAIL), (0.01, FAIL), (0.4, UNKNOWN)])
def test_a_way_in_that_only_the_error_leaves_is_looked_at_for_its_nets(error: float | None, outcome: Outcome) -> None:
    assert wired(error).outcome is outcome


@pytest.mark.parametrize(("pitch", "error", "may"), [(10.5, None, False), (10.5, 0.04, False), (10.5, 0.06, True)])
def test_the_spacing_lets_by_what_the_error_leaves(pitch: float, error: float | None, may: bool) -> None:
    assert HoleSpacing.of(holes(pitch, error).holes).may_take(PinSpacing.of(pins(10.0).pins)) is may
    assert HoleSpacing.of(holes(pitch, None).holes).may_take(PinSpacing.of(pins(10.0, error).pins)) is may


def test_errors_travel_with_the_drawing_to_the_other_side() -> None:
    seen = replace(holes(10.5, 0.06), view=pins(1.0).view.SOLDER)
    assert fit(pins(10.0), seen).outcome is UNKNOWN
