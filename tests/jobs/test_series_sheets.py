"""Series sheets are taken, checked and written back like any catalogue: what they change is seen before it is taken."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from bom.intake.catalogue import read_catalogue
from bom.jobs.catalogue import add_catalogue, check_catalogue, export_series
from bom.store.catalogue import whole_catalogue
from bom.store.unit_of_work import Session
from bom.values.difference import Replacing, WouldReplace
from bom.values.problem import ProblemsFound, Refused


@pytest.fixture
def sheet(demo_folder: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(demo_folder / "bench" / "tw2.toml", tmp_path / "tw2.toml"))


def say_otherwise(sheet: Path, old: str, new: str) -> None:
    text = sheet.read_text(encoding="utf-8")
    assert old in text
    sheet.write_text(text.replace(old, new), encoding="utf-8")


def test_a_sheet_that_says_what_is_known_changes_nothing(shop: Session, sheet: Path) -> None:
    taken = add_catalogue(shop, sheet)
    assert (taken.relays, taken.added, taken.updated) == (6, 0, 0)
    assert {part.known for part in taken.parts} == {"as known"}


def test_checking_shows_each_part_beside_what_is_known_of_it(shop: Session, sheet: Path) -> None:
    say_otherwise(sheet, "[12, 240, 1.9]", "[12, 250, 1.9],\n  [48, 3800, '']")
    say_otherwise(sheet, '"TW2-24FD"]', '"TW2-24FD", "TW2-48F", "TW2-48FD"]')
    found = {part.part_number: part for part in check_catalogue(sheet, session=shop).parts}
    assert found["TW2-24S"].known == "as known"
    assert found["TW2-48S"].known == "new"
    assert (found["TW2-12S"].known, found["TW2-12S"].changes) == ("changed", ("coil_ohms: 240 → 250",))


def test_checking_shows_the_drawings_and_ratings_that_would_change(shop: Session, sheet: Path) -> None:
    say_otherwise(sheet, "10 15/8.5", "10 15/8.6")
    say_otherwise(sheet, '["motor", 14, 5e5, 8,', '["motor", 14, 5e5, 9,')
    would = {one.what for one in check_catalogue(sheet, session=shop).would_change}
    assert would == {"footprint OST-TW2", "ratings of TW2"}


def test_what_a_board_has_is_not_changed_unseen(shop: Session, sheet: Path) -> None:
    say_otherwise(sheet, "[12, 240, 1.9]", "[12, 250, 1.9]")
    with pytest.raises(WouldReplace) as refused:
        add_catalogue(shop, sheet)
    assert any("OS-3:K1" in text for one in refused.value.differences for text in one.concerns)


def test_what_a_board_has_is_changed_where_that_is_allowed(shop: Session, sheet: Path) -> None:
    say_otherwise(sheet, "[12, 240, 1.9]", "[12, 250, 1.9]")
    replacing = Replacing(True)
    add_catalogue(shop, sheet, replacing=replacing)
    assert "relay Ostrel TW2-12S" in {one.what for one in replacing.differences}


def test_every_series_written_out_reads_back_as_it_was(shop: Session, tmp_path: Path) -> None:
    kept = whole_catalogue(shop)
    written = export_series(shop, ["Ostrel", "kithmar", "CORVANE"], tmp_path)
    assert len(written) == len({(r.maker, r.series) for r in kept.relays})
    read = read_catalogue(tmp_path).value
    assert {r.part_number: r for r in read.relays} == {r.part_number: r for r in kept.relays}
    assert all(kept.footprints[name] == drawn for name, drawn in read.footprints.items())
    assert all(kept.wirings[name] == drawn for name, drawn in read.wirings.items())
    owners = {r.applies_to for r in kept.ratings}
    assert {o: [r for r in read.ratings if r.applies_to == o] for o in owners} == {
        o: [r for r in kept.ratings if r.applies_to == o] for o in owners
    }


def test_one_series_goes_into_one_file(shop: Session, tmp_path: Path) -> None:
    (file,) = export_series(shop, ["ostrel tw2"], tmp_path / "mine.toml")
    assert len(read_catalogue(file).value.relays) == 6
    with pytest.raises(Refused, match="one series for one file, found 9 sheets"):
        export_series(shop, ["Ostrel"], file)
    with pytest.raises(Refused, match="is 'TW2' meant"):
        export_series(shop, ["TW3"], file)


def test_a_folder_may_hold_sheets_beside_its_csv_and_each_part_once(
    shop: Session, demo_folder: Path, sheet: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "catalogue"
    folder.mkdir()
    for name in ("relays", "footprints", "wirings", "ratings"):
        shutil.copy(demo_folder / f"{name}.csv", folder)
    (folder / "series").mkdir()
    shutil.copy(sheet, folder / "series")
    with pytest.raises(ProblemsFound) as found:
        add_catalogue(shop, folder)
    told = found.value.problems[0]
    assert (told.file, told.line > 0) == ("tw2.toml", True)
    assert told.expected == "each part of a maker once (relays.csv:2 has it)"


def test_a_drawing_that_two_sheets_state_differently_is_told(
    shop: Session, demo_folder: Path, sheet: Path, tmp_path: Path
) -> None:
    export_series(shop, ["TW2", "TW2L"], tmp_path)
    one = tmp_path / "series" / "ostrel-tw2l.toml"
    say_otherwise(one, "10 15/8.5", "10 15/8.6")
    told = check_catalogue(tmp_path, session=shop).problems
    assert [(p.file, p.expected) for p in told] == [
        ("ostrel-tw2l.toml", "footprint OST-TW2 as it stands elsewhere in the folder")
    ]
