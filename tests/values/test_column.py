"""A column reads what a cell states by its own unit, bounds and words, and says what it expected of any other."""

from __future__ import annotations

from dataclasses import MISSING, fields
from typing import get_type_hints

import pytest

from bom.boards.board import Hole
from bom.relays.footprint import Footprint, Pin
from bom.relays.relay import Rating, Relay, SupplyPart
from bom.relays.wiring import Element
from bom.values.column import Holds, described, folded, made
from bom.values.problem import Problem, Refused

KINDS = (Relay, Rating, SupplyPart, Pin, Footprint, Element, Hole)
RELAY = described(Relay)


@pytest.mark.parametrize(
    ("column", "text", "value"),
    [
        ("coil_volts", "12", 12.0),
        ("coil_volts", "24 V", 24.0),
        ("body_height_mm", "7,5 mm", 7.5),
        ("body_length_mm", '0.787"', 19.9898),
        ("coil_ohms", "4k7", 4700.0),
        ("coil_henries", "500 mH", 0.5),
        ("coil_ohms_tol_pct", "10 %", 10.0),
        ("min_load_milliamps", "0.1 A", 100.0),
        ("operate_ms", "0.006 s", 6.0),
        ("temp_min_c", "-40 °F", -40.0),
        ("mechanical_ops", "1e7", 1e7),
        ("coil_ohms", "", None),
        ("source", "", ""),
        ("sealing", "rt iii", "RT III"),
        ("sealing", "wash-tight", "RT III"),
        ("sealing", "Flux tight", "RT II"),
        ("coil_system", "Non-Latching", "monostable"),
        ("coil_suppression", "diode + zener", "diode+zener"),
        ("status", "NRND", "not for new designs"),
        ("guided", "type a", "A"),
    ],
)
def test_a_cell_is_read_in_its_columns_unit_and_words(column: str, text: str, value: object) -> None:
    read = RELAY[column].read(text)
    assert read == pytest.approx(value) if isinstance(value, float) else read == value


@pytest.mark.parametrize(
    ("column", "text", "said"),
    [
        ("coil_volts", "0", "a number above 0 V"),
        ("coil_volts", "12 mm", "a voltage (V, mV, kV)"),
        ("coil_volts", "7,5", "decimal point"),
        ("coil_volts", "1,234 V", "may mean"),
        ("coil_volts", "1e400", "a number"),
        ("coil_volts", "nan", "a number"),
        ("coil_volts", "twelve", "a number"),
        ("standoff_mm", "-1", "a number not below 0 mm"),
        ("temp_min_c", "-300", "not below -273.15 °C"),
        ("coil_ohms_tol_pct", "100", "up to 99 %"),
        ("sealing", "RT 7", "one of: RT 0"),
        ("sealing", "washtigt", "is 'RT III' meant?"),
        ("sealing", "sealed", "wash tight is RT III; sealed, as IEC 61810-1 means it, is RT IV"),
        ("coil_system", "bistable", "one coil or with two?"),
        ("part_number", "5.03E+02", "turned it into an exponent"),
    ],
)
def test_what_a_column_cannot_hold_is_refused_with_what_it_can(column: str, text: str, said: str) -> None:
    with pytest.raises(Refused) as refused:
        RELAY[column].read(text)
    assert said in str(refused.value)


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_can_be_read_and_every_column_says_what_it_means(kind: type) -> None:
    for column in described(kind).values():
        assert column.meaning.endswith(".") and column.example
        assert column.read(column.example) not in (None, "")


@pytest.mark.parametrize("kind", KINDS)
def test_a_columns_kind_is_that_of_its_field(kind: type) -> None:
    """A number column on a text field, or a word column that lets everything in, would never be noticed."""
    hints = get_type_hints(kind)
    for f in fields(kind):
        for column in f.metadata.get("bom.column", ()):
            assert (column.holds is Holds.NUMBER) == ("float" in str(hints[f.name])), f.name
            assert column.needed <= (f.default is MISSING or f.name == "name"), f.name
            assert (column.holds is Holds.WORD) == bool(column.words.words), f.name


@pytest.mark.parametrize("kind", KINDS)
def test_no_two_words_of_a_column_fold_into_one_that_means_two_things(kind: type) -> None:
    for column in described(kind).values():
        words = column.words.words
        assert len({folded(w) for w in words}) == len(words)
        assert set(column.words.also) <= set(words)
        others = [folded(other) for word in words for other in column.words.also.get(word, ())]
        assert len(set(others)) == len(others) and not set(others) & {folded(w) for w in words}
        assert not {folded(w) for w in column.words.unclear} & {*others, *map(folded, words)}


def test_every_field_of_a_relay_and_of_a_rating_is_a_column() -> None:
    for kind in (Relay, Rating, SupplyPart):
        assert list(described(kind)) == [f.name for f in fields(kind)]


def test_a_thing_is_made_from_texts_with_every_problem_told_by_column() -> None:
    problems: list[Problem] = []
    rating = made(
        Rating, {"applies_to": "TW2", "contact": "N.O.", "load": "motr", "supply": "DC", "volts": ""}, problems
    )
    assert (rating.contact, rating.supply, rating.amps) == ("make", "dc", None)
    assert [(p.column, p.found) for p in problems] == [("load", "motr"), ("volts", "an empty cell")]
    assert "is 'motor' meant?" in problems[0].expected
