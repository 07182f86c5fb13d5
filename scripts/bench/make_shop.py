"""Makes a shop with years of data: a catalogue, boards, kits, suppliers with offers, and a ledger of any length.

    python scripts/bench/make_shop.py OUT.db --relays 50000 --footprints 5000 --boards 200 --kits 500 \\
        --suppliers 20 --offers 200000 --entries 2000000

OUT is an SQLite file or a PostgreSQL URL, with no shop in it yet. Catalogue and boards go through the importers, all
else straight into the tables. The ledger runs over eight years up to now, the last month like the earlier ones: parts
are ordered, received, counted, held, promised, used for jobs, packed into kits that are sold, and some of it is undone.
A few parts are used daily and most now and then, as 1 / (rank + 20). ``tests/jobs/test_made_shop.py`` holds that the
jobs of a shop, asked to do the same deeds, write the same entries. Not made: cards of repairs, which no table holds.
The same sizes give the same shop, but for its dates. Everything is invented.
"""

from __future__ import annotations

import argparse
import csv
import sys
import tempfile
from bisect import bisect
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from heapq import heappop, heappush
from itertools import accumulate
from pathlib import Path
from random import Random
from time import perf_counter
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import make_catalogue as catalogue
from sqlalchemy import insert

from bom.buying.offer import Break, Offer, Rates, Supplier
from bom.jobs.bench import bench
from bom.jobs.catalogue import add_catalogue
from bom.jobs.replacing.boards import add_board
from bom.jobs.settings import set_shop
from bom.kits.kit import Content, Kit, Line, MadeUp, Market, Packing
from bom.store import tables as t
from bom.store.boards_and_kits import take_kit
from bom.store.documents import encode
from bom.store.offers import take_offers, take_rates, take_supplier
from bom.store.running_figures import rebuild
from bom.store.unit_of_work import Session
from bom.values.money import Money

YEARS = 8
UNITS = ("piece", "g", "ml", "mm")
AT_ONCE = 20_000  # rows written together


@dataclass(frozen=True)
class Sizes:
    """How much of everything."""

    relays: int = 50_000
    footprints: int = 5_000
    boards: int = 200
    kits: int = 500
    suppliers: int = 20
    offers: int = 200_000
    entries: int = 2_000_000

    @property
    def supplies(self) -> int:
        """Solder, bags and the like."""
        return min(200, 4 + self.relays // 5)


@dataclass(frozen=True)
class Stocked:
    """A part that is kept: ``lot`` is how much comes at a time, ``each`` what one unit costs, in millionths."""

    number: str
    maker: str
    supplier: str
    currency: str
    unit: str
    lot: int
    each: int


def make(url: str, sizes: Sizes, say: Callable[[str], object] = print, deeds: list[Deed] | None = None) -> None:
    """The whole shop; ``deeds`` takes down what was done, for whoever wants to do it again."""
    start = perf_counter()
    with tempfile.TemporaryDirectory() as name, bench(url) as session:
        folder = Path(name)
        years = Years(session, begin(session, folder, sizes), kits_of(sizes, folder), deeds)
        say(f"catalogue, boards, kits and offers: {perf_counter() - start:.0f} s")
        years.run(sizes.entries)
        rebuild(session)
        say(f"{years.last} entries of {len(years.shelves)} parts: {perf_counter() - start:.0f} s")


# What a shop has before its first day.


def begin(session: Session, folder: Path, sizes: Sizes) -> list[Stocked]:
    """Everything but the ledger; the parts that are kept, those used most first."""
    set_shop(session, [("name", "Long Acre Bench"), ("currency", "GBP"), ("tax_registered", "yes")])
    catalogue.make(folder, sizes.relays, sizes.footprints)
    add_supplies_and_seats(folder, sizes)
    add_catalogue(session, folder)
    for number in range(sizes.boards):
        add_board(session, board_file(folder, number, sizes))
    for kit in kits_of(sizes, folder):
        take_kit(session, kit)
    take_rates(session, Rates("GBP", date.today(), (("EUR", Decimal("0.87")),), "invented"))
    add_offers(session, folder, sizes)
    return stocked(folder, sizes)


def supplier_name(number: int) -> str:
    return f"{catalogue.MAKERS[-1 - number % len(catalogue.MAKERS)].capitalize()} Trade {number + 1}"


def currency_of(supplier: int) -> str:
    return "EUR" if supplier % 4 == 3 else "GBP"


def add_supplies_and_seats(folder: Path, sizes: Sizes) -> None:
    """The shop's own supplies, and the wirings that its boards expect."""
    with (folder / "supplies.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(["part_number", "name", "maker", "kind", "unit", "status", "source"])
        for n in range(sizes.supplies):
            unit, kind = UNITS[n % 4], "packing" if n % 8 == 0 else "consumable"
            writer.writerow([f"SUP-{n:03}", f"Supply {n}", "Long Acre Bench", kind, unit, "active", "invented"])
    with (folder / "wirings.csv").open("a", newline="", encoding="utf-8") as file:
        for rank in {rank for number in range(sizes.boards) for rank in seats(number, sizes)}:
            for unit, pole, element, a, b, polarised in catalogue.wiring_of(catalogue.wirings_for(rank)[0]):
                csv.writer(file).writerow((f"seat-{rank}", unit, pole, element, f"p{a}", f"p{b}", polarised))


def seats(board: int, sizes: Sizes) -> list[int]:
    """The ranks of the footprints that a board's positions were made for."""
    return [(board * 7 + step) % sizes.footprints for step in (0, 1, 3)]


def board_file(folder: Path, number: int, sizes: Sizes) -> Path:
    refs = dict(zip(("K1", "K2", "K3"), seats(number, sizes), strict=True))
    holes = [
        (ref, f"p{pin}", x, y, 1.3, f"{ref} net {pin}", "component")
        for ref, rank in refs.items()
        for pin, (x, y) in enumerate(catalogue.pin_places(rank), 1)
    ]
    head = ["pattern", "hole", "x_mm", "y_mm", "drill_mm", "net", "view"]
    catalogue.save(folder / "boards" / f"holes-{number}.csv", head, iter(holes))
    text = catalogue.BOARD.replace('"BENCH"', f'"BX-{number:03}"').replace("holes.csv", f"holes-{number}.csv")
    for ref, rank in refs.items():
        position = catalogue.POSITION.format(ref=ref).replace(f"expected-{ref}", f"seat-{rank}")
        text += position.replace("expected-", "seat-")
    file = folder / "boards" / f"board-{number}.toml"
    file.write_text(text, encoding="utf-8")
    return file


def parts_of(folder: Path) -> list[tuple[str, str]]:
    """(number, maker) of the relays, those used most first."""
    with (folder / "relays.csv").open(newline="", encoding="utf-8") as file:
        parts = [(row["part_number"], row["maker"]) for row in csv.DictReader(file)]
    Random(3).shuffle(parts)
    return parts


def stocked(folder: Path, sizes: Sizes) -> list[Stocked]:
    r, answer = Random(5), []
    for n in range(sizes.supplies):
        unit = UNITS[n % 4]
        lot = 100_000 if unit == "piece" else 2_500_000
        answer.append(Stocked(f"SUP-{n:03}", "Long Acre Bench", supplier_name(0), "GBP", unit, lot, 10_000 + n * 700))
    for n, (number, maker) in enumerate(parts_of(folder)):
        supplier = n % sizes.suppliers
        lot = r.choice((5, 10, 20, 50)) * 1000
        each = r.randrange(900_000, 9_990_000, 10_000)
        answer.append(Stocked(number, maker, supplier_name(supplier), currency_of(supplier), "piece", lot, each))
    return answer


def kits_of(sizes: Sizes, folder: Path) -> list[Kit]:
    """Two in three take parts by number and are packed; the others take what drops in at two positions of a board."""
    known = [number for n, (number, _) in enumerate(parts_of(folder)) if currency_of(n % sizes.suppliers) == "GBP"]
    return [kit_of(number, sizes, known) for number in range(sizes.kits)]


def kit_of(number: int, sizes: Sizes, known: list[str]) -> Kit:
    r = Random(number)
    board = f"BX-{number % sizes.boards:03}" if number % 3 == 2 else ""
    relays = [Line(part=part, quantity=Decimal(r.choice((1, 1, 2)))) for part in r.sample(known[:2000], 2)]
    seated = [Line(position=ref) for ref in ("K1", "K2")]
    supplies = [
        Line(part=f"SUP-{n:03}", quantity=Decimal(r.choice((1, 2))) if n % 4 == 0 else Decimal(r.randrange(5, 90)) / 10,
             unit=UNITS[n % 4])
        for n in r.sample(range(sizes.supplies), 4)
    ]  # fmt: skip
    return Kit(
        f"kit {number:03}",
        "GBP",
        board=board,
        repair="relays" if board else "",
        batch=10,
        attrition_pct=Decimal(2),
        lines=tuple((seated if board else relays) + supplies),
        packing=Packing(Money.of("0.38", "GBP"), Money.of("3.10", "GBP")),
        market=Market(True, Decimal(20), Decimal("11.9"), Money.of("0.30", "GBP"), price=Money.of("39.50", "GBP")),
    )


def add_offers(session: Session, folder: Path, sizes: Sizes) -> None:
    """Every supplier lists its share of the parts, at three price breaks."""
    parts, share = parts_of(folder), sizes.offers // sizes.suppliers
    cost = {part.number: part.each for part in stocked(folder, sizes)}
    for number in range(sizes.suppliers):
        name, currency = supplier_name(number), currency_of(number)
        fee, free = Money.of("4.90", currency), Money.of("60", currency)
        take_supplier(session, Supplier(name, currency, False, Decimal(20), fee, free, lead_days=3 + number % 9))
        take_offers(session, name, offers_of(number, name, currency, parts, share, cost), datetime.now(UTC), "list")


def offers_of(
    number: int, name: str, currency: str, parts: list[tuple[str, str]], share: int, cost: dict[str, int]
) -> Iterator[Offer]:
    r = Random(number)
    for n in range(share):
        part, maker = parts[(number + n * len(parts) // share) % len(parts)]
        one = int(cost[part] * r.uniform(0.85, 1.3))
        breaks = tuple(Break(k, Money(one * pct // 100, currency)) for k, pct in ((1, 100), (10, 90), (50, 80)))
        yield Offer(
            name, part, breaks, maker, f"{number}-{n}", r.randrange(0, 2000), multiple=r.choice((1, 1, 5)), line=n
        )


# The years.


@dataclass
class Lot:
    """A lot as it lies there, in thousandths."""

    number: str
    each: int
    on_hand: int = 0
    reserved: int = 0
    held: int = 0

    @property
    def available(self) -> int:
        return max(self.on_hand - self.reserved - self.held, 0)


@dataclass
class Order:
    """What an order of one part has still to bring."""

    number: str
    due: date
    left: int


@dataclass
class Shelf:
    """What is there of one part: its lots in the order in which they go, all they are worth, and what is on order."""

    lots: list[Lot] = field(default_factory=list)
    promised: int = 0
    on_hand: int = 0
    worth: int = 0
    orders: list[Order] = field(default_factory=list)

    @property
    def free(self) -> int:
        return sum(lot.available for lot in self.lots) - self.promised


@dataclass(frozen=True)
class Deed:
    """What somebody did, as the jobs of the shelf are told: the job's name and what it is given."""

    name: str
    said: tuple[Any, ...]


class Years:
    """The shop goes on, deed by deed, and writes what each deed leaves in the ledger.

    A deed's clock is its place among all entries, so that every month is like the others.
    """

    def __init__(self, session: Session, parts: list[Stocked], kits: list[Kit], deeds: list[Deed] | None) -> None:
        self.session, self.parts, self.deeds = session, parts, deeds
        self.kits = [kit for kit in kits if not kit.board]
        self.of = {part.number: part for part in parts}
        self.shares = list(accumulate(1 / (rank + 20) for rank in range(len(parts))))
        self.r, self.end = Random(11), datetime.now(UTC)
        self.shelves: dict[str, Shelf] = {}
        self.last = self.order_entries = self.orders = self.lots = self.kit_lots = self.jobs = 0
        self.promises: list[tuple[str, int, str, Lot | None]] = []
        self.quarantine: list[tuple[str, Lot]] = []
        self.coming: list[tuple[int, int, str, Order]] = []  # the entry at which it comes, a tie-breaker, part, order
        self.made: list[str] = []
        self.rows: dict[str, list[dict[str, Any]]] = {name: [] for name in ("lots", "moves", "orders", "kit_lots")}

    def run(self, entries: int) -> None:
        self.entries, self.waiting = max(entries, 1), min(2 + entries // 2_000, 40)
        deeds, weights = zip(*_HOW_OFTEN.items(), strict=True)
        sums = list(accumulate(weights))
        while self.last < entries:
            while self.coming and self.coming[0][0] <= self.last:
                _, _, number, order = heappop(self.coming)
                if order.left:
                    self.buy(self.of[number], order.left)
            getattr(self, deeds[bisect(sums, self.r.random() * sums[-1])])()
            if len(self.rows["moves"]) > AT_ONCE:
                self.write()
        self.write()

    def write(self) -> None:
        for name, rows in self.rows.items():
            if rows:
                self.session.execute(insert(t.metadata.tables[name]), rows)
                rows.clear()

    # deeds

    def use(self) -> None:
        part = self.any_part()
        if self.r.random() < 0.1 and self.made:
            part = self.of_kit(self.r.choice(self.made))
        quantity = self.some(part)
        self.stock(part, quantity)
        self.jobs += 1
        customer = f"Farm {self.r.randrange(2_000)}" if self.r.random() < 0.5 else ""
        entries = self.take(part.number, quantity, f"job {self.jobs}", customer)
        if self.r.random() < 0.02:
            self.undo(*entries[-1])

    def promise(self) -> None:
        part = self.any_part()
        quantity = self.some(part)
        self.stock(part, quantity)
        self.jobs += 1
        job, shelf = f"job {self.jobs}", self.shelves[part.number]
        lot = next((x for x in shelf.lots if x.available >= quantity), None) if self.r.random() < 0.3 else None
        self.did("reserve", part.number, said(quantity), job, lot.number if lot else "")
        if lot:
            lot.reserved += quantity
        else:
            shelf.promised += quantity
        self.move("reserve", part, lot, quantity, "reserved", job)
        self.promises.append((part.number, quantity, job, lot))
        if len(self.promises) > self.waiting:
            self.keep(*self.promises.pop(0))

    def keep(self, number: str, quantity: int, job: str, lot: Lot | None) -> None:
        """The job that was promised pieces takes them."""
        shelf = self.shelves[number]
        if lot:
            lot.reserved -= quantity
        else:
            shelf.promised -= quantity
        self.take(number, quantity, job, "")
        self.move("release", self.of[number], lot, -quantity, f"went to {job}", job)

    def pack(self) -> None:
        kit, count = self.r.choice(self.kits), self.r.choice((1, 2, 5, 10))
        lines = sorted((line.part, int(line.quantity * 1000) * count) for line in kit.lines)
        for number, quantity in lines:
            self.stock(self.of[number], quantity)
        self.did("make", kit.name, count)
        self.kit_lots += 1
        number, when = f"K{self.kit_lots:05}", self.now()
        contents = tuple(Content(line.part, line.quantity, line.unit) for line in kit.lines)
        self.rows["kit_lots"].append(
            {"number": number, "kit": kit.name, "document": encode(MadeUp(number, kit.name, count, contents, when))}
        )
        cost = sum(self.average(number, quantity) for number, quantity in lines)
        for part, quantity in lines:
            self.out(part, quantity, f"made up: {kit.name}", reference=number)
        if kit.name not in self.of:
            self.of[kit.name] = Stocked(kit.name, "", "", "GBP", "piece", 0, 0)
            self.made.append(kit.name)
        self.lay(self.of[kit.name], number, count * 1000, half_up(cost, count), "made up", reference=number)

    def of_kit(self, name: str) -> Stocked:
        """A kit to sell; packed first where none is left would be another deed, so then some part is used."""
        return self.of[name] if self.shelves[name].free >= 3000 else self.any_part()

    def count(self) -> None:
        if found := self.any_lot():
            part, lot = found
            step = 1000 if part.unit == "piece" else 100
            less = min(step, lot.available)
            change, shelf = step, self.shelves[part.number]
            if self.r.random() < 0.5 and less and shelf.free >= less:
                change = -less
            worth = half_up(lot.each * change, 1000) if change > 0 else -half_up(shelf.worth * less, shelf.on_hand)
            self.did("count", lot.number, said(lot.on_hand + change))
            self.move("count", part, lot, change, "counted")
            self.put(part.number, lot, change, worth)

    def shift(self) -> None:
        if found := self.any_lot():
            drawer = self.any_drawer()
            self.did("shift", found[1].number, drawer)
            self.move("shift", *found, 0, "moved", drawer=drawer)

    def hold(self) -> None:
        if (found := self.any_lot()) and self.shelves[found[0].number].free >= found[1].available > 0:
            part, lot = found
            quantity = lot.available
            self.did("hold", lot.number, said(quantity))
            lot.held += quantity
            self.move("hold", part, lot, quantity, "held")
            self.quarantine.append((part.number, lot))
            if len(self.quarantine) > self.waiting:
                number, other = self.quarantine.pop(0)
                if other.held:
                    self.did("release", other.number)
                    self.move("free", self.of[number], other, -other.held, "inspected")
                    other.held = 0

    # what deeds are made of

    def did(self, name: str, *said: Any) -> None:
        if self.deeds is not None:
            self.deeds.append(Deed(name, said))

    def now(self) -> datetime:
        gone = timedelta(days=365.25 * YEARS) * (1 - self.last / self.entries)
        return self.end - gone

    def any_part(self) -> Stocked:
        return self.parts[min(bisect(self.shares, self.r.random() * self.shares[-1]), len(self.parts) - 1)]

    def any_lot(self) -> tuple[Stocked, Lot] | None:
        """One of the lots of a part that is there, parts much used more likely."""
        for part in (self.any_part() for _ in range(9)):
            if part.number in self.shelves and (lots := self.shelves[part.number].lots):
                return part, self.r.choice(lots)
        return None

    def any_drawer(self) -> str:
        return f"{self.r.choice('ABCDEFGHJK')}{self.r.randrange(300)}"

    def some(self, part: Stocked) -> int:
        if part.unit == "piece":
            return self.r.choice((1, 1, 1, 2, 2, 3)) * 1000
        return self.r.randrange(5, 200) * 100

    def stock(self, part: Stocked, quantity: int) -> None:
        """Have so much of the part, buying what lacks over the counter."""
        shelf = self.shelves.setdefault(part.number, Shelf())
        while shelf.free < quantity:
            self.buy(part, max(part.lot, -(-quantity // 1000) * 1000))

    def buy(self, part: Stocked, quantity: int) -> None:
        """Goods in; one in a hundred turns out not to have come after all."""
        each = int(part.each * self.r.uniform(0.95, 1.1)) // 100 * 100
        self.lots += 1
        drawer, when = self.any_drawer(), self.now()
        self.did("in", part.number, said(quantity), Money(each, part.currency), drawer, part.supplier)
        lot = self.lay(part, f"L{self.lots:04}", quantity, each, "goods in", drawer)
        came = self.settle(part, quantity, when)
        if self.r.random() < 0.01 and self.shelves[part.number].free >= quantity:
            self.did("undo", self.last)
            self.move("in", part, lot, -quantity, f"undoes entry {self.last}", counters=self.last)
            self.put(part.number, lot, -quantity, -half_up(each * quantity, 1000))
            for order, some in came:
                self.enter_order(part, order, some, "did not come after all")
                self.await_(part, order)

    def lay(
        self, part: Stocked, number: str, quantity: int, each: int, why: str, drawer: str = "", reference: str = ""
    ) -> Lot:
        """A lot comes in."""
        row = {"number": number, "part_number": part.number, "maker": part.maker, "drawer": drawer, "date_code": ""}
        row |= {"supplier": part.supplier, "cost_millionths": each, "cost_currency": part.currency}
        row |= {"received": self.now().isoformat(), "expires": None, "maker_lot": ""}
        self.rows["lots"].append(row)
        self.shelves.setdefault(part.number, Shelf())
        lot = Lot(number, each)
        self.move("in", part, lot, quantity, why, reference)
        self.put(part.number, lot, quantity, half_up(each * quantity, 1000))
        return lot

    def take(self, number: str, quantity: int, job: str, customer: str) -> list[tuple[int, Lot, int, int]]:
        """Goods out for a job; where few are left, more are ordered."""
        self.did("out", number, said(quantity), job, customer)
        taken = self.out(number, quantity, job, customer=customer)
        part, shelf = self.of[number], self.shelves[number]
        if part.lot and shelf.on_hand + sum(o.left for o in shelf.orders) < part.lot // 3 and self.r.random() < 0.7:
            self.order(part)
        return taken

    def out(
        self, number: str, quantity: int, why: str, reference: str = "", customer: str = ""
    ) -> list[tuple[int, Lot, int, int]]:
        """(entry, lot, quantity, what it cost) of each entry that took pieces."""
        part, shelf, answer = self.of[number], self.shelves[number], []
        for lot in list(shelf.lots):
            if quantity and (some := min(lot.available, quantity)):
                quantity -= some
                cost = half_up(shelf.worth * some, shelf.on_hand)
                self.move("out", part, lot, -some, why, reference, customer=customer)
                self.put(number, lot, -some, -cost)
                answer.append((self.last, lot, some, cost))
        return answer

    def undo(self, entry: int, lot: Lot, quantity: int, cost: int) -> None:
        """The last entry is taken back: its pieces come back at what they went out at."""
        self.did("undo", entry)
        undone = self.rows["moves"][-1]
        part = self.of[undone["part_number"]]
        why, customer = f"undoes entry {entry}", undone["customer"]
        self.move("out", part, lot, quantity, why, undone["reference"], customer=customer, counters=entry)
        self.put(part.number, lot, quantity, cost)

    def order(self, part: Stocked) -> None:
        self.orders += 1
        days = self.r.randrange(2, 25)
        order = Order(f"O{self.orders:05}", self.now().date() + timedelta(days=days), 0)
        self.did("order", part.number, said(part.lot), part.supplier, order.due)
        self.enter_order(part, order, part.lot, "ordered")
        orders = self.shelves[part.number].orders
        orders.append(order)
        orders.sort(key=lambda one: one.number)
        self.await_(part, order)

    def await_(self, part: Stocked, order: Order) -> None:
        takes = self.entries * self.r.randrange(2, 30) // (YEARS * 365) + 1
        heappush(self.coming, (self.last + takes, self.order_entries, part.number, order))

    def settle(self, part: Stocked, quantity: int, when: datetime) -> list[tuple[Order, int]]:
        """What came is taken off the part's orders, the first first; (order, how much) of each."""
        came = []
        for order in self.shelves[part.number].orders:
            if some := min(order.left, quantity):
                quantity -= some
                self.enter_order(part, order, -some, "came", when)
                came.append((order, some))
        if came and len(self.shelves[part.number].orders) > 8:
            self.shelves[part.number].orders = [one for one in self.shelves[part.number].orders if one.left]
        return came

    def enter_order(self, part: Stocked, order: Order, quantity: int, why: str, when: datetime | None = None) -> None:
        self.order_entries += 1
        order.left += quantity
        row = {"sequence": self.order_entries, "moment": (when or self.now()).isoformat(), "number": order.number}
        row |= {"supplier": part.supplier, "part_number": part.number, "thousandths": quantity}
        self.rows["orders"].append(row | {"due": order.due, "reason": why, "maker": part.maker})

    def put(self, number: str, lot: Lot, quantity: int, worth: int) -> None:
        """So much more of the lot lies there, and its part is worth so much more."""
        shelf = self.shelves[number]
        if not lot.on_hand:
            shelf.lots.append(lot)
            shelf.lots.sort(key=lambda one: (len(one.number), one.number))
        lot.on_hand += quantity
        shelf.on_hand += quantity
        shelf.worth += worth
        if not lot.on_hand:
            shelf.lots.remove(lot)

    def average(self, number: str, quantity: int) -> int:
        """What so much costs by the moving average of what is there, in millionths."""
        shelf = self.shelves[number]
        return half_up(half_up(shelf.worth * 1000, shelf.on_hand) * quantity, 1000)

    def move(
        self, kind: str, part: Stocked, lot: Lot | None, quantity: int, why: str, reference: str = "", **more: Any
    ) -> None:
        """One entry of the ledger."""
        row = {"sequence": self.last + 1, "moment": self.now().isoformat(), "kind": kind, "part_number": part.number}
        row |= {"lot": lot.number if lot else None, "thousandths": quantity, "reason": why, "reference": reference}
        row |= {"counters": None, "drawer": "", "customer": "", "maker": "" if lot else part.maker}
        self.rows["moves"].append(row | more)
        self.last += 1


def said(thousandths: int) -> str:
    """A quantity as it is typed."""
    return f"{Decimal(thousandths) / 1000:f}"


def half_up(number: int, by: int) -> int:
    """The quotient, to the nearest whole."""
    return (2 * number + by) // (2 * by)


_HOW_OFTEN = {"use": 66, "promise": 6, "pack": 2, "count": 3, "hold": 2, "shift": 3}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("out", help="an SQLite file or a postgresql: URL")
    for name, usual in vars(Sizes()).items():
        parser.add_argument(f"--{name}", type=int, default=usual)
    given = vars(parser.parse_args())
    make(given.pop("out"), Sizes(**given))


if __name__ == "__main__":
    main()
