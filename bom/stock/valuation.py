"""What stock is worth, and what went out cost: by moving average or first in, first out.

What went out and what is left always sum to what came in. Both methods are allowed by IAS 2; last in, first out is not.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from bom.stock.ledger import Move, MoveKind
from bom.values.money import Money
from bom.values.problem import Refused


@dataclass(frozen=True, slots=True)
class Worth:
    """``stock`` is worth of what is left, ``gone`` the cost of what went out, to a millionth; None = not known."""

    on_hand: Decimal
    stock: Money | None
    gone: Money | None

    @property
    def average(self) -> Money | None:
        """The unit cost of what is left; None where nothing is left or its worth isn't known."""
        if self.stock is None or not self.on_hand:
            return None
        return Money.of(self.stock.amount / self.on_hand, self.stock.currency)


@dataclass(frozen=True, slots=True)
class Valued:
    """A part's ledger in money. ``by_move`` is what each move out took with it, by sequence; ``came_in`` what was paid
    for all that came in. ``worth.gone`` and ``worth.stock`` sum to ``came_in``, whatever was undone."""

    worth: Worth
    came_in: Money
    by_move: Mapping[int, Money]


def value(moves: Iterable[Move], costs: Mapping[str, Money | None], currency: str, method: str = "average") -> Valued:
    """One part's ledger valued by *average* (moving) or *fifo*; ``costs`` is by lot, all in ``currency``.

    A counter-move brings pieces back at what they went out at. Goods in that were undone never came, so they are in no
    sum. Refused for another method, for more out than there is, or for a cost in another currency.
    """
    if method not in ("average", "fifo"):
        raise Refused(f"expected a valuation by average or fifo, found {method!r}")
    changes = sorted((m for m in moves if m.kind in _ON_HAND), key=lambda m: m.sequence)
    book = _Book(currency, method == "average")
    for move in _that_came(changes):
        book.enter(move, costs.get(move.lot))
    return book.valued()


def _that_came(moves: list[Move]) -> list[Move]:
    """Without goods in that were undone, and what undid them; a count between the two may need them, then they stay."""
    undone = {m.counters for m in moves if m.kind is MoveKind.IN and m.counters is not None}
    kept = [m for m in moves if m.kind is not MoveKind.IN or (m.counters is None and m.sequence not in undone)]
    on_hand = Decimal(0)
    for move in kept:
        on_hand += move.quantity
        if on_hand < 0:
            return moves
    return kept


_ON_HAND = (MoveKind.IN, MoveKind.OUT, MoveKind.COUNT)


class _Book:
    """Layers of stock as they came, and what each move out took of them. An average mixes all layers into one."""

    def __init__(self, currency: str, average: bool) -> None:
        self.currency, self.average = currency, average
        self.layers: list[tuple[Decimal, Money]] = []  # quantity and what all of it is worth
        self.taken: dict[int, list[tuple[Decimal, Money]]] = {}
        self.came_in = self.gone = Money.zero(currency)
        self.known = True

    def enter(self, move: Move, cost: Money | None) -> None:
        if move.quantity < 0:
            self._out(move)
        elif move.counters is not None and move.counters in self.taken:
            self._back(move.counters)
        elif move.quantity:
            self.known = self.known and cost is not None
            worth = (cost or Money.zero(self.currency)).times(move.quantity)
            self.came_in = self.came_in + worth
            self._lay([*self.layers, (move.quantity, worth)])

    def valued(self) -> Valued:
        on_hand, stock = _whole(self.layers, self.currency)
        worth = Worth(on_hand, stock, self.gone) if self.known else Worth(on_hand, None, None)
        return Valued(worth, self.came_in, {n: _whole(took, self.currency)[1] for n, took in self.taken.items()})

    def _out(self, move: Move) -> None:
        took, self.layers = _split(self.layers, -move.quantity)
        self.taken[move.sequence] = took
        self.gone = self.gone + _whole(took, self.currency)[1]

    def _back(self, sequence: int) -> None:
        """In front of all else: what went out first is the oldest still."""
        took = self.taken.pop(sequence)
        self.gone = self.gone - _whole(took, self.currency)[1]
        self._lay([*took, *self.layers])

    def _lay(self, layers: list[tuple[Decimal, Money]]) -> None:
        self.layers = [_whole(layers, self.currency)] if self.average else layers


def _whole(layers: Iterable[tuple[Decimal, Money]], currency: str) -> tuple[Decimal, Money]:
    quantity, worth = Decimal(0), Money.zero(currency)
    for one, money in layers:
        quantity, worth = quantity + one, worth + money
    return quantity, worth


_Layers = list[tuple[Decimal, Money]]


def _split(layers: _Layers, out: Decimal) -> tuple[_Layers, _Layers]:
    """What goes out and what stays, earliest first; a split layer's worth is shared to the millionth."""
    taken: _Layers = []
    left: _Layers = []
    for quantity, worth in layers:
        part = min(quantity, out)
        out -= part
        share = Money.of(worth.amount * part / quantity, worth.currency) if quantity else worth
        if part:
            taken.append((part, share))
        if part < quantity:
            left.append((quantity - part, worth - share))
    if out:
        raise Refused(f"expected {out} fewer to go out than are asked for")
    return taken, left
