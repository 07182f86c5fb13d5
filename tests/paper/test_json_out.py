"""JSON out: our values in plain words."""

import json
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from bom.answers.kits import LineChanged
from bom.paper.json_out import as_json, as_plain
from bom.values.finding import Finding, Outcome
from bom.values.money import Money


@pytest.mark.parametrize(
    ("value", "plain"),
    [
        (Money.of("12.3", "EUR"), {"amount": "12.30", "currency": "EUR"}),
        (Money.of("0.0125", "EUR"), {"amount": "0.0125", "currency": "EUR"}),
        (Money.of("-5", "JPY"), {"amount": "-5", "currency": "JPY"}),
        (Money.of("10000", "JPY"), {"amount": "10000", "currency": "JPY"}),
        (Money.of("1.5", "KWD"), {"amount": "1.500", "currency": "KWD"}),
        (Decimal("2.50"), 2.5),
        (Decimal("1E+2"), 100),
        (Decimal("NaN"), None),
        (float("inf"), None),
        (Outcome.PASS, "pass"),
        (date(2025, 3, 1), "2025-03-01"),
        (datetime(2025, 3, 1, 12, tzinfo=UTC), "2025-03-01T12:00:00+00:00"),
        ({("a", 1): {2, 1}}, {"a 1": [1, 2]}),
        ({Outcome.FAIL: (True, None)}, {"fail": [True, None]}),
        (Path("a"), "a"),
    ],
)
def test_values_become_plain(value: object, plain: object) -> None:
    assert as_plain(value) == plain


def test_a_dataclass_keeps_its_fields_in_order() -> None:
    keys = list(json.loads(as_json(Finding("fit", Outcome.UNKNOWN, "Measure the drill."))))
    assert keys == ["check", "outcome", "why", "required", "offered", "margin", "source"]


def test_letters_beyond_ascii_stay_letters() -> None:
    assert "85 °C Ω" in as_json({"t": "85 °C Ω"})


def test_what_has_no_json_is_refused() -> None:
    with pytest.raises(TypeError, match="no JSON for a object"):
        as_json([object()])


@pytest.mark.parametrize(
    "value",
    [
        {},
        [],
        [[], {}],
        {"a": [], "b": {}},
        'Ω\n\t"\\\x01\u2028',
        None,
        True,
        3,
        1e22,
        {"a": [1, {"b": [None, 2.5e-7]}], "c": ""},
    ],
)
def test_json_is_laid_out_as_the_standard_library_lays_it_out(value: object) -> None:
    assert as_json(value) == json.dumps(value, ensure_ascii=False, indent=2)


def test_the_underscore_that_keeps_a_field_from_a_word_of_pythons_is_no_part_of_its_key() -> None:
    assert as_plain(LineChanged("K1", "A", "B", None)) == {"line": "K1", "was": "A", "is": "B", "more": None}
