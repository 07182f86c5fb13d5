"""The worst reason is the worst: kind, pins, nets and coil voltage come before heat, inrush and taste."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.intake.board_file import take_board
from bom.intake.catalogue import read_catalogue
from bom.match.match import Candidate, match
from bom.match.requirement import at_position, like, place_of
from bom.relays.catalogue import Catalogue
from bom.values.finding import Finding, Outcome, worst_first

F = Outcome.FAIL


@pytest.fixture(scope="module")
def catalogue(demo_folder: Path) -> Catalogue:
    return read_catalogue(demo_folder).value


@pytest.fixture(scope="module")
def ranked(catalogue: Catalogue, demo_folder: Path) -> dict[str, Candidate]:
    board = take_board(demo_folder / "boards" / "os-3.toml").value
    fitted = catalogue.design(catalogue.named("TW2-12S")[0])
    place = place_of(board, "K1", fitted, catalogue.wirings)
    answer = match(at_position(board, "K1", fitted, place), catalogue.designs())
    return {c.relay.part_number: c for c in answer}


@pytest.mark.parametrize(
    ("part", "said"),
    [
        ("CSN-12", "differs in kind: 5 pins, not 10; 1 unit, not 2"),
        ("DP-12", "differs in kind: 1 unit, not 2; one coil"),
        ("K2L-12S", "differs in kind: a latching relay"),
        ("TW2-24S", "24 V coil, not 12 V; not sure to pull in"),
        ("TW2-6S", "6 V coil, not 12 V; "),
        ("DUO-12B", "with every unit off, net"),
        ("TW2-12F", "RT II does not stand wash"),
    ],
)
def test_the_first_reason_says_what_no_rating_mends(ranked: dict[str, Candidate], part: str, said: str) -> None:
    assert ranked[part].findings[0].why.startswith(said)


def test_a_part_of_another_kind_is_furthest_of_all(ranked: dict[str, Candidate]) -> None:
    parts = list(ranked)
    assert max(parts.index(p) for p in ("TW2-24S", "TW2-12F", "DUO-12B")) < min(
        parts.index(p) for p in ("DP-12", "CSN-12", "K2L-12S")
    )


def test_nothing_that_serves_differs_in_kind(ranked: dict[str, Candidate], catalogue: Catalogue) -> None:
    original = catalogue.design(catalogue.named("TW2-12S")[0])
    for candidate in (*ranked.values(), *match(like(original), catalogue.designs())):
        assert not candidate.kind or candidate.verdict == "no"


@pytest.mark.parametrize(
    ("graver", "lighter"),
    [
        ("goes in", "coil power"),
        ("goes in", "connects alike"),
        ("connects alike", "height"),
        ("connects alike", "start, left boom valve opens"),
        ("coil supply", "sealing"),
        ("coil volts", "coil current"),
        ("pull-in when hot", "coil power"),
    ],
)
def test_what_a_part_is_comes_before_what_it_bears(graver: str, lighter: str) -> None:
    heat = Finding(lighter, F, "", margin=-9.0)
    assert worst_first([heat, Finding(graver, F, "")])[0].check == graver
    assert worst_first([Finding(graver, Outcome.UNKNOWN, ""), heat])[0].check == lighter
