"""How a supplier's price list becomes offers: two readings of the file, one to learn its habits, one to take it.

The first reading counts what decimal signs and thousands marks the cells show, and which parts stand in more than one
place; the second makes the offers one by one, so that a long list never lies in memory as a whole. The rows of one
part become its offer: breaks, stock, minimum, multiple, lead time.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime
from itertools import groupby, pairwise

from bom.buying.offer import Break, Feed, Offer, Supplier
from bom.intake.price_lists.amounts import MarksShown, NumberMarks, Prices
from bom.intake.price_lists.counts import (
    AT_ONCE,
    GONE,
    TOTALS,
    Count,
    CountMarks,
    LeadTimes,
    days_in,
    pieces_in_pack,
    start_in,
    stock_in,
    unit_of_heading,
)
from bom.intake.price_lists.list_file import Dialect, ListReport, ListRows, ListSource, open_table
from bom.intake.price_lists.list_habits import (
    COUNTS,
    REMEMBERED,
    Habits,
    PartKey,
    Survey,
    headings_of,
    key_reader,
    says_the_suppliers_money,
    slot_of,
    what_prices_are_for,
)
from bom.intake.price_lists.list_sheet import open_sheet
from bom.intake.spreadsheets.book import is_spreadsheet
from bom.values.part_number import damage


@dataclass(slots=True)
class ListReading:
    """One list being read. Once ``offers`` has run to its end, ``report`` says what is wrong and what was left out."""

    feed: Feed
    supplier: Supplier
    source: ListSource
    seen: datetime | None = None
    report: ListReport = field(init=False)

    def __post_init__(self) -> None:
        self.report = ListReport(self.source.name)

    def offers(self) -> Iterator[Offer]:
        """The offers as they are met; they count only where ``report`` has no problem in the end."""
        table = self._opened()
        if table is None or not says_the_suppliers_money(self.feed, self.supplier, table, self.report):
            return
        if (pieces := what_prices_are_for(self.feed, table, self.report)) is None:
            return
        habits = Survey(self.feed, self.supplier, table).habits()
        if (marks := self._marks(habits.prices)) is None:
            return
        listing = Listing(replace(self.feed, price_per=pieces), self.supplier, self.seen, self.report)
        maker = OfferMaker(listing, table, habits, marks)
        for rows in groups(table, maker, habits.twice, self.report):
            if offer := maker.offer(*rows):
                yield offer

    def _opened(self) -> ListRows | None:
        """The list under its headings, in whichever kind of file it came."""
        feed, headings = self.feed, headings_of(self.feed)
        with self.source.opened() as file:
            in_sheets = is_spreadsheet(file.read(8))
        if in_sheets:
            codes = [dict(feed.columns).get(word, "") for word in ("part_number", "supplier_code")]
            return open_sheet(self.source, feed.sheet, feed.decimal, headings, codes, self.report)
        return open_table(self.source, Dialect(feed.encoding, feed.delimiter), headings, self.report)

    def _marks(self, shown: MarksShown) -> NumberMarks | None:
        """The list's decimal sign; None, with the one problem it is, where the cells contradict or don't decide."""
        if found := shown.marks(self.feed.decimal):
            return found
        if configured := self.feed.decimal:
            other = NumberMarks(configured).thousands
            line, text = shown.first[other]
            cells = f"{shown.counted[other]} cells show {other!r} and {shown.counted[configured]} show {configured!r}"
            self.report.wrong(line, "", f"prices with decimal sign {configured!r}, as configured ({cells})", text)
        else:
            line, text = shown.doubtful or shown.first["."]
            self.report.wrong(line, "", "a decimal sign: no cell decides it, so set decimal in [feed]", text)
        return None


_Row = tuple[int, list[str]]


@dataclass(frozen=True, slots=True)
class Listing:
    """Whose list is read, how, seen when; what is found wrong goes to ``report``, which knows the list's name."""

    feed: Feed
    supplier: Supplier
    seen: datetime | None
    report: ListReport


_Group = tuple[PartKey, list[_Row]]


def groups(table: ListRows, maker: OfferMaker, twice: frozenset[int], report: ListReport) -> Iterator[_Group]:
    """The rows of one part at a time: those that stand together as they come, those that are scattered at the end."""
    scattered: dict[PartKey, list[_Row]] = {}
    for key, rows in _runs(table, maker, report):
        if not key[1]:
            for line, _ in rows:
                report.note(line, "the row", "has no part number; left out")
        elif key[1].casefold() in TOTALS or key[0].casefold() in TOTALS:
            report.note(rows[0][0], key[1], "stands for a total; left out")
        elif slot_of(key) in twice:
            scattered.setdefault(key, []).extend(rows)
        else:
            yield key, rows
    for key, rows in scattered.items():
        yield key, rows if maker.by_rows else _once(rows, maker.names["part_number"], report)


def _runs(table: ListRows, maker: OfferMaker, report: ListReport) -> Iterator[_Group]:
    """Rows of one part that follow each other, where breaks are rows; else each row by itself."""
    if not maker.by_rows:
        for row in table.rows(report):
            yield maker.key(row[1]), [row]
        return
    for key, run in groupby(table.rows(report), key=lambda row: maker.key(row[1])):
        yield key, list(run)


def _once(rows: list[_Row], column: str, report: ListReport) -> list[_Row]:
    """A part that stands in several rows of a list that has one row a part: fine where they say the same."""
    (first, cells), *others = rows
    for line, other in others:
        if other == cells:
            report.note(line, "the row", f"says the same as line {first}; taken once" if len(others) < 2 else _AGAIN)
        else:
            report.wrong(line, column, f"each part once, or twice the same (line {first} has it too)", "another")
    return rows[:1]


_AGAIN = "says the same as an earlier one; taken once"


class OfferMaker:
    """Makes offers out of rows; remembers how cells were read, because most are met again and again."""

    def __init__(self, listing: Listing, table: ListRows, habits: Habits, marks: NumberMarks) -> None:
        feed = listing.feed
        self.names = columns = dict(feed.columns)
        self.feed, self.supplier, self.report = feed, listing.supplier, listing.report
        self.seen = listing.seen
        self.by_rows = bool(feed.from_column)
        self.places = {word: table.place(columns[word]) for word in columns}
        self.key = key_reader(table, columns)
        self.counts = {word: shown.marks(marks.decimal) for word, shown in habits.counts.items()}
        self._tell_what_is_unsure(habits)
        self.packing = {code.casefold(): pieces for code, pieces in feed.packing}
        unit = feed.lead_time_in or unit_of_heading(columns.get("lead_days", ""))
        self.lead = LeadTimes(unit, listing.supplier.lead_days, self.seen.date() if self.seen else None)
        # Cells met before and what they say; an empty one, or one of a column that the list has not, says nothing.
        empty = {"lead_days": listing.supplier.lead_days}
        self.counted = [(w, self.places.get(w, -1), dict[str, int | None]({"": empty.get(w)})) for w in COUNTS]
        self.prices = Prices(listing.supplier.currency, marks, feed.price_per, habits.prices)
        self.columns = sorted((start, table.place(h), h) for start, h in feed.break_columns)
        self.simple = not (self.by_rows or feed.break_pairs or {"price_per", "currency"} & set(columns))
        self.pairs = [(table.place(f), table.place(p), f, p) for f, p in feed.break_pairs]
        self.rows = (table.place(feed.from_column), table.place(feed.price_column))

    def _tell_what_is_unsure(self, habits: Habits) -> None:
        for word, shown in habits.counts.items():
            if (cell := shown.unsure()) is not None:
                line, text = cell
                said = f"could be two numbers; by the list's decimal sign it is read as {self._whole(word, text)}"
                self.report.note(line, f"{self.names.get(word, word)} {text.strip()!r}", said)

    def _whole(self, word: str, text: str) -> str:
        found = start_in(text.strip(), self.counts[word])
        return "a number with that sign" if found is None else str(found)

    def offer(self, key: PartKey, rows: list[_Row]) -> Offer | None:
        """The offer in a part's rows; None where it has no price, or something in them is wrong."""
        line, cells = rows[0]
        if what := damage(key[1]):
            expected = f"a part number (a spreadsheet program turned it into {what})"
            self.report.wrong(line, self.names["part_number"], expected, key[1])
            return None
        breaks = self._breaks(rows)
        if breaks is None:
            return None
        if not breaks:
            self.report.has_no_price(line, key[1])
            return None
        return self._with_terms(key, line, cells, breaks)

    def _with_terms(self, key: PartKey, line: int, cells: list[str], breaks: tuple[Break, ...]) -> Offer:
        """The offer at these breaks. Its fields stand in their order: for a long list, names would take time."""
        code, number, maker = key
        stock, moq, multiple, lead = [
            known[text] if (text := cells[place]) in known else self._count(line, text, word, known)
            for word, place, known in self.counted
        ]
        if stock == 0:
            lead = self._until_there_is_some(line, number, cells, lead)
        return Offer(
            self.supplier.name,
            number,
            breaks,
            maker,
            code,
            stock,
            # Below the first break there is no price, so fewer cannot be ordered.
            max(moq or 1, breaks[0].from_quantity),
            multiple or 1,
            lead,
            self.feed.incremental,
            None,
            self.seen,
            self.report.name,
            line,
        )

    def _until_there_is_some(self, line: int, number: str, cells: list[str], lead: int | None) -> int | None:
        """In how many days a part comes of which none is in stock: in those that its own row states, where they are
        more than the supplier usually takes, which is for what lies there. None = not known."""
        stock, stated = (cells[self.places.get(word, -1)].strip().casefold() for word in ("stock", "lead_days"))
        never = self.feed.only_what_lies_there or stock in GONE
        if never or stated in AT_ONCE or not lead or lead <= (self.supplier.lead_days or 0):
            return None
        self.report.note(line, number, "has none in stock; taken as coming in the time that its row states")
        return lead

    def _count(self, line: int, cell: str, word: str, known: dict[str, int | None]) -> int | None:
        """What the cell says; where there is nothing to tell about it, that is remembered for the next such cell."""
        text = cell.strip()
        count = self._understood(word, text)
        if count.expected:
            self.report.wrong(line, self.names[word], count.expected, text)
        elif count.note:
            self.report.note(line, f"{self.names[word]} {text!r}", count.note)
        elif len(known) < REMEMBERED:
            known[cell] = count.number
        return count.number

    def _understood(self, word: str, text: str) -> Count:
        marks = self.counts[word]
        if word == "stock":
            return stock_in(text, marks)
        if word == "lead_days":
            return days_in(text, marks, self.lead)
        return pieces_in_pack(text, marks, self.packing)

    def _breaks(self, rows: list[_Row]) -> tuple[Break, ...] | None:
        """The part's price breaks from the lowest quantity up; empty where it is on request, None where wrong."""
        if self.simple and (known := self._met_before(rows[0][1])) is not None:
            return known
        return self._read_breaks(rows)

    def _met_before(self, cells: list[str]) -> tuple[Break, ...] | None:
        """The breaks, where every price cell was understood before and they fall with the quantity: most rows of a
        long list."""
        breaks: list[Break] = []
        lowest = None
        for start, place, _ in self.columns:
            found = self.prices.known.get((cells[place], start), False)
            if found is None:
                continue
            if not isinstance(found, Break) or (lowest is not None and found.price.millionths > lowest):
                return None
            lowest = found.price.millionths
            breaks.append(found)
        return tuple(breaks)

    def _read_breaks(self, rows: list[_Row]) -> tuple[Break, ...] | None:
        priced: list[Break] | None = []
        for start, line, cells, place, name in self._steps(rows):
            found = self.prices.at(cells[place].strip(), start, self._per(cells), self._currency(cells))
            if isinstance(found, Break) and priced is not None:
                priced.append(found)
            elif isinstance(found, str):
                self.report.wrong(line, name, found, cells[place].strip())
                priced = None
        return None if priced is None else self._in_order(rows[0], priced)

    def _steps(self, rows: list[_Row]) -> Iterator[tuple[int, int, list[str], int, str]]:
        """(from quantity, line, cells, place of the price, its heading) for every price the rows may hold."""
        for line, cells in rows if self.by_rows else rows[:1]:
            for start, place, name in self.columns:
                yield start, line, cells, place, name
            for from_place, place, from_name, name in self.pairs:
                if cells[place].strip() and (start := self._start(line, cells[from_place], from_name)):
                    yield start, line, cells, place, name
            if self.by_rows and (start := self._start(line, cells[self.rows[0]], self.feed.from_column)):
                yield start, line, cells, self.rows[1], self.feed.price_column

    def _start(self, line: int, text: str, name: str) -> int:
        """The quantity a break begins at, as in 10, 10+ or 10-99; 0, reported, where it is none."""
        found = start_in(text.strip(), self.counts.get(name, CountMarks())) or 0
        if not found:
            self.report.wrong(line, name, "a whole number above 0", text.strip())
        return found

    def _per(self, cells: list[str]) -> str:
        place = self.places.get("price_per", -1)
        return cells[place].strip() if place >= 0 else ""

    def _currency(self, cells: list[str]) -> str:
        place = self.places.get("currency", -1)
        return cells[place].strip().upper() if place >= 0 else ""

    def _in_order(self, first: _Row, priced: list[Break]) -> tuple[Break, ...] | None:
        if len(priced) < 2:
            return tuple(priced)
        line, number = first[0], self.key(first[1])[1]
        steps = sorted(dict.fromkeys(priced), key=lambda b: b.from_quantity)
        if len({b.from_quantity for b in steps}) < len(steps):
            starts = ", ".join(str(b.from_quantity) for b in steps)
            self.report.wrong(line, self.feed.from_column, f"one price for each quantity of {number}", starts)
            return None
        if any(b.price > a.price for a, b in pairwise(steps)):
            self.report.note(line, number, "has a price that rises with the quantity; taken as it stands")
        return tuple(steps)
