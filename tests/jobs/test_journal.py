"""The shop's journal as it is asked for: what is wrong is told at once; empty periods; the files; who has no cost."""

from __future__ import annotations

import csv
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import load_workbook

from bom.answers.shelf import Journal
from bom.jobs.shelf.day import enter_count, goods_out
from bom.jobs.shelf.day import undo as counter
from bom.jobs.shelf.goods_in import GoodsIn, goods_in
from bom.jobs.shelf.journal import JournalAsked, checked_ending, show_journal, write_journal
from bom.paper.terminal.shelf import journal_table
from bom.stock.ledger import Lot
from bom.store.shelf import add_lot, moves
from bom.store.unit_of_work import Session
from bom.values.money import Money
from bom.values.problem import Refused

TODAY = date.today().isoformat()


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (JournalAsked("week"), ["--period", "day, month, quarter, year, all", "'week'"]),
        (JournalAsked(""), ["--period", "''"]),
        (JournalAsked(by="drawer"), ["--by", "kind, part, supplier, kit, customer"]),
        (JournalAsked(first=""), ["--from", "''"]),
        (JournalAsked(last="2026-02-30"), ["--to", "2026-02-30"]),
        (JournalAsked("fortnight", "colour", "soon", "31.12."), ["--period", "--by", "--from", "--to"]),
        (JournalAsked(first="2026-05", last="2026-04"), ["--from before --to", "2026-05-01", "2026-04-30"]),
        (JournalAsked("day", first="1900", last="2999"), ["at most 4000 periods", "--period"]),
    ],
)
def test_all_that_is_wrong_is_told_at_once(shop: Session, asked: JournalAsked, said: list[str]) -> None:
    with pytest.raises(Refused) as refused:
        show_journal(shop, asked)
    assert all(words in str(refused.value) for words in said)
    assert "\n" not in str(refused.value)


def test_a_period_in_which_nothing_happened_has_its_row(shop: Session) -> None:
    answer = show_journal(shop, JournalAsked(first="1999-11", last="2000-02"))
    assert [row.period for row in answer.rows] == ["1999-11", "1999-12", "2000-01", "2000-02"]
    assert all(one.entries == 0 and one.cost == Money.zero(answer.currency) for one in answer.total.figures)
    assert "Nothing was bought" in journal_table(answer)


def a_day(shop: Session) -> None:
    goods_in(shop, GoodsIn("TW2-24S", "5", "2.00 GBP", lot="L9001", supplier="Osmere"))
    goods_out(shop, "TW2-24S", "1", "job 1", "L9001", "Grove Farm")
    goods_out(shop, "TW2-24S", "2", "job 2", "L9001")
    enter_count(shop, "L9001", "1", "one lost")


def test_what_went_to_a_customer_was_sold_and_a_count_is_neither_sold_nor_used(shop: Session) -> None:
    before = show_journal(shop, JournalAsked("day", "part", TODAY))
    a_day(shop)
    after = show_journal(shop, JournalAsked("day", "part", TODAY))
    assert [row.name for row in after.rows if row not in before.rows] == ["TW2-24S"]
    more = [now - then for then, now in zip(quantities(before), quantities(after), strict=True)]
    assert more == [5, 0, 2, 1, 1, 0]
    assert after.total.bought.cost is not None and before.total.bought.cost is not None
    assert after.total.bought.cost - before.total.bought.cost == Money.of(10, "GBP")


def quantities(answer: Journal) -> list[Decimal]:
    rows = [row.figures for row in answer.rows if row.name == "TW2-24S"] or [()]
    return [one.quantity or Decimal(0) for one in rows[0]] or [Decimal(0)] * 6


def test_what_was_undone_counts_nowhere(shop: Session) -> None:
    before = show_journal(shop, JournalAsked("day", "customer"))
    goods_out(shop, "TW2-12S", "1", "job 1", customer="Grove Farm")
    assert show_journal(shop, JournalAsked("day", "customer")) != before
    counter(shop, moves(shop)[-1].sequence, "")
    assert show_journal(shop, JournalAsked("day", "customer")) == before


def test_a_cost_that_is_not_known_is_told_apart_and_is_never_nothing(shop: Session, tmp_path: Path) -> None:
    lot = Lot("L9002", "TW2-24S", received=datetime.now(UTC))
    add_lot(shop, lot, Decimal(3), datetime.now(UTC))
    answer = show_journal(shop, JournalAsked("day", "supplier", TODAY))
    row = next(row for row in answer.rows if row.name == "")
    assert (row.bought.entries, row.bought.cost, row.bought.unknown) == (1, None, 1)
    assert answer.unknown == ("TW2-24S",)
    told = journal_table(answer)
    assert "no supplier" in told and "?: the cost of 1 entries" in told.replace("\n", " ")
    write_journal(tmp_path / "journal.csv", answer)
    with (tmp_path / "journal.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    mine = next(one for one in rows if one["supplier"] == "")
    assert (mine["spent, GBP"], mine["entries whose cost is not known"], mine["used, GBP"]) == ("", "1", "0")


@pytest.mark.parametrize("by", ["kind", "part", "supplier", "kit", "customer"])
def test_files_have_every_row_and_figure(shop: Session, tmp_path: Path, by: str) -> None:
    a_day(shop)
    answer = show_journal(shop, JournalAsked("year", by))
    for name in ("journal.csv", "journal.xlsx"):
        write_journal(tmp_path / name, answer)
    with (tmp_path / "journal.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["period"] for row in rows] == [row.period for row in answer.rows]
    spent = [row.bought.cost.amount for row in answer.rows if row.bought.cost is not None]
    assert [Decimal(row["spent, GBP"]) for row in rows] == spent
    sheet = load_workbook(tmp_path / "journal.xlsx").active
    heads = [cell.value for cell in sheet[3]]
    column = heads.index("spent, GBP")
    found = [sheet.cell(4 + n, column + 1).value for n in range(len(rows))]
    assert [Decimal(str(value)) for value in found] == spent
    assert str(sheet.cell(5 + len(rows), column + 1).value).startswith("=SUBTOTAL(109,")


@pytest.mark.parametrize("name", ["journal", "journal.ods", "journal.csv.txt"])
def test_another_ending_is_refused(name: str) -> None:
    with pytest.raises(Refused, match=r"\.csv or \.xlsx"):
        checked_ending(Path(name))
