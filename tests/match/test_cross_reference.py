"""The whole table: each pair by itself and one way, parts of one design together, nothing through a third."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from bom.intake.catalogue import read_catalogue
from bom.match.cross_reference import CrossReference, cross_reference, distinct
from bom.match.match import judge
from bom.match.requirement import like
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint, Pin
from bom.relays.relay import CoilSystem, Design, Rating, Relay, Sealing, Status, SupplyKind, Suppression
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Verdict

WIRING = Wiring("one", (Element("A", "", Kind.COIL, "1", "2"), Element("A", "", Kind.MAKE, "3", "4")))
PINS = Footprint("four", tuple(Pin(n, x, y, 0.8) for n, x, y in (("1", 0, 0), ("2", 0, 8), ("3", 9, 0), ("4", 11, 8))))
RATING = Rating("A", "make", "resistive", SupplyKind.DC, 14.0, 10.0)
KNOWN = Relay(
    "Ostrel", "A", status=Status.ACTIVE, coil_system=CoilSystem.MONOSTABLE, coil_supply=SupplyKind.DC, coil_volts=12.0,
    coil_ohms=240.0, coil_ohms_tol_pct=10.0, coil_ref_temp_c=20.0, operate_volts=8.4, release_volts=1.2,
    operate_ms=6.0, release_ms=3.0, mechanical_ops=1e7, contact_material="AgSnO2",
    coil_suppression=Suppression.NONE, temp_min_c=-40.0, temp_max_c=85.0,
    sealing=Sealing.RT_III, body_length_mm=18.0, body_width_mm=17.0, body_height_mm=14.0, standoff_mm=0.3,
    pin_length_mm=3.5,
)  # fmt: skip


def design(part: str, maker: str = "Ostrel", **changed: Any) -> Design:
    ratings = (replace(RATING, applies_to=part),)
    return Design(replace(KNOWN, maker=maker, part_number=part, **changed), PINS, WIRING, ratings)


def pairs(found: CrossReference) -> dict[tuple[str, str], Verdict]:
    return {(r.old.name, r.new.name): r.verdict for r in found.replacements}


@pytest.fixture(scope="module")
def catalogue(demo_folder: Path) -> Catalogue:
    return read_catalogue(demo_folder)[0]


@pytest.fixture(scope="module")
def demo(catalogue: Catalogue) -> CrossReference:
    return cross_reference(catalogue.designs())


def test_it_says_what_the_match_says_of_every_pair(catalogue: Catalogue, demo: CrossReference) -> None:
    known = pairs(demo)
    for old in ("TW2-12S", "OC1-12D", "QUB-12N", "GS-12"):
        requirement = like(catalogue.design(catalogue.named(old)[0]))
        served = {d.relay.part_number: judge(requirement, d).verdict for d in catalogue.designs()}
        wanted = {new: v for new, v in served.items() if v is not Verdict.NO and new != old}
        assert {new: v for (of, new), v in known.items() if of == old} == wanted


def test_it_has_a_direction(demo: CrossReference) -> None:
    assert pairs(demo)["TW2-12S", "K2R-12S"] is Verdict.DROP_IN
    assert ("K2R-12S", "TW2-12S") not in pairs(demo)


def test_nothing_is_inherited_through_a_third_part() -> None:
    """240, 238 and 236 ohm: each is the same coil as its neighbour within one percent, the outer two are not."""
    known = pairs(cross_reference([design("A"), design("B", coil_ohms=238.0), design("C", coil_ohms=236.0)]))
    assert known["A", "B"] is known["B", "C"] is Verdict.DROP_IN
    assert ("A", "C") not in known


def test_parts_that_differ_in_name_only_are_one_design() -> None:
    same = [design("A"), design("A/TR", "Kithmar", series="K", status=Status.OBSOLETE, source="another sheet")]
    (kin,) = distinct([*same])
    assert [p.part_number for p in kin.parts] == ["A", "A/TR"]
    assert len(distinct([*same, design("B", operate_volts=8.0)])) == 2


def test_what_nobody_drew_is_like_no_other() -> None:
    bare = [replace(design(p), footprint=None) for p in ("A", "B")]
    assert len(distinct(bare)) == 2


def test_refused_pairs_are_told_where_asked_for() -> None:
    found = cross_reference([design("A"), design("B", coil_volts=24.0)], refused=True)
    assert pairs(found) == {("A", "B"): Verdict.NO, ("B", "A"): Verdict.NO}


@pytest.mark.parametrize(
    ("mine", "theirs", "said"),
    [
        ((Status.ACTIVE, "Ostrel"), (Status.ACTIVE, "Kithmar"), "2 sources"),
        ((Status.ACTIVE, "Ostrel"), (Status.ACTIVE, "Ostrel"), "one source"),
        ((Status.OBSOLETE, "Ostrel"), (Status.ACTIVE, "Kithmar"), "one source"),
        ((Status.LAST_TIME_BUY, "Ostrel"), (None, "Kithmar"), "none active"),
    ],
)
def test_a_source_is_a_maker_with_an_active_part_that_drops_in(
    mine: tuple[Status, str], theirs: tuple[Status | None, str], said: str
) -> None:
    old = design("A", mine[1], status=mine[0])
    new = design("B", theirs[1], status=theirs[0], operate_volts=8.0)
    standing = next(s for s in cross_reference([old, new]).standings() if s.kin.name == "A")
    assert standing.words == said


def test_a_conditional_one_is_no_source() -> None:
    fragile = design("B", "Kithmar", coil_suppression=Suppression.DIODE)
    standing = cross_reference([design("A"), fragile]).standings()
    assert {s.kin.name: s.words for s in standing} == {"A": "one source", "B": "one source"}


def test_who_has_none_left_comes_first(demo: CrossReference) -> None:
    counts = [len(s.makers) for s in demo.standings()]
    assert counts == sorted(counts) and counts[0] == 0


def test_looking_at_pins_and_coils_first_loses_no_pair(catalogue: Catalogue, demo: CrossReference) -> None:
    every = pairs(cross_reference(catalogue.designs(), refused=True))
    assert len(every) == len(demo.designs) * (len(demo.designs) - 1)
    assert {pair: v for pair, v in every.items() if v is not Verdict.NO} == pairs(demo)


@pytest.mark.parametrize("refused", [False, True])
def test_of_one_part_it_says_what_it_says_of_that_part_among_all(catalogue: Catalogue, refused: bool) -> None:
    every = pairs(cross_reference(catalogue.designs(), refused=refused))
    for number in ("TW2-12S", "GS-12"):
        (part,) = catalogue.named(number)
        its = cross_reference(catalogue.designs(), part=part, refused=refused)
        own = next(kin.name for kin in its.designs if part in kin.parts)
        assert pairs(its) == {pair: verdict for pair, verdict in every.items() if own in pair}
