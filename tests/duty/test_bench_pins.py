"""What a meter says of numbered pins settles which relay it is, which way it lies, and whether a contact has welded."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD

from bom.duty.bench_pins import ways_over
from bom.duty.bench_reading import Seen
from bom.duty.identify import Identification, identify
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import CoilSystem, Design, Relay
from bom.relays.wiring import Element, Kind, Wiring

SPOTS = {"A1": (0.0, 0.0), "A2": (0.0, 10.0), "11": (5.0, 4.0), "14": (12.0, 0.0), "12": (12.0, 10.0)}
GRID = tuple(SPOTS.values())  # measured in the order of the names: 1 = A1, 2 = A2, 3 = 11, 4 = 14, 5 = 12
DRAWN = Footprint("five", tuple(Pin(n, x, y, 0.8) for n, (x, y) in SPOTS.items()))


def wired(coil: tuple[str, str] = ("A1", "A2"), make: str = "14", rest: str = "12", com: str = "11") -> Wiring:
    contacts = [Element("A", "", Kind.MAKE, com, make)] + ([Element("A", "", Kind.BREAK, com, rest)] if rest else [])
    return Wiring("w", (Element("A", "", Kind.COIL, *coil), *contacts))


def part(number: str, wiring: Wiring | None, drawn: Footprint = DRAWN, relay: Relay = OLD) -> Design:
    return Design(replace(relay, part_number=number), drawn, wiring)


CHANGEOVER, MAKE_ONLY = part("CO", wired()), part("NO", wired(rest=""))
SWAPPED, CROSSED = part("SWAPPED", wired(make="12", rest="14")), part("CROSSED", wired(coil=("14", "12"), make="A1"))


def found(seen: Seen, *parts: Design) -> Identification:
    return identify(240, 20, parts or (CHANGEOVER, MAKE_ONLY, SWAPPED), seen)


def names(answer: Identification) -> list[str]:
    return sorted(c.relay.part_number for c in answer.candidates)


@pytest.mark.parametrize(
    ("joined", "side", "left"),
    [
        (((3, 5),), View.COMPONENT, ["CO"]),
        (((3, 4),), View.COMPONENT, ["SWAPPED"]),
        ((), View.COMPONENT, ["NO"]),
        (None, View.COMPONENT, ["CO", "NO", "SWAPPED"]),
    ],
)
def test_what_is_joined_at_rest_tells_the_contacts(
    joined: tuple[tuple[int, int], ...] | None, side: View, left: list[str]
) -> None:
    assert names(found(Seen(grid=GRID, joined=joined, side=side))) == left


def test_the_coils_pins_tell_which_way_a_drawing_is_wired() -> None:
    seen = Seen(grid=GRID, coil_pins=(2, 1), side=View.COMPONENT)
    assert names(found(seen, CHANGEOVER, CROSSED)) == ["CO"]
    assert names(found(replace(seen, coil_pins=(4, 5)), CHANGEOVER, CROSSED)) == ["CROSSED"]


def test_coil_and_contacts_must_agree_in_one_and_the_same_way() -> None:
    """Turned over its own symmetry the pattern offers two ways; each of the two answers alone would be right in one."""
    spots = {"1": (0.0, 0.0), "2": (10.0, 0.0), "3": (0.0, 6.0), "4": (10.0, 6.0)}
    drawn = Footprint("four", tuple(Pin(n, x, y, 0.8) for n, (x, y) in spots.items()))
    rest = Wiring("w", (Element("A", "", Kind.COIL, "1", "2"), Element("A", "", Kind.BREAK, "3", "4")))
    whole, grid = part("X", rest, drawn), tuple(spots.values())
    assert names(found(Seen(grid=grid, coil_pins=(1, 2), joined=((3, 4),)), whole)) == ["X"]
    assert names(found(Seen(grid=grid, coil_pins=(3, 4), joined=((1, 2),)), whole)) == ["X"]
    assert names(found(Seen(grid=grid, coil_pins=(1, 2), joined=((1, 2),)), whole)) == []


def test_the_side_it_was_looked_at_from_tells_mirrored_drawings_apart() -> None:
    mirrored = tuple((-x, y) for x, y in GRID)
    assert len(list(ways_over(mirrored, DRAWN, None))) == 1
    assert names(found(Seen(grid=mirrored, side=View.SOLDER), CHANGEOVER)) == ["CO"]
    assert names(found(Seen(grid=mirrored, side=View.COMPONENT), CHANGEOVER)) == []
    from_below = replace(DRAWN, pins=tuple(replace(p, x_mm=-p.x_mm) for p in DRAWN.pins), view=View.SOLDER)
    assert names(found(Seen(grid=GRID, side=View.COMPONENT), part("CO", wired(), from_below))) == ["CO"]


def test_a_relay_that_latches_may_rest_either_way() -> None:
    latching = part("L", wired(), relay=replace(OLD, coil_system=CoilSystem.LATCHING_1_COIL))
    for joined in (((3, 5),), ((3, 4),)):
        assert names(found(Seen(grid=GRID, joined=joined, side=View.COMPONENT), latching)) == ["L"]
    assert names(found(Seen(grid=GRID, joined=(), side=View.COMPONENT), latching)) == []


def test_a_wiring_that_is_not_known_keeps_the_relay_in() -> None:
    answer = found(Seen(grid=GRID, joined=((3, 5),), coil_pins=(1, 2)), part("?", None))
    assert [c.fits for c in answer.candidates[0].compared if c.what in ("joined at rest", "coil between")] == [None] * 2


def test_a_welded_contact_is_a_near_miss_and_another_coil_is_none() -> None:
    """Resting on nothing: one group is otherwise. A coil between other pins is another relay."""
    resting = Seen(grid=GRID, joined=(), side=View.COMPONENT)
    assert [c.relay.part_number for c in found(resting, CHANGEOVER).near_misses] == ["CO"]
    elsewhere = Seen(grid=GRID, coil_pins=(4, 5), side=View.COMPONENT)
    assert found(elsewhere, CHANGEOVER).near_misses == ()


@pytest.mark.parametrize(
    ("seen", "near"),
    [
        (Seen(height_mm=15.4), True),
        (Seen(height_mm=15.6), False),
        (Seen(pins=6), True),
        (Seen(pins=8), False),
        (Seen(print_text="XO"), True),
        (Seen(print_text="TW2"), False),
        (Seen(click_volts=10.0), True),
        (Seen(click_volts=11.0), False),
        (Seen(grid=tuple((x * 1.05, y * 1.05) for x, y in GRID)), True),
        (Seen(grid=tuple((x * 1.2, y * 1.2) for x, y in GRID)), False),
    ],
)
def test_a_near_miss_is_near(seen: Seen, near: bool) -> None:
    """8.4 V at most, so to 10.5 V; a body of 14 mm to 15.5 mm; one pin more or less; one character otherwise."""
    relay = replace(OLD, body_height_mm=14.0)
    assert bool(found(seen, part("CO", wired(), relay=relay)).near_misses) is near


def test_the_meter_is_asked_for_where_it_would_tell() -> None:
    asks = [t.ask for t in found(Seen(grid=GRID)).telling]
    assert "which pins are joined at rest" in asks and "which two pins the coil lies between" not in asks
    crossed = [t.ask for t in found(Seen(grid=GRID), CHANGEOVER, part("P", wired(coil=("A1", "11"), com="A2"))).telling]
    assert "which two pins the coil lies between" in crossed


def test_what_is_joined_at_rest_tells_nothing_of_a_relay_that_latches() -> None:
    """It rests either way: either answer may be its own."""
    latching = part("LATCH", wired(), relay=replace(OLD, coil_system=CoilSystem.LATCHING_2_COIL))
    asks = [t.ask for t in found(Seen(grid=GRID), latching, MAKE_ONLY).telling]
    assert "which pins are joined at rest" not in asks


def test_another_contact_is_no_near_miss() -> None:
    seen = Seen(grid=GRID, joined=((3, 4),), side=View.COMPONENT)
    assert found(seen, CHANGEOVER).near_misses == ()


@pytest.mark.parametrize(("apart", "ways"), [(10.9, 2), (11.1, 0), (9.1, 2), (8.9, 0)])
def test_two_pins_may_be_a_millimetre_nearer_or_farther_than_drawn(apart: float, ways: int) -> None:
    pair = Footprint("two", (Pin("1", 3, 1, 0.8), Pin("2", 3, 11, 0.8)))
    assert len(list(ways_over(((7.0, 2.0), (7.0 + apart, 2.0)), pair, View.COMPONENT))) == ways


@pytest.mark.parametrize(("off", "ways"), [(0.5, 1), (1.2, 0)])
def test_the_places_farthest_apart_fix_the_turn(off: float, ways: int) -> None:
    """Two pins 1 mm apart, 20 mm from a third; one of the two was measured off to the side."""
    drawn = Footprint("three", (Pin("1", 4, 9, 0.8), Pin("2", 24, 9, 0.8), Pin("3", 24, 10, 0.8)))
    grid = ((7.0, 3.0), (27.0, 3.0 - off), (27.0 + off, 4.0))
    assert len(list(ways_over(grid, drawn, View.COMPONENT))) == ways


@pytest.mark.parametrize(("off", "ways"), [(0.95, 1), (1.05, 0)])
def test_each_pin_may_lie_a_millimetre_off_its_drawing(off: float, ways: int) -> None:
    moved = (*GRID[:2], (GRID[2][0] + off, GRID[2][1]), *GRID[3:])
    assert len(list(ways_over(moved, DRAWN, View.COMPONENT))) == ways
