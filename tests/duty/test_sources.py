"""The numbered list of publications, and that no company's name stands on a screen."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

import pytest

from bom.duty import sources
from bom.duty.sources import SOURCES, Source

ROOM = Path(sources.__file__).parents[1]
NAMES = {
    *("Panasonic", "Omron", "Siemens", "SIRIUS", "Finder", "ELESTA", "Adlink", "Hitachi", "Keysight", "Terranova"),
    *("Hando", "Kilovac", "Babcock", "Leach", "Eaton", "Schneider", "Bentley", "BMW", "National Instruments"),
    *("interfacebus", "all-electronics", "Circuit Technology", "VersaMax", "Doduco", "Itech"),
}


@cache
def texts(file: Path) -> list[str]:
    """Every string of a module, docstrings too; read once, since the whole house is asked for every name."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    return [n.value for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, str)]


def test_numbers_run_from_one_without_a_gap() -> None:
    assert [s.number for s in SOURCES] == list(range(1, len(SOURCES) + 1))


def test_every_source_says_all_there_is_to_say() -> None:
    assert all(all((s.what, s.publisher, s.title, s.edition, s.used)) for s in SOURCES)


def test_a_screen_names_what_it_is_and_its_number() -> None:
    assert Source(7, "relay data sheets", "M", "T", "E", "U").cited == "relay data sheets [7]"


@pytest.mark.parametrize("name", sorted(NAMES))
def test_companies_are_named_in_this_list_alone(name: str) -> None:
    files = [f for f in ROOM.rglob("*.py") if f.name != "sources.py"]
    assert not [f.name for f in files if any(name in text for text in texts(f))]


def test_every_companys_paper_is_used() -> None:
    """By its constant, or by its number in a docstring."""
    written = [f.read_text(encoding="utf-8") for f in (ROOM / "duty").rglob("*.py") if f.name != "sources.py"]
    constants = {name: s for name, s in vars(sources).items() if isinstance(s, Source)}
    unused = [
        name
        for name, s in constants.items()
        if not any(name in text or f"{s.number}" in _numbers_in(text) for text in written)
    ]
    assert not unused


def _numbers_in(text: str) -> list[str]:
    """The numbers that follow the word source or sources: *sources 14, 18 and 19*."""

    listed = re.findall(r"\bsources?\s+(\d+(?:(?:,|,?\s+and)?\s+\d+)*)", text)
    return [number for found in listed for number in re.findall(r"\d+", found)]
