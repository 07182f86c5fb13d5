"""The ledger in the database under any sequence of deeds: nothing is lost, nothing negative, money sums up, and the
figures kept beside the entries are what the entries come to."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, initialize, invariant, multiple, rule
from sqlalchemy import Engine

from bom.stock.ledger import Level, Lot, Move, MoveKind, levels, lot_levels, pick, reversal
from bom.stock.tracing import Trail
from bom.stock.valuation import value
from bom.store.engine import check, ready_engine
from bom.store.on_order import Ordered, add_order
from bom.store.running_figures import drifted
from bom.store.shelf import add_lot, add_moves, lots, moves, next_kit_lot, next_lot_number, shelf
from bom.store.unit_of_work import look, work
from bom.values.money import Money
from bom.values.problem import Refused

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
PARTS = st.sampled_from(["KM-12", "KM-24"])
SOME = st.integers(1, 9).map(Decimal)
KINDS = st.sampled_from([MoveKind.RESERVE, MoveKind.RELEASE, MoveKind.HOLD, MoveKind.FREE, MoveKind.COUNT])


def there(levels: dict[str, Level]) -> dict[str, Level]:
    """Those of which something is there."""
    return {name: level for name, level in levels.items() if level != Level()}


class Shelf(RuleBasedStateMachine):
    """Goods in and out, counts, promises, quarantine and undoing, in any order; what is refused changes nothing."""

    known = Bundle("known")

    @initialize()
    def open(self) -> None:
        self.engine: Engine = ready_engine("sqlite://")
        self.ticks = 0

    def teardown(self) -> None:
        if hasattr(self, "engine"):
            assert check(self.engine) == []
            self.engine.dispose()

    def now(self) -> datetime:
        self.ticks += 1
        return NOON + timedelta(minutes=self.ticks)

    @rule(target=known, part=PARTS, quantity=SOME, cents=st.integers(0, 999))
    def goods_in(self, part: str, quantity: Decimal, cents: int) -> tuple[str, str]:
        with work(self.engine) as session:
            number, when = next_lot_number(session), self.now()
            lot = Lot(number, part, unit_cost=Money(cents * 3_333, "EUR"), received=when)
            add_lot(session, lot, quantity, when)
        return number, part

    @rule(part=PARTS, quantity=SOME)
    def goods_out(self, part: str, quantity: Decimal) -> None:
        with work(self.engine) as session:
            there = shelf(session, [part])
            free = self._pick(part, quantity, lots(session), there)
            if free:
                out = [Move(0, self.now(), MoveKind.OUT, part, x.number, -q, "Job", "", customer="C") for x, q in free]
                add_moves(session, out)

    def _pick(self, part: str, quantity: Decimal, known: Any, there: Any) -> list[tuple[Lot, Decimal]]:
        try:
            return pick(part, quantity, known, there.lots, there.promised.get(part, Decimal(0)))
        except Refused:
            return []

    @rule(lot=known, kind=KINDS, quantity=SOME, down=st.booleans())
    def deed(self, lot: tuple[str, str], kind: MoveKind, quantity: Decimal, down: bool) -> None:
        falls = kind in (MoveKind.RELEASE, MoveKind.FREE) or (kind is MoveKind.COUNT and down)
        self._try(Move(0, self.now(), kind, lot[1], lot[0], -quantity if falls else quantity, "deed"))

    @rule(part=PARTS, quantity=SOME)
    def promise_without_a_lot(self, part: str, quantity: Decimal) -> None:
        self._try(Move(0, self.now(), MoveKind.RESERVE, part, "", quantity, "promised", "job"))

    @rule(lot=known, drawer=st.sampled_from(["A1", "B2"]))
    def put_elsewhere(self, lot: tuple[str, str], drawer: str) -> None:
        self._try(Move(0, self.now(), MoveKind.SHIFT, lot[1], lot[0], Decimal(0), "moved", drawer=drawer))

    @rule(target=known, part=PARTS, quantity=SOME)
    def kit_made(self, part: str, quantity: Decimal) -> Any:
        with work(self.engine) as session:
            number, picked = next_kit_lot(session), self._pick(part, quantity, lots(session), shelf(session, [part]))
            if not picked:
                return multiple()
            when = self.now()
            add_moves(session, [Move(0, when, MoveKind.OUT, part, x.number, -q, "kit", number) for x, q in picked])
            add_lot(session, Lot(number, "a kit", unit_cost=Money(1_234_567, "EUR"), received=when), Decimal(1), when)
        return number, "a kit"

    @rule(part=PARTS, quantity=SOME, of=st.integers(1, 3), due=st.none() | st.dates())
    def ordered_or_came(self, part: str, quantity: Decimal, of: int, due: date | None) -> None:
        """Orders of a few numbers, so that what comes settles some."""
        with suppress(Refused), work(self.engine) as session:
            left = Ordered(f"O0000{of}", "Osmere", part, quantity if self.ticks % 2 else -quantity, due)
            add_order(session, left, self.now(), "ordered" if self.ticks % 2 else "came")

    @rule(which=st.integers(0, 10**6))
    def undo(self, which: int) -> None:
        with look(self.engine) as session:
            entries = moves(session)
        undone = {m.counters for m in entries}
        left = [m for m in entries if m.counters is None and m.sequence not in undone and m.kind is not MoveKind.SHIFT]
        if left:
            self._try(reversal(left[which % len(left)], when=self.now()))

    def _try(self, move: Move) -> None:
        before = self._entries()
        try:
            with work(self.engine) as session:
                add_moves(session, [move])
        except Refused:
            assert self._entries() == before

    def _entries(self) -> tuple[Move, ...]:
        with look(self.engine) as session:
            return moves(session)

    @invariant()
    def on_hand_is_the_sum_of_the_entries_and_nothing_is_negative(self) -> None:
        if not hasattr(self, "engine"):
            return
        with look(self.engine) as session:
            entries, now = moves(session), shelf(session)
        assert now.parts == there(levels(entries))
        assert now.lots == there({n: x for n, x in lot_levels(entries).items() if n})
        for level in (*now.parts.values(), *(x for n, x in now.lots.items() if n)):
            assert min(level.on_hand, level.reserved, level.held) >= 0
        for part, level in now.parts.items():
            assert level.on_hand == sum(x.on_hand for n, x in now.lots.items() if n and self._part(n) == part)

    def _part(self, lot: str) -> str:
        with look(self.engine) as session:
            return lots(session, [lot])[0].part_number

    @invariant()
    def the_figures_kept_are_what_the_entries_come_to(self) -> None:
        if not hasattr(self, "engine"):
            return
        with look(self.engine) as session:
            assert list(drifted(session)) == []

    @invariant()
    def what_went_out_and_what_is_left_cost_what_was_paid(self) -> None:
        if not hasattr(self, "engine"):
            return
        with look(self.engine) as session:
            entries, known = moves(session), lots(session)
        for part in {m.part_number for m in entries}:
            ours = [m for m in entries if m.part_number == part]
            costs = {x.number: x.unit_cost for x in known if x.part_number == part}
            for method in ("average", "fifo"):
                found = value(ours, costs, "EUR", method)
                assert found.worth.stock is not None and found.worth.gone is not None
                assert found.worth.stock + found.worth.gone == found.came_in
                assert found.worth.on_hand == levels(ours).get(part, Level()).on_hand
                assert min(found.worth.stock.millionths, found.worth.gone.millionths) >= 0
                if not any(m.kind is MoveKind.COUNT for m in ours):
                    assert found.came_in.millionths == self._paid(ours, costs)

    def _paid(self, entries: list[Move], costs: dict[str, Money | None]) -> int:
        """What the goods that came and were not undone cost, in millionths, summed lot by lot."""
        undone = {m.counters for m in entries}
        came = [m for m in entries if m.kind is MoveKind.IN and m.counters is None and m.sequence not in undone]
        return sum(int(m.quantity) * (cost.millionths if (cost := costs[m.lot]) else 0) for m in came)

    @invariant()
    def every_piece_that_went_to_the_customer_is_traced_to_its_lot(self) -> None:
        if not hasattr(self, "engine"):
            return
        with look(self.engine) as session:
            entries, known = moves(session), lots(session)
        trail = Trail(known, entries)
        outs = [m for m in entries if m.kind is MoveKind.OUT]
        assert sum(s.quantity for s in trail.taken_by("c")) == -sum(m.quantity for m in outs if m.customer)
        for lot in known:
            gone = -sum(m.quantity for m in outs if m.lot == lot.number)
            assert sum(s.quantity for s in trail.onward(lot.number) if s.depth == 1) == gone


TestShelf = Shelf.TestCase
TestShelf.settings = settings(
    max_examples=10, stateful_step_count=24, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
