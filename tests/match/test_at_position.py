"""What replaces the twin of the sprayer box on the demo data, and how part numbers are told apart."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from bom.intake.board_file import take_board
from bom.intake.catalogue import read_catalogue
from bom.match.match import Availability, Candidate, judge, match
from bom.match.requirement import Requirement
from bom.relays.catalogue import Catalogue
from bom.relays.relay import SupplyKind
from bom.shop.places import design_named, requirement_at
from bom.values.finding import Outcome, Verdict
from bom.values.problem import Refused


@pytest.fixture(scope="module")
def catalogue(demo_folder: Path) -> Catalogue:
    return read_catalogue(demo_folder)[0]


@pytest.fixture(scope="module")
def left_valve(catalogue: Catalogue, demo_folder: Path) -> Requirement:
    board, _ = take_board(demo_folder / "boards" / "os-3.toml")
    return requirement_at(catalogue, {board.name: board}, "os-3:k1")


@pytest.fixture(scope="module")
def ranked(catalogue: Catalogue, left_valve: Requirement) -> tuple[Candidate, ...]:
    return match(left_valve, catalogue.designs())


def found(ranked: tuple[Candidate, ...], part: str) -> Candidate:
    return next(c for c in ranked if c.relay.part_number == part)


def failing(candidate: Candidate) -> list[str]:
    return [f.check for f in candidate.findings if f.outcome is Outcome.FAIL]


def test_only_the_part_itself_and_one_other_go_in(ranked: tuple[Candidate, ...]) -> None:
    serve = {c.relay.part_number: c.verdict for c in ranked if c.verdict in (Verdict.DROP_IN, Verdict.CONDITIONAL)}
    assert serve == {"TW2-12S": Verdict.DROP_IN, "K2R-12S": Verdict.DROP_IN}


@pytest.mark.parametrize(
    ("part", "check"),
    [
        ("DUO-12H", "coil current when cold"),
        ("DUO-12B", "connects alike"),
        ("DP-12", "connects alike"),
        ("K2L-12S", "coil system"),
        ("TW2L-12S", "coil system"),
        ("TW2-24S", "pull-in when hot"),
        ("TW2-12F", "sealing"),
    ],
)
def test_each_other_is_refused_for_its_own_one_reason(ranked: tuple[Candidate, ...], part: str, check: str) -> None:
    candidate = found(ranked, part)
    assert (candidate.verdict, failing(candidate)) == (Verdict.NO, [check])
    assert candidate.findings[0].check == check
    assert candidate.findings[0].why


@pytest.mark.parametrize(("part", "word"), [("DUO-12H", "118.6 mA"), ("TW2-24S", "not sure to pull in")])
def test_the_reason_gives_its_figures(ranked: tuple[Candidate, ...], part: str, word: str) -> None:
    assert word in found(ranked, part).findings[0].why


def test_the_order_is_by_verdict(ranked: tuple[Candidate, ...]) -> None:
    places = [list(Verdict).index(c.verdict) for c in ranked]
    assert places == sorted(places)


def test_of_two_that_fit_alike_the_one_in_stock_comes_first(catalogue: Catalogue, left_valve: Requirement) -> None:
    twins = [catalogue.design(catalogue.named("K2R-12S")[0])]
    twins.append(replace(twins[0], relay=replace(twins[0].relay, part_number="A-12")))
    there = {(twins[0].relay.maker, "K2R-12S"): Availability(available=Decimal(3))}
    first = match(left_valve, twins, there)[0]
    assert first.relay.part_number == "K2R-12S"


@pytest.mark.parametrize(
    "unstated",
    ["coil_ohms", "coil_ohms_tol_pct", "operate_volts", "coil_supply", "coil_system", "sealing", "body_height_mm"],
)
def test_a_value_the_sheet_leaves_out_never_passes(
    catalogue: Catalogue, left_valve: Requirement, unstated: str
) -> None:
    known = design_named(catalogue, "K2R-12S")
    nothing: dict[str, Any] = {unstated: None}
    answer = judge(left_valve, replace(known, relay=replace(known.relay, **nothing)))
    assert answer.verdict is Verdict.UNKNOWN


@pytest.mark.parametrize("nothing", [{"footprint": None}, {"wiring": None}, {"ratings": ()}])
def test_without_drawing_wiring_or_ratings_it_is_unknown(
    catalogue: Catalogue, left_valve: Requirement, nothing: dict[str, Any]
) -> None:
    assert judge(left_valve, replace(design_named(catalogue, "K2R-12S"), **nothing)).verdict is Verdict.UNKNOWN


def test_ratings_on_ac_alone_never_serve_a_dc_load(catalogue: Catalogue, left_valve: Requirement) -> None:
    known = design_named(catalogue, "K2R-12S")
    mains = tuple(replace(r, supply=SupplyKind.AC, volts=250.0) for r in known.ratings)
    assert judge(left_valve, replace(known, ratings=mains)).verdict is Verdict.UNKNOWN


@pytest.mark.parametrize(
    ("typed", "part"),
    [
        ("tw2 12s", "TW2-12S"),
        ("TW2-12S", "TW2-12S"),
        ("TW2-12S/TR", "TW2-12S"),
        ("TW2-12F", "TW2-12F"),
        ("TW2-24S", "TW2-24S"),
        ("TW2L-12S", "TW2L-12S"),
    ],
)
def test_a_part_is_found_however_it_is_typed(catalogue: Catalogue, typed: str, part: str) -> None:
    assert design_named(catalogue, typed).relay.part_number == part


def test_a_misread_letter_is_suggested_and_never_merged(catalogue: Catalogue) -> None:
    with pytest.raises(Refused, match="did you mean TW2-12S"):
        design_named(catalogue, "TW2-I2S")


def test_a_number_two_makers_use_is_refused(catalogue: Catalogue) -> None:
    other = replace(catalogue.named("TW2-12S")[0], maker="Corvane")
    with pytest.raises(Refused, match=r"write .Corvane TW2-12S. or .Ostrel TW2-12S."):
        design_named(replace(catalogue, relays=(*catalogue.relays, other)), "TW2-12S")


@pytest.mark.parametrize(
    ("where", "said"), [("OS-3", "BOARD:REF"), ("OS-4:K1", "no board OS-4"), ("OS-3:K9", "no position K9")]
)
def test_a_place_that_is_not_there_is_refused(
    catalogue: Catalogue, left_valve: Requirement, where: str, said: str
) -> None:
    assert left_valve.place is not None
    board = left_valve.place.board
    with pytest.raises(Refused, match=said):
        requirement_at(catalogue, {board.name: board}, where)
