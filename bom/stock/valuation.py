"""What stock is worth, and what went out cost: by moving average or first in, first out.

What went out and what is left always sum to what came in. Both methods are allowed by IAS 2; last in, first
out is not.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from bom.stock.ledger import Lot, Move, MoveKind
from bom.values.money import Money
from bom.values.problem import Refused


@dataclass(frozen=True, slots=True)
class Entry:
    """Pieces in (positive, at ``unit_cost``; None = not known) or out (negative, where the cost is
    reckoned)."""

    quantity: Decimal
    unit_cost: Money | None = None


@dataclass(frozen=True, slots=True)
class Worth:
    """``stock`` is worth of what is left, ``gone`` the cost of what went out, to a millionth; None = not
    known."""

    on_hand: Decimal
    stock: Money | None
    gone: Money | None

    @property
    def average(self) -> Money | None:
        """The unit cost of what is left; None where nothing is left or its worth isn't known."""
        if self.stock is None or not self.on_hand:
            return None
        return Money.of(self.stock.amount / self.on_hand, self.stock.currency)


def moving_average(entries: Iterable[Entry], currency: str) -> Worth:
    """Every piece out costs the average of those on hand at that moment.

    Refused where more goes out than is there, or costs are in another currency. An entry in without a cost
    makes the worth unknown.
    """
    listed = tuple(entries)
    on_hand, stock, gone = Decimal(0), Money.zero(currency), Money.zero(currency)
    for entry in listed:
        if entry.quantity >= 0:
            stock = stock + _value(entry, currency)
        else:
            out = _average_of(stock, on_hand, -entry.quantity)
            stock, gone = stock - out, gone + out
        on_hand += entry.quantity
    return _worth(listed, on_hand, stock, gone)


def fifo(entries: Iterable[Entry], currency: str) -> Worth:
    """Every piece out costs what the earliest piece still there cost. Refused and unknown as for the
    average."""
    listed = tuple(entries)
    layers: list[Entry] = []
    gone = Money.zero(currency)
    for entry in listed:
        if entry.quantity >= 0:
            layers.append(Entry(entry.quantity, entry.unit_cost or Money.zero(currency)))
        else:
            taken, layers = _take(layers, -entry.quantity)
            gone = gone + _layers_value(taken, currency)
    on_hand = sum((layer.quantity for layer in layers), Decimal(0))
    return _worth(listed, on_hand, _layers_value(layers, currency), gone)


def entries_of(moves: Iterable[Move], lots: Mapping[str, Lot]) -> list[Entry]:
    """One part's ledger as entries, in order: what changed the number on hand, at its lot's unit cost."""
    kinds = (MoveKind.IN, MoveKind.OUT, MoveKind.COUNT)
    changes = sorted((m for m in moves if m.kind in kinds), key=lambda m: m.sequence)
    return [Entry(m.quantity, lots[m.lot].unit_cost if m.lot in lots else None) for m in changes]


def _average_of(stock: Money, on_hand: Decimal, out: Decimal) -> Money:
    if out > on_hand:
        raise Refused(f"expected at most {on_hand} to go out, found {out}")
    return Money.of(stock.amount * out / on_hand, stock.currency)


def _take(layers: list[Entry], out: Decimal) -> tuple[list[Entry], list[Entry]]:
    """What goes out and what stays, earliest first."""
    taken, left = [], []
    for layer in layers:
        part = min(layer.quantity, out)
        out -= part
        taken.append(Entry(part, layer.unit_cost))
        if part < layer.quantity:
            left.append(Entry(layer.quantity - part, layer.unit_cost))
    if out:
        raise Refused(f"expected {out} fewer to go out than are asked for")
    return taken, left


def _layers_value(layers: Iterable[Entry], currency: str) -> Money:
    value = Money.zero(currency)
    for layer in layers:
        value = value + _value(layer, currency)
    return value


def _value(entry: Entry, currency: str) -> Money:
    return (entry.unit_cost or Money.zero(currency)).times(entry.quantity)


def _worth(entries: tuple[Entry, ...], on_hand: Decimal, stock: Money, gone: Money) -> Worth:
    known = all(e.unit_cost is not None for e in entries if e.quantity > 0)
    return Worth(on_hand, stock, gone) if known else Worth(on_hand, None, None)
