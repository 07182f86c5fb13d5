"""Each job asks the database what it must, once: how many statements it may send on the demo shop, and that reading
jobs write nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from sqlalchemy import Engine, event

from bom.fit.placement_cache import PlacementCache
from bom.jobs.bench import glance
from bom.jobs.buying.planning import PlanAsked, plan_asked
from bom.jobs.buying.quotes import ask_quotes
from bom.jobs.buying.reordering import plan_reorder
from bom.jobs.kits.costing import Asked, cost_asked
from bom.jobs.kits.how_many import HowMany, possible_kits
from bom.jobs.replacing.matching import find_replacements
from bom.store.unit_of_work import Session

Job = Callable[[Session, Path], object]
JOBS: dict[str, tuple[Job, int]] = {
    "match": (lambda session, out: find_replacements(session, position="OS-3:K1"), 24),
    "reorder": (lambda session, out: plan_reorder(session, None, 5.0), 30),
    "quote ask": (lambda session, out: ask_quotes(session, (), out), 30),
    "quote plan": (lambda session, out: plan_asked(session, PlanAsked(["K2R-12S=20"], substitutes="drop-in")), 26),
    "kit cost": (lambda session, out: cost_asked(session, Asked()), 36),
    "kit possible": (lambda session, out: possible_kits(session, HowMany()), 30),
}


@contextmanager
def statements() -> Iterator[list[str]]:
    """Everything sent to a database meanwhile."""
    sent: list[str] = []

    def note(connection: object, cursor: object, statement: str, *more: object) -> None:
        sent.append(statement)

    event.listen(Engine, "before_cursor_execute", note)
    try:
        yield sent
    finally:
        event.remove(Engine, "before_cursor_execute", note)


def forget_placements(monkeypatch: pytest.MonkeyPatch) -> None:
    """Begin as a command does, with no placement in memory."""
    cache = PlacementCache()
    for module in ("bom.fit.placement_cache", "bom.fit.best_placement", "bom.shop.placements"):
        monkeypatch.setattr(f"{module}.CACHE", cache)


@pytest.mark.parametrize("name", JOBS)
def test_a_job_on_the_demo_shop_asks_no_more_than_this(
    name: str, url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job, most = JOBS[name]
    forget_placements(monkeypatch)
    with glance(url) as session:
        job(session, tmp_path / "first")  # works the placements out, and keeps them
    forget_placements(monkeypatch)
    with glance(url) as session, statements() as sent:
        job(session, tmp_path / "out")
    asked, wrote = len(sent), [s for s in sent if s.startswith(("INSERT", "UPDATE", "DELETE"))]
    assert asked <= most and not wrote


def test_what_was_worked_out_once_is_not_stored_again(url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    forget_placements(monkeypatch)
    with glance(url) as session:
        find_replacements(session, position="OS-3:K1")
    forget_placements(monkeypatch)
    with statements() as sent, glance(url) as session:
        find_replacements(session, position="OS-3:K1")
    assert not [s for s in sent if s.startswith(("BEGIN IMMEDIATE", "INSERT"))]
