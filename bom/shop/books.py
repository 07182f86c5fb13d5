"""What lies on the shelf is worth: the ledger's entries and lots by part, valued in the shop's currency."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bom.buying.offer import Rates
from bom.stock.ledger import Lot, Move, drawer_of, lot_levels
from bom.stock.valuation import Valued, value
from bom.values.money import Money

if TYPE_CHECKING:
    from bom.shop.shop import Shop


class Books:
    """The whole ledger read once: entries and lots by part, and each part's books in the shop's currency."""

    def __init__(self, shop: Shop) -> None:
        self.currency = shop.currency
        self.rates = shop.rates_to(self.currency)
        self.moves: dict[str, list[Move]] = {}
        self.lots: dict[str, list[Lot]] = {}
        for move in shop.moves:
            self.moves.setdefault(move.part_number, []).append(move)
        for lot in shop.lots:
            self.lots.setdefault(lot.part_number, []).append(lot)

    def valued(self, part: str, method: str = "average") -> Valued | None:
        """The part's books; None where a lot's cost is not known or has no rate."""
        costs = {lot.number: in_base(lot.unit_cost, self.rates) for lot in self.lots.get(part, ())}
        if not costs or None in costs.values():
            return None
        return value(self.moves.get(part, ()), costs, self.currency, method)

    def average(self, part: str) -> Money | None:
        found = self.valued(part)
        return found.worth.average if found else None

    def drawers(self, part: str) -> list[str]:
        """The drawers in which something of the part lies."""
        there = {lot: level for lot, level in lot_levels(self.moves.get(part, ())).items() if level.on_hand > 0}
        lots = [lot for lot in self.lots.get(part, ()) if lot.number in there]
        return sorted({drawer_of(lot, self.moves[part]) for lot in lots} - {""})


def average_in(shop: Shop, part: str, currency: str) -> Money | None:
    """The moving average of what is on hand, every lot's cost turned into one currency; None where one is not known."""
    rates = shop.rates_to(currency)
    costs = {lot.number: in_base(lot.unit_cost, rates) for lot in shop.lots if lot.part_number == part}
    if not costs or None in costs.values():
        return None
    return value([m for m in shop.moves if m.part_number == part], costs, currency).worth.average


def in_base(cost: Money | None, rates: Rates) -> Money | None:
    """A lot's cost in the rates' base; None where it is not known or has no rate."""
    worth = rates.to_base(cost.currency) if cost else None
    return Money.of(cost.amount * worth, rates.base) if cost and worth is not None else None
