"""`scripts/mutate` changes what it says it changes, one thing at a time, and leaves out what a comment excuses."""

from __future__ import annotations

import os
import signal
import sys
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path
from types import ModuleType

import pytest

SCRIPT = Path(__file__).resolve().parents[1] / "scripts" / "mutate"


@pytest.fixture(scope="module")
def mutate() -> ModuleType:
    loader = SourceFileLoader("mutate_script", str(SCRIPT))
    spec = spec_from_loader("mutate_script", loader)
    assert spec is not None
    module = sys.modules["mutate_script"] = module_from_spec(spec)
    loader.exec_module(module)
    return module


@pytest.mark.parametrize(
    ("line", "changed"),
    [
        ("X = 2.5", [("2.5", "2.75")]),
        ("X = 3", [("3", "4")]),
        ("X = 40", [("40", "44")]),
        ("X = Decimal('0.5')", [("Decimal('0.5')", "Decimal('0.55')")]),
        ("X = a < b", [("a < b", "a >= b")]),
        ("X = a == b", [("a == b", "a != b")]),
        ("X = a + b", [("a + b", "a - b")]),
        ("X = -a", [("-a", "a")]),
        ("X = 'a' + b", []),
        ("X = True", []),
        ("X = a[0]", []),
        ("def f(a: 'X[3]') -> int: ...", []),
    ],
)
def test_each_change_is_one_constant_comparison_or_sign(
    mutate: ModuleType, tmp_path: Path, line: str, changed: list[tuple[str, str]]
) -> None:
    file = tmp_path / "room.py"
    file.write_text(line + "\n", encoding="utf-8")
    changes, excused = mutate.changes_of(file)
    assert [(c.before, c.after) for c in changes] == changed
    assert excused == []


@pytest.mark.parametrize("text", ["X = 2  # a guess; no test can hold it\n", "# no test can: a name\nX = 2\n"])
def test_a_comment_that_says_why_no_test_can_leaves_the_line_out(mutate: ModuleType, tmp_path: Path, text: str) -> None:
    file = tmp_path / "room.py"
    file.write_text(text, encoding="utf-8")
    changes, excused = mutate.changes_of(file)
    assert (changes, [c.before for c in excused]) == ([], ["2"])


def test_a_comment_that_names_an_expression_leaves_out_no_other(mutate: ModuleType, tmp_path: Path) -> None:
    file = tmp_path / "room.py"
    file.write_text("X = a + 0.0  # a is stated, so no test can reach `0.0`\n", encoding="utf-8")
    changes, excused = mutate.changes_of(file)
    assert ([c.before for c in changes], [c.before for c in excused]) == (["a + 0.0"], ["0.0"])


def test_a_change_that_makes_a_test_endless_ends(mutate: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mutate, "SECONDS", 0.05)
    if (worker := os.fork()) == 0:
        mutate._be_patient(0.0)
        while True:
            pass
    assert os.WTERMSIG(os.waitpid(worker, 0)[1]) == signal.SIGPROF
