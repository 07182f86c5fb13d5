"""The shelf at its edges: the last day, half a gram, what is promised, what lies in which drawer."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from bom.stock.ledger import Level, Lot, Move, MoveKind, drawer_of, expired, free, is_over, pick, promised, reversal
from bom.stock.samples import Weighed, pieces
from bom.stock.valuation import value
from bom.values.money import Money
from bom.values.problem import Refused

TODAY, DAY = date(2026, 3, 10), timedelta(days=1)
NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
LEVEL = Level(Decimal("1.5"))


def lot(number: str, last_day: date | None = None, part: str = "FLUX") -> Lot:
    return Lot(number, part, expires=last_day, received=NOON)


def move(sequence: int, kind: MoveKind, quantity: str, number: str = "L1", drawer: str = "") -> Move:
    return Move(sequence, NOON, kind, "FLUX", number, Decimal(quantity), drawer=drawer)


@pytest.mark.parametrize(
    ("last_day", "over"), [(TODAY - DAY, True), (TODAY, False), (TODAY + DAY, False), (None, False)]
)
def test_a_lot_is_good_to_the_end_of_its_last_day(last_day: date | None, over: bool) -> None:
    found = lot("L1", last_day)
    assert is_over(found, TODAY) is over and not is_over(found, None)
    assert free([found], {"L1": LEVEL}, {}, TODAY) == {"FLUX": Decimal(0) if over else LEVEL.on_hand}
    assert expired([found], {"L1": LEVEL}, TODAY) == ({"FLUX": LEVEL.on_hand} if over else {})


def test_what_is_free_of_a_part_is_the_sum_of_its_lots_less_what_is_promised() -> None:
    lots, levels = [lot("L1"), lot("L2"), lot("L3")], {"L1": LEVEL, "L2": LEVEL, "L3": Level(held=Decimal(2))}
    assert free(lots, levels, {"FLUX": Decimal("0.25")}) == {"FLUX": Decimal("2.75")}
    assert free(lots, levels, {"FLUX": Decimal(9)}) == {"FLUX": Decimal(0)}
    assert free([lot("L9")], {}, {}) == {"FLUX": Decimal(0)}


def test_what_has_expired_of_a_part_is_the_sum_of_its_lots() -> None:
    old = TODAY - DAY
    levels = {"L1": LEVEL, "L2": LEVEL, "L3": Level(held=Decimal(2))}
    assert expired([lot("L1", old), lot("L2", old), lot("L3", old)], levels, TODAY) == {"FLUX": Decimal(3)}
    assert expired([lot("L1", old)], {"L1": Level(Decimal("0.5"))}, TODAY) == {"FLUX": Decimal("0.5")}


def test_half_a_gram_can_be_picked_and_nothing_cannot() -> None:
    assert pick("FLUX", Decimal("0.5"), [lot("L1")], {"L1": LEVEL}) == [(lot("L1"), Decimal("0.5"))]
    with pytest.raises(Refused, match="more than none"):
        pick("FLUX", Decimal(0), [lot("L1")], {"L1": LEVEL})
    assert pick("FLUX", Decimal("1.5"), [lot("L1")], {"L1": LEVEL}) == [(lot("L1"), Decimal("1.5"))]


def test_a_shortage_counts_promises_with_and_without_a_lot() -> None:
    levels = {"L1": Level(Decimal(9), reserved=Decimal(2), held=Decimal(1))}
    with pytest.raises(Refused, match=r"1 short: 4 wanted and 3 available \(9 on hand, 5 reserved, 1 held\)"):
        pick("FLUX", Decimal(4), [lot("L1")], levels, promised=Decimal(3))


def test_promises_without_a_lot_add_up_and_those_of_a_lot_are_left_out() -> None:
    moves = [
        move(1, MoveKind.RESERVE, "2", ""), move(2, MoveKind.RESERVE, "1.5", ""),
        move(3, MoveKind.RELEASE, "-0.5", ""), move(4, MoveKind.RESERVE, "7"),
    ]  # fmt: skip
    assert promised(moves) == {"FLUX": Decimal(3)}


def test_a_lot_lies_where_it_was_shifted_last_whatever_other_lots_did() -> None:
    here = Lot("L1", "FLUX", drawer="A1")
    other = move(9, MoveKind.SHIFT, "0", "L2", drawer="Z9")
    assert drawer_of(here, [other]) == "A1"
    shifts = [move(5, MoveKind.SHIFT, "0", drawer="C3"), move(2, MoveKind.SHIFT, "0", drawer="B2"), other]
    assert drawer_of(here, shifts) == "C3"


def test_a_counter_entry_has_no_place_in_the_ledger_until_the_store_gives_it_one() -> None:
    undone = reversal(move(7, MoveKind.IN, "2"))
    assert (undone.sequence, undone.counters, undone.quantity) == (0, 7, Decimal(-2))


def test_goods_in_that_were_undone_never_came_though_half_a_gram_was_left() -> None:
    entry = move(1, MoveKind.IN, "0.5")
    moves = [entry, reversal(entry, sequence=2), move(3, MoveKind.IN, "0.5", "L2"), move(4, MoveKind.OUT, "-0.5", "L2")]
    worth = value(moves, {"L1": Money.of("9", "GBP"), "L2": Money.of("4", "GBP")}, "GBP")
    assert (worth.came_in, worth.worth.gone, worth.worth.on_hand) == (Money.of("2", "GBP"), Money.of("2", "GBP"), 0)


def weighed(gross: str, sample: int, grams: str, step: str = "0.1") -> Weighed:
    return Weighed(Decimal(gross), sample, Decimal(grams), step=Decimal(step))


@pytest.mark.parametrize(
    ("gross", "count"),
    [("204.8", 20), ("204.9", None), ("195.1", None), ("195.2", 20), ("205.1", None), ("205.2", 21)],
)
def test_a_heap_is_counted_to_where_half_a_piece_is_in_doubt(gross: str, count: int | None) -> None:
    """Ten of 10 g each by steps of 0.1 g: at 20 pieces the count may be off by 20 x 0.05/100 + 0.05/10 = 0.015."""
    if count is None:
        with pytest.raises(Refused, match="between two counts"):
            pieces(weighed(gross, 10, "100"))
    else:
        assert pieces(weighed(gross, 10, "100")) == count


@pytest.mark.parametrize(("grams", "said"), [("1.0", "too light"), ("1.1", "weigh a sample of")])
def test_a_piece_as_light_as_a_step_cannot_be_counted(grams: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        pieces(weighed("50", 10, grams))


def test_the_doubt_is_said_in_pieces_with_one_decimal() -> None:
    """80 of 1 g by one of 1 g: 80 x 0.05/1 + 0.05/1 = 4.05."""
    with pytest.raises(Refused, match=r"80\.0 pieces, give or take 4\.0: "):
        pieces(weighed("80", 1, "1.0"))


def test_a_scale_reads_to_a_tenth_of_a_gram_unless_it_says_otherwise() -> None:
    assert Weighed(Decimal(1), 1, Decimal(1)).step == Decimal("0.1") and Weighed(Decimal(1), 1, Decimal(1)).tare == 0
