"""What is on the shelf, lot by lot, and what it is worth."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from bom.buying.offer import Rates
from bom.jobs.shelf.parts import stocked_named, units_in
from bom.shop.settings import settings_of
from bom.stock.ledger import Level, Lot, Move, drawer_of, levels, lot_levels
from bom.stock.picking import expired, goes_first, is_over
from bom.stock.valuation import Valued, value
from bom.values.money import Money
from bom.values.part_number import same
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


class Books:
    """The whole ledger read once: entries and lots by part, and each part's books in the shop's currency."""

    def __init__(self, session: Session, part: str | None = None) -> None:
        from bom.jobs.buying.prices import rates_to
        from bom.store.shelf import lots
        from bom.store.shelf import moves as ledger

        self.currency = settings_of(session).counts_in
        self.rates = rates_to(session, self.currency)
        self.moves: dict[str, list[Move]] = {}
        self.lots: dict[str, list[Lot]] = {}
        for move in ledger(session, part):
            self.moves.setdefault(move.part_number, []).append(move)
        for lot in lots(session):
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


def average_in(session: Session, part: str, moves: Sequence[Move], lots: Sequence[Lot], currency: str) -> Money | None:
    """The moving average of what is on hand, every lot's cost turned into one currency; None where one is not known."""
    from bom.jobs.buying.prices import rates_to

    rates = rates_to(session, currency)
    costs = {lot.number: in_base(lot.unit_cost, rates) for lot in lots if lot.part_number == part}
    if not costs or None in costs.values():
        return None
    return value([m for m in moves if m.part_number == part], costs, currency).worth.average


def in_base(cost: Money | None, rates: Rates) -> Money | None:
    """A lot's cost in the rates' base; None where it is not known or has no rate."""
    worth = rates.to_base(cost.currency) if cost else None
    return Money.of(cost.amount * worth, rates.base) if cost and worth is not None else None


def show_stock(session: Session, part: str) -> list[dict[str, Any]]:
    """A row for each part that was ever in stock, is on order, or has a level; for one part or one drawer's parts."""
    from bom.store.on_order import on_order
    from bom.store.shelf import levels_wanted

    books, wanted, units = Books(session), levels_wanted(session), units_in(session)
    coming: dict[str, Decimal] = {}
    for one in on_order(session):
        coming[one.part_number] = coming.get(one.part_number, Decimal(0)) + one.quantity
    known = sorted({*books.moves, *wanted, *coming})
    parts = _asked_for(session, part, known, books) if part else known
    rows = [
        _stock_row(p, books, units.get(p, "piece"), coming.get(p, Decimal(0)), wanted.get(p, (None, None)))
        for p in parts
    ]
    return [{**row, "lots": _lots_there(books, row["part_number"])} for row in rows] if part else rows


def _asked_for(session: Session, text: str, known: Sequence[str], books: Books) -> list[str]:
    """The part or kit that the text names, or every part in the drawer that it names."""
    if found := [p for p in known if same(p, text) or p.casefold() == text.casefold()]:
        return found
    if found := [p for p in known if text.casefold() in (d.casefold() for d in books.drawers(p))]:
        return found
    if lot := next((x for lots in books.lots.values() for x in lots if x.number.casefold() == text.casefold()), None):
        raise Refused(f"{text} is a lot, of {lot.part_number}: bom stock trace {lot.number} shows it")
    name = stocked_named(session, text)
    if name not in known:
        raise Refused(f"{name} was never in stock; no drawer that holds anything is called {text} either")
    return [name]


def _lots_there(books: Books, part: str) -> list[dict[str, Any]]:
    """The lots of which something is there, the one that goes first first."""
    moves, by_lot = books.moves.get(part, []), lot_levels(books.moves.get(part, ()))
    there = [lot for lot in books.lots.get(part, ()) if by_lot.get(lot.number, Level()).on_hand]
    return [
        {
            "lot": lot.number,
            "on_hand": by_lot[lot.number].on_hand,
            "held": by_lot[lot.number].held,
            "drawer": drawer_of(lot, moves),
            "date_code": lot.date_code,
            "expires": lot.expires,
            "expired": is_over(lot, date.today()),
            "supplier": lot.supplier,
            "unit_cost": lot.unit_cost,
        }
        for lot in sorted(there, key=goes_first)
    ]


def _stock_row(
    part: str, books: Books, unit: str, coming: Decimal, wanted: tuple[Decimal | None, Decimal | None]
) -> dict[str, Any]:
    moves = books.moves.get(part, ())
    level = levels(moves).get(part, Level())
    over = expired(books.lots.get(part, ()), lot_levels(moves), date.today()).get(part, Decimal(0))
    return {
        "part_number": part,
        "unit": unit,
        "on_hand": level.on_hand,
        "reserved": level.reserved,
        "held": level.held,
        "expired": over,
        "available": level.available - over,
        "on_order": coming,
        "reorder_point": wanted[0],
        "order_up_to": wanted[1],
        "average_cost": books.average(part),
        "drawers": books.drawers(part),
    }


def worth(session: Session, method: str, part: str = "") -> dict[str, Any]:
    """What the stock is worth by moving average or first in, first out, and what went out cost; IAS 2 allows both."""
    books = Books(session)
    parts = _asked_for(session, part, sorted(books.moves), books) if part else sorted(books.moves)
    units = units_in(session)
    found = {p: books.valued(p, method) for p in parts}
    known = [v for v in found.values() if v is not None and v.worth.stock is not None]
    return {
        "method": method,
        "currency": books.currency,
        "rates_of": books.rates.day,
        "parts": [_worth_row(p, units.get(p, "piece"), v) for p, v in found.items()],
        "came_in": _sum((v.came_in for v in known), books.currency),
        "gone": _sum((v.worth.gone for v in known), books.currency),
        "stock": _sum((v.worth.stock for v in known), books.currency),
        "unknown": [p for p, v in found.items() if v is None or v.worth.stock is None],
    }


def _sum(amounts: Any, currency: str) -> Money:
    from bom.values.money import total

    return total([a for a in amounts if a is not None], currency)


def _worth_row(part: str, unit: str, valued: Valued | None) -> dict[str, Any]:
    return {
        "part_number": part,
        "unit": unit,
        "on_hand": valued.worth.on_hand if valued else None,
        "came_in": valued.came_in if valued and valued.worth.stock is not None else None,
        "gone": valued.worth.gone if valued else None,
        "stock": valued.worth.stock if valued else None,
        "each": valued.worth.average if valued else None,
    }
