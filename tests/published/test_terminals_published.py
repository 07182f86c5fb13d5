"""Terminal numbers of road-vehicle and industrial relays against what fit makes of them.

Sources: Delcon, What does 30-85-86-87 mean on a relay? (numbers of DIN 72552 as ISO 7588 practice uses them: 30 common,
87 make, 87a break); designed79, blog entry 2882 (layouts A and B of ISO 7588, which differ by exchanging 30 and 86);
Bosch Auto Parts catalogue, page 76 (micro relays: 1 = 86 +, 2 = 85 -, 3 = 30, 4 = 87a, 5 = 87); DIN 72552's older
scheme, from memory (87 the common of a changeover, 87a its break side); EN 50005 in electrotechnical-officer.com,
Standard terminal markings (1-2 break, 3-4 make, 1-2-4 changeover, coil A1 A2). Where the blades are is from memory
(85 to 86 16.8 mm, 87a between 30 and 87); the numbers alone are tested.
"""

from __future__ import annotations

import pytest

from bom.boards.board import Hole, HolePattern
from bom.fit.answer import FitAnswer
from bom.fit.check import fit
from bom.fit.coil_polarity import CoilFeed, coil_polarity
from bom.relays.footprint import Footprint, Pin
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Outcome

PASS, CONDITION, FAIL, UNKNOWN = Outcome
PLACES = {"30": (0.0, 8.0), "85": (8.4, 0.0), "86": (-8.4, 0.0), "87": (0.0, -9.0), "87a": (0.0, -1.0)}
LAYOUT_B = PLACES | {"30": PLACES["86"], "86": PLACES["30"]}
NETS = {"30": "BAT", "85": "GND", "86": "SWITCH", "87": "LOAD", "87a": "REST"}


def relay(common: str = "30", make: str = "87", rest: str = "87a", diode: bool = False) -> Wiring:
    coil = Element("A", "", Kind.COIL, "86", "85", diode)
    return Wiring("w", (coil, Element("A", "", Kind.MAKE, common, make), Element("A", "", Kind.BREAK, common, rest)))


def pins(places: dict[str, tuple[float, float]]) -> Footprint:
    """Blades as pins: 6.3 x 0.8 mm along x."""
    return Footprint("blades", tuple(Pin(name, x, y, 6.3, 0.8, 0.0) for name, (x, y) in places.items()))


def holes(places: dict[str, tuple[float, float]]) -> HolePattern:
    return HolePattern("socket", tuple(Hole(name, x, y, 6.8, NETS[name]) for name, (x, y) in places.items()))


def tried(places: dict[str, tuple[float, float]], wiring: Wiring, polarity: str = "low side") -> FitAnswer:
    return fit(pins(places), holes(PLACES), wiring=wiring, expected=relay(), driver_polarity=polarity)


def test_the_same_layout_goes_in_and_connects() -> None:
    assert tried(PLACES, relay()).outcome is PASS


def test_layout_b_has_the_same_holes_and_other_roles() -> None:
    """ISO 7588 layouts A and B: 30 and 86 exchanged. Same outline, so geometry alone says yes."""
    assert fit(pins(LAYOUT_B), holes(PLACES)).outcome is PASS
    answer = tried(LAYOUT_B, relay())
    assert answer.outcome is FAIL and "coil of unit A lands between" in answer.why


def test_the_older_scheme_with_87_as_common_is_noticed() -> None:
    """DIN 72552 original: 87 the common, 87a its break side. The numbers agree, the wiring does not."""
    answer = tried(PLACES, relay(common="87", make="30", rest="87a"))
    assert answer.outcome is FAIL and answer.why == "at rest, net LOAD joins REST, which the board keeps apart"


@pytest.mark.parametrize(("swapped", "outcome"), [(False, PASS), (True, FAIL)])
def test_86_is_the_plus_of_a_coil_with_a_diode(swapped: bool, outcome: Outcome) -> None:
    """86 + and 85 -: on relays with both exchanged the diode shorts the driver."""
    wiring = relay(diode=True)
    straight = {name: name for name in PLACES}
    way = straight | {"85": "86", "86": "85"} if swapped else straight
    found = coil_polarity(way, wiring, relay(diode=True), holes(PLACES), CoilFeed("low side"))
    assert found and found.outcome is outcome


def test_a_coil_without_a_diode_may_be_turned() -> None:
    way = {name: name for name in PLACES} | {"85": "86", "86": "85"}
    assert coil_polarity(way, relay(), relay(), holes(PLACES), CoilFeed("low side")) is None


MICRO = {"86": "1", "85": "2", "30": "3", "87a": "4", "87": "5"}


def test_micro_relay_numbers_are_labels_and_do_not_decide() -> None:
    renamed = Footprint("micro", tuple(Pin(MICRO[n], x, y, 4.8, 0.8, 0.0) for n, (x, y) in PLACES.items()))
    ours = Wiring("micro", tuple(
        Element(e.unit, e.pole, e.kind, MICRO[e.from_pin], MICRO[e.to_pin]) for e in relay().elements
    ))  # fmt: skip
    answer = fit(renamed, holes(PLACES), wiring=ours, expected=relay(), driver_polarity="low side")
    assert answer.assignment == {MICRO[n]: n for n in PLACES}
    assert [f.check for f in answer.findings if f.outcome is not PASS] == ["loose in its hole"]


@pytest.mark.parametrize(("bonded", "outcome"), [(True, PASS), (False, FAIL)])
def test_87b_is_bonded_to_87_or_a_contact_of_its_own(bonded: bool, outcome: Outcome) -> None:
    """Two outputs: bonded inside (dual-output form A) joins them always; two make contacts join them only when on."""
    coil = Element("A", "", Kind.COIL, "86", "85")
    make = Element("A", "", Kind.MAKE, "30", "87")
    both = (Element("", "", Kind.BRIDGE, "87", "87a"),) if bonded else (Element("A", "", Kind.MAKE, "30", "87a"),)
    expected = Wiring("bonded", (coil, make, Element("", "", Kind.BRIDGE, "87", "87a")))
    answer = fit(pins(PLACES), holes(PLACES), wiring=Wiring("w", (coil, make, *both)), expected=expected)
    assert answer.outcome is outcome


@pytest.mark.parametrize(("digits", "kind"), [(("11", "12"), Kind.BREAK), (("13", "14"), Kind.MAKE)])
def test_en_50005_function_digits(digits: tuple[str, str], kind: Kind) -> None:
    """1-2 a break contact, 3-4 a make contact: one in the other's place is refused."""
    spots = {"A1": (0.0, 0.0), "A2": (10.0, 0.0), "x": (3.0, 8.0), "y": (9.0, 8.0)}
    pattern = HolePattern("p", tuple(Hole(n, x, y, 1.3, n) for n, (x, y) in spots.items()))
    coil = Element("A", "", Kind.COIL, "A1", "A2")
    expected = Wiring("e", (coil, Element("A", "", kind, "x", "y")))
    named = dict(zip(("x", "y"), digits, strict=True))
    drawn = Footprint("f", tuple(Pin(named.get(n, n), x, y, 0.8) for n, (x, y) in spots.items()))
    outcomes = {
        k: fit(drawn, pattern, wiring=Wiring("w", (coil, Element("A", "", k, *digits))), expected=expected).outcome
        for k in (Kind.BREAK, Kind.MAKE)
    }
    assert outcomes.pop(kind) is PASS and set(outcomes.values()) == {FAIL}
