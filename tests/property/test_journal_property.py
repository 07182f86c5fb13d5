"""Every figure of the journal against sums taken from the ledger's rows as they stand, of any entries in any days."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import text

from bom.answers.shelf import Journal
from bom.buying.offer import Rates
from bom.jobs.settings import set_shop
from bom.jobs.shelf.journal import JournalAsked, show_journal
from bom.store.engine import ready_engine
from bom.store.offers import take_rates
from bom.store.unit_of_work import Session, work

LOTS = [
    ("L1", "KM-12", "Osmere", 2_345_678, "GBP"),
    ("L2", "KM-12", "Fenlow", 1_111_111, "EUR"),
    ("L3", "KM-24", "Osmere", None, None),
    ("L4", "KM-24", "", 3_000_001, "CHF"),
    ("K1", "Pump kit", "", 7_777_777, "GBP"),
]
WORTH = {"GBP": Fraction(1), "EUR": Fraction(87, 100)}
FIRST, DAYS = date(2025, 11, 20), 130
KINDS = ["in", "out", "out", "count", "reserve", "hold", "shift"]
ENTRY = st.fixed_dictionaries(
    {
        "day": st.integers(0, DAYS),
        "second": st.integers(0, 86_399),
        "kind": st.sampled_from(KINDS),
        "lot": st.sampled_from(LOTS),
        "some": st.integers(1, 99_999),
        "less": st.booleans(),
        "customer": st.sampled_from(["", "", "Grove Farm"]),
        "reference": st.sampled_from(["", "job 7", "K1"]),
        "undone": st.integers(0, 4),
    }
)


def fill(session: Session, entries: list[dict[str, Any]]) -> None:
    set_shop(session, [("currency", "GBP")])
    take_rates(session, Rates("GBP", FIRST, (("EUR", Decimal("0.87")),), "invented"))
    session.execute(text("INSERT INTO kit_lots (number, kit, document) VALUES ('K1', 'Pump kit', '{}')"))
    for number, part, supplier, cost, code in LOTS:
        session.execute(
            text(
                "INSERT INTO lots (number, part_number, maker, drawer, date_code, supplier, cost_millionths, "
                "cost_currency) VALUES (:n, :p, '', '', '', :s, :c, :u)"
            ),
            {"n": number, "p": part, "s": supplier, "c": cost, "u": code},
        )
    sequence = 0
    for entry in entries:
        midnight = datetime(FIRST.year, FIRST.month, FIRST.day, tzinfo=UTC)
        moment = (midnight + timedelta(days=entry["day"], seconds=entry["second"])).isoformat(timespec="microseconds")
        some = entry["some"] if entry["kind"] == "in" or not entry["less"] else -entry["some"]
        some = -entry["some"] if entry["kind"] == "out" else some
        undone = [(-some, sequence + 1)] if entry["undone"] == 0 and entry["kind"] != "shift" else []
        for thousandths, counters in [(some, None), *undone]:
            sequence += 1
            session.execute(
                text(
                    "INSERT INTO moves (sequence, moment, kind, part_number, lot, thousandths, reason, reference, "
                    "counters, drawer, customer, maker) VALUES (:n, :m, :k, :p, :l, :q, '', :r, :c, '', :f, '')"
                ),
                {"n": sequence, "m": moment, "k": entry["kind"], "p": entry["lot"][1], "l": entry["lot"][0]}
                | {"q": thousandths, "r": entry["reference"], "c": counters, "f": entry["customer"]},
            )


Key = tuple[str, str, str]


def by_hand(session: Session, asked: JournalAsked, first: date, last: date) -> dict[Key, list[Any]]:
    """(period, name, deed) to [entries, thousandths, exact millionths, entries whose cost is not known]."""
    rows = session.execute(text("SELECT m.*, l.supplier, l.cost_millionths, l.cost_currency FROM moves m "
                                "JOIN lots l ON l.number = m.lot")).all()  # fmt: skip
    undone = {row.counters for row in rows}
    answer: dict[Key, list[Any]] = {}
    for row in rows:
        day = row.moment[:10]
        gone = row.counters is not None or row.sequence in undone
        if gone or row.kind not in ("in", "out", "count") or not first.isoformat() <= day <= last.isoformat():
            continue
        kit = "Pump kit" if "K1" in (row.lot, row.reference) else ""
        into = row.reference == "K1"
        names = {"kind": "", "part": row.part_number, "supplier": row.supplier, "kit": kit, "customer": row.customer}
        deed = {
            "in": "made" if row.lot == "K1" else "bought",
            "out": "sold" if row.customer and not into else "used",
            "count": "lost" if row.thousandths < 0 else "found",
        }[row.kind]
        quarter = f"{day[:4]}-Q{(int(day[5:7]) + 2) // 3}"
        period = {"day": day, "month": day[:7], "quarter": quarter, "year": day[:4], "all": ""}[asked.period]
        found = answer.setdefault((period, names[asked.by], deed), [0, 0, Fraction(0), 0])
        found[0] += 1
        found[1] += abs(row.thousandths)
        if row.cost_currency in WORTH:
            found[2] += Fraction(row.cost_millionths * abs(row.thousandths), 1000) * WORTH[row.cost_currency]
        else:
            found[3] += 1
    return answer


DEEDS = ("bought", "made", "used", "sold", "lost", "found")


def told(journal: Journal) -> dict[Key, list[Any]]:
    answer: dict[Key, list[Any]] = {}
    for row in journal.rows:
        for deed in DEEDS:
            one = getattr(row, deed)
            if one.entries:
                cost = None if one.cost is None else one.cost.millionths
                answer[row.period, row.name, deed] = [one.entries, one.quantity, cost, one.unknown]
    return answer


@pytest.fixture(scope="module")
def ledger() -> Iterator[Session]:
    """One database; what each example enters is taken back."""
    engine = ready_engine("sqlite://")
    with work(engine) as session:
        yield session
    engine.dispose()


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    entries=st.lists(ENTRY, max_size=25),
    period=st.sampled_from(["day", "month", "quarter", "year", "all"]),
    by=st.sampled_from(["kind", "part", "supplier", "kit", "customer"]),
    one=st.integers(0, DAYS),
    other=st.integers(0, DAYS),
)
def test_every_figure_is_what_the_rows_come_to(
    ledger: Session, entries: list[dict[str, Any]], period: str, by: str, one: int, other: int
) -> None:
    first, last = (FIRST + timedelta(days=days) for days in sorted((one, other)))
    asked = JournalAsked(period, by, first.isoformat(), last.isoformat())
    with ledger.begin_nested() as one_ledger:
        fill(ledger, entries)
        journal, expected = show_journal(ledger, asked), by_hand(ledger, asked, first, last)
        one_ledger.rollback()
    found = told(journal)
    assert found.keys() == expected.keys()
    totals, unknown = dict.fromkeys(DEEDS, Fraction(0)), Counter[str]()
    for key, (count, quantity, cost, open_) in found.items():
        hand = expected[key]
        assert (count, open_) == (hand[0], hand[3])
        assert quantity == (Decimal(hand[1]) / 1000 if by == "part" else None)
        assert cost is None if open_ == count else abs(cost - hand[2]) <= 1  # a millionth: two currencies, rounded each
        totals[key[2]] += hand[2]
        unknown[key[2]] += hand[3]
    for deed in DEEDS:
        whole = getattr(journal.total, deed)
        assert whole.unknown == unknown[deed]
        assert whole.cost is None or abs(whole.cost.millionths - totals[deed]) <= 1
