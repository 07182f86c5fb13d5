"""Coil figures that data sheets and application notes print."""

from __future__ import annotations

import pytest

from bom.boards.board import Board, Driver, HolePattern, Place, Position, Supply
from bom.duty.check import coil_findings
from bom.duty.coil_drive import current_ma, operate_volts_hot
from bom.duty.load_protection import SERIES, at_least, bates_snubber
from bom.duty.release import decay, resistor_peak_volts
from bom.relays.relay import Design, Relay, SupplyKind, Suppression
from bom.values.finding import Outcome


def test_a_twin_relays_coil_row_agrees_with_itself() -> None:
    """Panasonic, Automotive relays CT (2022), coil data: 12 V, 180 ohm, 66.7 mA, 800 mW, operates at 7.2 V."""
    coil = Relay("M", "x", coil_volts=12, coil_ohms=180, coil_ohms_tol_pct=0, coil_ref_temp_c=20, operate_volts=7.2)
    assert coil.coil_watts == pytest.approx(0.8)
    assert current_ma(coil, 12, 20) == pytest.approx(66.7, abs=0.1)
    assert operate_volts_hot(coil, 20) == pytest.approx(0.6 * 12)


def test_a_coil_of_360_mw_has_400_ohm() -> None:
    """Meishuo, Release voltage, reset voltage, coil resistance (meishuo-relay.com): 12 V, 0.36 W, 400 ohm."""
    assert Relay("M", "x", coil_volts=12, coil_ohms=400).coil_watts == pytest.approx(0.36)


@pytest.mark.parametrize(("ohms", "volts"), [(680, 167), (470, 115), (330, 81), (220, 54), (100, 24.6), (82, 20.1)])
def test_the_theoretical_volts_of_a_resistor(ohms: float, volts: float) -> None:
    """TE Connectivity, Relay coil suppression with DC relays, 13C3311, table, from memory: 55 ohm coil at 13.5 V."""
    assert resistor_peak_volts(13.5 / 55, ohms) == pytest.approx(volts, abs=0.5)


COIL = Relay("M", "x", coil_volts=12, coil_ohms=275, release_volts=1.2, coil_henries=2.29, suppression_ohms=680)


def test_suppressions_come_in_the_printed_order() -> None:
    """TE Connectivity, Relay coil suppression with DC relays, 13C3311, drop-out table: none, diode and zener,
    resistor, diode."""
    order = (Suppression.NONE, Suppression.DIODE_ZENER, Suppression.RESISTOR, Suppression.DIODE)
    times = [decay(COIL, kind, 12).milliseconds or 0.0 for kind in order]
    assert times == sorted(times)


@pytest.mark.parametrize(("amps", "ohms"), [(1.0, 10), (0.1, 100)])
def test_the_preferred_snubber_resistor_is_the_one_printed(amps: float, ohms: float) -> None:
    """Duniway Stockroom, Terranova 907 manual, page 30, and 752A, page A-2: about 8 ohm, use 10; about 76 ohm, use 100
    (110 V)."""
    assert at_least(bates_snubber(110, amps).ohms, 6) == pytest.approx(ohms)


def test_every_series_has_the_usual_values() -> None:
    """IEC 60063, from memory; E6, E12 and E24 as G4USP, Component preferred values (qsl.net/g4usp), prints them."""
    e24 = "10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91"
    assert SERIES[3] == (1.0, 2.2, 4.7)
    assert SERIES[6] == (1.0, 1.5, 2.2, 3.3, 4.7, 6.8)
    assert SERIES[12] == (1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2)
    assert SERIES[24] == tuple(int(value) / 10 for value in e24.split())


@pytest.mark.parametrize(("lowest", "outcome"), [(18.1, Outcome.PASS), (17.9, Outcome.FAIL)])
def test_a_coil_that_has_warmed_by_100_kelvin_needs_18_volts_to_pull_in_again(lowest: float, outcome: Outcome) -> None:
    """Babcock, Relay News: 13.0 V at 25 °C is 18 V at 125 °C (18.01 by copper's line)."""
    coil = {"coil_volts": 26.5, "coil_ohms": 320.0, "coil_ohms_tol_pct": 0.0, "operate_volts": 13.0}
    relay = Relay("M", "x", coil_supply=SupplyKind.DC, coil_ref_temp_c=25.0, **coil)  # type: ignore[arg-type]
    board = Board("B", supply=Supply(lowest, 26.5, 30.0), ambient_max_c=25.0, ambient_min_c=25.0)
    position = Position("K1", "p", driver=Driver(drop_volts=0.0), coil_rise_k=100.0)
    found = coil_findings(Design(relay, None, None), Place(board, position, HolePattern("p", ()), None))
    assert next(f.outcome for f in found if f.check == "pull-in again when warm") is outcome
