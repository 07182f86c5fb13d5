"""Every example in a docstring of the house is run, and shows what it says."""

from __future__ import annotations

import doctest
from importlib import import_module
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[1] / "bom"
SHOWN = sorted(
    ".".join(file.relative_to(HOUSE.parent).with_suffix("").parts)
    for file in HOUSE.rglob("*.py")
    if ">>> " in file.read_text(encoding="utf-8")
)


@pytest.mark.parametrize("module", SHOWN)
def test_the_examples_show_what_they_say(module: str) -> None:
    ran = doctest.testmod(import_module(module), optionflags=doctest.NORMALIZE_WHITESPACE)
    assert ran.attempted and not ran.failed
