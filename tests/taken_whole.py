"""A catalogue and a price list taken whole, where a test wants the one or the other at once."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from bom.buying.offer import Feed, Offer, Supplier
from bom.intake.price_lists.list_file import source_of_bytes
from bom.intake.price_lists.price_list import ListReading
from bom.relays.catalogue import Catalogue
from bom.store.catalogue import take_all_but_relays, values_of
from bom.store.relay_rows import mark_rated, take_rows
from bom.store.rows import Changes
from bom.store.running_figures import mark_shared
from bom.store.unit_of_work import Session
from bom.values.problem import Problem


def take_catalogue(session: Session, catalogue: Catalogue) -> Changes:
    """Stores every thing in the catalogue within the caller's transaction, as the job does file by file."""
    changes = take_all_but_relays(session, catalogue) + take_rows(session, map(values_of, catalogue.relays))
    mark_rated(session)
    mark_shared(session)
    return changes


class PriceList(NamedTuple):
    """What a price list came to: offers, problems with their lines, and notes on rows that were left out."""

    offers: tuple[Offer, ...]
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]


def take_price_list(feed: Feed, supplier: Supplier, data: bytes, name: str, seen: datetime | None = None) -> PriceList:
    """The offers in a price list, ``seen`` then; where there are problems, every problem and no offers."""
    reading = ListReading(feed, supplier, source_of_bytes(name, data), seen)
    offers = tuple(reading.offers())
    problems = reading.report.problems
    return PriceList(() if problems else offers, problems, reading.report.notes)
