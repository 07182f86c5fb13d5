"""Cranking, an economiser's hold and a load dump: each case worked by hand.

OLD operates at 8.4 V at 20 °C. Held at 5.0 V and let go at 1.2 V at 20 °C it holds from 5.0 · 314.5/254.5 = 6.18 V at
80 °C (60 °C and 20 K) and has let go at 1.2 · 214.5/254.5 = 1.01 V at -20 °C. The driver keeps 0.9 V.
"""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from pathlib import Path
from typing import Any

import pytest
from duty_cases import OLD, design, place

from bom.boards.board import Place
from bom.duty.check import duty_findings
from bom.duty.coil_heat import heating_volts
from bom.intake.board_file import take_board
from bom.relays.relay import CoilSystem, Mains, Relay, SupplyKind
from bom.values.finding import Finding, Outcome
from bom.values.problem import ProblemsFound

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
CRANK, HOLD, EARLY = "hold while cranking", "hold on less", "pull-in before the hold"
COIL, CONTACT = "load dump on the coil", "load dump on the open contact"


def part(**stated: Any) -> Relay:
    return replace(OLD, **{"release_volts": 1.2, "operate_ms": 7.0} | stated)


def there(supply: dict[str, float] | None = None, driver: dict[str, float] | None = None, **position: Any) -> Place:
    here = place((11.0, 14.4), (-20, 60))
    assert here.position.driver
    board = replace(here.board, supply=replace(here.board.supply, **(supply or {})))
    own = {"coil_rise_k": 20.0, "driver": replace(here.position.driver, **(driver or {}))} | position
    return replace(here, board=board, position=replace(here.position, **own))


def answers(here: Place, relay: Relay, fitted: Relay | None = None) -> dict[str, Finding]:
    return {f.check: f for f in duty_findings(design(relay), here, design(fitted) if fitted else None)}


def test_events_that_the_board_does_not_state_are_not_asked() -> None:
    assert not {CRANK, HOLD, EARLY, COIL, CONTACT} & answers(there(), part()).keys()


@pytest.mark.parametrize(
    ("dip", "relay", "fitted", "expected"),
    [
        (7.2, part(hold_volts=5.0), None, P),  # 6.3 V are left
        (7.0, part(hold_volts=5.0), None, F),  # 6.1 V
        (7.0, part(hold_volts=5.0), part(hold_volts=5.0), C),
        (7.0, part(), None, U),  # between release and operate volts nothing is certain
        (11.4, part(), None, P),  # 10.5 V, where it would pull in: 8.4 V is 10.38 V at 80 °C
        (1.9, part(hold_volts=5.0), None, F),  # 1.0 V are left: it has let go
        (1.9, part(), part(), C),  # so has the fitted part
        (0.5, part(release_volts=None), None, F),  # nothing is left
        (0.95, part(release_volts=None), None, U),  # 0.05 V are: where it lets go nobody says
    ],
)
def test_a_coil_holds_while_the_engine_is_cranked(
    dip: float, relay: Relay, fitted: Relay | None, expected: Outcome
) -> None:
    found = answers(there({"crank_volts": dip}), relay, fitted)[CRANK]
    assert found.outcome is expected, found


def test_of_a_dip_below_what_the_driver_keeps_nothing_is_left() -> None:
    assert "of which 0.00 V are left on the coil" in answers(there({"crank_volts": 0.5}), part())[CRANK].why


def test_a_hold_that_hangs_on_how_warm_the_coil_gets_is_a_condition() -> None:
    """5.0 V is 7.65 V at 155 °C, 5.79 V at 60 °C; 6.3 V are there."""
    cold = there({"crank_volts": 7.2}, coil_rise_k=None)
    assert answers(cold, part(hold_volts=5.0))[CRANK].outcome is C
    assert answers(there({"crank_volts": 8.6}, coil_rise_k=None), part(hold_volts=5.0))[CRANK].outcome is P
    assert answers(there({"crank_volts": 6.6}, coil_rise_k=None), part(hold_volts=5.0))[CRANK].outcome is F


def test_what_may_drop_out_may() -> None:
    assert answers(there({"crank_volts": 1.9}, may_drop_out=True), part())[CRANK].outcome is P


@pytest.mark.parametrize(
    ("relay", "field"),
    [(part(coil_ref_temp_c=None), "temperature the coil data hold at"), (part(operate_volts=None), "hold volts")],
)
def test_what_is_missing_is_named(relay: Relay, field: str) -> None:
    found = answers(there({"crank_volts": 7.2}), relay)[CRANK]
    assert found.outcome is U and field in found.why


def test_an_unstated_drop_of_the_driver_is_asked_for() -> None:
    found = answers(there({"crank_volts": 7.2}, {"drop_volts": None}), part(hold_volts=5.0))[CRANK]  # type: ignore[dict-item]
    assert found.outcome is U and "driver drop volts" in found.why


@pytest.mark.parametrize(
    ("driver", "relay", "hold", "early"),
    [
        ({"hold_volts": 6.5, "pull_in_ms": 100.0}, part(hold_volts=5.0), P, P),
        ({"hold_volts": 6.0, "pull_in_ms": 100.0}, part(hold_volts=5.0), F, P),
        ({"hold_volts": 6.5, "pull_in_ms": 5.0}, part(hold_volts=5.0), P, F),
        ({"hold_volts": 6.5}, part(hold_volts=5.0), P, U),
        ({"hold_volts": 6.5, "pull_in_ms": 100.0}, part(), U, P),
        ({"hold_volts": 6.5, "pull_in_ms": 100.0}, replace(part(hold_volts=5.0), operate_ms=None), P, U),
    ],
)
def test_an_economiser_leaves_enough_once_it_has_pulled_in(
    driver: dict[str, float], relay: Relay, hold: Outcome, early: Outcome
) -> None:
    found = answers(there(driver=driver), relay)
    assert (found[HOLD].outcome, found[EARLY].outcome) == (hold, early)


def test_a_coil_on_an_economiser_is_heated_by_what_that_leaves() -> None:
    assert heating_volts(there(driver={"hold_volts": 6.5})) == 6.5


@pytest.mark.parametrize("system", [CoilSystem.LATCHING_1_COIL, CoilSystem.LATCHING_2_COIL])
def test_a_latching_relay_holds_by_itself(system: CoilSystem) -> None:
    here = there({"crank_volts": 1.9}, {"hold_volts": 1.0})
    assert not {CRANK, HOLD, EARLY} & answers(here, part(coil_system=system)).keys()


def test_an_ac_coil_is_asked_for_neither() -> None:
    assert CRANK not in answers(there({"crank_volts": 1.9}), part(coil_supply=SupplyKind.AC))


@pytest.mark.parametrize(
    ("relay", "fitted", "coil", "contact"),
    [
        (part(coil_max_volts=36.0, dielectric_volts=500.0), None, P, P),
        (part(coil_max_volts=20.0, dielectric_volts=500.0), None, U, P),
        (part(coil_max_volts=20.0, dielectric_volts=500.0), part(), C, P),
        (part(coil_max_volts=36.0), None, P, U),
        (part(coil_max_volts=36.0, dielectric_volts=35 / sqrt(2) + 0.1), None, P, P),
        (part(coil_max_volts=36.0, dielectric_volts=35 / sqrt(2) - 0.1), None, P, F),
        (replace(part(dielectric_volts=500.0), coil_volts=None), None, U, P),
    ],
)
def test_a_load_dump_comes_over_coil_and_open_contact(
    relay: Relay, fitted: Relay | None, coil: Outcome, contact: Outcome
) -> None:
    found = answers(there({"dump_volts": 35.0, "dump_ms": 400.0}), relay, fitted)
    assert (found[COIL].outcome, found[CONTACT].outcome) == (coil, contact)
    assert coil is U or "400 ms" in found[COIL].why


@pytest.mark.parametrize(("dump", "expected"), [(13.2, P), (13.3, U)])
def test_a_coil_without_a_stated_maximum_bears_a_tenth_over_its_volts(dump: float, expected: Outcome) -> None:
    assert answers(there({"dump_volts": dump}), part(coil_max_volts=None))[COIL].outcome is expected


@pytest.mark.parametrize(("theirs", "expected"), [(24.0, C), (25.0, F)])
def test_an_open_contact_no_worse_than_the_fitted_one_is_a_condition(theirs: float, expected: Outcome) -> None:
    """35 V come over it; 24 V AC are a peak of 33.9 V, 25 V one of 35.4 V."""
    found = answers(there({"dump_volts": 35.0}), part(dielectric_volts=24.0), part(dielectric_volts=theirs))
    assert found[CONTACT].outcome is expected


# ---- as a board file states them -------------------------------------------------------------------------------------

BOARD = '[board]\nname = "B"\nholes = "h.csv"\n[board.supply]\n'
POSITION = '[[position]]\nref = "K1"\npattern = "p"\nmay_drop_out = true\ninsulation = "double"\nimpulse_volts = 4000\n'
POSITION += "driver = { hold_volts = 6, pull_in_ms = 100, breakdown_volts = 60, clamp_volts = 24 }\n"


def read(folder: Path, supply: str) -> Any:
    (folder / "h.csv").write_text("pattern,hole,x_mm,y_mm,view\np,a,0,0,component\n", encoding="utf-8")
    (folder / "b.toml").write_text(BOARD + supply + POSITION, encoding="utf-8")
    return take_board(folder / "b.toml").value


def test_a_board_file_states_what_its_supply_does(tmp_path: Path) -> None:
    board = read(tmp_path, 'code = "C"\ncrank_volts = 6\nload_dump = "suppressed"\nhertz = 50\n')
    supply, position = board.supply, board.positions[0]
    assert (supply.crank_volts, supply.dump_volts, supply.dump_ms, supply.hertz) == (6, 35, 400, Mains.HZ_50)
    assert (position.may_drop_out, position.insulation, position.impulse_volts) == (True, "reinforced", 4000)
    driver = position.driver
    assert (driver.hold_volts, driver.pull_in_ms, driver.breakdown_volts, driver.clamp_volts) == (6, 100, 60, 24)


@pytest.mark.parametrize(
    ("nominal", "kind", "volts"),
    [(12, "suppressed", 35), (12, "unsuppressed", 101), (24, "suppressed", 58), (24, "unsuppressed", 202)],
)
def test_the_usual_load_dumps_are_those_of_iso_16750_2(tmp_path: Path, nominal: int, kind: str, volts: float) -> None:
    assert read(tmp_path, f'nominal_volts = {nominal}\nload_dump = "{kind}"\n').supply.dump_volts == volts
    assert read(tmp_path, f'nominal_volts = {nominal}\nload_dump = "{kind}"\ndump_volts = 80\n').supply.dump_volts == 80


@pytest.mark.parametrize(
    ("supply", "said"),
    [
        ('nominal_volts = 48\nload_dump = "suppressed"\n', "nominal_volts of 12 or 24, or dump_volts beside it"),
        ("min_volts = 9\ncrank_volts = 10\n", "at most min_volts"),
        ("max_volts = 16\ndump_volts = 12\n", "at most dump_volts"),
        ("crank_volts = 0\n", "a number above 0"),
        ('load_dump = "supressed"\n', "suppressed"),
        ("hertz = 400\n", "expected 50 or 60, found '400'"),
        ("dump_volt = 35\n", "dump_volts"),
    ],
)
def test_an_event_that_cannot_be_is_refused(tmp_path: Path, supply: str, said: str) -> None:
    with pytest.raises(ProblemsFound, match=said.replace("|", r"\|")):
        read(tmp_path, supply)
