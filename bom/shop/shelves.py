"""What the shop has of a part and what one piece of it costs: what a match ranks by once the verdicts are equal."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from bom.match.match import Shelf

if TYPE_CHECKING:
    from bom.relays.relay import Relay
    from bom.store.unit_of_work import Session

Shelves = dict[tuple[str, str], Shelf]


def shelves(session: Session, relays: Iterable[Relay], *, all_of_them: bool = False) -> Shelves:
    """(maker, part number) to what is available and what the cheapest single piece costs, net, in the supplier's
    currency. ``all_of_them`` says that these are the whole catalogue, so that nothing need be asked for by name.
    """
    from bom.shop.prices import cheapest_pieces
    from bom.stock.ledger import Level
    from bom.store.part_names import part_names
    from bom.store.shelf import shelf

    called = part_names(session).name
    names = {(r.maker, r.part_number): called(r.part_number, r.maker) for r in relays}
    asked = None if all_of_them else set(names.values())
    stock, prices = shelf(session, asked).parts, cheapest_pieces(session, asked)
    return {
        relay: Shelf(stock.get(name, Level()).available, prices.get(name))
        for relay, name in names.items()
        if name in stock or name in prices
    }
