"""How late suppliers were and what lies idle, against what the test counts itself from the same deeds."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bom.jobs.shelf.journal import idle_stock, months_before
from bom.stock.deliveries import punctuality
from bom.stock.ledger import Lot, Move, MoveKind, reversal
from bom.store.engine import ready_engine
from bom.store.on_order import NOT_AFTER_ALL, Ordered, add_order, deliveries
from bom.store.shelf import add_lot, add_moves
from bom.store.unit_of_work import Session, work
from bom.values.money import Money
from bom.values.problem import Refused

TODAY = date.today()


@pytest.fixture(scope="module")
def ledger() -> Iterator[Session]:
    """One database; what each example enters is taken back."""
    engine = ready_engine("sqlite://")
    with work(engine) as session:
        yield session
    engine.dispose()


def at(days: int) -> datetime:
    return datetime.combine(TODAY, datetime.min.time(), UTC) + timedelta(days=days, hours=10)


LINES = st.lists(
    st.tuples(
        st.sampled_from(["Osmere", "Fenlow"]),
        st.one_of(st.none(), st.integers(-60, 20)),  # promised for, in days from today
        st.sampled_from(["came", "open", "undone", "called off", "in two"]),
        st.integers(-60, 0),  # came on
    ),
    max_size=12,
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(lines=LINES)
def test_lateness_is_what_the_deeds_come_to(ledger: Session, lines: list[tuple[str, int | None, str, int]]) -> None:
    late: dict[str, list[int]] = {}
    came: dict[str, int] = {}
    overdue: dict[str, list[int]] = {}
    with ledger.begin_nested() as these:
        for number, (supplier, due, what, day) in enumerate(lines):
            line = Ordered(
                f"O{number}", supplier, "KM-12", Decimal(10), None if due is None else TODAY + timedelta(due)
            )
            add_order(ledger, line, at(-70))
            steps = {"came": [-10], "open": [], "undone": [-10, 10], "called off": [-10], "in two": [-4, -6]}[what]
            for some in steps:
                why = "called off" if what == "called off" else "came" if some < 0 else NOT_AFTER_ALL
                add_order(ledger, Ordered(line.number, supplier, "KM-12", Decimal(some), line.due), at(day), why)
            times = {"came": 1, "in two": 2}.get(what, 0)
            came[supplier] = came.get(supplier, 0) + times
            if due is not None and day > due:
                late.setdefault(supplier, []).extend([day - due] * times)
            if due is not None and due < 0 and what in ("open", "undone"):
                overdue.setdefault(supplier, []).append(-due)
        found = {one.supplier: one for one in punctuality(deliveries(ledger), TODAY)}
        these.rollback()
    for supplier, count in came.items():
        one, days, open_now = found.get(supplier), late.get(supplier, []), overdue.get(supplier, [])
        if one is None:
            assert count == 0 and not open_now
            continue
        assert (one.deliveries, one.late, one.worst_days) == (count, len(days), max(days, default=None))
        assert one.mean_days == (round(sum(days) / len(days), 1) if days else None)
        assert (one.overdue, one.overdue_days) == (len(open_now), max(open_now, default=None))


PARTS = ["KM-12", "KM-24", "KM-48"]
DEEDS = st.lists(st.tuples(st.sampled_from(PARTS), st.integers(-900, 0), st.integers(1, 3), st.booleans()), max_size=10)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(deeds=DEEDS, priced=st.booleans(), months=st.integers(1, 30))
def test_what_lies_idle_was_not_used_since(
    ledger: Session, deeds: list[tuple[str, int, int, bool]], priced: bool, months: int
) -> None:
    since, used, left = months_before(TODAY, months), dict[str, date](), dict.fromkeys(PARTS, 30)
    with ledger.begin_nested() as these:
        for number, part in enumerate(PARTS):
            cost = Money.of(2, "EUR") if priced or number else None
            lot = Lot(f"L{number}", part, drawer="A1", unit_cost=cost, received=at(-950))
            add_lot(ledger, lot, Decimal(30), at(-950))
        for part, day, some, undone in deeds:
            (out,) = add_moves(
                ledger, [Move(0, at(day), MoveKind.OUT, part, f"L{PARTS.index(part)}", Decimal(-some), "job")]
            )
            if undone:
                add_moves(ledger, [reversal(out)])
            else:
                left[part] -= some
                used[part] = max(at(day).date(), used.get(part, date.min))
        answer = idle_stock(ledger, months)
        these.rollback()
    idle = {part for part in PARTS if left[part] and (part not in used or used[part] < since)}
    idle = idle if since >= at(-950).date() else set()
    assert {one.part_number for one in answer.parts} == idle
    for one in answer.parts:
        known = priced or one.part_number != "KM-12"
        assert one.on_hand == left[one.part_number] and one.last_used == used.get(one.part_number)
        assert one.worth == (Money.of(2 * left[one.part_number], answer.currency) if known else None)
    assert answer.unknown == (() if priced or "KM-12" not in idle else ("KM-12",))


@pytest.mark.parametrize("months", [0, -3, 100_000])
def test_months_that_are_none_are_refused(months: int) -> None:
    with pytest.raises(Refused, match="1 month or more"):
        months_before(TODAY, months)


def test_months_before_end_in_the_month() -> None:
    assert months_before(date(2026, 3, 31), 1) == date(2026, 2, 28)
    assert months_before(date(2024, 2, 29), 12) == date(2023, 2, 28)
