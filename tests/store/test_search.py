"""Part numbers found as people type them: part of one, with a suffix too many, with one slip; and by their facts."""

from __future__ import annotations

import pytest
from sqlalchemy import Engine
from taken_whole import take_catalogue

from bom.relays.catalogue import Catalogue
from bom.relays.relay import Relay
from bom.store.search import Facts, Found, find_relays, slips
from bom.store.unit_of_work import work

NUMBERS = ("OT-2_12", "OTX-212-A", "K12", "TW2-12S", "TW2-24S", "TW2-12F", "TW2L-12S", "K2R-12S-HIGH-TEMP", "K2R.1.0")


@pytest.fixture
def stocked(engine: Engine) -> Engine:
    relays = tuple(Relay("Ostrel", n, coil_volts=24.0 if "24" in n else 12.0) for n in NUMBERS)
    with work(engine) as session:
        take_catalogue(session, Catalogue(relays))
    return engine


def found(engine: Engine, typed: str, facts: Facts = Facts(), limit: int = 9) -> Found:  # noqa: B008
    with work(engine) as session:
        return find_relays(session, typed, facts, limit)


@pytest.mark.parametrize(
    ("typed", "numbers", "how"),
    [
        ("ot212", ["OT-2_12"], "as typed"),
        ("tw2 12", ["TW2-12F", "TW2-12S"], "as typed"),
        ("12s", ["TW2-12S", "TW2L-12S", "K2R-12S-HIGH-TEMP"], "as typed"),
        ("K2R 12S high", ["K2R-12S-HIGH-TEMP"], "as typed"),
        ("K2R10", ["K2R.1.0"], "as typed"),
        ("TW2-12S/TR", ["TW2-12S"], "as typed"),
        ("TW2-12S-R5", ["TW2-12S"], "as a longer form"),
        ("TW2-I2S", ["TW2-12S"], "with one slip"),
        ("K2R-12S-HIGH-TMEP", ["K2R-12S-HIGH-TEMP"], "with one slip"),
        ("K2R-12S-HIHG-TEMP", ["K2R-12S-HIGH-TEMP"], "with one slip"),
        ("K21", ["K12"], "with one slip"),
        ("%", [], ""),
        ("nothing like it", [], ""),
    ],
)
def test_a_number_is_found_as_it_is_typed(stocked: Engine, typed: str, numbers: list[str], how: str) -> None:
    answer = found(stocked, typed)
    assert ([r.part_number for r in answer.relays], answer.how) == (numbers, how)


def test_how_many_there_are_is_told_whatever_is_shown(stocked: Engine) -> None:
    answer = found(stocked, "", limit=2)
    assert (len(answer.relays), answer.total) == (2, len(NUMBERS))


def test_facts_are_words_and_ranges(stocked: Engine) -> None:
    assert found(stocked, "", Facts(ranges={"coil_volts": (20.0, None)})).total == 1
    assert found(stocked, "", Facts({"maker": "Ostrel"}, {"coil_volts": (None, 12.0)})).total == len(NUMBERS) - 1
    assert found(stocked, "", Facts(ranges={"coil_ohms": (0.0, None)})).total == 0
    assert found(stocked, "", Facts(footprints=["twin"])).total == 0


def every_slip(number: str) -> list[str]:
    places = range(len(number))
    changed = [number[:i] + "Q" + number[i + 1 :] for i in places]
    added = [number[:i] + "Q" + number[i:] for i in places]
    left_out = [number[:i] + number[i + 1 :] for i in places]
    swapped = [number[:i] + number[i + 1] + number[i] + number[i + 2 :] for i in list(places)[:-1]]
    return [*changed, *added, *left_out, *swapped]


@pytest.mark.parametrize("number", ["K12", "TW212S", "TW2L12S", "K2R12SHIGHTEMP"])
def test_no_single_slip_escapes(stocked: Engine, number: str) -> None:
    plain = {n.replace("-", ""): n for n in NUMBERS}
    with work(stocked) as session:
        lost = [t for t in every_slip(number) if t != number and plain[number] not in slips(session, t)]
    assert lost == []
