"""An RC across a contact against printed examples of C. C. Bates' formula.

Sources: Duniway Stockroom, Terranova 907 manual, page 30, and Terranova 752A manual, page A-2 (excerpts).
"""

from __future__ import annotations

import pytest

from bom.duty.load_protection import bates_snubber


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
