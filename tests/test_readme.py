"""The README shows what the demo really prints, so it cannot go stale."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bom.jobs.demo import run_demo

README = (Path(__file__).resolve().parents[1] / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```text\n(.*?)```", README, re.DOTALL)


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> str:
    lines: list[str] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COLUMNS", "100")
        run_demo(tmp_path_factory.mktemp("demo"), None, lines.append)
    return "\n".join(lines)


def test_the_readme_has_output_to_show() -> None:
    assert len(BLOCKS) >= 3


@pytest.mark.parametrize("block", BLOCKS, ids=lambda b: b.strip().splitlines()[0][:40])
def test_what_the_readme_shows_is_what_the_demo_prints(block: str, printed: str) -> None:
    assert block.strip("\n") in printed


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    first, second = README.split("\n\n")[1:3]
    assert "proves which of them drop into a board's position" in " ".join(first.split())
    assert second.startswith("## ")
