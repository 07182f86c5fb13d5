"""What stock is worth, and what went out cost: by moving average or first in, first out.

What went out and what is left always sum to what came in. Both methods are allowed by IAS 2; last in, first out is not.
A part's books (``PartBooks``) say it for both methods, each currency by itself, and are carried on entry by entry; a
rate makes one sum of them only when somebody asks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from itertools import accumulate

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
    """A part's ledger in money. ``by_move`` is what each move out took with it, by sequence, where the entries were
    read; ``came_in`` what was paid for all that came in. ``worth.gone`` and ``worth.stock`` sum to ``came_in``."""

    worth: Worth
    came_in: Money
    by_move: Mapping[int, Money]


Amounts = Mapping[str, int]
"""Currency to millionths of it. The currency '' stands for lots whose cost nobody knows, and always has 0."""


@dataclass(frozen=True, slots=True)
class Layer:
    """Pieces that are still there, and what all of them cost."""

    quantity: Decimal = Decimal(0)
    worth: Amounts = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PartBooks:
    """One part's books as they stand: what was paid for all that came in; what is left, mixed into one layer by moving
    average, and layer by layer as it came by first in, first out."""

    came_in: Amounts = field(default_factory=dict)
    average: Layer = Layer()
    fifo: tuple[Layer, ...] = ()

    def valued(self, method: str, currency: str, worth_of: Callable[[str], Decimal | None]) -> Valued | None:
        """The books in one currency, ``worth_of`` saying what a unit of another is worth in it; None where it does not
        know, or where a lot's cost is not known."""
        left = [self.average] if _is_average(method) else self.fifo
        came_in = _in_one(self.came_in, currency, worth_of)
        if came_in is None or not self.came_in:
            return None
        stock = _in_one(_summed(layer.worth for layer in left), currency, worth_of) or Money.zero(currency)
        return Valued(Worth(self.average.quantity, stock, came_in - stock), came_in, {})


def books_of(moves: Iterable[Move], costs: Mapping[str, Money | None]) -> PartBooks:
    """One part's books from all its entries; ``costs`` is by lot. Refused for more out than there is."""
    changes = _that_came(sorted((m for m in moves if m.kind in _ON_HAND), key=lambda m: m.sequence))
    average, fifo = _Book(average=True), _Book(average=False)
    for move in changes:
        for book in (average, fifo):
            book.enter(move, _cost(move, costs))
    never = {_currency(cost): 0 for cost in costs.values()}  # a lot that never came still has a cost, known or not
    return PartBooks({**never, **average.came_in}, _whole(average.layers), tuple(fifo.layers))


def booked(books: PartBooks, moves: Iterable[Move], costs: Mapping[str, Money | None]) -> PartBooks:
    """The books once these entries were made too, of which none undoes another: what was undone may change what went
    out between, so then ``books_of`` is asked afresh."""
    average, fifo = _Book(True, [books.average], books.came_in), _Book(False, books.fifo, books.came_in)
    for move in moves:
        for book in (average, fifo):
            if move.kind in _ON_HAND:
                book.enter(move, _cost(move, costs))
    return PartBooks(average.came_in, _whole(average.layers), tuple(fifo.layers))


def value(moves: Iterable[Move], costs: Mapping[str, Money | None], currency: str, method: str = "average") -> Valued:
    """One part's ledger valued by *average* (moving) or *fifo*; ``costs`` is by lot, all in ``currency``.

    A counter-move brings pieces back at what they went out at. Goods in that were undone never came, so they are in no
    sum. Refused for another method, for more out than there is, or for a cost in another currency.
    """
    book = _Book(_is_average(method))
    for move in _that_came(sorted((m for m in moves if m.kind in _ON_HAND), key=lambda m: m.sequence)):
        book.enter(move, _cost(move, costs))
    if strange := book.came_in.keys() - {currency, ""}:
        raise Refused(f"cannot put {min(strange)} and {currency} together without a dated rate")
    left = _whole(book.layers)
    taken = {n: Money(_sum_of(_whole(took), currency), currency) for n, took in book.taken.items()}
    came_in, stock = Money(book.came_in.get(currency, 0), currency), Money(_sum_of(left, currency), currency)
    known = "" not in book.came_in
    worth = Worth(left.quantity, stock, came_in - stock) if known else Worth(left.quantity, None, None)
    return Valued(worth, came_in, taken)


def _is_average(method: str) -> bool:
    if method not in ("average", "fifo"):
        raise Refused(f"expected a valuation by average or fifo, found {method!r}")
    return method == "average"


def _currency(cost: Money | None) -> str:
    return "" if cost is None else cost.currency


def _cost(move: Move, costs: Mapping[str, Money | None]) -> Amounts:
    """What all of a move's pieces cost by their lot."""
    cost = costs.get(move.lot)
    return {"": 0} if cost is None else {cost.currency: cost.times(move.quantity).millionths}


def _that_came(moves: list[Move]) -> list[Move]:
    """Without goods in that were undone, and what undid them, and what of their lots went out and was put back; a count
    between the two may need them, then they stay."""
    undone = {m.counters for m in moves if m.counters is not None}
    never = {m.sequence for m in moves if m.kind is MoveKind.IN and m.sequence in undone}
    kept = _without(moves, never)
    if _falls_short(kept):
        lots = {m.lot for m in moves if m.sequence in never}
        back = {m.sequence for m in moves if m.kind is MoveKind.OUT and m.sequence in undone and m.lot in lots}
        kept = _without(moves, never | back)
    return moves if _falls_short(kept) else kept


def _without(moves: list[Move], undone: set[int]) -> list[Move]:
    return [m for m in moves if m.sequence not in undone and m.counters not in undone]


def _falls_short(moves: list[Move]) -> bool:
    return min(accumulate((m.quantity for m in moves), initial=Decimal(0))) < 0


_ON_HAND = (MoveKind.IN, MoveKind.OUT, MoveKind.COUNT)


class _Book:
    """Layers of stock as they came, and what each move out took of them. An average mixes all layers into one."""

    def __init__(self, average: bool, layers: Iterable[Layer] = (), came_in: Amounts | None = None) -> None:
        self.average: bool = average
        self.came_in: Amounts = came_in or {}
        self.layers = [layer for layer in layers if layer.quantity]
        self.taken: dict[int, list[Layer]] = {}

    def enter(self, move: Move, cost: Amounts) -> None:
        if move.quantity < 0:
            self.taken[move.sequence], self.layers = _split(self.layers, -move.quantity)
        elif move.counters is not None and move.counters in self.taken:
            self._lay([*self.taken.pop(move.counters), *self.layers])  # what went out first is the oldest still
        elif move.quantity:
            self.came_in = _summed((self.came_in, cost))
            self._lay([*self.layers, Layer(move.quantity, cost)])

    def _lay(self, layers: list[Layer]) -> None:
        self.layers = [_whole(layers)] if self.average else layers


def _whole(layers: Iterable[Layer]) -> Layer:
    kept = tuple(layers)
    return Layer(sum((x.quantity for x in kept), Decimal(0)), _summed(x.worth for x in kept))


def _summed(several: Iterable[Amounts]) -> Amounts:
    answer: dict[str, int] = {}
    for amounts in several:
        for currency, millionths in amounts.items():
            answer[currency] = answer.get(currency, 0) + millionths
    return answer


def _sum_of(layer: Layer, currency: str) -> int:
    return layer.worth.get(currency, 0)


def _in_one(amounts: Amounts, currency: str, worth_of: Callable[[str], Decimal | None]) -> Money | None:
    """The amounts as one; None where a currency has no rate, or where a cost is not known."""
    millionths = 0
    for code, some in amounts.items():
        if not code or (worth := worth_of(code)) is None:
            return None
        millionths += int((some * worth).to_integral_value(ROUND_HALF_UP))
    return Money(millionths, currency)


def _split(layers: Iterable[Layer], out: Decimal) -> tuple[list[Layer], list[Layer]]:
    """What goes out and what stays, earliest first; a split layer's worth is shared to the millionth."""
    taken: list[Layer] = []
    left: list[Layer] = []
    for layer in layers:
        part = min(layer.quantity, out)
        out -= part
        if part == layer.quantity:
            taken.append(layer)
        elif part:
            share = {c: _share(worth, part, layer.quantity) for c, worth in layer.worth.items()}
            taken.append(Layer(part, share))
            left.append(Layer(layer.quantity - part, {c: w - share[c] for c, w in layer.worth.items()}))
        else:
            left.append(layer)
    if out:
        raise Refused(f"expected {out} fewer to go out than are asked for")
    return taken, left


def _share(millionths: int, part: Decimal, of: Decimal) -> int:
    return int((millionths * part / of).to_integral_value(ROUND_HALF_UP))
