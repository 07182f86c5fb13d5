"""How a CSV was written is found from what it holds: the same table comes out of every way to write it."""

from __future__ import annotations

import csv
import io
from decimal import Decimal
from itertools import product
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bom.intake.dialect import Signs, plain
from bom.intake.long_table import LongTable
from bom.intake.price_lists.amounts import NumberMarks
from bom.intake.rows import Report, csv_rows
from bom.values.column import Column, number, part_number, text
from bom.values.problem import Problem, ProblemsFound

COLUMNS: dict[str, Column] = {
    "part_number": part_number("The part.", "TW2"),
    "coil_ohms": number("ohm", "Ohms.", "240"),
    "pin_length_mm": number("mm", "Length.", "3.5"),
    "source": text("Where.", "sheet"),
}
TABLE = [["part_number", "coil_ohms", "pin_length_mm", "source"], ["TW2", "240.5", "3.5 mm", "größer, 2,5"]]
ENCODINGS = ("utf-8", "utf-8-sig", "cp1252", "utf-16")
SEPARATORS = (",", ";", "\t", "|")


def written(rows: list[list[str]], separator: str = ",", encoding: str = "utf-8", end: str = "\r\n") -> bytes:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=separator, lineterminator=end).writerows(rows)
    return out.getvalue().encode(encoding)


def saved(folder: Path, data: bytes) -> Path:
    file = folder / "parts.csv"
    file.write_bytes(data)
    return file


def short(file: Path) -> list[list[str]]:
    """The cells as a short file gives them; raises ProblemsFound."""
    report = Report()
    rows = report.taken(csv_rows(file, ["part_number"], COLUMNS, report)).value
    return [list(row.cells.values()) for row in rows]


def long(file: Path) -> list[list[str]]:
    """The cells as a file read line by line gives them; raises ProblemsFound."""
    report = Report()
    table = LongTable(file, report)
    rows = [[cell.strip() for cell in cells] for cells in table.records(["part_number"], COLUMNS)]
    return report.taken(rows).value


READERS = pytest.mark.parametrize("read", [short, long])


@READERS
@pytest.mark.parametrize(("separator", "encoding"), list(product(SEPARATORS, ENCODINGS)))
def test_separators_and_encodings_are_read(tmp_path: Path, read, separator: str, encoding: str) -> None:  # type: ignore[no-untyped-def]
    assert read(saved(tmp_path, written(TABLE, separator, encoding))) == TABLE[1:]


@READERS
@pytest.mark.parametrize("separator", SEPARATORS)
def test_a_decimal_comma_is_read_where_the_file_is_of_one_mind(tmp_path: Path, read, separator: str) -> None:  # type: ignore[no-untyped-def]
    rows = [TABLE[0], ["TW2", "1.240,5", "3,5 mm", "x"], ["A,5", "1.234", '0,787"', "2,5"], ["B", "", "-7", ""]]
    assert read(saved(tmp_path, written(rows, separator))) == [
        ["TW2", "1240.5", "3.5 mm", "x"],
        ["A,5", "1234", '0.787"', "2,5"],
        ["B", "", "-7", ""],
    ]


@READERS
def test_thousands_marks_beside_a_decimal_point_are_read(tmp_path: Path, read) -> None:  # type: ignore[no-untyped-def]
    rows = [TABLE[0], ["A", "1,234.5", "3.5", ""], ["B", "1,234", "2", ""]]
    assert [cells[1] for cells in read(saved(tmp_path, written(rows)))] == ["1234.5", "1234"]


@READERS
@pytest.mark.parametrize(
    ("separator", "cells", "value"),
    [(",", ["1.234"], "1.234"), (";", ["1.234"], "1.234"), (";", ["1,234"], "1.234"), (";", ["1.234", "7,5"], "1234")],
)
def test_where_nothing_else_decides_the_sign_is_a_point_or_with_semicolons_a_comma(  # type: ignore[no-untyped-def]
    tmp_path: Path, read, separator: str, cells: list[str], value: str
) -> None:
    rows = [TABLE[0], *(["A", cell, "", ""] for cell in cells)]
    assert read(saved(tmp_path, written(rows, separator)))[0][1] == value


@READERS
@pytest.mark.parametrize(
    ("data", "said"),
    [
        (
            written([TABLE[0], *([f"P{n}", "7,5", "2,5", ""] for n in range(80)), ["Q", "7.5", "", ""]], ";"),
            "parts.csv:82 [coil_ohms]: expected one decimal sign in the file; 160 cells have a comma (line 2: 7,5",
        ),
        (written([TABLE[0], ["A", "1,234", "", ""]]), "it may mean 1.234 or 1234"),
        (written([TABLE[0], ["A", "1,234", "5.678", ""]], ";"), "it may mean 1.234 or 1234"),
        (b"part_number,coil_ohms\n" + b"A,7,5\n" * 40, "2 cells as in the header (a decimal comma makes two"),
        (b"part_number,coil_ohms,source\nA,7,5,\n", "3 cells as in the header"),
        ("part_number,source\nA,größer\n".encode() + "B,größer\n".encode("cp1252"), "one encoding"),
        ("part_number,source\nB,größer\n".encode("cp1252") + "A,größer\n".encode(), "one encoding"),
        (b"part_number,source\nA,\x81\n", "UTF-8 or in the Windows code page cp1252"),
        (b"part_number,source\nA,\0\n", "a file that is no text"),
    ],
)
def test_a_file_that_contradicts_itself_is_one_problem(tmp_path: Path, read, data: bytes, said: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ProblemsFound) as refused:
        read(saved(tmp_path, data))
    (told,) = map(str, refused.value.problems)
    assert said in told


@READERS
@pytest.mark.parametrize("bare", ["240.5", "240,5", "240"])
def test_numbers_with_units_are_typed_by_hand_and_read_each_by_itself(tmp_path: Path, read, bare: str) -> None:  # type: ignore[no-untyped-def]
    rows = [TABLE[0], ["A", bare, "7,5 mm", ""], ["B", "", '0.787"', ""]]
    cells = [row[2] for row in read(saved(tmp_path, written(rows)))]
    assert [COLUMNS["pin_length_mm"].read(cell) for cell in cells] == [7.5, pytest.approx(19.9898)]


@READERS
def test_a_first_line_may_name_the_separator(tmp_path: Path, read) -> None:  # type: ignore[no-untyped-def]
    assert read(saved(tmp_path, b"sep=;\r\n" + written(TABLE, ";"))) == TABLE[1:]


@pytest.mark.parametrize("cell", ["TW2", "", "1,2,3", "4k7", "12 V", "2026-11-25", "1..5", "7,"])
def test_what_is_no_number_with_a_mark_stays_as_it_is(cell: str) -> None:
    assert plain(cell, NumberMarks(",", sure=True)) == cell


def test_whole_numbers_decide_nothing() -> None:
    signs = Signs()
    for cell in ("12", "1000000", "4k7", "", "text, more"):
        signs.look(2, "x", cell)
    assert signs.decide("f", ";") is None


amounts = st.decimals(-(10**6), 10**6, places=3).map(lambda d: d.normalize() + 0)


def grouped(value: Decimal, decimal: str, thousands: str) -> str:
    return f"{value:,f}".translate(str.maketrans({",": thousands or None, ".": decimal}))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    values=st.lists(amounts, min_size=1, max_size=6),
    separator=st.sampled_from(SEPARATORS),
    encoding=st.sampled_from(ENCODINGS),
    marks=st.sampled_from([(".", ""), (",", ""), (".", ","), (",", ".")]),
)
def test_a_table_written_in_any_way_reads_back_the_same(  # type: ignore[no-untyped-def]
    tmp_path: Path, values: list[Decimal], separator: str, encoding: str, marks: tuple[str, str]
) -> None:
    """0.25 is in the table so that something shows the decimal sign."""
    values = [*values, Decimal("0.25")]
    rows = [TABLE[0], *([f"P{n}", grouped(v, *marks), "", "é"] for n, v in enumerate(values))]
    file = saved(tmp_path, written(rows, separator, encoding))
    for read in (short, long):
        assert [Decimal(cells[1]) for cells in read(file)] == values


def test_the_sign_of_a_file_is_told_with_its_places() -> None:
    signs = Signs()
    for line, cell in enumerate(("7.5", "7.5", "7,5"), 2):
        signs.look(line, "x", cell)
    decided = signs.decide("f.csv", ";")
    assert isinstance(decided, Problem) and (decided.line, decided.found) == (4, "7,5")
    assert "2 cells have a point (line 2: 7.5), 1 cell has a comma" in decided.expected
