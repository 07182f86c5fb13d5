"""What the demo shop's kits cost by each basis, what is asked otherwise, and what changed since last time."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from bom.answers.kits import CostedKit, PlannedKits
from bom.jobs.kits.costing import Asked, amount_typed, batch_needs, cost_asked, cost_kits, landed_units
from bom.jobs.kits.how_many import HowMany, plan_to_make, possible_kits
from bom.jobs.kits.making import make_kits
from bom.jobs.kits.taking import add_kit
from bom.kits.kit import Kit, Line
from bom.paper.terminal.kits import kits_table, possible_table
from bom.shop.plan import plan_needs
from bom.shop.settings import change_setting
from bom.shop.shop import Shop
from bom.shop.sourcing import Sourcing
from bom.stock.ledger import Lot
from bom.store.boards_and_kits import kit, take_kit
from bom.store.shelf import add_lot
from bom.store.unit_of_work import Session
from bom.values.money import Money
from bom.values.problem import ProblemsFound, Refused

KIT = "OS-3 valve drive"


def one(shop: Session, **asked: Any) -> CostedKit:
    (answer,) = cost_asked(shop, Asked(KIT, **asked))
    return answer


def dearer(shop: Session, part: str, cost: str) -> None:
    """More of a part comes in at this cost, so that its average changes."""
    lot = Lot(f"DEAR-{part}", part, unit_cost=Money.of(cost, "GBP"), received=datetime.now(UTC))
    add_lot(shop, lot, Decimal(10), datetime.now(UTC))


def test_a_boards_kits_are_costed_together(shop: Session) -> None:
    assert [a.kit for a in cost_asked(shop, Asked(board="os-3"))] == ["OS-3 pump feed", KIT]
    with pytest.raises(Refused, match="no kit for board XX-1; there are kits for AW-12"):
        cost_asked(shop, Asked(board="XX-1"))


def test_one_part_at_two_positions_is_one_order_with_attrition_once(shop: Session) -> None:
    lines = [line for line in one(shop).lines if line.part_number == "K2R-12S"]
    assert [line.line for line in lines] == ["K1", "K2"]
    assert (sum(x.needed for x in lines), sum(x.bought for x in lines)) == (20, 21)
    assert sum(x.cost.amount for x in lines) == (lines[0].each.amount * 21).quantize(Decimal("0.000001"))


def test_by_the_plans_landed_cost_the_lines_say_who_sells(shop: Session) -> None:
    answer = one(shop, basis="landed")
    ends = [x for line in answer.lines for x in (line.inside or [line])]
    assert all(x.why.startswith("landed: ") for x in ends)
    assert {name for x in ends for name in ("Fennmoor", "Osmere", "Thaxley") if name in x.why}


def test_a_landed_cost_shares_out_the_whole_plan(shop: Session) -> None:
    """What the parts of the plan cost together, surplus and shipping in, is what the plan costs."""
    bench = Sourcing(Shop(shop))
    answer, more = plan_needs(Shop(shop), batch_needs(bench, bench.kits[KIT]), None, 20.0)
    units = landed_units(bench, more.lines)
    whole = sum(units[line.part_number].each.amount * line.quantity for line in more.lines)
    assert float(whole) == pytest.approx(answer.cost, abs=0.02)


def test_a_shop_that_gets_no_tax_back_pays_it_on_its_parts(shop: Session) -> None:
    before = Sourcing(Shop(shop)).offered
    landed = one(shop, basis="landed").per_kit
    change_setting(shop, "tax_registered", "no")
    with_tax = Sourcing(Shop(shop)).offered
    assert all(with_tax[part] >= price for part, price in before.items())
    assert with_tax["SEAL-OS3"] > before["SEAL-OS3"] and one(shop, basis="landed").per_kit > landed


def test_a_fixed_cost_in_the_file_counts_by_that_basis_and_else_where_nothing_is_known(shop: Session) -> None:
    known = kit(shop, KIT)
    assert known is not None
    lines = tuple(replace(x, each=Money.of("0.50", "GBP")) if x.part == "SEAL-OS3" else x for x in known.lines)
    strange = Line(part="SAC999", each=Money.of("0.25", "GBP"))
    take_kit(shop, replace(known, lines=(*lines, strange)))
    for basis, seal in (("fixed", "0.5"), ("average", "0.826519")):
        by_part = {x.part_number: x for x in one(shop, basis=basis).lines}
        assert by_part["SEAL-OS3"].each.amount == pytest.approx(Decimal(seal), abs=Decimal("0.0001"))
        assert (by_part["SAC999"].each.amount, by_part["SAC999"].why) == (Decimal("0.25"), "fixed cost")


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"batch": 0}, "a batch of at least one kit, found 0"),
        ({"basis": "guess"}, "average, landed, fixed, found 'guess'"),
        ({"price": Decimal(9), "margin_pct": Decimal(9)}, "found both"),
    ],
)
def test_what_cannot_be_asked_is_refused(shop: Session, asked: dict[str, Any], said: str) -> None:
    with pytest.raises(Refused, match=said):
        one(shop, **asked)


@pytest.mark.parametrize("typed", ["1,2", "-3", "NaN", "Infinity", "ten", "1e999999999999"])
def test_an_amount_that_is_none_is_refused(typed: str) -> None:
    with pytest.raises(Refused, match="decimal point"):
        amount_typed(typed, "a price")


def test_a_price_and_the_margin_it_leaves_ask_for_each_other(shop: Session) -> None:
    at_price = one(shop, price=Decimal("30")).sale
    for_margin = one(shop, margin_pct=at_price.margin_pct).sale
    assert float(for_margin.price.amount) == pytest.approx(30, abs=0.03)
    assert at_price.margin_on == "price without tax"


def test_a_price_that_cannot_exist_says_so_in_the_answer_and_on_the_screen(shop: Session) -> None:
    answer = one(shop, margin_pct=Decimal(90))
    assert answer.sale is None and "no price exists" in answer.no_price
    assert "no price exists" in kits_table([answer])


def test_a_small_batch_says_what_whole_pieces_do_to_it(shop: Session) -> None:
    assert any("whole pieces" in note for note in one(shop, batch=1).notes)
    assert not any("whole pieces" in note for note in one(shop).notes)


def test_what_changed_since_last_time_is_told_until_it_is_kept(shop: Session) -> None:
    assert one(shop, keep=True).changed is None
    dearer(shop, "SEAL-OS3", "3.00")
    changed = one(shop).changed
    assert [(x.line, x.is_) for x in changed.lines] == [("SEAL-OS3", "SEAL-OS3")]
    assert changed.per_kit == changed.lines[0].more and changed.per_kit.millionths > 0
    assert one(shop, keep=True).changed == changed
    assert one(shop).changed is None
    assert "more (--keep" in kits_table([replace(one(shop), changed=changed)])


def test_nothing_is_kept_that_nobody_asked_to_keep(shop: Session) -> None:
    one(shop)
    dearer(shop, "SEAL-OS3", "3.00")
    assert one(shop).changed is None


def test_a_batch_or_a_basis_of_its_own_is_compared_with_its_own(shop: Session) -> None:
    one(shop, keep=True)
    dearer(shop, "SEAL-OS3", "3.00")
    assert one(shop, batch=20).changed is None and one(shop, basis="landed").changed is None


def test_a_line_that_nothing_serves_says_why(shop: Session) -> None:
    known = kit(shop, KIT)
    assert known is not None
    for line, why in (
        (Line(position="K3", accept=("TW2-24S",)), "nearest is"),
        (Line(position="K9"), "no position K9"),
    ):
        take_kit(shop, replace(known, lines=(line,)))
        (unknown,) = one(shop).unknown
        assert f"no part serves position {line.position} of OS-3" in unknown and why in unknown


def test_a_kit_for_an_unknown_board_does_not_keep_the_others_from_being_costed(shop: Session) -> None:
    known = kit(shop, KIT)
    assert known is not None
    take_kit(shop, replace(known, name="strange", board="ZZ-9"))
    answers = {a.kit: a for a in cost_kits(shop, "", None)}
    assert "no board ZZ-9" in answers["strange"].unknown[0]
    assert answers[KIT].unknown == ()


def test_a_new_kits_slips_in_what_is_known_are_refused_each_with_its_line(shop: Session, tmp_path: Path) -> None:
    (tmp_path / "k.toml").write_text(
        '[kit]\nname = "new"\nboard = "OS-3"\ncurrency = "GBP"\nrepair = "no such"\n[[line]]\npart = "SAC3O5-1.0"\n'
        '[[line]]\nposition = "K9"\n'
    )
    with pytest.raises(Refused) as refused:
        add_kit(shop, tmp_path / "k.toml")
    said = str(refused.value).splitlines()
    assert said[0].startswith("k.toml:5: board OS-3 has no repair 'no such'; it has ")
    assert said[1:] == [
        "k.toml:9: board OS-3 has no position 'K9'; it has K1, K2, K3",
        "k.toml:7: part 'SAC3O5-1.0' is not in the catalogue; is SAC305-1.0 meant?",
    ]


def test_what_a_new_kit_speaks_of_and_nobody_knows_yet_is_noted(shop: Session, tmp_path: Path) -> None:
    (tmp_path / "k.toml").write_text(
        '[kit]\nname = "new"\nboard = "ZZ-9"\ncurrency = "GBP"\n[[line]]\npart = "HARNESS-77"\n'
        '[[line]]\nposition = "K9"\n[[line]]\nkit = "nothing"\n'
    )
    first, *notes = add_kit(shop, tmp_path / "k.toml")
    assert first == "kit new: 3 lines"
    assert [n.removeprefix("note: ") for n in notes] == [
        "board ZZ-9 is not known yet: bom board add FILE",
        "part HARNESS-77 is not in the catalogue",
        "kit nothing, which goes into it, is not known yet",
    ]


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("[market]\ntax_registered = true\ntax_pct = 0.2\n", "write 20 if 20 % is meant"),
    ],
)
def test_what_is_unlikely_in_a_new_kit_is_noted(shop: Session, tmp_path: Path, more: str, said: str) -> None:
    (tmp_path / "k.toml").write_text(
        f'[kit]\nname = "new"\nboard = "OS-3"\ncurrency = "GBP"\n{more}[[line]]\npart = "FUSE-10"\n'
    )
    assert said in "\n".join(add_kit(shop, tmp_path / "k.toml"))


def test_a_kit_with_only_a_price_is_asked_for_its_tax(shop: Session, tmp_path: Path) -> None:
    (tmp_path / "k.toml").write_text('[kit]\nname = "new"\ncurrency = "GBP"\n[market]\nprice = 9.50\n')
    with pytest.raises(ProblemsFound, match=r"k.toml:4.*tax_registered.*whether the shop"):
        add_kit(shop, tmp_path / "k.toml")


def test_kits_side_by_side_share_what_is_there(shop: Session) -> None:
    answer = possible_kits(shop, HowMany())
    rows = {row.kit: row for row in answer.kits}
    assert answer.proven and all(row.together <= row.alone for row in rows.values())
    assert rows[KIT].alone == cost_kits(shop, KIT, None)[0].can_make_now
    assert sum(row.together for row in rows.values()) == answer.value


def test_by_profit_the_worth_is_the_profit(shop: Session) -> None:
    answer = possible_kits(shop, HowMany(by_profit=True))
    profits = {a.kit: a.sale.profit.amount for a in cost_kits(shop, "", None)}
    assert answer.value == sum(row.together * profits[row.kit] for row in answer.kits)


def test_what_is_missing_for_more_is_planned_and_then_nothing_is_missing(shop: Session) -> None:
    answer = possible_kits(shop, HowMany((f"{KIT}=12",), plan=True))
    missing = {m.parts[0]: m.quantity for m in answer.missing}
    assert missing == {"K2R-12S": 11, "SEAL-OS3": 6}
    lines = answer.plan.lines
    for wanted, least in ((("K2R-12S", "TW2-12S"), 11), (("SEAL-OS3",), 6)):
        assert sum(line.quantity for line in lines if line.part_number in wanted) >= least
    assert "Missing for 12 x OS-3 valve drive" in possible_table(answer)


def test_what_is_missing_is_not_known_where_nobody_asked_for_so_many(shop: Session) -> None:
    answer = possible_kits(shop, HowMany())
    assert answer.wanted is answer.missing is answer.conditions is answer.plan is None
    assert "Nothing is missing" not in possible_table(answer)


@pytest.mark.parametrize("word", ["OS-3 valve drive", "OS-3 valve drive=0", "=3", "OS-3 valve drive=x"])
def test_a_wanted_number_is_said_as_kit_and_number(shop: Session, word: str) -> None:
    with pytest.raises(Refused):
        possible_kits(shop, HowMany((word,)))


def test_kits_are_planned_and_taken_off_again(shop: Session) -> None:
    assert plan_to_make(shop, KIT.lower(), 5) == PlannedKits(KIT, 5)
    assert plan_to_make(shop, KIT, -2).planned == 3
    with pytest.raises(Refused, match="only 3"):
        plan_to_make(shop, KIT, -4)


def test_a_part_taken_in_another_unit_than_it_is_kept_in_is_refused(shop: Session) -> None:
    take_kit(shop, Kit("odd", "GBP", lines=(Line(part="SAC305-1.0", quantity=Decimal(2)),)))
    for job in (lambda: cost_asked(shop, Asked("odd")), lambda: make_kits(shop, "odd", 1, dry=True)):
        with pytest.raises(Refused, match=r"SAC305-1\.0 is (kept in g|wanted)"):
            job()


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('kit = "outer"', "n.toml: a kit cannot hold itself: new > outer > new"),
        ('kit = "new"', "a kit cannot hold itself: new > new"),
        ('part = "SAC305-1.0"', "'SAC305-1.0' is kept in g, and the kit takes it by the piece"),
        ('part = "TW2-12S"\nquantity = "2 g"', "'TW2-12S' is kept in piece, and the kit takes it by the g"),
        ('part = "TW2-12S"\naccept = ["conditonal"]', "is 'conditional' meant"),
        ('part = "TW2-12S"\naccept = ["NOSUCH-1"]', "drop-in, conditional or a part number in the catalogue"),
    ],
)
def test_a_kit_that_would_stand_in_the_way_of_all_others_is_not_taken(
    shop: Session, tmp_path: Path, line: str, said: str
) -> None:
    take_kit(shop, Kit("outer", "GBP", lines=(Line(kit="new"),)))
    (tmp_path / "n.toml").write_text(f'[kit]\nname = "new"\ncurrency = "GBP"\n[[line]]\n{line}\n')
    with pytest.raises(Refused, match=said):
        add_kit(shop, tmp_path / "n.toml")
    assert kit(shop, "new") is None


def test_a_cycle_of_kits_is_named(shop: Session) -> None:
    take_kit(shop, Kit("a", "GBP", lines=(Line(kit="b"),)))
    take_kit(shop, Kit("b", "GBP", lines=(Line(kit="a"),)))
    with pytest.raises(Refused, match="a kit cannot hold itself: a > b > a"):
        cost_asked(shop, Asked("a"))


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (
            'part = "FUSE-10"\nquantity = 1.5',
            "its own unit, as in 0.6 g, found .1.5",
        ),
        ('part = "FUSE-10"\nquantity = "1.5 piece"', "whole pieces"),
        ('kit = "bench consumables"\nquantity = 0.5', "whole pieces"),
    ],
)
def test_nobody_puts_half_a_piece_into_a_bag(shop: Session, tmp_path: Path, line: str, said: str) -> None:
    (tmp_path / "k.toml").write_text(f'[kit]\nname = "new"\ncurrency = "GBP"\n[[line]]\n{line}\n')
    with pytest.raises(ProblemsFound, match=said):
        add_kit(shop, tmp_path / "k.toml")


def test_a_kit_file_without_lines_or_with_a_batch_nobody_makes_is_refused(shop: Session, tmp_path: Path) -> None:
    (tmp_path / "k.toml").write_text('[kit]\nname = "new"\ncurrency = "GBP"\n')
    with pytest.raises(Refused, match=r"kit new has no .*nothing goes into it"):
        add_kit(shop, tmp_path / "k.toml")
    (tmp_path / "k.toml").write_text('[kit]\nname = "new"\ncurrency = "GBP"\nbatch = 100001\n')
    with pytest.raises(ProblemsFound, match="a number up to 100000"):
        add_kit(shop, tmp_path / "k.toml")


def test_a_kit_taken_before_without_lines_is_said_and_stops_no_other(shop: Session) -> None:
    known = kit(shop, KIT)
    assert known is not None
    take_kit(shop, replace(known, name="bare", lines=()))
    answer = possible_kits(shop, HowMany())
    rows = {row.kit: row for row in answer.kits}
    assert (rows["bare"].alone, rows["bare"].together) == (0, 0) and rows[KIT].alone > 0
    assert "note: bare: it has no lines" in possible_table(answer)
    assert cost_kits(shop, "bare", None)[0].can_make_now == 0
    with pytest.raises(Refused, match="kit bare has no lines"):
        possible_kits(shop, HowMany(("bare=2",)))


@pytest.mark.parametrize("count", ["99999999999999999999", "100001"])
def test_more_kits_than_anybody_makes_is_a_slip(shop: Session, count: str) -> None:
    number = int(count)
    asks = (
        lambda: possible_kits(shop, HowMany((f"{KIT}={count}",))),
        lambda: cost_asked(shop, Asked(KIT, batch=number)),
        lambda: make_kits(shop, KIT, number, dry=True),
        lambda: plan_to_make(shop, KIT, number),
    )
    for ask in asks:
        with pytest.raises(Refused, match="at most 100,000 kits"):
            ask()


def test_as_many_as_a_bench_may_make_are_asked_for(shop: Session) -> None:
    assert possible_kits(shop, HowMany((f"{KIT}=100000",))).missing


def test_a_kit_wanted_twice_is_wanted_as_often(shop: Session) -> None:
    assert possible_kits(shop, HowMany((f"{KIT}=2", f"{KIT}=3"))).wanted == {KIT: 5}
