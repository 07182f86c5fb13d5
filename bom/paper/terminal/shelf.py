"""Knows how the shelf and the shop look in a terminal: levels, a lot's story, what stock is worth, what is on order,
and what the shop has said of itself."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import fields
from datetime import date
from typing import Any

from bom.answers.settings import Settings
from bom.answers.shelf import (
    BoughtLot,
    Given,
    IdleStock,
    Journal,
    JournalFigure,
    JournalRow,
    LotLevel,
    LotStory,
    LotThere,
    PartPrices,
    StillToCome,
    StockOfPart,
    StockWorth,
    TrailStep,
)
from bom.paper.for_the_eye import FINEST, JOURNAL_FIGURES, amount, as_listed, bare, day, minute, money, number
from bom.paper.terminal.tables import Column, simple_table, table
from bom.stock.deliveries import Punctuality
from bom.stock.ledger import Lot, Move


def stock_table(rows: Sequence[StockOfPart]) -> str:
    """Each part with its unit, always in the same columns."""
    if not rows:
        return "Nothing in stock."
    code = next((row.average_cost.currency for row in rows if row.average_cost), "")
    columns = ["part number", "unit", "on hand", "reserved", "held", "available", "on order", "order at, up to"]
    columns += [f"average {code}".strip(), "drawer"]
    shown = [
        (
            *(row.part_number, row.unit, row.on_hand, row.reserved, row.held, row.available, row.on_order),
            _level(row),
            bare(row.average_cost, FINEST),
            ", ".join(row.drawers),
        )
        for row in rows
    ]
    lots = "".join(_lots_table(row) for row in rows if row.lots)
    return simple_table("", columns, shown) + "".join(map(_expired, rows)) + lots


def _expired(row: StockOfPart) -> str:
    said = f"{row.part_number}: {amount(row.expired, row.unit)} expired, so not available\n"
    return said if row.expired else ""


def _level(row: StockOfPart) -> str | None:
    if row.reorder_point is None or row.order_up_to is None:
        return None
    return f"{number(row.reorder_point)}, {number(row.order_up_to)}"


def _lots_table(row: StockOfPart) -> str:
    """The lots of one part, the one to be used first on top."""
    columns = ["lot", "on hand", "held", "drawer", "date code", "last day", "supplier", "cost"]
    shown = [
        (x.lot, x.on_hand, x.held, x.drawer, x.date_code, _last_day(x), x.supplier, money(x.unit_cost, FINEST))
        for x in row.lots
    ]
    return simple_table(f"Lots of {row.part_number}, first to go first", columns, shown)


def _last_day(lot: LotThere) -> str | date | None:
    return f"{lot.expires}, expired" if lot.expired else lot.expires


def trace_table(answer: LotStory | Given) -> str:
    """A lot's facts, its entries, where its pieces went and what it was made of; or what somebody was given."""
    if isinstance(answer, Given):
        return _given(answer)
    facts = [(name, value) for name, value in _facts(answer, answer.lot) if value not in (None, "")]
    return simple_table("", ["", ""], facts) + _entries(answer) + _steps(answer)


def _facts(answer: LotStory, lot: Lot) -> Iterable[tuple[str, Any]]:
    yield "lot", f"{lot.number}, {lot.part_number}{', ' + lot.maker if lot.maker else ''}"
    yield "on hand", amount(answer.level.on_hand, answer.unit) + _set_apart(answer.level)
    yield "drawer", answer.drawer
    yield "supplier", lot.supplier
    yield "maker's lot", lot.maker_lot
    yield "date code", lot.date_code
    yield "last day", lot.expires
    yield "came", day(lot.received)
    each = "each" if answer.unit == "piece" else f"per {answer.unit}"
    yield "cost", f"{money(lot.unit_cost, FINEST)} {each}" if lot.unit_cost else ""


def _set_apart(level: LotLevel) -> str:
    said = [f"{number(n)} {name}" for n, name in ((level.held, "held"), (level.reserved, "reserved")) if n]
    return f" ({', '.join(said)})" if said else ""


def _entries(answer: LotStory) -> str:
    rows = [
        (m.sequence, minute(m.when), _kind(m), m.quantity or "", balance, held or "", _for(m))
        for m, balance, held in zip(answer.moves, answer.balance, answer.held, strict=True)
    ]
    return simple_table("Entries", ["entry", "when", "what", "quantity", "on hand", "held", "for"], rows)


def _kind(move: Move) -> str:
    return f"{move.kind}, undone" if move.counters is not None else str(move.kind)


def _for(move: Move) -> str:
    undoes = f"undoes {move.counters}" if move.counters is not None else ""
    drawer = f"to drawer {move.drawer}" if move.drawer else ""
    reason = "" if move.reason == f"undoes entry {move.counters}" else move.reason
    return ", ".join(t for t in (undoes, reason, move.reference, move.customer, drawer) if t)


def _steps(answer: LotStory) -> str:
    onward = _step_table("Went to", answer.onward) if answer.onward else ""
    made_of = _step_table("Made of", answer.made_of) if answer.made_of else ""
    return onward + made_of + _bought(answer.bought)


def _step_table(title: str, steps: Iterable[TrailStep]) -> str:
    rows = [("  " * (s.depth - 1) + s.lot, s.part_number, s.quantity, s.unit, s.into, s.customer) for s in steps]
    return simple_table(title, ["lot", "part number", "quantity", "unit", "into", "customer"], rows)


def _bought(lots: Sequence[BoughtLot]) -> str:
    if not lots:
        return ""
    columns = ["lot", "part number", "maker", "supplier", "maker's lot", "date code", "came"]
    rows = [(x.lot, x.part_number, x.maker, x.supplier, x.maker_lot, x.date_code, day(x.received)) for x in lots]
    return simple_table("Bought as", columns, rows)


def _given(answer: Given) -> str:
    shown = _step_table(f"Went to {answer.asked}", answer.went_out) if answer.went_out else ""
    made_of = _step_table("Those kit lots were made of", answer.made_of) if answer.made_of else ""
    return shown + made_of + _bought(answer.bought)


def worth_table(answer: StockWorth) -> str:
    """Each part's stock in money, then the sums."""
    rows = [
        (p.part_number, p.on_hand, p.unit, bare(p.came_in), bare(p.gone), bare(p.stock), bare(p.each, FINEST))
        for p in answer.parts
    ]
    by = {"average": "moving average", "fifo": "first in, first out"}[answer.method]
    columns = ["part number", "on hand", "unit", "came in", "went out", "stock", "each now"]
    sums = [
        ("came in, all parts", money(answer.came_in)),
        ("went out at cost", money(answer.gone)),
        ("stock is worth", money(answer.stock)),
    ]
    unknown = "".join(f"? {part}: a lot's cost is not known, so it is in no sum\n" for part in answer.unknown)
    title = f"By {by}, in {answer.currency} at rates of {answer.rates_of}"
    return simple_table(title, columns, rows) + simple_table("", ["", ""], sums) + unknown


def journal_table(answer: Journal) -> str:
    """A row for each period and name, the sums of all at the end; kinds of which there are no entries are left out."""
    shown = [n for n, one in enumerate(answer.total.figures) if one.entries]
    if not shown:
        return f"Nothing was bought, used, sold or counted otherwise from {answer.first} to {answer.last}."
    names = [answer.by] if answer.by != "kind" else []
    columns = [Column("period"), *map(Column, names), *(Column(JOURNAL_FIGURES[n], "right") for n in shown)]
    rows = [
        (row.period, *(row.name or f"no {name}" for name in names), *_journal_cells(row, shown)) for row in answer.rows
    ]
    if len(rows) > 1:
        rows.append(("all", *(" " for _ in names), *_journal_cells(answer.total, shown)))
    title = f"{answer.first} to {answer.last}, in {answer.currency} at what the lots cost\n"
    return title + table(columns, rows) + _not_known(answer)


def _journal_cells(row: JournalRow, shown: Sequence[int]) -> list[str]:
    return [_journal_cell(row.figures[n], row.unit) for n in shown]


def _journal_cell(figure: JournalFigure, unit: str) -> str:
    """What it cost, and of one part how much it was: *42.00 (20)*; a cost that is not known is a question mark."""
    if not figure.entries:
        return ""
    known = bare(figure.cost)
    said = " + ".join([*([known] if known else []), *(["?"] if figure.unknown else [])])
    return said if figure.quantity is None else f"{said} ({amount(figure.quantity, unit)})"


def _not_known(answer: Journal) -> str:
    """Whose cost is in no sum, the first few by name."""
    count, few = sum(one.unknown for one in answer.total.figures), ", ".join(answer.unknown[:FEW])
    if not count:
        return ""
    more = f" and {len(answer.unknown) - FEW} parts more" if len(answer.unknown) > FEW else ""
    return (
        f"?: the cost of {count} entries is not known, or its currency has no rate, so it is in no sum: {few}{more}\n"
    )


FEW = 6
"""So many parts are named in a line. Own choice."""


def idle_table(answer: IdleStock) -> str:
    """What lies idle, the dearest first, and what all of it is worth."""
    if not answer.parts:
        return f"Everything that lies there was used since {answer.since}, or came since."
    columns = ["part number", "on hand", "unit", "drawer", "here since", "last used", f"worth {answer.currency}"]
    rows = [
        (p.part_number, p.on_hand, p.unit, ", ".join(p.drawers), p.here_since, p.last_used or "never", bare(p.worth))
        for p in answer.parts
    ]
    unknown = "".join(f"? {part}: a lot's cost is not known, so it is in no sum\n" for part in answer.unknown[:FEW])
    if more := len(answer.unknown) - FEW if len(answer.unknown) > FEW else 0:
        unknown += f"? and {more} parts more\n"
    said = f"{len(rows)} parts, worth {money(answer.worth)}, were not used since {answer.since}\n"
    return said + simple_table("", columns, rows) + unknown


def prices_table(answer: PartPrices) -> str:
    """What is asked today, the cheapest first, then what was paid, the newest first."""
    asked = [
        (
            *(x.supplier, x.supplier_code, x.pieces, as_listed(x.listed) if x.listed else None, bare(x.landed, FINEST)),
            *(x.stock, _days(x.lead_days), x.against),
        )
        for x in answer.asked
    ]
    heads = ["supplier", "code", "pieces", "listed", f"landed {answer.currency}", "stock", "comes in", "but"]
    shown = len(heads) if any(x.against for x in answer.asked) else -1
    now = simple_table(f"{answer.part_number}: asked today", heads[:shown], [row[:shown] for row in asked])
    paid = [
        (x.day, x.supplier, x.lot, as_listed(x.unit_cost) if x.unit_cost else "?", bare(x.in_ours, FINEST))
        for x in reversed(answer.paid)
    ]
    each = "each" if answer.unit == "piece" else f"per {answer.unit}"
    before = simple_table(f"Paid {each}", ["day", "supplier", "lot", "paid", f"in {answer.currency} now"], paid)
    return (now if asked else f"Nobody asks anything for {answer.part_number} today.\n") + (before if paid else "")


def late_table(rows: Sequence[Punctuality]) -> str:
    """Each supplier's record; what is late now stands last, as it is to be asked for."""
    if not rows:
        return "Nothing was ever ordered here: bom stock order enters it."
    columns = ["supplier", "deliveries", "with a day", "late", "late by, mean", "worst", "late now", "oldest"]
    shown = [
        (
            *(r.supplier, r.deliveries, r.promised, r.late),
            *(_days(r.mean_days), _days(r.worst_days), r.overdue, _days(r.overdue_days)),
        )
        for r in rows
    ]
    return simple_table("", columns, shown)


def _days(days: float | None) -> str | None:
    return None if days is None else "1 day" if days == 1 else f"{days:g} days"


def ordered_table(rows: Sequence[StillToCome]) -> str:
    """What has not come yet, an order after the other."""
    if not rows:
        return "Nothing is on order."
    columns = ["order", "supplier", "part number", "to come", "unit", "due", "late"]
    shown = [(r.order, r.supplier, r.part_number, r.quantity, r.unit, r.due, _late(r.late_days)) for r in rows]
    return simple_table("", columns, shown)


def _late(days: int | None) -> str:
    return f"{days} days" if days else ""


def shop_table(answer: Settings) -> str:
    """Each setting with what it is; what was not said, and how to say it."""
    said = {f.name: getattr(answer, f.name) for f in fields(answer)}
    unsaid = [name for name, value in said.items() if value == ""]
    tail = f"Not said: {', '.join(unsaid)}. bom shop set NAME VALUE says it.\n" if unsaid else ""
    return simple_table("", ["", ""], [(name.replace("_", " "), value) for name, value in said.items()]) + tail
