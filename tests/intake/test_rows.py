"""Rows and cells: what a CSV may look like, and what is said of one that a spreadsheet program has broken."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from bom.intake.rows import Cells, Report, Row, Taken, csv_rows
from bom.relays.relay import Sealing
from bom.values.column import number, word
from bom.values.part_number import damage
from bom.values.problem import ProblemsFound

KNOWN = ("part_number", "coil_volts", "source")


def saved(folder: Path, data: bytes) -> Path:
    path = folder / "parts.csv"
    path.write_bytes(data)
    return path


def taken(path: Path, required: tuple[str, ...] = ("part_number",)) -> Taken[tuple[Row, ...]]:
    report = Report()
    return report.taken(csv_rows(path, required, KNOWN, report))


def problems(path: Path) -> str:
    with pytest.raises(ProblemsFound) as caught:
        taken(path)
    return str(caught.value)


@pytest.mark.parametrize(
    "data",
    [
        b"part_number,coil_volts,source\nTW2-12S,12,sheet\n",
        b'\xef\xbb\xbf"part_number","coil_volts","source"\r\n"TW2-12S","12","sheet"\r\n',
        b"source,part_number,coil_volts\r\nsheet,TW2-12S,12",
        b"part_number,coil_volts,source,,\n\n TW2-12S , 12,sheet,,\n,,,,\n",
    ],
)
def test_the_same_rows_are_read_however_the_file_was_saved(tmp_path: Path, data: bytes) -> None:
    rows, notes = taken(saved(tmp_path, data))
    assert [dict(r.cells) for r in rows] == [{"part_number": "TW2-12S", "coil_volts": "12", "source": "sheet"}]
    assert notes == ()


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "a header row, found 'an empty file'"),
        (b"maker\nOstrel\n", "parts.csv:1 [part_number]: expected a column named part_number"),
        (b"part_number,part_number\na,b\n", "each column once"),
        (b"part_number,source\na\n", "parts.csv:2: expected 2 cells"),
        (b"part_number,source\na,1,5\n", "a decimal comma makes two cells of one"),
        (b'part_number\n"TW2\n', "every quote is closed"),
    ],
)
def test_a_broken_file_is_refused_saying_where_and_why(tmp_path: Path, data: bytes, said: str) -> None:
    assert said in problems(saved(tmp_path, data))


def test_a_missing_file_is_a_problem_too(tmp_path: Path) -> None:
    assert "a file that can be read" in problems(tmp_path / "none.csv")


def test_every_problem_is_told_at_once(tmp_path: Path) -> None:
    told = problems(saved(tmp_path, b"part_number,source\na\nb,c\nd,e,f\n"))
    assert "parts.csv:2:" in told and "parts.csv:4:" in told


def test_an_unknown_column_is_refused_with_the_nearest_known_one(tmp_path: Path) -> None:
    said = problems(saved(tmp_path, b"part_number,coil_volt\na,1\n"))
    assert "parts.csv:1 [coil_volt]" in said and "(is 'coil_volts' meant?), or --leave-out coil_volt" in said


@pytest.mark.parametrize("header", [b"Part Number,Coil-Volts", b"PART_NUMBER,coil volts,Notes on price"])
def test_a_heading_has_no_capitals_blanks_or_hyphens_that_count(tmp_path: Path, header: bytes) -> None:
    rows, _ = taken(saved(tmp_path, header + b"\na,1" + b",x" * header.count(b"Notes") + b"\n"))
    assert (rows[0].cells["part_number"], rows[0].cells["coil_volts"]) == ("a", "1")


def test_a_column_of_ones_own_is_left_out_by_naming_it(tmp_path: Path) -> None:
    file = saved(tmp_path, b"part_number,Colour,source\na,red,b\n")
    report = Report().leave_out(["colour", "source"])
    rows = csv_rows(file, ("part_number",), KNOWN, report)
    report.settle()
    assert [r.cells.get("source") for r in rows] == [None]


def test_a_name_to_leave_out_that_nothing_has_is_a_problem(tmp_path: Path) -> None:
    report = Report().leave_out(["color"])
    csv_rows(saved(tmp_path, b"part_number\na\n"), ("part_number",), KNOWN, report)
    with pytest.raises(ProblemsFound, match="--leave-out: expected a column or key of your own that is there"):
        report.settle()


def test_a_column_without_a_name_is_refused(tmp_path: Path) -> None:
    assert "a name for every column" in problems(saved(tmp_path, b"part_number,,source\na,b,c\n"))


def test_the_line_of_a_row_is_where_it_starts(tmp_path: Path) -> None:
    rows, _ = taken(saved(tmp_path, b'part_number,source\na,"two\nlines"\nb,c\n'), ())
    assert [r.line for r in rows] == [2, 4]


NUMBER = replace(number("", "A number.", "1"), name="x")
SEALING = word(Sealing, "A word.", "RT III", name="x")


def cells(text: str) -> Cells:
    return Cells(Row(2, {"x": text}, "f.csv"), Report())


@pytest.mark.parametrize(("text", "value"), [("", None), ("12", 12.0), ("-0.5", -0.5), ("1e7", 1e7), (".5", 0.5)])
def test_a_number_has_a_decimal_point(text: str, value: float | None) -> None:
    read = cells(text)
    assert read.read(NUMBER) == value
    assert not read.report.problems


@pytest.mark.parametrize("text", ["12,5", "12 V", "nan", "inf", "1e999", "1_000", "twelve", "1,000.5", "١٢"])
def test_anything_else_is_no_number(text: str) -> None:
    read = cells(text)
    assert read.read(NUMBER) is None
    assert "a number" in read.report.problems[0].expected


def test_a_decimal_comma_is_said_to_come_from_a_spreadsheet_program() -> None:
    read = cells("12,5")
    read.read(NUMBER)
    assert "comma-decimal locale" in str(read.report.problems[0])


@pytest.mark.parametrize("text", ["RT III", "RTIII", "rt iii", "RT-III"])
def test_a_word_has_no_capitals_blanks_or_hyphens_that_count(text: str) -> None:
    assert cells(text).read(SEALING) is Sealing.RT_III


def test_a_word_that_is_none_of_them_is_refused_with_all_and_the_nearest() -> None:
    read = cells("RT VIII")
    assert read.read(SEALING) is None
    assert "RT 0 | RT I |" in str(read.report.problems[0]) and "(is 'RT III' meant?)" in str(read.report.problems[0])


@pytest.mark.parametrize(
    "text",
    [
        *("5.03E+02", "1,23E+05", "2.2E+02", "05/03/2026", "5.3.2026", "03-May", "2026-03-05"),
        *("2026-03-05 0:00:00", "2026-03-05 00:00:00", "2026-03-05T00:00:00", "05/03/2026 00:00", "3-Dez", "03. Dez"),
    ],
)
def test_a_part_number_that_a_spreadsheet_program_turned_is_seen(text: str) -> None:
    assert damage(text)


@pytest.mark.parametrize(
    "text", ["22E1", "0503", "6-10", "=5V", "-T12", "3/4", "+A1", "@B", "MAY-12", "5E3", "TW2-12S", "12-DEZ", "3.12"]
)
def test_a_part_number_that_only_looks_odd_is_kept(text: str) -> None:
    assert not damage(text)
