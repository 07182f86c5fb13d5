"""One relay on a screen: all that is stated, with units, and what is not."""

from __future__ import annotations

from typing import Any

import pytest

from bom.paper.terminal.relay_card import relay_card

RATING = {
    "applies_to": "OT", "contact": "make", "load": "motor", "supply": "dc", "volts": 14.0, "amps": 8.0,
    "inrush_amps": 25.0, "carry_amps": 35.0, "carry_seconds": 3.0, "lr_ms": None, "power_factor": None,
    "temp_c": None, "operations": None, "source": "a sheet",
}  # fmt: skip


@pytest.fixture(autouse=True)
def wide(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that no cell wraps."""
    monkeypatch.setenv("COLUMNS", "200")


def card(**stated: Any) -> str:
    answer = {"maker": "Ostrel", "part_number": "OT-1", "ratings": [RATING], "not_stated": [], "cautions": []}
    return " ".join(relay_card(answer | stated).split())


@pytest.mark.parametrize(
    ("stated", "words"),
    [
        ({"coil_ohms": 240.0, "operate_volts": 8.4}, "coil 240 Ω, operates at 8.4 V"),
        ({"body_height_mm": 14.0, "temp_min_c": -40.0}, "body 14 mm high, from -40 °C"),
        ({"mechanical_ops": 1e7}, "10,000,000 operations"),
        ({"a_new_column": "as it stands"}, "a new column as it stands"),
        ({"not_stated": ["coil_henries"]}, "Not stated: coil henries"),
        ({}, "make motor 14 V DC 8 A makes 25 A, carries 35 A for 3 s not stated not stated"),
        ({"ratings": [RATING | {"volts": None, "amps": None}]}, "volts not stated"),
        ({"ratings": []}, "No rating is stated"),
    ],
)
def test_a_card_says(stated: dict[str, Any], words: str) -> None:
    assert words in card(**stated)


def test_what_is_not_stated_takes_no_room() -> None:
    assert "coil" not in card() and "None" not in card(coil_ohms=None)
