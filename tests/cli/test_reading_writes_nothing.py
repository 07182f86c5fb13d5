"""A command that only reads leaves not a byte changed in the shop's database, whichever database that is, and serves
those who may only read it."""

from __future__ import annotations

import os
import shlex
from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from sqlalchemy import make_url, text

from bom.cli.main import run
from bom.jobs.bench import bench
from bom.jobs.demo import load_shop
from bom.store.engine import open_engine
from bom.store.unit_of_work import look
from bom.values.problem import Refused

COMMANDS = """
relay find tw2
relay show "tw2 12s"
relay identify --ohms 262R
board show
board show OS-3
board check OS-3
board circuit OS-3
match --position OS-3:K1
match --position OS-3 --html out/board.html
match --like TW2-12S
match --like TW2-12S --why K2R-12S
catalog export out/catalogue
catalog xref
catalog xref --part TW2-12S
kit cost
kit cost "OS-3 valve drive"
kit possible
kit possible "OS-3 valve drive=40" --plan
kit make "OS-3 valve drive" 1 --dry
kit sheet "OS-3 valve drive" --out out/sheet.html
kit label "OS-3 valve drive" --out out/label.svg
stock show
stock show K2R-12S
stock trace L0001
stock worth
stock prices K2R-12S --svg out/prices.svg
stock idle
stock late
stock journal --by part
stock journal --out out/journal.xlsx
stock ordered
stock label A1 --out out/drawers.html
quote plan --part K2R-12S=20 --substitutes conditional
quote plan --kit "OS-3 valve drive=40"
quote ask --part K2R-12S=20 --out out/quotes
quote list
reorder --levels
reorder --out out/reorder.xlsx
supplier show
shop show
db check
""".strip().splitlines()


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory, demo_folder: Path) -> Path:
    file = tmp_path_factory.mktemp("read only") / "bom.db"
    with bench(f"sqlite:///{file}") as session:
        list(load_shop(session, demo_folder))
    return file


def run_there(words: str, url: str, monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    (folder / "out").mkdir(exist_ok=True)
    monkeypatch.chdir(folder)
    monkeypatch.setattr("sys.argv", ["bom", *shlex.split(words), "--db", url])
    with pytest.raises(SystemExit) as ended:
        run()
    assert ended.value.code == 0, words


@pytest.mark.parametrize("words", COMMANDS)
def test_reading_changes_no_byte(words: str, shop: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    before, log = shop.read_bytes(), shop.with_name("bom.db-wal")
    run_there(words, str(shop), monkeypatch, tmp_path)
    assert shop.read_bytes() == before and not (log.exists() and log.stat().st_size)


def test_the_database_itself_refuses_to_write_for_a_reader(shop: Path) -> None:
    with pytest.raises(Refused, match="readonly"), look(open_engine(str(shop))) as session:
        session.connection().exec_driver_sql("DELETE FROM marks")


@pytest.fixture
def may_only_read(demo_folder: Path) -> Iterator[str]:
    """The demo shop on PostgreSQL, as somebody who may only read."""
    if not (server := os.environ.get("BOM_TEST_POSTGRES")):
        pytest.skip("no PostgreSQL: BOM_TEST_POSTGRES is not set")
    name, keeper = f"reader_{uuid4().hex}", open_engine(server)
    with keeper.begin() as connection:
        connection.execute(text(f"CREATE SCHEMA {name}"))
        connection.execute(text(f"CREATE ROLE {name} LOGIN"))
    own = make_url(server).update_query_dict({"options": f"-csearch_path={name}"})
    with bench(own.render_as_string(hide_password=False)) as session:
        list(load_shop(session, demo_folder))
    with keeper.begin() as connection:
        connection.execute(text(f"GRANT USAGE ON SCHEMA {name} TO {name}"))
        connection.execute(text(f"GRANT SELECT ON ALL TABLES IN SCHEMA {name} TO {name}"))
    yield own.set(username=name).render_as_string(hide_password=False)
    with keeper.begin() as connection:
        connection.execute(text(f"DROP SCHEMA {name} CASCADE"))
        connection.execute(text(f"DROP ROLE {name}"))
    keeper.dispose()


def test_who_may_only_select_can_read_everything(
    may_only_read: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    for words in COMMANDS:
        run_there(words, may_only_read, monkeypatch, tmp_path)
