"""When a part is ordered and how much: the level set by hand, or the one that its use asks for, with its reasons."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.buying.levels import Lead, LevelFromUse, Wish, lead_of, level_for
from bom.buying.reorder_points import weeks
from bom.stock.ledger import Move, MoveKind

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session

LONGEST_WEEKS = 104
"""Use older than two years says little about today. Common practice, no source."""

USUAL_LEAD_DAYS = 7.0
"""Where nobody states a lead time. Own choice; the level then says so."""

Use = tuple[date, Decimal]


@dataclass(slots=True)
class History:
    """What went out of each part on which day, from the ledger and from before it, and the first day it was known."""

    used: dict[str, list[Use]] = field(default_factory=dict)
    since: dict[str, date] = field(default_factory=dict)

    def enter(self, part: str, day: date, quantity: Decimal | None = None) -> None:
        self.since[part] = min(day, self.since.get(part, day))
        if quantity is not None:
            self.used.setdefault(part, []).append((day, quantity))

    def weekly(self, part: str, today: date) -> tuple[float, ...]:
        """Use per week up to today, oldest first, of at most two years."""
        since = max(self.since.get(part, today), today - timedelta(days=7 * LONGEST_WEEKS - 1))
        return weeks(self.used.get(part, ()), since, today)


def history(session: Session) -> History:
    """Everything that went out and was not undone. A count that found less is no use: it is a loss to look into."""
    from bom.store.shelf import moves
    from bom.store.shop_files import past_usage

    found = History()
    for used in past_usage(session):
        found.enter(used.part_number, used.day, used.quantity)
    entries = moves(session)
    undone = {m.counters for m in entries if m.counters is not None}
    for move in entries:
        if move.kind is MoveKind.IN and move.counters is None:
            found.enter(move.part_number, move.when.date())
        elif _is_use(move, undone):
            found.enter(move.part_number, move.when.date(), -move.quantity)
    return found


def _is_use(move: Move, undone: set[int]) -> bool:
    return move.kind is MoveKind.OUT and move.counters is None and move.sequence not in undone


def leads(session: Session) -> dict[str, Lead]:
    """Part to its lead time: what deliveries took, else what its offers state (each supplier's usual days else)."""
    from bom.shop.prices import known_offers
    from bom.store.offers import suppliers
    from bom.store.on_order import lead_times

    usual = {s.name: s.lead_days for s in suppliers(session)}
    promised: dict[str, list[float]] = {}
    for offer in known_offers(session):
        days = usual.get(offer.supplier) if offer.lead_days is None else offer.lead_days
        if days is not None and offer.breaks:
            promised.setdefault(offer.part_number, []).append(float(days))
    took: dict[str, list[float]] = {}
    for one in lead_times(session):
        took.setdefault(one.part_number, []).append(one.days)
    return {part: lead_of(promised.get(part, ()), took.get(part, ()), USUAL_LEAD_DAYS) for part in {*promised, *took}}


def levels_from_use(session: Session, wish: Wish, units: Mapping[str, str]) -> dict[str, LevelFromUse]:
    """The level that its use asks for, of every part that was ever used, in stock or asked about."""
    from bom.shop.prices import price_steps

    seen, known, today = history(session), leads(session), date.today()
    offers = price_steps(session) if wish.order_cost is not None else {}
    nothing = lead_of((), (), USUAL_LEAD_DAYS)
    return {
        part: level_for(
            seen.weekly(part, today),
            known.get(part, nothing),
            wish,
            by_piece=units.get(part, "piece") == "piece",
            offers=offers.get(part, ()),
        )
        for part in sorted(seen.since)
    }
