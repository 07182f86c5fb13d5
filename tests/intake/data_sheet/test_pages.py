"""A PDF is read within bounds, or refused in one clear line: not a PDF, broken, locked, a scan, too slow."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from printed_sheets import Sheet, draw
from reportlab.pdfgen.canvas import Canvas

from bom.intake.data_sheet import pages as reading
from bom.intake.data_sheet.pages import pages_of
from bom.jobs.replacing.data_sheet import pages_in
from bom.values.problem import Refused

HEADINGS = [("Coil code",), ("Nominal", "voltage (VDC)"), ("Coil resistance", "(ohm)"), ("Power (mW)",)]
ROWS = [["06", "6", "60", "600"], ["12", "12^1", "240", "600"], ["24", "24", "960", "600"]]
SHEET = Sheet(HEADINGS, ROWS)


def test_pages_are_read_in_a_process_of_their_own(tmp_path: Path) -> None:
    file = draw(tmp_path / "a.pdf", SHEET, Sheet(HEADINGS, ROWS, ruled=False))
    first, second = pages_of(file, ())
    assert [row.cells for row in first.ruled[0].rows][1] == ("12", "12^1", "240", "600")
    assert first.ruled[0].headings[1] == "Nominal voltage (VDC)" and not second.ruled and second.number == 2


def test_only_the_pages_that_are_named_are_read(tmp_path: Path) -> None:
    file = draw(tmp_path / "a.pdf", SHEET, SHEET, SHEET)
    assert [page.number for page in pages_of(file, (3,))] == [3]


def _one(file: Path) -> Sequence[reading.PrintedTable]:
    return next(iter(reading.pages_here(str(file), ()))).ruled


@pytest.mark.parametrize("turned", [0, 90, 180, 270])
def test_a_turned_page_is_read_upright(tmp_path: Path, turned: int) -> None:
    file = draw(tmp_path / "a.pdf", Sheet(HEADINGS, ROWS, turned=turned))
    assert [row.cells[2] for row in _one(file)[0].rows] == ["60", "240", "960"]


@pytest.mark.parametrize("degrees", [90, -90])
def test_print_that_lies_on_its_side_is_turned_upright(tmp_path: Path, degrees: int) -> None:
    canvas = Canvas(str(tmp_path / "a.pdf"), invariant=1)
    canvas.translate(*((300, 100) if degrees == 90 else (100, 700)))
    canvas.rotate(degrees)
    for line, cells in enumerate(
        [["Code", "Volts (V)", "Coil resistance (ohm)"], ["A", "12", "240"], ["B", "24", "960"]]
    ):
        for column, cell in enumerate(cells):
            canvas.drawString(100 * column, -20 * line, cell)
    canvas.save()
    page = next(iter(reading.pages_here(str(tmp_path / "a.pdf"), ())))
    assert [[c.text for c in line] for line in page.lines][1:] == [["A", "12", "240"], ["B", "24", "960"]]


def test_a_cell_merged_over_rows_holds_for_each(tmp_path: Path) -> None:
    file = draw(tmp_path / "a.pdf", Sheet(HEADINGS, [[*row[:3], "600"] for row in ROWS], merged=[(3, 0, 2)]))
    assert [row.cells[3] for row in _one(file)[0].rows] == ["600", "600", "600"]


def test_letters_printed_twice_for_boldness_count_once(tmp_path: Path) -> None:
    canvas = Canvas(str(tmp_path / "a.pdf"), invariant=1)
    for nudge in (0, 0.3):
        canvas.drawString(100 + nudge, 700, "240 ohm")
    canvas.save()
    page = next(iter(reading.pages_here(str(tmp_path / "a.pdf"), ())))
    assert [c.text for c in page.lines[0]] == ["240 ohm"]


def test_what_is_no_pdf_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(b"PK\x03\x04 a spreadsheet")
    with pytest.raises(Refused, match=r"a\.pdf: expected a PDF, found another kind of file"):
        pages_of(tmp_path / "a.pdf", ())
    with pytest.raises(Refused, match="no file of this name"):
        pages_of(tmp_path / "b.pdf", ())


def test_a_broken_pdf_is_refused(tmp_path: Path) -> None:
    whole = draw(tmp_path / "a.pdf", SHEET).read_bytes()
    (tmp_path / "b.pdf").write_bytes(whole[:400])
    with pytest.raises(Refused) as refused:
        pages_of(tmp_path / "b.pdf", ())
    assert str(refused.value).startswith("b.pdf: expected") and "\n" not in str(refused.value)


def test_a_locked_pdf_is_refused(tmp_path: Path) -> None:
    file = draw(tmp_path / "a.pdf", SHEET, password="secret")
    with pytest.raises(Refused, match="expected a PDF without a password"):
        pages_of(file, ())


def test_a_scan_is_refused(tmp_path: Path) -> None:
    canvas = Canvas(str(tmp_path / "a.pdf"), invariant=1)
    canvas.rect(100, 100, 300, 400, fill=1)
    canvas.save()
    with pytest.raises(Refused, match="expected text, found pictures alone, as of a scan"):
        pages_of(tmp_path / "a.pdf", ())


def test_a_page_that_is_not_there_is_refused(tmp_path: Path) -> None:
    file = draw(tmp_path / "a.pdf", SHEET)
    with pytest.raises(Refused, match="expected a page from 1 to 1, found 2"):
        pages_of(file, (2,))


def test_reading_is_bounded_in_time_and_size(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = draw(tmp_path / "a.pdf", SHEET)
    with pytest.raises(Refused, match=r"not read within 0\.01 s"):
        pages_of(file, (), seconds=0.01)
    monkeypatch.setattr(reading, "MOST_BYTES", 10)
    with pytest.raises(Refused, match="expected at most 0 MB"):
        pages_of(file, ())


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (ValueError(MemoryError()), "in a gigabyte of memory"),
        (ValueError("no xref"), "expected a PDF that is whole (ValueError)"),
    ],
)
def test_what_stopped_the_library_is_told_in_words_of_ours(error: Exception, said: str) -> None:
    assert said in reading._why_not(error)


@pytest.mark.parametrize(("text", "pages"), [("3", (3,)), ("2-4", (2, 3, 4)), ("1, 3", (1, 3)), ("", ())])
def test_pages_are_named_by_number(text: str, pages: tuple[int, ...]) -> None:
    assert pages_in(text) == pages


@pytest.mark.parametrize("text", ["three", "0", "4-2", "-1", "1-"])
def test_what_is_no_page_is_refused(text: str) -> None:
    with pytest.raises(Refused, match="--page"):
        pages_in(text)
