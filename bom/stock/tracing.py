"""Where pieces came from and went to: from a lot to kits, jobs and customers, and back to lots and suppliers.

Pieces that went into a kit carry the kit lot's number as their reference; what a counter-move undid went nowhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bom.stock.ledger import Lot, Move, MoveKind


@dataclass(frozen=True, slots=True)
class TracedMove:
    """``quantity`` of ``lot`` went into ``into``: a kit lot's number, or the job; ``customer`` where one is named.

    ``depth`` counts from the lot that was asked about: 1 = straight into it.
    """

    lot: str
    part_number: str
    quantity: Decimal
    into: str
    customer: str
    depth: int


class Trail:
    """Every piece that went out and was not brought back, ready to be walked both ways."""

    def __init__(self, lots: Iterable[Lot], moves: Sequence[Move]) -> None:
        self.lots: Mapping[str, Lot] = {lot.number: lot for lot in lots}
        undone = {m.counters for m in moves if m.counters is not None}
        stands = [m for m in moves if m.kind is MoveKind.OUT and m.counters is None and m.sequence not in undone]
        self.out_of: dict[str, list[Move]] = {}
        self.into: dict[str, list[Move]] = {}
        for move in stands:
            self.out_of.setdefault(move.lot, []).append(move)
            if move.reference in self.lots:
                self.into.setdefault(move.reference, []).append(move)
        self.stands = stands

    def onward(self, lot: str) -> tuple[TracedMove, ...]:
        """Where the lot's pieces went, through kits that hold them, as far as it goes."""
        return tuple(self._onward(lot, 1, frozenset()))

    def back(self, lot: str) -> tuple[TracedMove, ...]:
        """What went into a kit's lot, through kits inside it, down to what was bought; () for what was bought."""
        return tuple(self._back(lot, 1, frozenset()))

    def taken_by(self, text: str) -> tuple[TracedMove, ...]:
        """What went to a job or a customer of this name (case does not matter)."""
        wanted = text.strip().casefold()
        words = ((m, (m.reason.casefold(), m.reference.casefold(), m.customer.casefold())) for m in self.stands)
        return tuple(self._step(m, 1) for m, said in words if wanted in said)

    def bought(self, lots: Iterable[str]) -> tuple[Lot, ...]:
        """The lots that suppliers sent, of these or inside these, each once."""
        found: dict[str, Lot] = {}
        for number in lots:
            inside = [s.lot for s in self.back(number)]
            for name in (number, *inside):
                if name in self.lots and name not in self.into:
                    found[name] = self.lots[name]
        return tuple(found.values())

    def _onward(self, lot: str, depth: int, above: frozenset[str]) -> Iterable[TracedMove]:
        for move in self.out_of.get(lot, ()):
            yield self._step(move, depth)
            if move.reference in self.lots and move.reference not in above:
                yield from self._onward(move.reference, depth + 1, above | {lot})

    def _back(self, lot: str, depth: int, above: frozenset[str]) -> Iterable[TracedMove]:
        for move in self.into.get(lot, ()):
            yield self._step(move, depth)
            if move.lot not in above:
                yield from self._back(move.lot, depth + 1, above | {lot})

    def _step(self, move: Move, depth: int) -> TracedMove:
        into = move.reference if move.reference in self.lots else move.reference or move.reason
        return TracedMove(move.lot, move.part_number, -move.quantity, into, move.customer, depth)
