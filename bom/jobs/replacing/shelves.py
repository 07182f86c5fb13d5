"""What the shop has of a part and what one piece of it costs: what a match ranks by once the verdicts are equal."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from bom.match.match import Shelf

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def shelves(session: Session, parts: Collection[str] | None = None) -> dict[str, Shelf]:
    """Part number to what is available and what the cheapest single piece costs, net, in the supplier's currency.

    Of these parts; of every part where none are named.
    """
    from bom.jobs.buying.prices import cheapest_pieces
    from bom.stock.ledger import Level
    from bom.store.shelf import shelf

    stock = shelf(session, parts).parts
    prices = cheapest_pieces(session, parts)
    return {part: Shelf(stock.get(part, Level()).available, prices.get(part)) for part in {*stock, *prices}}
