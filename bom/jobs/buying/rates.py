"""Dated exchange rates taken from a file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.buying import RatesTaken
from bom.buying.offer import Rates
from bom.shop.settings import change_setting, settings_of, settle
from bom.values.difference import Change, Difference, Replacing, changes_between, some
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def take_rates_file(session: Session, file: Path, base: str = "", replacing: Replacing | None = None) -> RatesTaken:
    """Take dated exchange rates. ``base`` makes that currency the shop's; a shop that has none yet takes the file's.

    Raises ProblemsFound, and WouldReplace where a day's rates or the shop's currency were others and may not be
    replaced.
    """
    from bom.intake.supplier_file import read_dated_rates
    from bom.store.offers import take_rates

    taken = read_dated_rates(file)
    chosen = _base_of(taken, base.strip().upper())
    (replacing or Replacing()).settle([*_other_days(session, taken), *_other_currency(session, chosen if base else "")])
    for day in taken:
        take_rates(session, day)
    if base:
        change_setting(session, "currency", chosen)
    settle(session, currency=chosen)
    newest = [day for day in taken if day.base == chosen][-1]
    return RatesTaken(
        base_currency=chosen,
        counts_in=settings_of(session).counts_in,
        date=newest.day,
        rates=dict(newest.worth),
        source=newest.source,
        days_taken=len(taken),
    )


def _other_days(session: Session, taken: tuple[Rates, ...]) -> Iterator[Difference]:
    """Days whose rates were taken before and were not these."""
    from bom.store.offers import rates, suppliers

    for day in taken:
        kept = rates(session, day.base, day.day)
        if kept is None or kept.day != day.day:
            continue
        changes = tuple(changes_between(dict(kept.worth), dict(day.worth)))
        codes = {change.where for change in changes}
        concerned = [s.name for s in suppliers(session) if s.currency in codes]
        yield Difference(
            f"rates to {day.base} of {day.day}", changes, tuple(filter(None, [some(concerned, "supplier")]))
        )


def _other_currency(session: Session, chosen: str) -> Iterator[Difference]:
    if (kept := settings_of(session).currency) and chosen not in ("", kept):
        yield Difference("the shop's currency", (Change("", kept, chosen),), ("every cost, price and plan",))


def _base_of(taken: tuple[Rates, ...], wanted: str) -> str:
    bases = sorted({day.base for day in taken})
    if wanted and wanted not in bases:
        raise Refused(f"expected --base to be one of {', '.join(bases)}, as in the file, found {wanted}")
    if not wanted and len(bases) > 1:
        raise Refused(f"the file has rates to {' and '.join(bases)}; say which one the shop works in with --base")
    return wanted or bases[0]
