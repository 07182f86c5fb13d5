"""Dated exchange rates taken from a file; with them the shop chooses the currency it reckons in."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from bom.buying.offer import Rates
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def take_rates_file(session: Session, file: Path, base: str = "") -> dict[str, Any]:
    """Take dated exchange rates; their base becomes the currency the shop reckons in. Raises ProblemsFound."""
    from bom.intake.rates import read_dated_rates
    from bom.store.rates import choose_base_currency, take_rates

    taken = read_dated_rates(file)
    chosen = _base_of(taken, base.strip().upper())
    for day in taken:
        take_rates(session, day)
    choose_base_currency(session, chosen)
    newest = [day for day in taken if day.base == chosen][-1]
    return {
        "base_currency": chosen,
        "date": newest.day,
        "rates": dict(newest.worth),
        "source": newest.source,
        "days_taken": len(taken),
    }


def _base_of(taken: tuple[Rates, ...], wanted: str) -> str:
    bases = sorted({day.base for day in taken})
    if wanted and wanted not in bases:
        raise Refused(f"expected --base to be one of {', '.join(bases)}, as in the file, found {wanted}")
    if not wanted and len(bases) > 1:
        raise Refused(f"the file has rates to {' and '.join(bases)}; say which one the shop reckons in with --base")
    return wanted or bases[0]
