"""A command that only reads makes no database: who names one that is not there has mistyped its name."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.cli.main import app_for
from bom.values.problem import Refused


@pytest.mark.parametrize(
    "words",
    [
        "stock show", "stock trace L0001", "stock worth", "stock journal", "stock idle", "stock prices X", "stock late",
        "stock label", "quote ask --out quotes",
        "quote plan --part K2R-12S=3", "kit cost", "kit possible", "kit sheet X", "kit label X", "board show X",
        "board check X", "board circuit X",
        "reorder", "reorder --levels", "catalog export out", "catalog xref", "match --like X",
        "relay find X", "relay show X", "relay identify --ohms 200", "supplier show",
    ],
)  # fmt: skip
def test_reading_makes_no_database(words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    typed = [*words.split(), "--db", str(tmp_path / "mistyped" / "bom.db")]
    with pytest.raises(Refused, match="there is no database"):
        app_for(typed)(typed, standalone_mode=False)
    assert not [*tmp_path.iterdir()]
