"""A file is written whole, and a picture or a page never takes the place of what somebody typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.paper.writing import write_text
from bom.values.problem import Refused


@pytest.mark.parametrize("name", ["board.toml", "holes.csv", "book.xlsx"])
def test_a_picture_is_not_written_over_another_kind_of_file(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(b"PK or [board] or pattern,hole")
    with pytest.raises(Refused, match="neither a picture nor a page"):
        write_text(tmp_path / name, "<svg/>")
    assert (tmp_path / name).read_bytes() == b"PK or [board] or pattern,hole"


def test_a_picture_is_drawn_anew_over_itself(tmp_path: Path) -> None:
    for text in ("<svg/>", "<!doctype html>", "<svg>again</svg>"):
        write_text(tmp_path / "a.svg", text)
        assert (tmp_path / "a.svg").read_text(encoding="utf-8") == text
