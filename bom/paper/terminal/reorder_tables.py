"""How a reorder looks in a terminal: which parts and why, the plan, and the parts that are at their end."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from bom.answers.buying import PartStands, Reorder
from bom.paper.for_the_eye import amount, number
from bom.paper.terminal.plan_tables import plan_table
from bom.paper.terminal.tables import simple_table


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
    columns = ["part number", "unit", "order at", "up to", "set by", "use asks", "lasts", "why"]
    shown = [(p.part_number, p.unit, p.point, p.up_to, _by(p), _asked(p), p.lasts, p.why) for p in parts]
    return simple_table("", columns, shown)
