"""The cross-reference as files: CSV pairs and standings, a workbook, and what the terminal shows."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from bom.answers.replacing import CrossReferenced
from bom.jobs.bench import bench
from bom.jobs.catalogue import add_catalogue
from bom.jobs.replacing.cross_reference import catalogue_cross_reference, checked_ending, write_cross_reference
from bom.paper.terminal.matches import cross_reference_table
from bom.values.problem import Refused


@pytest.fixture(scope="module")
def session(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with bench(f"sqlite:///{tmp_path_factory.mktemp('xref') / 'bom.db'}") as session:
        add_catalogue(session, demo_folder)
        yield session


@pytest.fixture(scope="module")
def answer(session: Any) -> CrossReferenced:
    return catalogue_cross_reference(session)


def test_a_csv_holds_every_pair_and_one_beside_it_every_design(answer: CrossReferenced, tmp_path: Path) -> None:
    first, second = write_cross_reference(tmp_path / "x.csv", ".csv", answer)
    pairs, designs = (list(csv.DictReader(Path(f).read_text(encoding="utf-8").splitlines())) for f in (first, second))
    assert len(pairs) == len(answer.replacements) and len(designs) == answer.designs
    assert {"TW2-12S": "K2R-12S"}.items() <= {p["part number"]: p["may be replaced by"] for p in pairs}.items()
    assert designs[0]["standing"] == "none active"


def test_a_workbook_holds_the_same_and_nothing_in_it_runs(answer: CrossReferenced, tmp_path: Path) -> None:
    from openpyxl import load_workbook

    evil = replace(answer.replacements[0], part_number="=1+1", maker="@SUM", why="-T12")
    told = replace(answer, replacements=(evil, *answer.replacements))
    write_cross_reference(tmp_path / "x.xlsx", ".xlsx", told)
    book = load_workbook(tmp_path / "x.xlsx")
    assert book.sheetnames == ["May be replaced by", "Sources"]
    sheet = book["May be replaced by"]
    assert [sheet.cell(4, c).value for c in (1, 2)] == ["@SUM", "=1+1"] and sheet.cell(4, 2).data_type == "s"
    assert sheet.max_row == 4 + len(answer.replacements)
    assert sheet["H4"].number_format == "0%" and isinstance(sheet["H4"].value, int | float)


def test_one_part_is_shown_both_ways(session: Any) -> None:
    answer = catalogue_cross_reference(session, part="tw2 12s")
    found = {(r.part_number, r.by_part_number) for r in answer.replacements}
    assert ("TW2-12S", "K2R-12S") in found and ("TW2-12F", "TW2-12S") in found
    assert all("TW2-12S" in pair for pair in found)
    (standing,) = answer.standings
    assert (standing.status, standing.standing, standing.drop_ins) == (
        "last-time buy", "one source", ("Kithmar K2R-12S",),
    )  # fmt: skip


def test_the_terminal_shows_pairs_and_who_is_thinly_served(answer: CrossReferenced) -> None:
    said = cross_reference_table(answer)
    for words in ("may be replaced by", "One source or none active", "none active", "through a third part"):
        assert words in said


@pytest.mark.parametrize("name", ["x.pdf", "x", "x.xls"])
def test_another_ending_is_refused(name: str) -> None:
    with pytest.raises(Refused, match=r"\.csv or \.xlsx"):
        checked_ending(Path(name))
