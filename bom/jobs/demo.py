"""The demo: a shop on invented data, and the three jobs run on it, one after the other."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING

from bom.intake.shelf_files import OpeningLot, UsageRow
from bom.jobs.bench import bench
from bom.stock.ledger import Lot, Move, MoveKind, lot_levels, pick

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session

Say = Callable[[str], None]


def run_demo(out: Path, url: str | None, say: Say) -> None:
    """Make the database, load the demo shop, run a tech's, a seller's and a shop's job, and write reorder.xlsx."""
    out.mkdir(parents=True, exist_ok=True)
    if url is None:
        (out / "bom.db").unlink(missing_ok=True)
    url = url or f"sqlite:///{out / 'bom.db'}"
    with bench(url) as session:
        for line in load_shop(session, demo_folder()):
            say(line)
    with bench(url) as session:
        _tech(session, say)
        _seller(session, say)
        _shop(session, out / "reorder.xlsx", say)
    say(f"\nThe database is {url}; name it to go on: export BOM_DATABASE_URL={url}")


def demo_folder() -> Path:
    """Where the demo's catalogue lies: in the wheel or in the checkout."""
    from bom.store.engine import shipped

    return shipped("catalogs") / "demo"


DEMO_SHOP = [("name", "Hollowmere Bench"), ("contact", "bench@hollowmere.example")]


def load_shop(session: Session, folder: Path) -> Iterable[str]:
    """Take everything of a folder: catalogue, boards, kits, suppliers with their lists, rates, stock, usage, levels."""
    from bom.jobs.buying.price_lists import refresh_suppliers
    from bom.jobs.buying.suppliers import add_supplier
    from bom.jobs.catalogue import add_catalogue
    from bom.jobs.kits.taking import add_kit
    from bom.jobs.replacing.boards import add_board
    from bom.jobs.settings import set_shop

    set_shop(session, DEMO_SHOP)
    taken = add_catalogue(session, folder)
    yield f"catalogue: {taken.relays} relays, {taken.footprints} footprints, {taken.ratings} ratings"
    boards = [add_board(session, file)[0] for file in sorted((folder / "boards").glob("*.toml"))]
    kits = [add_kit(session, file)[0] for file in sorted((folder / "kits").glob("*.toml"))]
    suppliers = [add_supplier(session, file)[0] for file in sorted((folder / "suppliers").glob("*.toml"))]
    lists = refresh_suppliers(session, "")
    offers = sum(one.offers for one in lists)
    yield f"{len(boards)} boards, {len(kits)} kits, {len(suppliers)} suppliers with {offers} offers"
    yield _load_shelf(session, folder)


def _load_shelf(session: Session, folder: Path) -> str:
    from bom.intake.shelf_files import read_levels, read_opening_stock, read_usage
    from bom.jobs.buying.suppliers import take_rates_file
    from bom.store.shelf import set_level

    take_rates_file(session, folder / "rates.toml")
    lots, usage = read_opening_stock(folder / "stock.csv").value, read_usage(folder / "usage.csv").value
    _enter_history(session, lots, usage)
    for wanted in read_levels(folder / "levels.csv").value:
        if wanted.reorder_point is not None and wanted.order_up_to is not None:
            set_level(session, wanted.part_number, wanted.reorder_point, wanted.order_up_to)
    return f"{len(lots)} lots in stock, {len(usage)} entries of usage"


def _enter_history(session: Session, opening: Iterable[OpeningLot], usage: Iterable[UsageRow]) -> None:
    """Lots in and pieces out in the order of their days, each piece from the oldest lot."""
    from bom.store.shelf import add_lot, add_moves

    days = [(_at(row.received, 9), row) for row in opening] + [(_at(row.day, 15), row) for row in usage]
    entered: list[Move] = []
    lots: list[Lot] = []
    for when, row in sorted(days, key=lambda one: one[0]):
        if isinstance(row, OpeningLot):
            lots.append(_lot(row, when))
            entered.append(add_lot(session, lots[-1], row.quantity, when, "goods in"))
        else:
            entered += add_moves(session, _used(row, when, lots, entered))


def _at(day: date | None, hour: int) -> datetime:
    return datetime.combine(day or date.today(), time(hour), tzinfo=UTC)


def _lot(row: OpeningLot, when: datetime) -> Lot:
    return Lot(row.lot, row.part_number, row.maker, row.drawer, row.date_code, row.supplier, row.unit_cost, when)


def _used(row: UsageRow, when: datetime, lots: list[Lot], entered: list[Move]) -> list[Move]:
    picked = pick(row.part_number, row.quantity, lots, lot_levels(entered))
    return [Move(0, when, MoveKind.OUT, row.part_number, lot.number, -take, row.reason) for lot, take in picked]


def _tech(session: Session, say: Say) -> None:
    from bom.jobs.replacing.circuits import board_circuit
    from bom.jobs.replacing.matching import find_replacements
    from bom.paper.terminal.circuit_tables import states_table
    from bom.paper.terminal.matches import match_table

    say("\n1  The tech: one half of the twin relay at K1 of the orchard sprayer's valve box has died.")
    say("   bom match --position OS-3:K1\n")
    say(match_table(find_replacements(session, position="OS-3:K1")))
    say("   What it must bear is computed from the board's nets and loads: bom board circuit OS-3\n")
    say(states_table(board_circuit(session, "OS-3")))


def _seller(session: Session, say: Say) -> None:
    from bom.jobs.kits.costing import cost_kits
    from bom.paper.terminal.kits import kits_table
    from bom.store.boards_and_kits import kits

    name = next(kit.name for kit in kits(session) if kit.board == "OS-3" and "valve" in kit.name)
    say("2  The seller: what does a repair kit for that box cost, and what does it leave?")
    say(f'   bom kit cost "{name}"\n')
    say(kits_table(cost_kits(session, name, None)))


def _shop(session: Session, out: Path, say: Say) -> None:
    from bom.jobs.buying.reordering import plan_reorder, write_reorder_book
    from bom.paper.terminal.buying import reorder_table

    say("3  The shop: what to order, where, today?")
    say(f"   bom reorder --out {out}\n")
    answer, book = plan_reorder(session, None, 60.0)
    write_reorder_book(out, book)
    say(reorder_table(answer))
    say(f"written: {out}")
