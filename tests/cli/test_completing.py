"""The shell offers parts while they are typed, with their makers where that is how they are begun."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.jobs.bench import bench
from bom.jobs.catalogue import add_catalogue
from bom.jobs.replacing.finding import MOST, parts_beginning


@pytest.fixture(scope="module")
def url(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    url = f"sqlite:///{tmp_path_factory.mktemp('completing') / 'bom.db'}"
    with bench(url) as session:
        add_catalogue(session, demo_folder)
    return url


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("K2R-12", "K2R-12S"),
        ("k2r-12", "k2r-12S"),
        ("Kithmar K2R", "Kithmar K2R-12S"),
        ("kithmar k2r", "kithmar k2r-12S"),
        ("SEAL", "SEAL-OS3"),
    ],
)
def test_a_part_is_offered_as_it_was_begun(url: str, typed: str, offered: str) -> None:
    assert offered in (found := parts_beginning(url, typed))
    assert all(word.startswith(typed) for word in found)


def test_nothing_typed_offers_no_more_than_can_be_read(url: str) -> None:
    assert 0 < len(parts_beginning(url, "")) <= 2 * MOST


@pytest.mark.parametrize("typed", ["zzz", "%", "_"])
def test_what_begins_no_part_offers_nothing(url: str, typed: str) -> None:
    assert parts_beginning(url, typed) == []


def test_a_database_that_is_not_there_offers_nothing_and_is_not_made(tmp_path: Path) -> None:
    assert parts_beginning(f"sqlite:///{tmp_path / 'none.db'}", "K") == []
    assert not (tmp_path / "none.db").exists()
