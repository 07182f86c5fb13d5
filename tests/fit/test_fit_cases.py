"""Eleven published and constructed pin patterns against independently certified answers.

Whose they are is said in tests/data/fit_cases.json.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from math import inf, pi
from pathlib import Path
from typing import Any

import pytest

from bom.boards.board import Hole, HolePattern
from bom.fit.connects import connects_alike
from bom.fit.placement import PinsAndHoles, closest, mirrored, pairings, place
from bom.fit.turn_and_shift import reach_at
from bom.relays.footprint import Pin
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Outcome

CASES = json.loads((Path(__file__).parent.parent / "data" / "fit_cases.json").read_text())["cases"]
every_case = pytest.mark.parametrize("case", CASES, ids=[c["name"] for c in CASES])
RIGHT_ANGLES = (0.0, pi / 2, pi, -pi / 2)
MOST_MM = 1.0  # nothing above it is certified
Accept = Callable[[dict[str, str]], bool]


def pins(case: dict[str, Any]) -> tuple[Pin, ...]:
    return tuple(Pin(name, x, y, 0.0) for name, x, y, _ in case["candidate"]["pins"])


def pattern(case: dict[str, Any]) -> HolePattern:
    return HolePattern("board", tuple(Hole(name, x, y, 0.0) for name, x, y, _ in case["board"]["pins"]))


def wiring(side: dict[str, Any]) -> Wiring:
    """Roles as a wiring: pads that share a role are bridged inside, a pole belongs to the coil that drives it."""
    pads: dict[str, list[str]] = {}
    for name, _, _, role in side["pins"]:
        pads.setdefault(role, []).append(name)
    driver, elements = side.get("driver", {}), []
    for role, (first, *others) in pads.items():
        what, _, end = role.partition(".")
        elements += [Element("", "", Kind.BRIDGE, first, other) for other in others]
        if end == "b":
            unit = what if driver else "coil1"
            elements.append(Element(unit, "", Kind.COIL, pads[f"{what}.a"][0], first))
        if end in ("no", "nc"):
            kind = Kind.MAKE if end == "no" else Kind.BREAK
            elements.append(Element(driver.get(what, "coil1"), what, kind, pads[f"{what}.com"][0], first))
    return Wiring("roles", tuple(elements))


def connecting(case: dict[str, Any]) -> Accept:
    """Accepts what connects; a hole left empty whose use nobody stated is not held against the part here."""
    ours, theirs, board = wiring(case["candidate"]), wiring(case["board"]), pattern(case)
    return lambda way: connects_alike(way, ours, theirs, board).outcome is not Outcome.FAIL


def agrees(found: float | None, certified: float | None) -> bool:
    return found is certified if found is None or certified is None else abs(found - certified) < 1e-4


def deviation(pins: Sequence[Pin], board: HolePattern, accept: Accept) -> float | None:
    """The smallest largest distance between a pin and its hole, leads and holes being points; None above 1 mm."""
    return min((w.deviation_mm for w in place(pins, board.holes, MOST_MM) if accept(w.assignment)), default=None)


def deviation_at_right_angles(pins: Sequence[Pin], board: HolePattern, accept: Accept) -> float | None:
    both = PinsAndHoles.of(pins, board.holes)
    ways = [both.pairs(way) for way in pairings(both, MOST_MM) if accept(both.named(way))]
    least = min((reach_at(way, angle).error for way in ways for angle in RIGHT_ANGLES), default=inf)
    return least if least <= MOST_MM else None


def any_way(way: dict[str, str]) -> bool:
    return True


@every_case
def test_the_smallest_deviation_is_the_certified_one(case: dict[str, Any]) -> None:
    found = closest(pins(case), pattern(case).holes, MOST_MM)
    assert agrees(found and found.deviation_mm, case["expect"]["dev_free"])


@every_case
def test_the_smallest_deviation_at_right_angles_is_the_certified_one(case: dict[str, Any]) -> None:
    assert agrees(deviation_at_right_angles(pins(case), pattern(case), any_way), case["expect"]["dev_90"])


@every_case
def test_the_smallest_deviation_mirrored_is_the_certified_one(case: dict[str, Any]) -> None:
    found = closest(mirrored(pins(case)), pattern(case).holes, MOST_MM)
    assert agrees(found and found.deviation_mm, case["expect"]["dev_mirrored"])


@every_case
def test_with_the_wiring_alike_the_smallest_deviation_is_the_certified_one(case: dict[str, Any]) -> None:
    assert agrees(deviation(pins(case), pattern(case), connecting(case)), case["expect"]["dev_roles_free"])


@every_case
def test_with_the_wiring_alike_at_right_angles_it_is_the_certified_one(case: dict[str, Any]) -> None:
    found = deviation_at_right_angles(pins(case), pattern(case), connecting(case))
    assert agrees(found, case["expect"]["dev_roles_90"])


@every_case
def test_with_the_wiring_alike_and_mirrored_it_is_the_certified_one(case: dict[str, Any]) -> None:
    found = deviation(mirrored(pins(case)), pattern(case), connecting(case))
    assert agrees(found, case["expect"]["dev_roles_mirrored"])
