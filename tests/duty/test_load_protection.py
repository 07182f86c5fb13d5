"""What to add at the load, and the preferred values it is made of."""

from __future__ import annotations

import pytest
from duty_cases import place

from bom.boards.board import Load
from bom.duty.load_protection import LoadProtection, Protection, at_least, load_henries, protection_for
from bom.relays.relay import SupplyKind

VALVE = Load("solenoid", 24, 2, lr_ms=20)


def protected(load: Load) -> LoadProtection | None:
    return protection_for(place(load=load).position.functions[0])


def way(load: Load, name: str) -> Protection:
    found = protected(load)
    assert found is not None
    return next(w for w in found.ways if w.name == name)


@pytest.mark.parametrize(
    "load",
    [Load("resistive", 24, 2), Load("lamp", 24, 2), Load("solenoid", 24, 2, suppression="diode"), Load("motor", 24)],
)
def test_only_a_bare_inductive_load_needs_any(load: Load) -> None:
    assert protected(load) is None


def test_energy_is_half_l_i_squared() -> None:
    found = protected(VALVE)
    assert found is not None
    assert load_henries(VALVE) == pytest.approx(0.24)
    assert found.joules == pytest.approx(0.48)


def test_a_diode_bears_ten_times_the_volts_and_clamps_at_once() -> None:
    assert "240 V reverse, 2 A" in way(VALVE, "diode").parts
    assert way(VALVE, "diode").peak_volts == pytest.approx(24.7)


def test_a_zener_is_the_next_preferred_value_above_the_circuit() -> None:
    assert "14 V" not in way(Load("solenoid", 14, 2), "diode and zener").parts
    assert "15 V zener" in way(Load("solenoid", 14, 2), "diode and zener").parts


def test_a_zener_lets_its_volts_and_the_diodes_arise_above_the_circuits() -> None:
    assert way(Load("solenoid", 14, 2), "diode and zener").peak_volts == pytest.approx(14 + 15 + 0.7)


@pytest.mark.parametrize("load", [Load("motor", 14, 2, reversing=True), Load("AC-15", 230, 1, supply=SupplyKind.AC)])
def test_a_load_fed_both_ways_round_takes_no_diode(load: Load) -> None:
    found = protected(load)
    assert found is not None
    assert [w.name for w in found.ways] == ["RC"]


@pytest.mark.parametrize(("volts", "mains"), [(48, False), (50, True), (120, True), (230, True)])
def test_across_mains_the_capacitor_is_of_its_class(volts: float, mains: bool) -> None:
    assert ("class X2" in way(Load("AC-15", volts, 1, supply=SupplyKind.AC), "RC").remark) is mains


def test_without_inductance_peak_and_energy_are_not_known() -> None:
    found = protected(Load("motor", 14, 2))
    assert found is not None
    assert (found.joules, found.ways[-1].peak_volts) == (None, None)
    assert "not stated" in found.remark


def test_an_rc_that_lets_too_much_arise_says_so_and_what_would_do() -> None:
    assert "too little for this load, 15 µF" in way(VALVE, "RC").remark


@pytest.mark.parametrize(
    ("value", "series", "above"),
    [(7.56, 6, 10), (75.6, 6, 100), (10, 24, 10), (14, 24, 15), (0.0011, 6, 0.0015), (9.2, 24, 10), (47, 3, 47)],
)
def test_the_next_preferred_value(value: float, series: int, above: float) -> None:
    assert at_least(value, series) == pytest.approx(above)


def test_nothing_has_no_preferred_value() -> None:
    with pytest.raises(ValueError, match="above zero"):
        at_least(0)
