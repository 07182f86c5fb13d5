"""What the shelf is worth, and what was taken from it cost: each part's books in one currency, at today's rates."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from bom.store.running_figures import part_books
from bom.values.money import Money

if TYPE_CHECKING:
    from bom.shop.shop import Shop
    from bom.stock.valuation import Valued


class Books:
    """The books of all parts that were ever in stock, or of some of them, in the shop's currency or another."""

    def __init__(self, shop: Shop, parts: Iterable[str] | None = None, currency: str = "") -> None:
        self.currency = currency or shop.currency
        self.rates = shop.rates_to(self.currency)
        self._books = part_books(shop.session, parts)

    @property
    def parts(self) -> list[str]:
        """The parts that have books, by name."""
        return sorted(self._books)

    def valued(self, part: str, method: str = "average") -> Valued | None:
        """The part's books; None where a lot's cost is not known or has no rate."""
        books = self._books.get(part)
        return None if books is None else books.valued(method, self.currency, self.rates.to_base)

    def average(self, part: str) -> Money | None:
        """The moving average of what is on hand; None where nothing is, or what it is worth is not known."""
        found = self.valued(part)
        return found.worth.average if found else None


def average_in(shop: Shop, part: str, currency: str) -> Money | None:
    """The moving average of what is on hand in this currency; None where it is not known. Of a short catalogue all
    books are read at once."""
    if shop.is_long:
        return Books(shop, (part,), currency).average(part)
    return shop.kept(("books in", currency), lambda: Books(shop, currency=currency)).average(part)
