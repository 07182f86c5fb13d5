"""The shop that `scripts/bench/make_shop.py` writes straight into the tables is the one that a shop's own jobs would
have written, deed by deed."""

from __future__ import annotations

import sys
from collections.abc import Callable
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from sqlalchemy import select

from bom.jobs.bench import bench, glance
from bom.jobs.kits.making import make_kits
from bom.jobs.shelf.day import enter_count, goods_out, hold_lot, put_elsewhere, release_lot, reserve, undo
from bom.jobs.shelf.goods_in import GoodsIn, goods_in
from bom.jobs.shelf.ordering import order_part
from bom.jobs.shelf.shown import show_stock, trail_of, worth
from bom.kits.kit import MadeUp
from bom.stock.tracing import Trail
from bom.store import tables as t
from bom.store.documents import decode
from bom.store.engine import check, ready_engine
from bom.store.shelf import gone_to, lots, moves
from bom.store.unit_of_work import Session

SCRIPT = Path(__file__).resolve().parents[2] / "scripts" / "bench" / "make_shop.py"
SIZES = {"relays": 30, "footprints": 30, "boards": 2, "kits": 4, "suppliers": 4, "offers": 80}
MOMENTS = {"moment", "received"}

JOBS: dict[str, Callable[..., object]] = {
    "in": lambda s, part, q, cost, drawer, supplier: goods_in(
        s, GoodsIn(part, q, f"{cost.amount:f} {cost.currency}", drawer=drawer, supplier=supplier)
    ),
    "out": lambda s, part, q, job, customer: goods_out(s, part, q, job, customer=customer),
    "reserve": reserve,
    "make": lambda s, kit, count: make_kits(s, kit, count, dry=False),
    "count": lambda s, lot, q: enter_count(s, lot, q, "counted"),
    "shift": put_elsewhere,
    "hold": lambda s, lot, q: hold_lot(s, lot, q, "held"),
    "release": lambda s, lot: release_lot(s, lot, "", "inspected"),
    "undo": undo,
    "order": lambda s, part, q, supplier, due: order_part(s, part, q, supplier, str(due)),
}


@pytest.fixture(scope="module")
def made(script: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, list[Any]]:
    """A small shop, and what was done in it."""
    url, deeds = f"sqlite:///{tmp_path_factory.mktemp('made') / 'made.db'}", list[Any]()
    script.make(url, script.Sizes(**SIZES, entries=500), list, deeds)
    return url, deeds


@pytest.fixture(scope="module")
def script() -> ModuleType:
    spec = spec_from_file_location("make_shop", SCRIPT)
    assert spec is not None and spec.loader is not None
    module = sys.modules["make_shop"] = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def entries(session: Session) -> dict[str, list[Any]]:
    """What the tables of the ledger say, but for the moments."""
    return {
        table.name: [
            tuple(value for name, value in row.items() if name not in MOMENTS)
            for row in session.execute(select(table).order_by(*table.primary_key)).mappings()
        ]
        for table in (t.lots, t.moves, t.orders)
    }


def bags(session: Session) -> list[tuple[str, str, int, object]]:
    made = [decode(MadeUp, text) for text in session.scalars(select(t.kit_lots.c.document).order_by("number"))]
    return [(one.number, one.kit, one.count, one.contents) for one in made]


def test_a_made_shop_is_what_its_jobs_would_have_written(
    made: tuple[str, list[Any]], script: ModuleType, tmp_path: Path
) -> None:
    (url, deeds), done = made, f"sqlite:///{tmp_path / 'done.db'}"
    assert {deed.name for deed in deeds} == set(JOBS)
    script.make(done, script.Sizes(**SIZES, entries=0), list)
    with bench(done) as session:
        for deed in deeds:
            JOBS[deed.name](session, *deed.said)
    with glance(url) as one, glance(done) as other:
        assert entries(one) == entries(other)
        assert bags(one) == bags(other)
        assert show_stock(one, "") == show_stock(other, "")
        assert all(worth(one, by) == worth(other, by) for by in ("average", "fifo"))
    assert all(check(ready_engine(one)) == [] for one in (url, done))


def test_a_trace_walked_outward_finds_what_the_whole_ledger_tells(made: tuple[str, list[Any]]) -> None:
    with glance(made[0]) as session:
        known, entries = lots(session), moves(session)
        whole = Trail(known, entries)
        for number in (lot.number for lot in known):
            walked = trail_of(session, onward=[number], back=[number])
            assert walked.onward(number) == whole.onward(number) and walked.back(number) == whole.back(number)
            assert walked.bought([number]) == whole.bought([number])
        for said in {word for m in entries for word in (m.reason, m.reference, m.customer.upper()) if word}:
            given = gone_to(session, said)
            walked = trail_of(session, back=[move.lot for move in given], given=given)
            assert walked.taken_by(said) == whole.taken_by(said)
            for lot in {move.lot for move in given}:
                assert walked.back(lot) == whole.back(lot)
