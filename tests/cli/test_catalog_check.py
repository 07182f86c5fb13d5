"""`catalog check` finds what `catalog add` would find: drawings that the database has count; none is made."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from bom.cli.main import run
from bom.jobs.bench import bench
from bom.jobs.catalogue import add_catalogue

ONE = "maker,part_number,footprint,wiring,coil_volts,coil_ohms\nKithmar,K2R-12X,{footprint},K2-2c,12,240\n"


def checked(folder: Path, url: str, monkeypatch: pytest.MonkeyPatch) -> object:
    monkeypatch.setenv("BOM_DATABASE_URL", url)
    monkeypatch.setattr(sys, "argv", ["bom", "catalog", "check", str(folder)])
    with pytest.raises(SystemExit) as left:
        run()
    return left.value.code


@pytest.mark.parametrize(("footprint", "status"), [("KIT-K2", 0), ("KIT-K3", 1)])
def test_one_relay_may_name_what_the_database_has(
    tmp_path: Path, demo_folder: Path, monkeypatch: pytest.MonkeyPatch, footprint: str, status: int
) -> None:
    url = f"sqlite:///{tmp_path / 'bom.db'}"
    with bench(url) as session:
        add_catalogue(session, demo_folder)
    (tmp_path / "one").mkdir()
    (tmp_path / "one" / "relays.csv").write_text(ONE.format(footprint=footprint), encoding="utf-8")
    assert checked(tmp_path / "one", url, monkeypatch) == status


def test_without_a_database_the_folder_stands_alone_and_none_is_made(
    tmp_path: Path, demo_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert checked(demo_folder, f"sqlite:///{tmp_path / 'bom.db'}", monkeypatch) == 0
    assert not (tmp_path / "bom.db").exists()
