"""However kits are made up, promised, finished and taken apart: every piece is on the shelf or in one bag."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from bom.jobs.kits.making import finish_kits, make_kits, undo_kits
from bom.kits.kit import Kit, Line, MadeUp
from bom.stock.ledger import Level, Lot
from bom.store.boards_and_kits import made_up, take_kit
from bom.store.engine import ready_engine
from bom.store.shelf import add_lot, shelf
from bom.store.tables import kit_lots
from bom.store.unit_of_work import Session, work
from bom.values.money import Money
from bom.values.problem import Refused

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
KITS = (
    Kit("pair", "GBP", lines=(Line(part="A", quantity=Decimal(2)), Line(part="W", quantity=Decimal("0.25")))),
    Kit("both", "GBP", lines=(Line(part="A"), Line(part="B"))),
)
DEEDS = st.lists(
    st.tuples(st.sampled_from(("make", "reserve", "finish", "undo")), st.integers(0, 1), st.integers(1, 4)), max_size=9
)


@contextmanager
def shop() -> Iterator[Session]:
    engine = ready_engine("sqlite://")
    with work(engine) as session:
        for kit in KITS:
            take_kit(session, kit)
        for number, part, quantity in (("L1", "A", 5), ("L2", "A", 6), ("L3", "B", 7), ("L4", "W", 9)):
            lot = Lot(number, part, unit_cost=Money.of("1.25", "GBP"), received=NOON)
            add_lot(session, lot, Decimal(quantity), NOON)
        yield session
    engine.dispose()


def all_made_up(session: Session) -> list[MadeUp]:
    """Every kit lot ever begun, by number."""
    number = kit_lots.c.number
    begun = (made_up(session, name) for name in session.scalars(select(number).order_by(number)))
    return [made for made in begun if made is not None]


def do(session: Session, deed: str, which: int, count: int) -> None:
    known = [made.number for made in all_made_up(session)]
    if deed in ("make", "reserve"):
        make_kits(session, KITS[which].name, count, dry=False, reserve=deed == "reserve")
    elif known:
        number = known[count % len(known)]
        finish_kits(session, number) if deed == "finish" else undo_kits(session, number)


def in_bags(session: Session) -> dict[str, Decimal]:
    """What the bags on the shelf hold, by their kit lots."""
    lots, held = shelf(session).lots, dict.fromkeys(("A", "B", "W"), Decimal(0))
    for made in all_made_up(session):
        for content in made.contents:
            held[content.part_number] += content.quantity * lots.get(made.number, Level()).on_hand
    return held


@settings(max_examples=6, deadline=None)
@given(DEEDS)
def test_every_piece_is_on_the_shelf_or_in_a_bag(deeds: list[tuple[str, int, int]]) -> None:
    with shop() as session:
        for deed in deeds:
            try:
                do(session, *deed)
            except Refused:
                continue
            there, bagged = shelf(session).parts, in_bags(session)
            assert {p: there.get(p, Level()).on_hand + bagged[p] for p in bagged} == {"A": 11, "B": 7, "W": 9}
            assert all(min(x.on_hand, x.reserved, x.available) >= 0 for x in there.values())
