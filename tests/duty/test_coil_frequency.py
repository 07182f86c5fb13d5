"""An AC coil is wound for a frequency, and the board or the fitted part tells which there is."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD, design, place

from bom.duty.check import coil_findings
from bom.relays.relay import Mains, Relay, SupplyKind
from bom.values.finding import Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
HZ_50, HZ_60, BOTH = Mains


def coil(hertz: Mains | None) -> Relay:
    return replace(OLD, coil_supply=SupplyKind.AC, coil_hertz=hertz)


@pytest.mark.parametrize(
    ("board", "ours", "fitted", "expected"),
    [
        (HZ_50, HZ_50, None, P),
        (HZ_60, HZ_50, None, F),
        (HZ_50, HZ_60, None, F),
        (HZ_50, BOTH, None, P),
        (BOTH, HZ_50, None, F),  # the box is used on either
        (None, BOTH, None, P),
        (None, HZ_50, HZ_50, P),
        (None, HZ_60, HZ_50, F),
        (None, HZ_50, BOTH, U),
        (None, HZ_50, None, U),
        (HZ_50, None, HZ_50, U),
    ],
)
def test_a_coil_suits_the_frequency_that_there_is(
    board: Mains | None, ours: Mains | None, fitted: Mains | None, expected: Outcome
) -> None:
    there = place()
    there = replace(there, board=replace(there.board, supply=replace(there.board.supply, hertz=board)))
    found = coil_findings(design(coil(ours)), there, design(coil(fitted)))
    assert next(f.outcome for f in found if f.check == "coil frequency") is expected


def test_a_dc_coil_is_not_asked() -> None:
    assert not [f for f in coil_findings(design(OLD), place()) if f.check == "coil frequency"]


def test_a_board_that_states_its_frequency_drives_ac() -> None:
    there = place()
    there = replace(there, board=replace(there.board, supply=replace(there.board.supply, hertz=HZ_50)))
    found = coil_findings(design(OLD), there)
    assert (found[0].check, found[0].outcome) == ("coil supply", F)
