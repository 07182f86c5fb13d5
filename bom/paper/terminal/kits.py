"""Knows how kits look in a terminal: what one costs and leaves, how many there can be, what to pick, what lacks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from shlex import quote
from typing import Any

from bom.answers.kits import CostChanged, CostedKit, Lacking, MadeKits, PossibleKits, UndoneKits
from bom.duty.cautions import one_line
from bom.kits.cost import LineCost, bought_as_one
from bom.kits.kit import Proviso
from bom.paper.for_the_eye import FINEST, money, number
from bom.paper.terminal.buying import plan_table
from bom.paper.terminal.tables import simple_table
from bom.values.money import Money

BASES = {
    "average": "average cost on hand",
    "landed": "landed cost of the plan that would buy the batch",
    "fixed": "the fixed costs in its file",
}
NOT_KNOWN = "not known"


def kits_table(kits: Sequence[CostedKit]) -> str:
    """Each kit line by line, what one costs and leaves, how many can be made up now."""
    return "\n".join(map(_kit, kits))


def _kit(kit: CostedKit) -> str:
    title = f"{kit.kit}, {kit.batch} together, by {BASES[kit.cost_by]}"
    title += f", {number(kit.attrition_pct)} % attrition" if kit.attrition_pct else ""
    columns = ["line", "part number", "goes in", "with attrition", "unit", "each", "cost", "by"]
    rows = [_marked(row, kit.cost_by) for line in bought_as_one(kit.lines) for row in _rows(line, 0)]
    rows = _right(rows, (5, 6))
    if not any(row[-1] for row in rows):
        columns, rows = columns[:-1], [row[:-1] for row in rows]
    table = simple_table(title, columns, rows)
    unknown = "".join(f"? {why}\n" for why in kit.unknown)
    notes = "".join(f"note: {note}\n" for note in kit.notes)
    told = unknown + _conditions(kit.conditions) + notes
    figures = simple_table("", ["", ""], _aligned(_figures(kit)))
    return table + told + figures + _changed(kit.changed) + _care(kit.kit, kit.cautions)


def _conditions(conditions: Sequence[Proviso]) -> str:
    """On what the parts serve that are no plain drop-ins where they go in."""
    rows = [(c.words,) for c in conditions]
    return simple_table("Fit only on these conditions", [""], rows) + "\n" if rows else ""


def _care(kit: str, cautions: Sequence[str]) -> str:
    """The grave cautions in one line, and where all of them stand."""
    said = one_line(cautions, f"bom kit sheet {quote(kit)}")
    return simple_table("", [""], [(said,)]) if said else ""


def _right(rows: list[tuple[Any, ...]], columns: tuple[int, ...]) -> list[tuple[Any, ...]]:
    """Money of these columns moved to the right, so that its points stand under each other."""
    wide = {n: max((len(row[n]) for row in rows if row[n]), default=0) for n in columns}
    return [tuple(v.rjust(wide[n]) if n in wide and v else v for n, v in enumerate(row)) for row in rows]


def _marked(row: tuple[Any, ...], basis: str) -> tuple[Any, ...]:
    """Where a figure is from is said only where that is not in the heading."""
    why = str(row[-1]).removeprefix("landed: ") if basis == "landed" else row[-1]
    return (*row[:-1], "" if why in (BASES[basis], "fixed cost" if basis == "fixed" else "") else why)


def _rows(line: LineCost, depth: int) -> Iterator[tuple[Any, ...]]:
    bought = None if line.inside else _short(line.bought)
    name, cost = "  " * depth + line.line, money(line.cost) or NOT_KNOWN
    why = line.why if line.cost is not None else ""
    yield name, line.part_number, _short(line.needed), bought, line.unit, money(line.each, FINEST), cost, why
    for inner in bought_as_one(line.inside):
        yield from _rows(inner, depth + 1)


def _short(quantity: Decimal) -> Decimal:
    """At most two decimals, for the eye."""
    return round(quantity, 2)


def _figures(kit: CostedKit) -> list[tuple[str, str]]:
    rows = [("one kit costs to make", money(kit.per_kit) or NOT_KNOWN)]
    if sale := kit.sale:
        shares = {
            "price": sale.price,
            "  tax in it": sale.tax,
            "  fees": sale.fee,
            "  postage": sale.postage,
            "  parts": sale.cost,
            "  packing": sale.packing,
            "  labour": sale.labour,
            "profit left": sale.profit,
        }
        rows += [(name, money(share) or NOT_KNOWN) for name, share in shares.items()]
        rows.append((f"margin on the {sale.margin_on}", _percent(sale.margin_pct)))
        rows.append((f"markup on {sale.markup_on}", _percent(sale.markup_pct)))
    elif kit.no_price:
        rows.append(("price", kit.no_price))
    return [*rows, ("can be made up now", str(kit.can_make_now))]


def _percent(value: Decimal | None) -> str:
    return NOT_KNOWN if value is None else f"{number(value)} %"


def _aligned(rows: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Figures under each other by their decimal point; words as they are."""
    numbers = [text.split()[0] for _, text in rows if text[:1].isdigit() or text[:1] == "-"]
    width = max((len(_head(number)) for number in numbers), default=0)
    return [(name, _moved(text, width)) for name, text in rows]


def _head(number: str) -> str:
    return number.partition(".")[0]


def _moved(text: str, width: int) -> str:
    is_number = text[:1].isdigit() or text[:1] == "-"
    return " " * (width - len(_head(text.split()[0]))) + text if is_number else text


def _changed(changed: CostChanged | None) -> str:
    if changed is None:
        return ""
    rows = [
        (line.line, " to ".join(dict.fromkeys(filter(None, (line.was, line.is_)))), _more(line.more))
        for line in changed.lines
    ]
    title = f"Since {changed.since} one kit costs {_more(changed.per_kit)}"
    title += " (--keep makes today's figures the new mark)"
    return "\n" + simple_table(title, ["line", "part number", "one kit"], rows)


def _more(difference: Money | None) -> str:
    if difference is None:
        return NOT_KNOWN
    if not round(difference.amount, 2):
        return "as much as before"
    shown = money(difference) or ""
    return f"{shown.removeprefix('-')} {'less' if shown.startswith('-') else 'more'}"


def pick_table(made: MadeKits) -> str:
    """The pick list by drawer, what is in which bag where bags differ, or what is missing."""
    if made.missing:
        return missing_table(made.missing, f"Missing for {made.count} x {made.kit}; nothing is booked")
    rows = [(p.drawer or "-", p.part_number, p.name, p.lot, _short(p.quantity), p.unit) for p in made.by_drawer]
    title = f"{made.count} x {made.kit}, {made.where_booked('nothing booked')}"
    table = simple_table(title, ["drawer", "part number", "what", "lot", "take", "unit"], rows)
    return table + _differing(made) + _conditions(made.conditions) + _care(made.kit, made.cautions)


def _differing(made: MadeKits) -> str:
    """Which parts go into which bags, where that is not the same for all of them."""
    rows = [
        (lot.kit_lot or "-", lot.count, c.position or "-", c.part_number, _short(c.quantity), c.unit)
        for lot, c in made.differing
    ]
    columns = ["kit lot", "bags", "position", "part number", "in each", "unit"]
    return simple_table("The bags are not all alike", columns, rows) if rows else ""


def missing_table(missing: Sequence[Lacking], title: str) -> str:
    """What lacks, with every part that would serve, for which positions, and why nothing does where that is so."""
    columns = ["part number", "quantity", "unit", "for position", "why"]
    rows = [
        (" or ".join(m.parts) or "no part serves", _short(m.quantity), m.unit, ", ".join(m.for_), m.why)
        for m in missing
    ]
    shown = [n for n in range(len(columns)) if n < 3 or any(row[n] for row in rows)]
    return simple_table(title, [columns[n] for n in shown], [[row[n] for n in shown] for row in rows])


def possible_table(answer: PossibleKits) -> str:
    """How many of each kit alone and side by side, then what lacks for those wanted, then the plan that buys it."""
    rows = [(k.kit, k.alone, k.together, k.planned) for k in answer.kits]
    title = "How many can be made up now, after what is promised"
    table = simple_table(title, ["kit", "if it alone", "side by side", "planned"], rows)
    table += "".join(f"note: {k.kit}: {k.why}\n" for k in answer.kits if k.why)
    weighed = "the most profit" if answer.best_by == "profit" else "the most kits"
    proof = "" if answer.proven else " (the best found in time, not proven)"
    table += f"Side by side makes {weighed} that what is there allows{proof}; numbers alone do not add up.\n"
    care = one_line(answer.cautions, "bom kit sheet NAME")
    return table + _wanted(answer) + (simple_table("", [""], [(care,)]) if care else "")


def _wanted(answer: PossibleKits) -> str:
    if answer.wanted is None or answer.missing is None:
        return ""
    asked = ", ".join(f"{n} x {kit}" for kit, n in answer.wanted.items())
    if not answer.missing:
        return f"\nNothing is missing for {asked}.\n"
    plan = "\nTo buy it\n" + plan_table(answer.plan) if answer.plan else ""
    missing = missing_table(answer.missing, f"Missing for {asked}")
    return "\n" + missing + "\n" + _conditions(answer.conditions or ()) + plan


def undone_table(undone: UndoneKits) -> str:
    """What went back to which lot."""
    rows = [(b.part_number, b.lot, _short(b.quantity)) for b in undone.back]
    title = f"Kit lot {undone.kit_lot} taken apart: {undone.count} x {undone.kit}"
    return simple_table(title, ["part number", "back to lot", "quantity"], rows)
