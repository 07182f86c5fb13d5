"""Insulation on mains, and what a load dump brings, as printed.

IEC 60664-1:2007, 5.3.3.2.3, from memory: short-term temporary overvoltage U_n + 1200 V over basic insulation, twice
that over reinforced; long-term U_n + 250 V. Load dump of ISO 16750-2: JKIEES 30-8-629, table 1 (test A: 79 to 101 V,
151 to 202 V); Itech IT6015C manual, pages 93 and 94 (test B: 35 V on 12 V; 58 V typical on 24 V).
"""

from __future__ import annotations

import pytest

from bom.boards.board import Supply, usual_dump
from bom.duty.insulation import bears_at_least
from bom.relays.relay import Insulation


@pytest.mark.parametrize(
    ("volts", "kind", "bears"),
    [
        (230, Insulation.BASIC, 1430),
        (230, Insulation.REINFORCED, 2860),
        (120, Insulation.BASIC, 1320),
        (230, Insulation.FUNCTIONAL, 480),
    ],
)
def test_what_insulation_bears_for_a_minute(volts: float, kind: Insulation, bears: float) -> None:
    assert bears_at_least(volts, kind) == bears


@pytest.mark.parametrize(
    ("nominal", "kind", "volts"),
    [(12, "unsuppressed", 101), (24, "unsuppressed", 202), (12, "suppressed", 35), (24, "suppressed", 58)],
)
def test_the_hardest_load_dump_is_taken(nominal: float, kind: str, volts: float) -> None:
    assert usual_dump(Supply(nominal_volts=nominal), kind).dump_volts == volts
