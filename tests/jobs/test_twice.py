"""A file booked twice is noticed by what it says; and all that a file booked is undone together."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.jobs.shelf.day import goods_out
from bom.jobs.shelf.files import goods_in_file, goods_out_file, past_usage_file, undo_file
from bom.jobs.shelf.shown import show_stock
from bom.store.shelf import moves
from bom.store.shop_files import past_usage, taken_files
from bom.store.unit_of_work import Session
from bom.values.problem import Refused

STOCK = "part_number,maker,quantity,unit_cost,currency\nTW2-24S,Ostrel,5,2.10,GBP\nTW2-6S,Ostrel,7,2.20,GBP\n"
USAGE = "date,part_number,quantity\n2026-11-20,TW2-12S,1\n2026-11-21,K2R-12S,2\n"


def written(folder: Path, name: str, text: str) -> Path:
    (folder / name).write_text(text)
    return folder / name


def on_hand(shop: Session) -> dict[str, object]:
    return {row.part_number: row.on_hand for row in show_stock(shop, "") if row.on_hand}


@pytest.mark.parametrize(
    ("book", "text", "same"),
    [
        (goods_in_file, STOCK, STOCK.replace("2.10", "2.1")),
        (goods_in_file, STOCK, "\n".join([STOCK.split("\n")[n] for n in (0, 2, 1)]) + "\n"),
        (goods_out_file, USAGE, USAGE.replace("\n2026-11-21", "\n\n2026-11-21")),
        (past_usage_file, USAGE, USAGE),
    ],
)
def test_the_same_content_under_another_name_is_refused_unless_it_is_meant(
    shop: Session, tmp_path: Path, book: object, text: str, same: str
) -> None:
    book(shop, written(tmp_path, "first.csv", text))  # type: ignore[operator]
    before = on_hand(shop), len(past_usage(shop))
    with pytest.raises(Refused, match=r"second.csv was booked before, on .* as first.csv; nothing was booked now"):
        book(shop, written(tmp_path, "second.csv", same))  # type: ignore[operator]
    assert (on_hand(shop), len(past_usage(shop))) == before
    book(shop, tmp_path / "second.csv", again=True)  # type: ignore[operator]
    assert (on_hand(shop), len(past_usage(shop))) != before


def test_one_row_more_is_another_content_and_is_noted(shop: Session, tmp_path: Path) -> None:
    goods_out_file(shop, written(tmp_path, "usage.csv", USAGE))
    said = goods_out_file(shop, written(tmp_path, "usage.csv", USAGE + "2026-11-22,TW2-12S,1\n"))
    assert said[-1].startswith("note: a file usage.csv with other content was booked on ")


@pytest.mark.parametrize(("book", "text"), [(goods_in_file, STOCK), (goods_out_file, USAGE)])
def test_a_whole_file_is_undone_by_counter_entries_and_may_be_booked_again(
    shop: Session, tmp_path: Path, book: object, text: str
) -> None:
    before, entries = on_hand(shop), len(moves(shop))
    book(shop, written(tmp_path, "f.csv", text))  # type: ignore[operator]
    booked, with_it = len(moves(shop)) - entries, on_hand(shop)
    assert undo_file(shop, "f.csv")[0].endswith(f"undone: {booked} entries")
    assert on_hand(shop) == before and len(moves(shop)) == entries + 2 * booked
    book(shop, tmp_path / "f.csv")  # type: ignore[operator]
    assert on_hand(shop) == with_it


def test_past_usage_is_undone_too(shop: Session, tmp_path: Path) -> None:
    past_usage_file(shop, written(tmp_path, "past.csv", USAGE))
    past_usage_file(shop, tmp_path / "past.csv")  # takes its own place
    mark, rows = taken_files(shop)[-1].mark, len(past_usage(shop))
    assert f"undone: {rows} rows of past usage" in undo_file(shop, mark[:8])[0]
    assert not past_usage(shop)


def test_a_file_whose_pieces_went_on_stays_as_a_whole(shop: Session, tmp_path: Path) -> None:
    goods_in_file(shop, written(tmp_path, "f.csv", STOCK))
    goods_out(shop, "TW2-6S", "7", "job")
    entries = len(moves(shop))
    with pytest.raises(Refused, match=r"f.csv cannot be undone any more: only 0 of .* on hand, 7 wanted"):
        undo_file(shop, "f.csv")
    assert len(moves(shop)) == entries


def test_files_of_one_name_are_told_apart_by_their_marks(shop: Session, tmp_path: Path) -> None:
    goods_out_file(shop, written(tmp_path, "u.csv", USAGE))
    goods_out_file(shop, written(tmp_path, "u.csv", USAGE.replace("12S,1", "12S,2")))
    with pytest.raises(Refused, match=r"several files u.csv were booked: name one by its mark, [0-9a-f]{8} \(2"):
        undo_file(shop, "u.csv")
    assert undo_file(shop, taken_files(shop)[0].mark[:8])


@pytest.mark.parametrize("text", ["nosuch.csv", "", "ffffffffffff"])
def test_a_file_that_was_not_booked_is_said_so(shop: Session, text: str) -> None:
    with pytest.raises(Refused, match="was booked; files whose entries stand: none"):
        undo_file(shop, text)


def test_an_undone_file_is_undone_once(shop: Session, tmp_path: Path) -> None:
    goods_out_file(shop, written(tmp_path, "u.csv", USAGE))
    undo_file(shop, "u.csv")
    with pytest.raises(Refused, match=r"u.csv of .* was undone already"):
        undo_file(shop, "u.csv")
