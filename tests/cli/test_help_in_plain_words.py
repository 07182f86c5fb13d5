"""Help says in plain words what an option takes, and nothing behind one that takes no value."""

from __future__ import annotations

import pytest

from bom.cli.main import app_for


@pytest.mark.parametrize(
    ("words", "said"), [("kit cost", "--batch N"), ("stock in", "--file FILE"), ("stock in", "--drawer TEXT")]
)
def test_help_names_no_types(words: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    typed = [*words.split(), "--help"]
    app_for(typed)(typed, standalone_mode=False)
    shown = " ".join(capsys.readouterr().out.split())
    assert said in shown
    assert "<bool>" not in shown
