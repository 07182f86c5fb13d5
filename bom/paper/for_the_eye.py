"""Knows how amounts and outcomes are put before people: few digits, thousands set apart; an outcome by its sign.

``--json`` and workbooks carry every digit.
"""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from bom.paper.json_out import money_digits
from bom.values.finding import Outcome
from bom.values.money import Money

SIGNS = {Outcome.PASS: "✓", Outcome.CONDITION: "~", Outcome.UNKNOWN: "?", Outcome.FAIL: "✗"}
"""An outcome, and the verdict that it leads to, by a sign, so that no colour is needed."""

FINEST = 4
"""Digits for one piece, which may cost fractions of a cent."""

JOURNAL_FIGURES = ("spent", "made", "used", "sold", "lost", "found")
"""What a journal's figures are called, in their order: what was bought is what was spent."""


def money(value: Money | None, digits: int = 2) -> str | None:
    """12.30 GBP; None where it is not known."""
    return None if value is None else f"{bare(value, digits)} {value.currency}"


def bare(value: Money | None, digits: int = 2) -> str | None:
    """An amount whose currency stands above it."""
    return None if value is None else f"{value.amount:,.{digits}f}"


def as_listed(value: Money) -> str:
    """A price with every digit that its list or quote gives it: *0.0125 GBP*."""
    return f"{money_digits(value)} {value.currency}"


def number(value: Decimal) -> str:
    """A quantity without trailing zeros, never 1E+3."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def amount(quantity: Decimal, unit: str) -> str:
    """So many pieces, or so much of a unit: *12*, *250 ml*."""
    return number(quantity) if unit == "piece" else f"{number(quantity)} {unit}"


def minute(moment: datetime) -> str:
    """2026-11-25 14:03."""
    return moment.isoformat()[:16].replace("T", " ")


def day(moment: datetime | None) -> str:
    """2026-11-25, or nothing."""
    return moment.date().isoformat() if moment else ""
