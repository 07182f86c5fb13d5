"""Knows how buying looks in a terminal: a plan with its orders, proof and habits; what is due and why; how suppliers'
lists, quotes and exchange rates stand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from bom.answers.buying import (
    BarePlan,
    BlockedPlan,
    Habit,
    KitsShort,
    ListTaken,
    MadeOf,
    PartShort,
    PartStands,
    PlannedLine,
    PlannedOrder,
    QuoteBack,
    QuotedLine,
    QuoteKept,
    RatesTaken,
    Reorder,
    ShopPlan,
    SupplierStands,
)
from bom.paper.for_the_eye import FINEST, amount, as_listed, bare, day, money, number
from bom.paper.terminal.tables import Column, simple_table, table
from bom.paper.writing import one_line
from bom.values.money import Money

NOTHING_DUE = "Nothing is due: no part is at or below its reorder point.\n"
NOTHING_WANTED = "Nothing needs to be bought.\n"


def plan_table(answer: BarePlan) -> str:
    """What to order from whom, each order's sums, then what is not ordered, the plan against the habits, and what was
    left out."""
    short = _short(answer)
    if answer.status == "infeasible":
        return _blocked(answer) + short + _left_out(answer)
    if not answer.order:
        return _nothing(answer) + short + _left_out(answer)
    return _orders(answer) + short + "\n" + _figures(answer) + _left_out(answer)


def _orders(answer: BarePlan) -> str:
    if not isinstance(answer, ShopPlan):
        return simple_table("", ["offer", "quantity"], list(answer.order.items()))
    caution = f"{answer.caution}\n" if answer.caution else ""
    return "\n".join(_order(order, answer.currency) for order in answer.orders) + caution


def _nothing(answer: BarePlan) -> str:
    if not isinstance(answer, Reorder):
        return NOTHING_WANTED
    if any(part.left_for_later for part in answer.short):
        return "Nothing is ordered now.\n"
    return "Nothing of what is due can be ordered.\n" if answer.due else NOTHING_DUE


def _short(answer: BarePlan) -> str:
    """What is not ordered of what was wanted, and the kits that cannot be completed."""
    if not isinstance(answer, ShopPlan):
        return ""
    lacking = [part for part in answer.short if not part.left_for_later]
    later = [part for part in answer.short if part.left_for_later]
    return _kits_short(answer.kits_short) + _not_to_be_had(lacking) + _left_for_later(later)


def _kits_short(kits: Sequence[KitsShort]) -> str:
    return "".join(f"\n{one_line(one.sentence)}\n" for one in kits)


def _not_to_be_had(parts: Sequence[PartShort]) -> str:
    if not parts:
        return ""
    rows = [(p.part_number, p.wanted, p.short, _promised(p), ", ".join(p.drop_ins), p.why) for p in parts]
    columns = ["part number", "wanted", "short", "earliest", "drops in", "why"]
    return "\n" + simple_table("Not to be had", columns, rows)


def _left_for_later(parts: Sequence[PartShort]) -> str:
    if not parts:
        return ""
    columns = [Column("part number"), Column("wanted", "right"), Column("left", "right"), Column("why", prose=True)]
    return "\nLeft for later\n" + table(columns, [(p.part_number, p.wanted, p.short, p.why) for p in parts])


def _promised(part: PartShort) -> str:
    """The earliest day, and who would have to take the order for then."""
    return f"{part.earliest}, ask {part.promised}" if part.earliest else "ask"


def _blocked(answer: BarePlan) -> str:
    known = answer.blocked if isinstance(answer, BlockedPlan | ShopPlan) else ()
    reasons = known or ("no order over these offers serves every need",)
    return "There is no order that serves every need.\n" + "".join(f"in the way: {reason}\n" for reason in reasons)


def _order(order: PlannedOrder, base: str) -> str:
    """Amounts stand without their currency, which the columns name; a piece may cost fractions of a cent."""
    code = order.currency
    measured = any(line.unit != "piece" for line in order.lines)
    rows = [
        (
            line.supplier_code,
            line.part_number,
            line.maker,
            line.quantity,
            *([line.unit] if measured else []),
            bare(line.unit_price, FINEST),
            bare(line.cost),
            bare(line.landed_each, FINEST),
            line.why,
        )
        for line in order.lines
    ]
    priced = [f"each {code}", f"line {code}", f"landed {base}"]
    counted = ["quantity", "unit"] if measured else ["pieces"]
    columns = ["code", "part number", "maker", *counted, *priced, "why"]
    return simple_table(order.supplier, columns, rows) + _care(order.lines) + _sums(order, base)


def _care(lines: Sequence[PlannedLine]) -> str:
    """Under the lines, on what a stand-in serves, and what may not be left out beside a part."""
    conditions = [words for line in lines for words in line.conditions]
    cautions = [f"{line.part_number}: {words}" for line in lines for words in line.cautions]
    return "".join(f"! {words}\n" for words in (*conditions, *cautions))


def _sums(order: PlannedOrder, base: str) -> str:
    """The order's sums in the supplier's currency, and what they come to in ours at the rate used."""
    own, code = order.own, order.currency
    sums = (
        ("goods", order.goods, own.goods),
        ("shipping", order.shipping, own.shipping),
        ("import fee", order.import_fee, own.import_fee),
        ("tax", order.tax, own.tax),
    )
    parts = [f"{name} {money(listed)}" for name, ours, listed in sums if ours]
    paid = f"{' + '.join(parts)} = {money(own.total)}" if len(parts) > 1 else f"{''.join(parts)}, nothing on top"
    ours = f" = {order.total:,.2f} {base} at {float(order.rate):g} {base} a {code}" if code != base else ""
    return "".join(f"{line}\n" for line in (paid + ours, *order.reached))


def _figures(answer: BarePlan) -> str:
    """The plan's cost with its proof, and beside it what the habits would have cost."""
    name = "landed cost of this plan"
    if not isinstance(answer, ShopPlan):
        return simple_table("", ["", "", ""], [(name, _amount(answer.cost, ""), _proof(answer))])
    unit = f" {answer.currency}"
    rows = [(name, _amount(answer.cost, unit), answer.proof), *_habits(answer.habits, answer.cost, unit)]
    return simple_table("", ["", "", ""], rows) + (_made_of(answer.made_of, unit) if answer.made_of else "")


def _amount(cost: float | None, unit: str) -> str:
    return "-" if cost is None else f"{cost:,.2f}{unit}"


def _proof(answer: BarePlan) -> str:
    if answer.status == "optimal":
        return "proved the cheapest"
    if answer.bound is None or answer.gap is None or answer.bound <= 0:
        return "how near the cheapest this is was not found out in the time it had"
    left = f"{100 * answer.gap:.2f} % could still be saved at most"
    return f"no order can be cheaper than {answer.bound:,.2f}: {left}"


def _habits(habits: Sequence[Habit], cost: float | None, unit: str) -> Iterator[tuple[str, str, str]]:
    for habit in habits:
        said = "" if habit.more is None else _dearer(habit.more, cost, unit)
        yield habit.name, _amount(habit.cost, unit), "; ".join(filter(None, (said, habit.note)))


def _dearer(more: float, cost: float | None, unit: str) -> str:
    """A habit is cheaper only where it does not keep to what was wished of the plan."""
    if not round(more, 2):
        return "the same"
    share = f" ({100 * abs(more) / cost:.1f} %)" if cost else ""
    return f"{abs(more):,.2f}{unit}{share} " + ("dearer" if more > 0 else "cheaper, but not as wished")


def _made_of(made: MadeOf, unit: str) -> str:
    named = (
        ("goods needed", made.goods),
        ("shipping", made.shipping),
        ("import fees", made.import_fee),
        ("tax not got back", made.tax),
        ("goods left over", made.leftovers),
    )
    parts = [f"{name} {amount:,.2f}{unit}" for name, amount in named if amount]
    return f"made of {', '.join(parts)}\n" if parts else ""


def _left_out(answer: BarePlan) -> str:
    if not isinstance(answer, ShopPlan):
        return ""
    reckoned = "".join(f"converted: {said}\n" for said in answer.reckoned)
    return reckoned + "".join(f"left out: {reason}\n" for reason in answer.left_out)


def reorder_table(answer: Reorder) -> str:
    """The parts due with their levels, then what to order from whom, then what will not be made any more."""
    return _due(answer.due) + plan_table(answer) + _covered(answer.covered) + _watch(answer.watch)


def _due(parts: Sequence[PartStands]) -> str:
    """Columns that say nothing anywhere (none coming, none planned for kits, no stand-in to spare) are left out."""
    if not parts:
        return ""
    sometimes: dict[str, list[Decimal]] = {
        "coming": [p.on_order for p in parts],
        "for kits": [p.planned for p in parts],
        "stand-ins": [p.stand_ins for p in parts],
    }
    said = {name: column for name, column in sometimes.items() if any(column)}
    columns = ["part number", "unit", "there", *said, "order at", "up to", "set by", "use asks", "wanted", "lasts"]
    shown = [
        (
            *(p.part_number, p.unit, p.available, *(column[row] for column in said.values()), p.point, p.up_to),
            *(_by(p), _asked(p), p.quantity, p.lasts.split(",")[0]),
        )
        for row, p in enumerate(parts)
    ]
    return simple_table("Due", columns, shown)


def _by(part: PartStands) -> str:
    """Whether somebody set the level, or the part's use did."""
    return {"set by hand": "hand", "reckoned": "use"}.get(part.level_by, "nobody")


def _asked(part: PartStands) -> str:
    """The level that the part's use asks for, whoever set the one that holds."""
    asked = part.reckoned
    return f"{asked[0]}–{asked[1]}" if asked and part.method not in (None, "none") else ""


def _covered(parts: Sequence[PartStands]) -> str:
    if not parts:
        return ""
    shown = [(p.part_number, p.available, p.point, _helpers(p)) for p in parts]
    columns = ["part number", "there", "order at", "to spare of what drops in"]
    return "\n" + simple_table("At their point, not ordered: drop-ins have enough to spare", columns, shown)


def _helpers(part: PartStands) -> str:
    return ", ".join(f"{number(one.quantity)} of {one.part_number}" for one in part.served_by)


def _watch(parts: Sequence[PartStands]) -> str:
    if not parts:
        return ""
    shown = [(p.part_number, amount(p.available, p.unit), p.lasts, p.why) for p in parts]
    return "\n" + simple_table("At their end, not ordered", ["part number", "there", "lasts", "why"], shown)


def levels_table(parts: Sequence[PartStands]) -> str:
    """Every part's level, as it holds and as its use asks for it, and how that was worked out."""
    if not parts:
        return "Nothing was ever in stock."
    columns = [
        *(Column("part number"), Column("order at", "right"), Column("up to", "right"), Column("unit")),
        *(Column("set by"), Column("lasts"), Column("why", prose=True)),
    ]
    return table(columns, [_level(p) for p in parts])


def _level(part: PartStands) -> tuple[object, ...]:
    lasts = part.lasts.split(",")[0]
    return part.part_number, number(part.point), number(part.up_to), part.unit, _by(part), lasts, part.why


_HOW = {
    "fetched": "fetched anew",
    "unchanged": "asked after, unchanged",
    "kept": "the kept copy, still young enough",
    "read": "read from its file",
}


def refreshed_table(answer: Sequence[ListTaken]) -> str:
    """Each supplier's list in a line, and under it what was said, a line each."""
    return "\n".join(line for one in answer for line in _refreshed(one))


def _refreshed(one: ListTaken) -> list[str]:
    if one.failed:
        head = f"{one.supplier}: the list was not taken"
    else:
        offers = "1 offer" if one.offers == 1 else f"{one.offers} offers"
        head = f"{one.supplier}: {offers} from {one.list} ({_HOW.get(one.how, one.how)})"
    return [head, *(f"  {one_line(note)}" for note in one.notes), *_to_ask_for(one)]


# How many parts on request a line names; the answer for programs names more. Own choice.
_ASKED_FOR = 8


def _to_ask_for(one: ListTaken) -> list[str]:
    if (count := one.on_request or 0) < 2:  # of one alone the note has the name
        return []
    named = ", ".join(one_line(part) for part in one.to_ask_for[:_ASKED_FOR])
    more = f" and {count - _ASKED_FOR} more" if count > _ASKED_FOR else ""
    return [f"  on request, {count} parts: {named}{more}"]


def suppliers_table(answer: Sequence[SupplierStands]) -> str:
    """A line a supplier; under the table what stands in the way of using one's offers."""
    rows = [(a.supplier, a.currency, a.list or "no list", a.offers, a.age, a.quotes, a.quotes_expired) for a in answer]
    head = ["supplier", "currency", "price list", "offers", "age", "quotes", "expired"]
    return (
        simple_table("", head, rows).rstrip()
        + "\n"
        + "".join(f"{one_line(said)}\n" for a in answer for said in _hindered(a))
    )


def _hindered(one: SupplierStands) -> list[str]:
    failed = f"{one.supplier}: the last refresh failed ({day(one.failed)}): {one.why_failed}"
    rate = f"{one.supplier}: no rate from {one.currency} to {one.rate_to}; shown, not ranked"
    doubts = [f"{one.supplier}: {said}" for said in one.in_doubt]
    return ([failed] if one.failed else []) + ([] if one.rate else [rate]) + doubts


def rates_table(answer: RatesTaken) -> str:
    """What one unit of each currency is worth, and in which currency the shop counts."""
    base = answer.base_currency
    rows = [(code, worth, base) for code, worth in answer.rates.items()]
    source = f", {answer.source}" if answer.source else ""
    table = simple_table(f"rates of {answer.date}{source}", ["1 unit of", "is worth", ""], rows)
    return f"{table.rstrip()}\nThe shop counts in {answer.counts_in}."


def quote_table(answer: QuoteBack) -> str:
    """The quote's lines as they were understood, and under them what to know about them."""
    title = f"quote of {answer.supplier}, valid until {answer.valid_until}"
    head = ["their code", "part", "maker", "price a piece", "minimum", "multiple", "days"]
    table = simple_table(title, head, [_quoted(line) for line in answer.lines])
    return table.rstrip() + "\n" + "".join(f"note: {one_line(note)}\n" for note in answer.notes)


NO_QUOTES = "No quote is kept: bom quote ask writes what to ask, bom quote take reads an answer.\n"


def quotes_table(answer: Sequence[QuoteKept]) -> str:
    """A line a quote, those that hold longest first; one that is over says so."""
    if not answer:
        return NO_QUOTES
    head = ["supplier", "part", "maker", "price a piece", "minimum", "days", "holds until", ""]
    rows = [
        (
            *(one.supplier, one.part_number, one.maker, _prices(one.prices), one.moq),
            *("" if one.lead_days is None else one.lead_days, one.valid_until, _left(one.days_left)),
        )
        for one in answer
    ]
    return simple_table("", head, rows)


def _left(days: int) -> str:
    if days < 0:
        return "over"
    return "last day" if days == 0 else "1 day left" if days == 1 else f"{days} days left"


def _prices(prices: Mapping[int, Money]) -> str:
    return "; ".join(
        as_listed(price) if start == 1 else f"{start}+ {as_listed(price)}" for start, price in prices.items()
    )


def _quoted(line: QuotedLine) -> tuple[object, ...]:
    shown = _prices(line.prices)
    days = "" if line.lead_days is None else line.lead_days
    return (line.supplier_code, line.part_number, line.maker, shown, line.moq, line.multiple, days)
