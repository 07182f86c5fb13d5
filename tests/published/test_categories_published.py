"""Utilisation categories and the electromagnets behind them.

Sources: Siemens, NEMA and IEC control circuit classifications (dtsheet document 1798004), which prints IEC 60947-5-1,
table 4; Siemens, SIRIUS System Manual, page 3-5, tables 3-3 and 3-31; ELESTA, Overview of conventional utilization
categories; Schneider Electric, Relays, technical presentation, DIA5ED2130303EN. Excerpts, editions not shown.
"""

from __future__ import annotations

import pytest

from bom.duty.categories import CATEGORIES, DEFINED_LR_MS, dc_13_lr_ms, dc_13_t95_ms, electromagnet_category
from bom.duty.release import stored_joules
from bom.relays.relay import SupplyKind


@pytest.mark.parametrize(("name", "make"), [("AC-12", 1), ("AC-13", 2), ("AC-14", 6), ("AC-15", 10)])
def test_control_circuits_make_this_many_times(name: str, make: float) -> None:
    """Siemens, control circuit classifications, table of IEC 60947-5-1: I/Ie making, and 1 breaking for all."""
    assert (CATEGORIES[name].make_times, CATEGORIES[name].break_times) == (make, 1)


@pytest.mark.parametrize(("name", "cos_phi"), [("AC-12", 0.9), ("AC-14", 0.3)])
def test_the_power_factor_is_the_printed_one(name: str, cos_phi: float) -> None:
    """Siemens SIRIUS system manual, table 3-3."""
    assert CATEGORIES[name].power_factor == cos_phi


def test_an_ac_15_contact_of_3_a_makes_30() -> None:
    """Siemens, control circuit classifications: ten times."""
    assert 3 * CATEGORIES["AC-15"].make_times == 30


@pytest.mark.parametrize(("va", "category"), [(72, "AC-14"), (73, "AC-15")])
def test_electromagnets_part_at_72_va(va: float, category: str) -> None:
    """Siemens SIRIUS system manual; ELESTA, utilisation categories; Schneider relay presentation."""
    assert electromagnet_category(va, 1, SupplyKind.AC) == category


def test_a_dc_13_magnet_of_48_w() -> None:
    """IEC 60947-5-1, T0.95 = 6 P, from memory; L/R and energy worked out from it."""
    assert dc_13_t95_ms(24, 2) == pytest.approx(288)
    assert dc_13_lr_ms(24, 2) == pytest.approx(96)
    assert stored_joules(24 / 2 * dc_13_lr_ms(24, 2) / 1000, 2) == pytest.approx(2.304, abs=1e-3)


def test_a_dc_13_magnet_of_24_w() -> None:
    """IEC 60947-5-1, T0.95 = 6 P, from memory; L/R and energy worked out from it."""
    assert (dc_13_t95_ms(24, 1), dc_13_lr_ms(24, 1)) == (144, 48)
    assert stored_joules(24 / 1 * dc_13_lr_ms(24, 1) / 1000, 1) == pytest.approx(0.576, abs=1e-3)


def test_a_larger_magnet_is_taken_as_300_ms() -> None:
    """IEC 60947-5-1, from memory: 60 W."""
    assert dc_13_t95_ms(60, 1) == 300


@pytest.mark.parametrize(("name", "times", "lr_ms"), [("DC-1", 1.5, 1.0), ("DC-3", 4, 2.5), ("DC-5", 4, 15)])
def test_the_capacity_test_of_dc_categories(name: str, times: float, lr_ms: float) -> None:
    """Siemens SIRIUS system manual, page 3-5."""
    assert (CATEGORIES[name].make_times, CATEGORIES[name].time_ms) == (times, lr_ms)


@pytest.mark.parametrize(("name", "lr_ms"), [("DC-1", 1.0), ("DC-3", 2.0), ("DC-5", 7.5)])
def test_their_definition_is_another_test_and_stays_visible(name: str, lr_ms: float) -> None:
    """ELESTA, utilisation categories."""
    assert DEFINED_LR_MS[name] == lr_ms


def test_ac_3_makes_ten_times_and_breaks_eight() -> None:
    """IEC 60947-4-1 as printed by Federal Elektrik, Contactors, product page at directindustry.com."""
    assert (CATEGORIES["AC-3"].make_times, CATEGORIES["AC-3"].break_times) == (10, 8)
