"""One relay on a screen: all that is stated, with units, and what is not."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest

from bom.answers.catalogue import InsideShown, RelayShown
from bom.paper.terminal.relays import relay_card
from bom.relays.relay import Rating, Relay, SupplyKind
from bom.values.column import Holds, described

RATING = Rating(
    "OT", contact="make", load="motor", supply=SupplyKind.DC, volts=14.0, amps=8.0, inrush_amps=25.0, carry_amps=35.0,
    carry_seconds=3.0, source="a sheet",
)  # fmt: skip


@pytest.fixture(autouse=True)
def wide(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that no cell wraps."""
    monkeypatch.setenv("COLUMNS", "200")


def card(ratings: tuple[Rating, ...] = (RATING,), not_stated: tuple[str, ...] = (), **stated: Any) -> str:
    relay = Relay("Ostrel", "OT-1", **stated)
    answer = RelayShown(relay, InsideShown(None, None, None), ratings, (), (), "", (), (), (), not_stated)
    return " ".join(relay_card(answer).split())


@pytest.mark.parametrize(
    ("stated", "words"),
    [
        ({"coil_ohms": 240.0, "operate_volts": 8.4}, "coil 240 Ω, operates at 8.4 V"),
        ({"body_height_mm": 14.0, "temp_min_c": -40.0}, "body 14 mm high, from -40 °C"),
        ({"mechanical_ops": 1e7}, "10,000,000 operations"),
        ({"not_stated": ("coil_henries",)}, "Not stated: coil henries"),
        ({}, "make motor 14 V DC 8 A makes 25 A, carries 35 A for 3 s not stated not stated"),
        ({"ratings": (replace(RATING, volts=None, amps=None),)}, "volts not stated"),
        ({"ratings": ()}, "No rating is stated"),
    ],
)
def test_a_card_says(stated: dict[str, Any], words: str) -> None:
    assert words in card(**stated)


@pytest.mark.parametrize("column", [c.name for c in fields(Relay) if c.name not in ("maker", "part_number")])
def test_a_card_leaves_out_no_column_that_is_stated(column: str) -> None:
    value = 7.25 if described(Relay)[column].holds is Holds.NUMBER else "as stated"
    shown = card(**{column: value})
    assert "7.25" in shown or "7 operations" in shown or "as stated" in shown


def test_what_is_not_stated_takes_no_room() -> None:
    assert "coil" not in card() and "None" not in card(coil_ohms=None)
