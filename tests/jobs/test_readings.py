"""A shop's own spreadsheets taken in by the jobs: proposed, taken, remembered and forgotten; and counts."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from bom.jobs.catalogue import add_catalogue, check_catalogue
from bom.jobs.readings import forget_readings, list_readings, propose_reading
from bom.jobs.shelf.counting import counts_file
from bom.jobs.shelf.files import goods_in_file, levels_file
from bom.jobs.shelf.shown import show_stock
from bom.store.catalogue import named as relays_named
from bom.store.unit_of_work import Session
from bom.values.problem import ProblemsFound, Refused
from bom.values.reading import HowAsked

HEADS = ("Fach", "Artikel", "Bestand", "EK €")


def book(path: Path, *rows: Sequence[Any], heads: Sequence[str] = HEADS) -> Path:
    workbook = Workbook()
    for row in (heads, *rows):
        workbook.active.append(row)
    workbook.save(path)
    return path


def on_hand(shop: Session, part: str) -> Decimal:
    return show_stock(shop, part)[0].on_hand


def test_a_shelf_is_proposed_taken_and_the_next_read_as_remembered(shop: Session, tmp_path: Path) -> None:
    before = on_hand(shop, "TW2-12S")
    first = book(tmp_path / "first.xlsx", ("Z1", "TW2-12S", "3 Stk", "€ 2,85"), ("Z2", None, None, None))
    proposed = propose_reading(first, "stock")
    assert (proposed.doubts, proposed.written) == (0, str(tmp_path / "first-reading.toml"))
    said = goods_in_file(shop, first, asked=HowAsked((Path(proposed.written),)))
    assert said[-1].endswith("2 rows under the headings in row 1: 1 taken, 1 empty drawer (3)")
    second = book(tmp_path / "second.xlsx", ("Z1", "TW2-12S", "4 Stk", "€ 2,95"))
    said = goods_in_file(shop, second)
    assert "second.xlsx: read as remembered for these headings (bom catalog readings shows how)" in said
    assert on_hand(shop, "TW2-12S") == before + 7


def test_what_is_remembered_is_listed_and_forgotten(shop: Session, tmp_path: Path) -> None:
    path = book(tmp_path / "s.xlsx", ("Z1", "TW2-12S", 3, 2.85))
    goods_in_file(shop, path, asked=HowAsked((Path(propose_reading(path, "stock").written),)))
    (kept,) = list_readings(shop)
    assert (kept.of, kept.headings["Bestand"]) == ("stock", "quantity")
    with pytest.raises(Refused, match="no reading of stock with a heading Menge"):
        forget_readings(shop, "stock", "Menge")
    assert forget_readings(shop, "stock", "bestand") == "1 reading of stock forgotten"
    with pytest.raises(ProblemsFound, match=r"bom catalog reading t\.xlsx --of stock proposes"):
        goods_in_file(shop, book(tmp_path / "t.xlsx", ("Z1", "TW2-24S", 3, 2.85)))


def test_a_file_that_is_refused_leaves_nothing_remembered(url: str, tmp_path: Path) -> None:
    from bom.jobs.bench import bench

    path = book(tmp_path / "s.xlsx", ("Z1", "NOBODYS-1", 3, 2.85))
    asked = HowAsked((Path(propose_reading(path, "stock").written),))
    with pytest.raises(ProblemsFound, match=r"s.xlsx, sheet Sheet, cell B2 \[part_number\]"), bench(url) as session:
        goods_in_file(session, path, asked=asked)
    with bench(url) as session:
        assert list_readings(session) == []


def test_a_proposal_is_never_written_over_what_somebody_worked_on(tmp_path: Path) -> None:
    path = book(tmp_path / "stock.xlsx", ("Z1", "TW2-12S", 3, 2.85))
    propose_reading(path)
    with pytest.raises(Refused, match="is there already"):
        propose_reading(path)
    assert propose_reading(path, out=tmp_path / "other.toml").next.endswith("--reading " + str(tmp_path / "other.toml"))


def test_a_count_of_many_is_booked_together(shop: Session, tmp_path: Path) -> None:
    lots = [lot for lot in show_stock(shop, "K2R-12S")[0].lots if lot.on_hand]
    heads = ("lot", "part_number", "drawer", "quantity", "reason")
    rows = [(lot.lot, None, None, int(lot.on_hand) - 1, "one lost") for lot in lots]
    before = on_hand(shop, "K2R-12S")
    said = counts_file(shop, book(tmp_path / "count.xlsx", *rows, heads=heads))
    assert f"{len(lots)} counts taken from count.xlsx" in said
    assert on_hand(shop, "K2R-12S") == before - len(lots)


@pytest.mark.parametrize(
    ("row", "wrong"),
    [
        (("L9999", None, None, 3), r"cell A2 \[lot\]"),
        ((None, None, None, 3), r"cell A2 \[lot\].*a lot or a part number"),
        ((None, "NOBODYS-1", None, 3), r"cell B2 \[part_number\]"),
        ((None, "TW2-12S", "nowhere", 3), "one lot of TW2-12S in drawer nowhere"),
        (("L0001", None, None, None), r"cell D2 \[quantity\].*a value"),
        (("L0001", None, None, "a few"), r"cell D2 \[quantity\]"),
        (("L0001", None, None, -1), r"cell D2 \[quantity\].*not below 0"),
        (("L0001", None, None, 2.5), r"cell D2 \[quantity\].*whole pieces"),
    ],
)
def test_a_count_that_cannot_be_booked_is_told_with_its_cell(
    shop: Session, row: Sequence[Any], wrong: str, tmp_path: Path
) -> None:
    path = book(tmp_path / "count.xlsx", row, heads=("lot", "part_number", "drawer", "quantity"))
    with pytest.raises(ProblemsFound, match=wrong):
        counts_file(shop, path)


def test_levels_come_from_a_sheet_chosen_by_name(shop: Session, tmp_path: Path) -> None:
    workbook = Workbook()
    for title, up_to in (("2025", 10), ("2026", 20)):
        sheet = workbook.create_sheet(title)
        sheet.append(["part_number", "reorder_point", "order_up_to"])
        sheet.append(["TW2-12S", 4, up_to])
    workbook.save(tmp_path / "levels.ods.xlsx")
    with pytest.raises(ProblemsFound, match="--sheet chooses among 2025, 2026"):
        levels_file(shop, tmp_path / "levels.ods.xlsx")
    said = levels_file(shop, tmp_path / "levels.ods.xlsx", asked=HowAsked((), "2026"))
    assert said[0] == "1 levels taken from levels.ods.xlsx"


def test_a_catalogue_with_headings_of_ones_own_is_checked_by_its_readings(shop: Session, tmp_path: Path) -> None:
    folder = tmp_path / "own"
    folder.mkdir()
    heads = ("Hersteller", "Typ", "Baureihe", "Spule (V)", "Widerstand")
    relays = book(folder / "relays.xlsx", ("Ostrel", "NEW-12", "NEW", 12, "240 Ω"), heads=heads)
    proposed = propose_reading(relays, out=tmp_path / "relays.toml")
    assert (proposed.of, proposed.doubts) == ("relays", 0)
    checked = check_catalogue(folder, session=shop, asked=HowAsked((tmp_path / "relays.toml",)))
    assert (checked.relays, checked.problems) == (1, ())


def test_what_a_reading_states_for_every_row_goes_into_each_relay(shop: Session, tmp_path: Path) -> None:
    folder = tmp_path / "own"
    folder.mkdir()
    book(folder / "relays.xlsx", ("NEW-12", "24VDC", "x"), ("NEW-24", "24 V AC", "y"), heads=("Typ", "Spule", "Rest"))
    (tmp_path / "relays.toml").write_text(
        '[reading]\nof = "relays"\n[reading.columns]\nTyp = "part_number"\nSpule = "coil_volts"\nRest = ""\n'
        '[reading.every_row]\nmaker = "Ostrel"\n',
        encoding="utf-8",
    )
    taken = add_catalogue(shop, folder, asked=HowAsked((tmp_path / "relays.toml",)))
    assert taken.relays == 2
    made = [relays_named(shop, name)[0] for name in ("NEW-12", "NEW-24")]
    assert [(r.maker, r.coil_volts, str(r.coil_supply)) for r in made] == [
        ("Ostrel", 24.0, "dc"),
        ("Ostrel", 24.0, "ac"),
    ]


def test_a_relay_without_a_maker_anywhere_is_asked_about(shop: Session, tmp_path: Path) -> None:
    folder = tmp_path / "own"
    folder.mkdir()
    relays = book(folder / "relays.xlsx", ("NEW-12", 12), ("NEW-24", 24), heads=("Typ", "Spule"))
    proposed = propose_reading(relays, out=tmp_path / "relays.toml")
    assert proposed.asked == ("maker",)
    with pytest.raises(ProblemsFound, match=r"reading.every_row.maker"):
        check_catalogue(folder, session=shop, asked=HowAsked((tmp_path / "relays.toml",)))


OWN = ("Hersteller", "Typ", "Spule (V)", "Widerstand")


def test_a_sheet_of_relays_is_taken_as_the_proposal_says_without_a_folder_round_it(
    shop: Session, tmp_path: Path
) -> None:
    path = book(tmp_path / "our relays.xlsx", ("Ostrel", "NEW-12", 12, "240 Ω"), heads=OWN)
    proposed = propose_reading(path, "relays")
    assert proposed.next.startswith("bom catalog add ")
    taken = add_catalogue(shop, path, asked=HowAsked((Path(proposed.written),)))
    assert (taken.relays, relays_named(shop, "NEW-12")[0].coil_ohms) == (1, 240.0)


@pytest.mark.parametrize("name", ["shop.csv", "shop.txt"])
def test_a_list_of_text_by_any_name_is_taken_too(shop: Session, name: str, tmp_path: Path) -> None:
    path = tmp_path / name
    path.write_text("Our relays;;\n\nHersteller;Typ;Spule (V)\nOstrel;NEW-12;12\n", encoding="utf-8")
    with pytest.raises(ProblemsFound, match=r"bom catalog reading shop\.\w+ --of relays proposes"):
        add_catalogue(shop, path)
    proposed = propose_reading(path, "relays")
    assert add_catalogue(shop, path, asked=HowAsked((Path(proposed.written),))).relays == 1


def test_a_file_of_ratings_alone_is_read_as_ratings(shop: Session, tmp_path: Path) -> None:
    path = book(tmp_path / "contacts.xlsx", ("NOBODYS", 5), heads=("Typ", "Strom"))
    (tmp_path / "r.toml").write_text(
        '[reading]\nof = "ratings"\n[reading.columns]\nTyp = "applies_to"\nStrom = "amps"\n', encoding="utf-8"
    )
    with pytest.raises(ProblemsFound) as found:
        add_catalogue(shop, path, asked=HowAsked((tmp_path / "r.toml",)))
    assert {problem.file for problem in found.value.problems} == {"contacts.xlsx, sheet Sheet"}


def test_a_sheet_of_relays_without_a_reading_is_told_how_to_get_one(shop: Session, tmp_path: Path) -> None:
    path = book(tmp_path / "our.xlsx", ("Ostrel", "NEW-12", 12, 240), heads=OWN)
    with pytest.raises(ProblemsFound, match=r"bom catalog reading our\.xlsx --of relays proposes"):
        add_catalogue(shop, path)


def test_a_reading_of_another_list_is_refused_for_a_file_of_relays(shop: Session, tmp_path: Path) -> None:
    path = book(tmp_path / "our.xlsx", ("Z1", "TW2-12S", 3, 2.85))
    proposed = propose_reading(path, "stock")
    with pytest.raises(ProblemsFound, match=r"--reading.*a reading of|--of relays proposes"):
        add_catalogue(shop, path, asked=HowAsked((Path(proposed.written),)))
