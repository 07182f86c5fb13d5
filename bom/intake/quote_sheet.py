"""Knows how to read back the spreadsheet a supplier filled in: from whom, until when, and the offers in it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

from bom.buying.offer import Offer, Supplier
from bom.intake.filled_sheet import FOR, UNTIL, beside, day_in, opened_sheet
from bom.intake.quote_lines import QuoteLines
from bom.values.problem import ProblemsFound


class QuoteTaken(NamedTuple):
    """What came back: who it was made for and until when it holds (empty, None where the sheet does not say)."""

    made_for: str
    until: date | None
    offers: tuple[Offer, ...]
    notes: tuple[str, ...]


def read_quote(
    path: Path,
    supplier: Supplier | Callable[[str], Supplier],
    today: date,
    *,
    day_told: bool = True,
    leave_out: Sequence[str] = (),
) -> QuoteTaken:
    """The offers in a quote that came back; ``supplier`` may be chosen by the name the sheet was made for.

    Raises ProblemsFound with every wrong cell, and with the missing last day unless that was told (``day_told``) or is
    all that is wrong; nothing is taken then. ``valid_until`` is set by whoever takes them. ``leave_out`` names columns
    that the sender added.
    """
    sheet = opened_sheet(path, leave_out)
    made_for = str(beside(sheet, FOR) or "").strip()
    chosen = supplier(made_for) if callable(supplier) else supplier
    until = day_in(sheet, beside(sheet, UNTIL))
    offers = QuoteLines(sheet, chosen, today).offers()
    if not sheet.problems and not offers:
        sheet.wrong(0, "Unit price", "at least one price")
    if sheet.problems:
        if until is None and not day_told and not any(p.column == UNTIL for p in sheet.problems):
            sheet.wrong(0, UNTIL, "a date such as 2026-12-31, there or with --until", "nothing")
        raise ProblemsFound(sheet.problems)
    return QuoteTaken(made_for, until, offers, tuple(sheet.notes))
