"""What a kit costs, for a batch, through kits inside kits."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from bom.kits.cost import KitCost, UnitCost, bought_as_one, cost, gross, order_quantity
from bom.kits.kit import Kit, Line, Packing
from bom.values.money import Money, total
from bom.values.problem import Refused


def gbp(amount: str) -> Money:
    return Money.of(amount, "GBP")


PRICES = {
    "TW2-12S": UnitCost(gbp("2.10"), source="average on hand"),
    "SAC305-1.0": UnitCost(gbp("0.50"), "g"),
    "BRAID-2.5": UnitCost(gbp("0.002"), "mm"),
    "SHEET": UnitCost(gbp("0.10")),
}
BENCH = Kit(
    "bench",
    "GBP",
    lines=(
        Line(part="SAC305-1.0", quantity=Decimal("0.6"), unit="g"),
        Line(part="BRAID-2.5", quantity=Decimal(150), unit="mm"),
    ),
)
VALVE = Kit(
    "valve",
    "GBP",
    batch=10,
    lines=(
        Line(position="K1"),
        Line(position="K2"),
        Line(kit="bench"),
        Line(part="SHEET"),
    ),
    packing=Packing(gbp("0.45"), gbp("3.35"), Decimal(6), gbp("10")),
)


def reckon(kit: Kit, *kits: Kit, chosen: str | None = "TW2-12S", prices: dict[str, UnitCost] = PRICES) -> KitCost:
    known = {k.name: k for k in (BENCH, kit, *kits)}
    return cost(kit, unit_costs=lambda part, _: prices.get(part), kits=known, choose=lambda _, __: chosen)


def test_a_kit_costs_its_lines_its_packing_and_its_labour_but_not_its_postage() -> None:
    answer = reckon(VALVE)
    assert [str(line.cost) for line in answer.lines] == ["21.00 GBP", "21.00 GBP", "6.00 GBP", "1.00 GBP"]
    assert (answer.materials_per_kit, answer.packing, answer.labour) == (gbp("4.90"), gbp("4.50"), gbp("10"))
    assert (answer.total, answer.total_per_kit) == (gbp("63.50"), gbp("6.35"))


@pytest.mark.parametrize(
    ("need", "pct", "order"), [(100, 5, 106), (100, 2, 103), (100, 0, 100), (10, 50, 20), (1, 1, 2)]
)
def test_attrition_is_rounded_up_once_per_order(need: int, pct: int, order: int) -> None:
    assert order_quantity(gross(Decimal(need), Decimal(pct)), "piece") == order


def test_mass_is_not_rounded_to_pieces() -> None:
    answer = reckon(replace(BENCH, attrition_pct=Decimal(20)))
    assert [line.bought for line in answer.lines] == [Decimal("0.75"), Decimal("187.5")]


def test_one_part_on_two_lines_is_one_order_and_the_lines_sum_to_it() -> None:
    asked: list[tuple[str, Decimal]] = []
    kit = Kit("pair", "GBP", "", "", 10, Decimal(5), (Line(position="K1"), Line(position="K2")))

    def unit_costs(part: str, quantity: Decimal) -> UnitCost:
        asked.append((part, quantity))
        return PRICES[part]

    answer = cost(kit, unit_costs=unit_costs, kits={}, choose=lambda _, __: "TW2-12S")
    assert asked == [("TW2-12S", Decimal(22))]
    assert answer.total == gbp("46.20")


def test_packing_and_labour_of_a_kit_inside_count_and_its_lines_can_be_read() -> None:
    inner = replace(BENCH, packing=Packing(gbp("0.05"), gbp("9"), Decimal(3), gbp("20")))
    line = reckon(VALVE, inner).lines[2]
    assert [i.line for i in line.inside] == ["SAC305-1.0", "BRAID-2.5", "packing", "labour"]
    assert line.cost == gbp("16.50")


@pytest.mark.parametrize(
    ("chosen", "prices", "what"),
    [(None, PRICES, ["K1", "K2"]), ("TW2-12S", {**PRICES, "BRAID-2.5": None}, ["BRAID-2.5"])],
)
def test_a_line_without_a_known_cost_makes_the_total_unknown(
    chosen: str | None, prices: dict[str, UnitCost], what: list[str]
) -> None:
    answer = reckon(VALVE, chosen=chosen, prices=prices)
    assert [line.line for line in answer.unknown] == what
    assert all(line.why for line in answer.unknown)
    assert answer.total is answer.total_per_kit is answer.materials is None


def test_a_kits_minutes_are_those_of_the_batch() -> None:
    assert (reckon(VALVE).minutes, reckon(BENCH).minutes) == (60, 0)


def test_a_line_that_wants_none_costs_nothing() -> None:
    (line,) = reckon(Kit("none", "GBP", lines=(Line(part="SHEET", quantity=Decimal(0)),))).lines
    assert (line.bought, line.cost) == (0, gbp("0"))


def test_lines_that_share_one_piece_share_its_cost_to_the_last_millionth() -> None:
    """0.3 and 0.4 of a need of 0.7 are one piece at a millionth: 0.43 is rounded to none, so the second pays it."""
    kit = Kit("k", "GBP", lines=tuple(Line(part="P", quantity=Decimal(q)) for q in ("0.3", "0.4")))
    answer = reckon(kit, prices={"P": UnitCost(gbp("0.000001"))})
    assert [line.cost for line in answer.lines] == [gbp("0"), gbp("0.000001")]


def test_a_cycle_of_kits_is_refused_by_name() -> None:
    a, b = Kit("a", "GBP", lines=(Line(kit="b"),)), Kit("b", "GBP", lines=(Line(kit="a"),))
    with pytest.raises(Refused, match="a > b > a"):
        reckon(a, b)


def test_the_same_kit_twice_is_no_cycle() -> None:
    twice = Kit("twice", "GBP", lines=(Line(kit="bench"), Line(kit="bench", quantity=Decimal(2))))
    assert reckon(twice).total == gbp("1.80")


@pytest.mark.parametrize(
    ("kit", "why"),
    [
        (Kit("k", "GBP", lines=(Line(kit="nowhere"),)), "not known"),
        (Kit("k", "EUR", lines=(Line(part="SHEET"),)), "costs GBP"),
        (Kit("k", "EUR", lines=(Line(kit="bench"),)), "is in GBP"),
        (Kit("k", "GBP", lines=(Line(part="BRAID-2.5"),)), "per mm"),
        (Kit("k", "GBP", lines=(Line(part="BRAID-2.5"), Line(part="BRAID-2.5", unit="mm"))), "both by"),
        (Kit("k", "GBP", lines=(Line(part="SHEET"),), attrition_pct=Decimal(100)), "attrition"),
        (Kit("k", "GBP", batch=0), "batch"),
        (Kit("k", "EUR", packing=Packing(gbp("1"), gbp("1"))), "packing in GBP"),
    ],
)
def test_a_kit_that_cannot_be_costed_is_refused(kit: Kit, why: str) -> None:
    with pytest.raises(Refused, match=why):
        reckon(kit)


def test_lines_that_take_the_same_part_are_bought_as_one_and_no_cost_is_lost() -> None:
    lines = reckon(VALVE).lines
    as_one = bought_as_one(lines)
    assert as_one[0].line == "K1, K2" and len(as_one) == len(lines) - 1
    assert total([x.cost for x in as_one if x.cost], "GBP") == total([x.cost for x in lines if x.cost], "GBP")
    assert as_one[0].bought == lines[0].bought + lines[1].bought


def test_what_costs_nothing_is_known_to_cost_nothing_when_added_up() -> None:
    lines = reckon(VALVE, prices={**PRICES, "TW2-12S": UnitCost(gbp("0"))}).lines
    assert bought_as_one(lines)[0].cost == gbp("0")


def test_lines_of_unknown_cost_stay_apart_each_with_its_reason() -> None:
    lines = reckon(VALVE, prices={**PRICES, "TW2-12S": None}).lines
    assert bought_as_one(lines) == list(lines)
