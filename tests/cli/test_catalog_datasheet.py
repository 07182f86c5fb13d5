"""`bom catalog datasheet` shows a series sheet on stdout or writes it, and says what is left to a person."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from printed_sheets import Sheet, draw

from bom.cli.main import run

Bom = Callable[..., tuple[int, str, str]]
TEXT = """
Code   Nominal voltage (VDC)   Coil resistance (ohm)
A      12                      240
B      24                      9O0
"""
SHEET = Sheet(
    [("Code",), ("Nominal voltage (VDC)",), ("Coil resistance (ohm)",)], [["A", "12", "240"], ["B", "24", "960"]]
)


@pytest.fixture
def bom(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Bom:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("NO_COLOR", "1")

    def typed(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["bom", *words])
        with pytest.raises(SystemExit) as left:
            run()
        said = capsys.readouterr()
        assert isinstance(left.value.code, int)
        return left.value.code, said.out, said.err

    return typed


def test_a_pdf_becomes_a_file_to_be_checked(bom: Bom, tmp_path: Path) -> None:
    draw(tmp_path / "a.pdf", SHEET)
    status, out, _ = bom("catalog", "datasheet", "a.pdf", "--page", "1", "--out", "a.toml")
    assert status == 0 and "Hold a.toml against the page, row by row; then bom catalog check a.toml" in out
    assert '["A", 12, 240],  # row 2: A | 12 | 240' in (tmp_path / "a.toml").read_text(encoding="utf-8")


def test_pasted_text_is_read_from_the_input(bom: Bom, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(TEXT))
    status, out, err = bom("catalog", "datasheet", "-")
    assert status == 0 and out.startswith("# Read off pasted text.") and '["B", 24, ""]' in out
    assert "coil_ohms '9O0'" in err


def test_a_text_file_is_read_and_json_tells_all(bom: Bom, tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(TEXT, encoding="utf-8")
    found = json.loads(bom("catalog", "datasheet", "a.txt", "--json")[1])
    (table,) = found["tables"]
    assert (table["kind"], table["read"], table["doubtful"]) == ("coils", 5, 1)
    assert table["rows"][0] == {"where": "a.txt, table 1, row 2", "values": ["A", "12", "240"],
                                "printed": ["A", "12", "240"], "doubts": []}  # fmt: skip


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("none.pdf",), "none.pdf: expected a file that can be read"),
        (("none.txt",), "none.txt"),
        (("a.pdf", "--page", "7"), "expected a page from 1 to 1, found 7"),
        (("a.pdf", "--page", "x"), "--page: expected a page"),
    ],
)
def test_what_cannot_be_read_is_one_line(bom: Bom, tmp_path: Path, words: tuple[str, ...], said: str) -> None:
    draw(tmp_path / "a.pdf", SHEET)
    status, out, err = bom("catalog", "datasheet", *words)
    assert (status, out) == (2, "") and said in err and err.count("\n") == 1
