"""Lots under price breaks against worked examples of a textbook.

Stevenson, Operations Management, 14th edition, chapter Inventory Management: example 5 (a hospital's cleaner) and
example 6 (toggle switches), whose numbers are from memory. Printed answers are rounded to whole units and dollars.
Lots without a printed answer, and those of breaks that price only further pieces, are held to scipy in
``test_reorder_against_a_library``.
"""

from __future__ import annotations

import pytest

from bom.buying.levels import Breaks, LotSize, PriceSteps, YearlyUse, best_lot, yearly_cost

CLEANER = YearlyUse(816, 12, holding=4)
SWITCHES = YearlyUse(4000, 30, 0.4)


def lot_at(use: YearlyUse, breaks: Breaks) -> LotSize:
    lot = best_lot(use, [PriceSteps(tuple(breaks))])
    assert lot is not None
    return lot


@pytest.mark.parametrize(("pieces", "price", "printed"), [(70, 18, 14968), (80, 17, 14154), (100, 16, 13354)])
def test_each_break_of_the_hospital_cleaner_costs_what_is_printed(pieces: float, price: float, printed: float) -> None:
    assert yearly_cost(CLEANER, pieces, price) == pytest.approx(printed, abs=0.5)


def test_the_hospital_cleaner_is_bought_a_hundred_at_a_time() -> None:
    lot = lot_at(CLEANER, ((1, 20), (50, 18), (80, 17), (100, 16)))
    assert lot.pieces == 100 and lot.yearly_cost == pytest.approx(13354, abs=0.5)


def test_toggle_switches_are_bought_at_the_last_break() -> None:
    lot = lot_at(SWITCHES, ((1, 0.90), (500, 0.85), (1000, 0.80)))
    assert lot.pieces == 1000 and lot.yearly_cost == pytest.approx(3480, abs=0.5)


def test_below_the_last_break_the_middle_one_is_the_only_one_whose_lot_lies_in_it() -> None:
    """866 switches at 0.90 are beyond that break; 840 at 0.85 are within theirs, at 3686 a year."""
    lot = lot_at(SWITCHES, ((1, 0.90), (500, 0.85)))
    assert (lot.pieces, lot.yearly_cost) == pytest.approx((840, 3686), abs=0.5)
