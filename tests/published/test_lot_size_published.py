"""Lots under price breaks against printed answers. Where only a figure was printed, that is all that is compared."""

from __future__ import annotations

import pytest

from bom.buying.lot_size import Breaks, Lot, PriceSteps, YearlyUse, best_lot, yearly_cost
from bom.values.problem import Refused

SNYDER = "Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd edition"


def all_units_lot(use: YearlyUse, breaks: Breaks, incremental: bool = False) -> Lot:
    lot = best_lot(use, [PriceSteps(tuple(breaks), incremental)])
    assert lot is not None
    return lot


def incremental_lot(use: YearlyUse, breaks: Breaks) -> Lot:
    return all_units_lot(use, breaks, incremental=True)


@pytest.mark.parametrize(
    ("source", "use", "breaks", "pieces", "cost"),
    [
        (
            f"{SNYDER}, example 3.5; answer reckoned with a public inventory library",
            YearlyUse(1300, 8, 0.3),
            ((0, 0.75), (400, 0.72), (800, 0.68)),
            800,
            978.60,
        ),
        (
            "the docs of a public inventory library",
            YearlyUse(1000, 200, 0.2),
            ((0, 500), (200, 475), (500, 450)),
            500,
            472900,
        ),
        (
            f"{SNYDER}, problem 3.12; answer reckoned with a public inventory library",
            YearlyUse(182500, 2250, 0.25),
            ((0, 1490), (1200, 1220), (2400, 1100)),
            2400,
            201251093.75,
        ),
        (
            "the hospital cleaner, a slide set on Stevenson, Operations Management",
            YearlyUse(816, 12, holding=4),
            ((1, 20), (50, 18), (80, 17), (100, 16)),
            100,
            13353.92,
        ),
        (
            "Surge Electric, the same slide set",
            YearlyUse(4000, 30, 0.4),
            ((1, 0.90), (500, 0.85), (1000, 0.80)),
            1000,
            3480,
        ),
        (
            "a homework problem printed with its answer of 1000",
            YearlyUse(5000, 49, 0.2),
            ((0, 5.00), (1000, 4.90), (2000, 4.85)),
            1000,
            25235,
        ),
    ],
)
def test_the_lot_where_the_price_reached_holds_for_every_piece(
    source: str, use: YearlyUse, breaks: Breaks, pieces: float, cost: float
) -> None:
    lot = all_units_lot(use, breaks)
    assert (lot.pieces, lot.yearly_cost) == pytest.approx((pieces, cost), rel=1e-7), source


def test_the_lot_where_only_further_pieces_are_cheaper() -> None:
    """The docs of a public inventory library: K 150, 25 %, D 2400, 100 / 90 from 300 / 80 from 600."""
    lot = incremental_lot(YearlyUse(2400, 150, 0.25), ((0, 100), (300, 90), (600, 80)))
    assert (lot.pieces, lot.yearly_cost) == pytest.approx((1481.8907, 222762.8137), abs=5e-5)


@pytest.mark.parametrize(("pieces", "price", "printed"), [(70, 18, 14968), (80, 17, 14154), (100, 16, 13354)])
def test_each_break_of_the_hospital_cleaner_costs_what_is_printed(pieces: float, price: float, printed: float) -> None:
    """The slide set on Stevenson prints the three yearly costs, to whole dollars."""
    assert yearly_cost(YearlyUse(816, 12, holding=4), pieces, price) == pytest.approx(printed, abs=0.5)


def test_the_middle_break_of_surge_electric_is_the_only_one_feasible_below_the_last() -> None:
    """The same slide set: 866 pieces at 0.90 are beyond that break, 840 at 0.85 are within theirs, at 3686 a year."""
    lot = all_units_lot(YearlyUse(4000, 30, 0.4), ((1, 0.90), (500, 0.85)))
    assert (lot.pieces, lot.yearly_cost) == pytest.approx((840, 3686), abs=0.5)


def test_without_breaks_both_are_the_plain_lot_size() -> None:
    use, flat = YearlyUse(1300, 8, 0.3), ((0.0, 0.75),)
    assert all_units_lot(use, flat) == incremental_lot(use, flat)
    assert all_units_lot(use, flat).pieces == pytest.approx(304.0468, abs=5e-5)  # example 3.1: h = 0.3 x 0.75


@pytest.mark.parametrize(("rate", "holding"), [(0.0, 0.0), (0.2, 4.0)])
def test_one_way_of_holding_is_needed(rate: float, holding: float) -> None:
    with pytest.raises(Refused, match="either a rate or a cost of holding"):
        YearlyUse(100, 5, rate, holding)
