"""Road-vehicle supplies, terminal numbers and guided contacts as printed."""

from __future__ import annotations

import pytest

from bom.boards.board import JUMP_SECONDS, JUMP_VOLTS, supply_for
from bom.duty.paired_contacts import guided_pairs
from bom.duty.terminals import changeover_terminals, contact_of, control_meanings, meaning
from bom.relays.relay import Sealing
from bom.relays.wiring import Kind


@pytest.mark.parametrize(("code", "low", "high"), [("A", 6, 16), ("D", 10.5, 16), ("E", 10, 32), ("F", 16, 32)])
def test_supply_codes(code: str, low: float, high: float) -> None:
    """ISO 16750-2:2012, supply voltage codes, from memory."""
    supply = supply_for(code)
    assert supply is not None
    assert (supply.min_volts, supply.max_volts) == (low, high)


@pytest.mark.parametrize(("code", "low", "high"), [("B", 8, 16), ("C", 9, 16), ("G", 22, 32), ("H", 18, 32)])
def test_the_other_codes(code: str, low: float, high: float) -> None:
    """ISO 16750-2:2012, supply voltage codes, from memory."""
    supply = supply_for(code)
    assert supply is not None
    assert (supply.min_volts, supply.max_volts) == (low, high)


def test_a_boost_start_is_24_v_for_a_minute() -> None:
    """ISO 16750-2:2012, jump start, from memory."""
    assert (JUMP_VOLTS, JUMP_SECONDS) == (24, 60)


@pytest.mark.parametrize(("number", "word"), [("30", "common"), ("85", "coil -"), ("86", "coil +"), ("87a", "break")])
def test_terminal_numbers(number: str, word: str) -> None:
    """Delcon, What does 30-85-86-87 mean on a relay? (delcon.fi), after DIN 72552."""
    assert word in meaning(number)


@pytest.mark.parametrize(
    ("terminals", "contact"),
    [(("13", "14"), "make"), (("21", "22"), "break"), (("11", "12", "14"), "changeover"), (("13", "24"), "")],
)
def test_function_digits(terminals: tuple[str, ...], contact: str) -> None:
    """EN 50005 in electrotechnical-officer.com, Standard terminal markings and contact designation."""
    assert contact_of(*terminals) == contact


@pytest.mark.parametrize(
    ("pins", "pin", "words"),
    [
        (("A1", "A2", "11", "12", "14", "21", "22", "24"), "22", "break of changeover 2"),
        (("A1", "A2", "13", "14", "21", "22"), "13", "make contact 1"),
        (("A1", "A2", "13", "22"), "13", None),
        (("11", "12", "14"), "11", None),
        (("1", "2", "6", "A1", "A2"), "A1", None),
    ],
)
def test_control_gears_terminals_are_said_in_words_only_where_all_are(
    pins: tuple[str, ...], pin: str, words: str | None
) -> None:
    """EN 50005 in electrotechnical-officer.com, Standard terminal markings and contact designation."""
    assert control_meanings(pins).get(pin) == words


def test_a_changeovers_digits() -> None:
    """EN 50005 in electrotechnical-officer.com, Standard terminal markings: 11 common, 12 break, 14 make."""
    assert changeover_terminals(1) == {"common": "11", "break": "12", "make": "14"}


def test_only_crosswise_pairs_of_a_type_b_relay_prove() -> None:
    """Finder, 50 series data sheet, EN 50205 type B: 11-14 with 21-22, or 11-12 with 21-24."""
    assert set(guided_pairs(("1", "2"))) == {
        (("1", Kind.MAKE), ("2", Kind.BREAK)),
        (("2", Kind.MAKE), ("1", Kind.BREAK)),
    }


def test_wash_tight_comes_above_flux_proof() -> None:
    """Schneider Electric, Relays, technical presentation, DIA5ED2130303EN: RT II flux-proof, RT III wash-tight."""
    assert Sealing.RT_III.rank > Sealing.RT_II.rank
