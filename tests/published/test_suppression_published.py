"""An RC across a contact against printed examples of C. C. Bates' formula, and a resistor across a coil.

Sources: Duniway Stockroom, Terranova 907 manual, page 30, and Terranova 752A manual, page A-2 (excerpts).
"""

from __future__ import annotations

import pytest

from bom.boards.board import Board, Driver, HolePattern, Place, Position, Supply
from bom.duty.driver_protection import clamp_inside, driver_protection
from bom.duty.load_protection import bates_snubber
from bom.relays.relay import Relay, SupplyKind, Suppression
from bom.values.finding import Outcome


@pytest.mark.parametrize(
    ("source", "volts", "amps", "microfarads", "ohms", "within"),
    [
        ("Terranova 907 manual, page 30: about 8 ohm", 110, 1.0, 0.1, 7.56, 0.01),
        ("Terranova 752A manual, page A-2: about 76 ohm", 110, 0.1, 0.001, 75.6, 0.1),
    ],
)
def test_the_snubber_is_bates(
    source: str, volts: float, amps: float, microfarads: float, ohms: float, within: float
) -> None:
    snubber = bates_snubber(volts, amps)
    assert snubber.microfarads == pytest.approx(microfarads), source
    assert snubber.ohms == pytest.approx(ohms, abs=within), source


def test_a_resistor_across_a_coil_lets_68_volts_arise() -> None:
    """electro-tech-online.com, thread 167257: 120 ohm coil at 12 V with 680 ohm beside it, 68 V by theory and about
    65 V measured; so on a 12 V supply the open driver stands 80 V."""
    relay = Relay(
        *("M", "x"), coil_supply=SupplyKind.DC, coil_ohms=120, coil_ohms_tol_pct=0, coil_ref_temp_c=20,
        coil_suppression=Suppression.RESISTOR, suppression_ohms=680,
    )  # fmt: skip
    board = Board("B", supply=Supply(max_volts=12.0), ambient_min_c=20.0)
    for bears, outcome in ((79.0, Outcome.FAIL), (81.0, Outcome.PASS)):
        driver = Driver(suppression="none", breakdown_volts=bears)
        place = Place(board, Position("K1", "p", driver=driver), HolePattern("p", ()), None)
        assert clamp_inside(relay, place) == pytest.approx(68)
        assert driver_protection(relay, place)[0].outcome is outcome
