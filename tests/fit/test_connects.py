"""Wiring: a drawing from the other side, a two-pole part for a twin, a latching part, a diode the wrong way round, and
each other way a relay can connect otherwise."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bom.boards.board import Hole, HolePattern
from bom.fit.check import coil_system_finding, fit
from bom.fit.coil_polarity import CoilFeed, coil_polarity, plus_first
from bom.fit.connects import connects_alike
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import CoilSystem
from bom.relays.wiring import Element, Kind, Transfer, Wiring
from bom.values.finding import Outcome

MONO, LATCH_1, LATCH_2 = CoilSystem
SPOTS = {"1": (0, 0), "2": (0, 10), "3": (5, 5), "4": (12, 0), "5": (12, 10)}


def coil(unit: str, plus: str, minus: str, polarised: bool = False) -> Element:
    return Element(unit, "", Kind.COIL, plus, minus, polarised)


def changeover(unit: str, com: str, make: str, rest: str, pole: str = "") -> tuple[Element, Element]:
    return Element(unit, pole, Kind.MAKE, com, make), Element(unit, pole, Kind.BREAK, com, rest)


def wiring(*elements: Element) -> Wiring:
    return Wiring("w", elements)


SINGLE = wiring(coil("A", "1", "2"), *changeover("A", "3", "4", "5"))
NETS = {"1": "P12", "2": "DRV", "3": "MOT", "4": "BAT", "5": "GND"}


def holes(nets: dict[str, str], view: View = View.COMPONENT) -> HolePattern:
    placed = tuple(Hole(n, *SPOTS.get(n, (int(n), 0)), 1.3, net) for n, net in nets.items())
    return HolePattern("p", placed, view)


def straight(nets: dict[str, str]) -> dict[str, str]:
    return {name: name for name in nets}


def single(view: View = View.COMPONENT) -> Footprint:
    return Footprint("single", tuple(Pin(n, x, y, 0.8) for n, (x, y) in SPOTS.items()), view)


TWIN_NETS = {
    "1": "P12", "2": "DRV_A", "3": "MOT_P", "4": "BAT", "5": "GND",
    "6": "P12", "7": "DRV_B", "8": "MOT_N", "9": "BAT", "10": "GND",
}  # fmt: skip
TWIN = wiring(
    coil("A", "1", "2"),
    *changeover("A", "3", "4", "5"),
    coil("B", "6", "7"),
    *changeover("B", "8", "9", "10"),
)
TWO_POLE = wiring(coil("A", "1", "2"), *changeover("A", "3", "4", "5", "1"), *changeover("A", "8", "9", "10", "2"))


def test_the_same_wiring_connects_alike() -> None:
    assert connects_alike(straight(TWIN_NETS), TWIN, TWIN, holes(TWIN_NETS)).outcome is Outcome.PASS


def test_units_may_change_places_whole() -> None:
    swapped = dict(zip(TWIN_NETS, ["6", "7", "8", "9", "10", "1", "2", "3", "4", "5"], strict=True))
    assert connects_alike(swapped, TWIN, TWIN, holes(TWIN_NETS)).outcome is Outcome.PASS


def test_t3_a_two_pole_relay_is_no_twin() -> None:
    found = connects_alike(straight(TWIN_NETS), TWO_POLE, TWIN, holes(TWIN_NETS))
    assert (found.outcome, found.why) == (Outcome.FAIL, "one coil where the board drives 2 coils")


def test_t3_a_bridged_twin_joins_what_the_board_keeps_apart() -> None:
    bridged = wiring(*TWIN.elements, Element("", "", Kind.BRIDGE, "3", "8"))
    found = connects_alike(straight(TWIN_NETS), bridged, TWIN, holes(TWIN_NETS))
    assert found.outcome is Outcome.FAIL
    assert found.why == "with unit B on, net BAT joins GND, which the board keeps apart"


def test_a_bridge_between_holes_of_one_net_does_no_harm() -> None:
    bridged = wiring(*TWIN.elements, Element("", "", Kind.BRIDGE, "4", "9"))
    assert connects_alike(straight(TWIN_NETS), bridged, TWIN, holes(TWIN_NETS)).outcome is Outcome.PASS


def test_two_poles_serve_where_one_driver_works_both_coils() -> None:
    nets = TWIN_NETS | {"7": "DRV_A"}
    assert connects_alike(straight(nets), TWO_POLE, TWIN, holes(nets)).outcome is Outcome.PASS


def test_poles_of_another_unit_are_noticed() -> None:
    crossed = wiring(
        coil("A", "6", "7"),
        *changeover("A", "3", "4", "5"),
        coil("B", "1", "2"),
        *changeover("B", "8", "9", "10"),
    )
    found = connects_alike(straight(TWIN_NETS), crossed, TWIN, holes(TWIN_NETS))
    assert found.outcome is Outcome.FAIL and found.why.startswith("with unit B on")


def test_swapped_make_and_break_are_noticed_at_rest() -> None:
    swapped = wiring(coil("A", "1", "2"), *changeover("A", "3", "5", "4"))
    found = connects_alike(straight(NETS), swapped, SINGLE, holes(NETS))
    assert (found.outcome, found.why) == (
        Outcome.FAIL,
        "at rest, net BAT joins MOT, which the board keeps apart",
    )


MAKE_ONLY = wiring(coil("A", "1", "2"), Element("A", "", Kind.MAKE, "3", "4"))


@pytest.mark.parametrize(
    ("nets", "outcome"),
    [
        (NETS, Outcome.FAIL),
        (NETS | {"5": ""}, Outcome.PASS),
        (dict.fromkeys(NETS, ""), Outcome.UNKNOWN),
    ],
)
def test_a_missing_break_is_allowed_only_where_the_board_does_not_use_it(
    nets: dict[str, str], outcome: Outcome
) -> None:
    four = {n: n for n in "1234"}
    assert connects_alike(four, MAKE_ONLY, SINGLE, holes(nets)).outcome is outcome


@pytest.mark.parametrize(
    ("on_no_net", "said"),
    [
        ("2", "hole 2 of the board's wiring on no net"),
        ("12", "holes 1, 2 of the board's wiring on no net"),
        ("3", "hole 3 of the board's wiring on no net"),
        ("45", "holes 4, 5 of the board's wiring on no net"),
        ("5", "joins the same nets"),
        ("12345", "joins the same nets"),
    ],
)
def test_a_hole_that_the_board_uses_needs_its_net(on_no_net: str, said: str) -> None:
    nets = TWIN_NETS | dict.fromkeys(on_no_net, "")
    found = connects_alike(straight(nets), TWIN, TWIN, holes(nets))
    assert found.why.startswith(said)
    assert found.outcome is (Outcome.PASS if said.startswith("joins") else Outcome.UNKNOWN)


def test_a_part_without_a_coil_never_connects_where_the_coils_net_is_left_out() -> None:
    nets = NETS | {"1": ""}
    no_coil = wiring(*changeover("A", "3", "4", "5"))
    assert connects_alike(straight(nets), no_coil, SINGLE, holes(nets)).outcome is not Outcome.PASS


def test_a_coil_on_other_nets_is_named() -> None:
    moved = wiring(coil("A", "1", "3"), *changeover("A", "2", "4", "5"))
    found = connects_alike(straight(NETS), moved, SINGLE, holes(NETS))
    assert found.why == "the coil of unit A lands between net MOT and net P12, where the board drives no such coil"


def test_a_wiring_that_names_a_pin_not_drawn_is_unknown() -> None:
    found = connects_alike({"1": "1"}, SINGLE, SINGLE, holes(NETS))
    assert found.outcome is Outcome.UNKNOWN and "pins 2, 3, 4, 5" in found.why


def test_set_and_reset_coils_may_not_change_places() -> None:
    latching = wiring(coil("A", "1", "2"), coil("A", "6", "7"), *changeover("A", "3", "4", "5"))
    turned = wiring(coil("A", "6", "7"), coil("A", "1", "2"), *changeover("A", "3", "4", "5"))
    pattern, way = holes(TWIN_NETS), straight(TWIN_NETS)
    assert connects_alike(way, latching, latching, pattern).outcome is Outcome.PASS
    assert "change places" in connects_alike(way, turned, latching, pattern).why


POLARISED = wiring(coil("A", "1", "2", True), *changeover("A", "3", "4", "5"))
REVERSED = wiring(coil("A", "2", "1", True), *changeover("A", "3", "4", "5"))


SHARED = NETS | {"1": "BAT"}  # the coil hangs on the net that its own make contact feeds from
STATED, SWAPPED = frozenset({("P12", "DRV")}), frozenset({("DRV", "P12")})


@pytest.mark.parametrize(
    ("candidate", "expected", "nets", "feed", "outcome"),
    [
        # the board's own wiring says which end is +, whatever the driver
        (POLARISED, POLARISED, NETS, CoilFeed(), Outcome.PASS),
        (REVERSED, POLARISED, NETS, CoilFeed("low side"), Outcome.FAIL),
        # the order of an unpolarised coil's pins says nothing, and a one-way driver alone does not either
        (POLARISED, SINGLE, NETS, CoilFeed("low side"), Outcome.UNKNOWN),
        (REVERSED, SINGLE, NETS, CoilFeed("low side"), Outcome.UNKNOWN),
        (POLARISED, SINGLE, NETS, CoilFeed("both ways"), Outcome.UNKNOWN),
        # a fitted part with a diode has shown it
        (POLARISED, SINGLE, NETS, CoilFeed(known=STATED), Outcome.PASS),
        (POLARISED, SINGLE, NETS, CoilFeed(known=SWAPPED), Outcome.FAIL),
        # a low-side driver switches the end that serves nothing else; to be measured where that speaks for it
        (POLARISED, SINGLE, SHARED, CoilFeed("low side"), Outcome.CONDITION),
        (REVERSED, SINGLE, SHARED, CoilFeed("low side"), Outcome.FAIL),
        (POLARISED, SINGLE, SHARED, CoilFeed("high side"), Outcome.FAIL),
        (POLARISED, SINGLE, SHARED, CoilFeed(), Outcome.UNKNOWN),
        # a net that the board file states to be the supply, or the ground
        (POLARISED, SINGLE, NETS, CoilFeed(supplies=frozenset({"P12"})), Outcome.PASS),
        (REVERSED, SINGLE, NETS, CoilFeed("low side", supplies=frozenset({"P12"})), Outcome.FAIL),
        (POLARISED, SINGLE, NETS, CoilFeed(grounds=frozenset({"DRV"})), Outcome.PASS),
        (REVERSED, SINGLE, NETS, CoilFeed("high side", grounds=frozenset({"DRV"})), Outcome.FAIL),
        (POLARISED, SINGLE, NETS, CoilFeed("both ways", supplies=frozenset({"P12"})), Outcome.UNKNOWN),
        (POLARISED, SINGLE, NETS, CoilFeed(supplies=frozenset({"P12", "DRV"})), Outcome.UNKNOWN),
        # a diode that the wiring does not know of, or whose absence nobody states
        (SINGLE, POLARISED, NETS, CoilFeed(one_way=True), Outcome.UNKNOWN),
        (SINGLE, POLARISED, NETS, CoilFeed(one_way=None), Outcome.UNKNOWN),
    ],
)
def test_t12_the_plus_of_a_polarised_coil(
    candidate: Wiring, expected: Wiring, nets: dict[str, str], feed: CoilFeed, outcome: Outcome
) -> None:
    found = coil_polarity(straight(nets), candidate, expected, holes(nets), feed)
    assert found and found.outcome is outcome


def test_a_bare_coil_may_be_fed_either_way() -> None:
    assert coil_polarity(straight(NETS), SINGLE, POLARISED, holes(NETS), CoilFeed("low side")) is None


def test_t12_the_reason_names_the_pad_switched_low() -> None:
    found = coil_polarity(straight(NETS), REVERSED, POLARISED, holes(NETS), CoilFeed("low side"))
    assert found and found.why == "the + end of the coil of unit A lands on net DRV, which is switched low"


def test_t12_turned_by_180_to_fit_the_polarity_is_checked_again() -> None:
    spots = {"1": (0, 0), "2": (10, 0), "3": (3, 5), "4": (7, 5)}
    make = wiring(coil("A", "1", "2", True), Element("A", "", Kind.MAKE, "3", "4"))
    flipped = [Pin(n, 10 - x, 5 - y, 0.8) for n, (x, y) in spots.items()]
    pattern = HolePattern("p", tuple(Hole(n, x, y, 1.3, "n" + n) for n, (x, y) in spots.items()))
    reverse = wiring(coil("A", "2", "1", True), Element("A", "", Kind.MAKE, "3", "4"))
    right = fit(Footprint("f", tuple(flipped)), pattern, wiring=make, expected=make)
    wrong = fit(Footprint("f", tuple(flipped)), pattern, wiring=reverse, expected=make)
    assert right.outcome is Outcome.PASS and right.rotation_deg == pytest.approx(180)
    assert wrong.outcome is Outcome.FAIL and wrong.findings[0].check == "coil polarity"


@pytest.mark.parametrize(
    ("offered", "wanted", "driver", "outcome"),
    [
        (MONO, MONO, "low side", Outcome.PASS),
        (LATCH_1, MONO, "low side", Outcome.FAIL),
        (LATCH_1, None, "low side", Outcome.FAIL),
        (LATCH_2, MONO, "", Outcome.FAIL),
        (LATCH_1, LATCH_1, "both ways", Outcome.PASS),
        (None, MONO, "low side", Outcome.UNKNOWN),
        (MONO, None, "", Outcome.UNKNOWN),
    ],
)
def test_t11_a_latching_part_is_not_a_monostable_one(
    offered: CoilSystem | None, wanted: CoilSystem | None, driver: str, outcome: Outcome
) -> None:
    assert coil_system_finding(offered, wanted, driver).outcome is outcome


def test_a_one_way_driver_and_one_coil_a_unit_expect_a_monostable_relay() -> None:
    assert coil_system_finding(MONO, None, "low side", SINGLE).outcome is Outcome.PASS


@pytest.mark.parametrize(
    ("drawn", "outcome", "word"),
    [
        (View.COMPONENT, Outcome.PASS, "play"),
        (View.SOLDER, Outcome.FAIL, "joins"),
        (View.UNKNOWN, Outcome.UNKNOWN, "look up from which side"),
    ],
)
def test_t2_the_side_a_drawing_was_made_from_decides(drawn: View, outcome: Outcome, word: str) -> None:
    answer = fit(single(), holes(NETS, drawn), wiring=SINGLE, expected=SINGLE)
    assert answer.outcome is outcome
    assert word in answer.why
    assert answer.mirrored_fits


def moving(element: Element, transfer: Transfer | None) -> Element:
    return replace(element, transfer=transfer)


@pytest.mark.parametrize(
    ("ours", "theirs", "outcome", "words"),
    [
        (None, None, Outcome.PASS, "in every state"),
        (Transfer.BREAK_FIRST, None, Outcome.PASS, "in every state"),
        (Transfer.MAKE_FIRST, Transfer.MAKE_FIRST, Outcome.PASS, "in every state"),
        (Transfer.MAKE_FIRST, None, Outcome.FAIL, "while unit A changes over, net BAT joins GND"),
        (Transfer.BREAK_FIRST, Transfer.MAKE_FIRST, Outcome.FAIL, "while unit A changes over, net BAT does not join"),
        (None, Transfer.MAKE_FIRST, Outcome.UNKNOWN, "look up whether its changeovers make before they break"),
    ],
)  # fmt: skip
def test_make_before_break_is_held_against_the_original(
    ours: Transfer | None, theirs: Transfer | None, outcome: Outcome, words: str
) -> None:
    """One contact of a changeover stating it is enough; a usual changeover breaks before it makes."""
    make, rest = changeover("A", "3", "4", "5")
    candidate = wiring(coil("A", "1", "2"), make, moving(rest, ours))
    expected = wiring(coil("A", "1", "2"), moving(make, theirs), rest)
    found = connects_alike(straight(NETS), candidate, expected, holes(NETS))
    assert (found.outcome, words in found.why) == (outcome, True), found.why


def test_the_first_state_that_differs_shows_what_is_joined_in_it() -> None:
    bridged = wiring(*TWIN.elements, Element("", "", Kind.BRIDGE, "3", "8"))
    nets = TWIN_NETS | {"9": "BAT_N", "10": "GND_N"}
    found = connects_alike(straight(nets), bridged, TWIN, holes(nets))
    assert found.why.startswith("with every unit off, net GND joins GND_N")
    assert found.required == "joined: GND+MOT_P, GND_N+MOT_N"
    assert found.offered == "joined: GND+GND_N+MOT_N+MOT_P"


LATCHING = wiring(coil("A", "1", "2"), coil("A", "6", "7"), *changeover("A", "3", "4", "5"))


def test_a_latching_relay_is_told_by_set_and_reset() -> None:
    swapped = wiring(coil("A", "1", "2"), coil("A", "6", "7"), *changeover("A", "3", "5", "4"))
    found = connects_alike(straight(TWIN_NETS), swapped, LATCHING, holes(TWIN_NETS))
    assert found.why.startswith("after reset, ")


BREAK_ONLY = wiring(coil("A", "1", "2"), Element("A", "", Kind.BREAK, "3", "5"))
COMMON_TWIN = wiring(
    coil("A", "1", "2"), *changeover("A", "3", "4", "5"),
    coil("B", "6", "7"), *changeover("B", "3", "9", "10"),
)  # fmt: skip


@pytest.mark.parametrize(
    ("candidate", "expected", "nets", "outcome"),
    [
        (SINGLE, MAKE_ONLY, NETS | {"5": ""}, Outcome.PASS),  # a changeover where only the make contact is used
        (SINGLE, BREAK_ONLY, NETS | {"4": ""}, Outcome.PASS),
        (SINGLE, MAKE_ONLY, NETS, Outcome.FAIL),  # its break contact joins what the board keeps apart
        (BREAK_ONLY, MAKE_ONLY, NETS, Outcome.FAIL),
        (MAKE_ONLY, BREAK_ONLY, NETS, Outcome.FAIL),
        (COMMON_TWIN, COMMON_TWIN, TWIN_NETS, Outcome.PASS),
        (COMMON_TWIN, TWIN, TWIN_NETS, Outcome.FAIL),
        (TWO_POLE, TWO_POLE, TWIN_NETS, Outcome.PASS),
        (TWIN, TWO_POLE, TWIN_NETS, Outcome.FAIL),
    ],
)
def test_each_kind_of_relay_against_the_others(
    candidate: Wiring, expected: Wiring, nets: dict[str, str], outcome: Outcome
) -> None:
    assert connects_alike(straight(nets), candidate, expected, holes(nets)).outcome is outcome


def test_a_twin_with_a_shared_common_serves_where_the_board_joins_the_commons() -> None:
    nets = TWIN_NETS | {"8": "MOT_P"}
    way = {n: n for n in TWIN_NETS if n != "8"}
    assert connects_alike(way, COMMON_TWIN, TWIN, holes(nets)).outcome is Outcome.PASS


def test_a_mechanical_pin_counts_for_holes_and_not_for_wiring() -> None:
    """Pin 6 is wired to nothing: it needs a hole, and its net is nobody's business."""
    spots = SPOTS | {"6": (6, -4)}
    pins = Footprint("f", tuple(Pin(n, x, y, 0.8) for n, (x, y) in spots.items()))
    five = holes(NETS)
    six = HolePattern("p", (*five.holes, Hole("6", 6, -4, 1.3, "GND")))
    assert fit(pins, five, wiring=SINGLE, expected=SINGLE).outcome is Outcome.FAIL
    assert fit(pins, six, wiring=SINGLE, expected=SINGLE).outcome is Outcome.PASS


@pytest.mark.parametrize(("count", "outcome"), [(10, Outcome.PASS), (11, Outcome.UNKNOWN)])
def test_more_drives_than_can_be_tried_are_left_to_a_person(count: int, outcome: Outcome) -> None:
    many = wiring(*(coil(str(n), str(2 * n), str(2 * n + 1)) for n in range(count)))
    nets = {str(n): f"N{n}" for n in range(2 * count)}
    assert connects_alike(straight(nets), many, many, holes(nets)).outcome is outcome


def test_a_changeover_is_tried_on_its_way_with_the_other_units_on_too() -> None:
    """Unit A's contacts lead on only through those of B, so that B must be on for a short by A to be seen."""
    nets = {"1": "P12", "2": "DRV_A", "3": "P12", "4": "DRV_B", "5": "BAT", "6": "", "7": "", "8": "OUT", "9": "GND"}
    make, rest = changeover("A", "5", "6", "7")
    behind = Element("B", "", Kind.MAKE, "6", "8"), Element("B", "2", Kind.MAKE, "7", "9")
    expected = wiring(coil("A", "1", "2"), coil("B", "3", "4"), make, rest, *behind)
    candidate = wiring(coil("A", "1", "2"), coil("B", "3", "4"), moving(make, Transfer.MAKE_FIRST), rest, *behind)
    found = connects_alike(straight(nets), candidate, expected, holes(nets))
    assert found.why.startswith("while unit A changes over and unit B on, ") and found.outcome is Outcome.FAIL


def test_units_that_share_a_drive_change_over_together() -> None:
    nets = TWIN_NETS | {"6": "P12", "7": "DRV_A"}
    shared = wiring(*(moving(e, Transfer.MAKE_FIRST) if e.kind is Kind.MAKE else e for e in TWIN.elements))
    found = connects_alike(straight(nets), shared, TWIN, holes(nets))
    assert found.why.startswith("while units A and B change over, ")


@pytest.mark.parametrize(
    ("turned", "told", "outcome"),
    [(False, True, Outcome.PASS), (True, True, Outcome.FAIL), (False, False, Outcome.UNKNOWN)],
)
def test_the_worst_of_several_coils_decides_their_polarity(turned: bool, told: bool, outcome: Outcome) -> None:
    ends = ("7", "6") if turned else ("6", "7")
    ours = wiring(coil("A", "1", "2", True), coil("B", *ends, True))
    theirs = wiring(coil("A", "1", "2", True), coil("B", "6", "7", told))
    nets = TWIN_NETS | {"6": "P12_B"}
    found = coil_polarity(straight(nets), ours, theirs, holes(nets), CoilFeed("low side"))
    assert found and found.outcome is outcome


@pytest.mark.parametrize(
    ("assignment", "ends"),
    [
        ({"1": "h1", "2": "h2"}, {("P", "D")}),
        ({"1": "h2", "2": "h1"}, {("D", "P")}),
        ({"1": "h1"}, set()),  # a pin that found no hole: nothing is known of its coil
    ],
)
def test_a_polarised_coils_nets_are_told_plus_first(assignment: dict[str, str], ends: set[tuple[str, str]]) -> None:
    there = HolePattern("p", (Hole("h1", 0, 0, 1.3, "P"), Hole("h2", 5, 0, 1.3, "D")))
    assert plus_first(assignment, wiring(coil("A", "1", "2", polarised=True)), there) == ends
