"""Road-vehicle supplies, terminal numbers and guided contacts as printed."""

from __future__ import annotations

import pytest

from bom.boards.supply_codes import GENERATOR_RUNNING, JUMP_SECONDS, JUMP_VOLTS, LOAD_DUMP, supply_for
from bom.duty.figures.terminals import (
    MICRO,
    changeover_amps,
    changeover_terminals,
    contact_of,
    contacts_counted,
    meaning,
)
from bom.duty.guided import gap_enough, guided_pairs
from bom.relays.relay import Sealing
from bom.relays.wiring import Kind


@pytest.mark.parametrize(("code", "low", "high"), [("A", 6, 16), ("D", 10.5, 16), ("E", 10, 32), ("F", 16, 32)])
def test_supply_codes(code: str, low: float, high: float) -> None:
    """ISO 16750-2 in test-waveform files of its 2003, 2010 and 2012 editions (D's upper limit from memory)."""
    supply = supply_for(code)
    assert supply is not None
    assert (supply.min_volts, supply.max_volts) == (low, high)


@pytest.mark.parametrize(("code", "low", "high"), [("B", 8, 16), ("C", 9, 16), ("G", 22, 32), ("H", 18, 32)])
def test_the_other_codes(code: str, low: float, high: float) -> None:
    """ISO 16750-2, from memory; C's range also in an OEM test script."""
    supply = supply_for(code)
    assert supply is not None
    assert (supply.min_volts, supply.max_volts) == (low, high)


@pytest.mark.parametrize(
    ("system", "volts", "ohms", "ms"), [(12, (79, 101), (0.5, 4), (40, 400)), (24, (151, 202), (1, 8), (100, 350))]
)
def test_load_dump(system: int, volts: tuple[float, ...], ohms: tuple[float, ...], ms: tuple[float, ...]) -> None:
    """ISO 16750-2, test A: Itech IT6015C manual, pages 93 and 94; JKIEES 30-8, table 1."""
    dump = LOAD_DUMP[system]
    assert (dump.volts, dump.ohms, dump.milliseconds) == (volts, ohms, ms)


def test_suppressed_load_dump_and_running_generator() -> None:
    """ISO 16750-2: Itech IT6015C manual, page 93."""
    assert LOAD_DUMP[12].suppressed_volts == 35
    assert GENERATOR_RUNNING == {12: 14, 24: 28}


def test_a_boost_start_is_24_v_for_a_minute() -> None:
    """ISO 16750-2, from memory."""
    assert (JUMP_VOLTS, JUMP_SECONDS) == (24, 60)


def test_a_micro_relays_blades() -> None:
    """Bosch Auto Parts, page 76."""
    assert [MICRO[n] for n in "12345"] == ["86", "85", "30", "87a", "87"]


@pytest.mark.parametrize(("number", "word"), [("30", "common"), ("85", "coil -"), ("86", "coil +"), ("87a", "break")])
def test_terminal_numbers(number: str, word: str) -> None:
    """Delcon, what does 30-85-86-87 mean on a relay."""
    assert word in meaning(number)


@pytest.mark.parametrize(
    ("terminals", "contact"),
    [(("13", "14"), "make"), (("21", "22"), "break"), (("11", "12", "14"), "changeover"), (("13", "24"), "")],
)
def test_function_digits(terminals: tuple[str, ...], contact: str) -> None:
    """EN 50005 as explained at electrotechnical-officer.com."""
    assert contact_of(*terminals) == contact


def test_a_changeovers_digits() -> None:
    """EN 50005: 11 common, 12 break, 14 make."""
    assert changeover_terminals(1) == {"common": "11", "break": "12", "make": "14"}


@pytest.mark.parametrize(("number", "counted"), [("31E", (3, 1)), ("22E", (2, 2))])
def test_an_arrangement_number_counts_make_then_break(number: str, counted: tuple[int, int]) -> None:
    """EN 50011: Siemens SIRIUS Innovations manual, page 166."""
    assert contacts_counted(number) == counted


def test_the_lower_headline_figure_is_the_break_contacts() -> None:
    """ISO relay guide: a 30/40 A changeover."""
    assert changeover_amps("30/40 A") == {Kind.BREAK: 30, Kind.MAKE: 40}


def test_only_crosswise_pairs_of_a_type_b_relay_prove() -> None:
    """Finder 50 series: 11-14 with 21-22, or 11-12 with 21-24."""
    assert set(guided_pairs(("1", "2"))) == {
        (("1", Kind.MAKE), ("2", Kind.BREAK)),
        (("2", Kind.MAKE), ("1", Kind.BREAK)),
    }


@pytest.mark.parametrize(
    ("gap", "double", "enough"), [(0.5, False, False), (0.51, False, True), (0.3, True, False), (0.31, True, True)]
)
def test_the_gap_that_guided_contacts_keep(gap: float, double: bool, enough: bool) -> None:
    """EN 50205: Contrinex YRB manual, page 33; Weidmüller, safety relays."""
    assert gap_enough(gap, double) is enough


def test_wash_tight_comes_above_flux_proof() -> None:
    """Schneider relay presentation: RT II flux-proof, RT III wash-tight."""
    assert Sealing.RT_III.rank > Sealing.RT_II.rank
