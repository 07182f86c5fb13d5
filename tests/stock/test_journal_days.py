"""Which days a journal has, and how its periods are called."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bom.stock.journal import Period, Span, begins, called, days_meant, lately


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("2026-11-28", "2026-11-28", "2026-11-28"),
        ("2024-02", "2024-02-01", "2024-02-29"),
        ("2026-Q4", "2026-10-01", "2026-12-31"),
        ("2026-q1", "2026-01-01", "2026-03-31"),
        (" 2026 ", "2026-01-01", "2026-12-31"),
    ],
)
def test_a_day_a_month_a_quarter_and_a_year_are_days(text: str, first: str, last: str) -> None:
    assert days_meant(text) == Span(date.fromisoformat(first), date.fromisoformat(last))


@pytest.mark.parametrize(
    "text",
    ["", " ", "2026-13", "2026-02-30", "2026-Q5", "2026-1", "28.11.2026", "last month", "0000", "9999-12", "٢٠٢٦"],
)
def test_what_names_no_days_is_none(text: str) -> None:
    assert days_meant(text) is None


DAYS = st.dates(date(1900, 1, 1), date(2999, 12, 31))


@given(DAYS, st.integers(0, 900), st.sampled_from(list(Period)))
def test_periods_cover_each_day_once(first: date, more: int, period: Period) -> None:
    span = Span(first, min(first + timedelta(days=more), date(2999, 12, 31)))
    starts = list(span.periods(period))
    assert len(starts) == span.count(period) == len({called(period, start) for start in starts})
    days = [span.first + timedelta(days=n) for n in range((span.last - span.first).days + 1)]
    assert sorted({span.begins(period, day) for day in days}) == starts


@pytest.mark.parametrize(
    ("period", "first"),
    [("day", "2026-11-17"), ("month", "2025-12-01"), ("quarter", "2024-01-01"), ("year", "2015-01-01"),
     ("all", "2025-12-01")],
)  # fmt: skip
def test_a_journal_without_a_first_day_has_twelve_periods(period: str, first: str) -> None:
    last = date(2026, 11, 28)
    found = lately(Period(period), last)
    assert found == date.fromisoformat(first)
    assert period == "all" or Span(found, last).count(Period(period)) == 12
    assert begins(Period.QUARTER, last) == date(2026, 10, 1)
