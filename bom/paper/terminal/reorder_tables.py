"""How a reorder looks in a terminal: which parts and why, the plan, and the parts that are at their end."""

from __future__ import annotations

from typing import Any

from bom.paper.terminal.plan_tables import plan_table
from bom.paper.terminal.tables import simple_table

Answer = dict[str, Any]
_SOMETIMES = (("coming", "on_order"), ("for kits", "planned"), ("stand-ins", "stand_ins"))


def reorder_table(answer: Answer) -> str:
    """The parts due with their levels, then what to order from whom, then what will not be made any more."""
    return _due(answer["due"]) + plan_table(answer) + _covered(answer["covered"]) + _watch(answer["watch"])


def _due(rows: list[Answer]) -> str:
    """Columns that say nothing anywhere (none coming, none planned for kits, no stand-in to spare) are left out."""
    if not rows:
        return ""
    columns = [("part number", "part_number"), ("unit", "unit"), ("there", "available")]
    columns += [(name, key) for name, key in _SOMETIMES if _any(rows, key)]
    columns += [("order at", "point"), ("up to", "up_to")]
    shown = [
        (*(r[key] for _, key in columns), _by(r), _asked(r), r["quantity"], r["lasts"].split(",")[0]) for r in rows
    ]
    return simple_table("Due", [*(name for name, _ in columns), "set by", "use asks", "wanted", "lasts"], shown)


def _any(rows: list[Answer], key: str) -> bool:
    return any(row[key] for row in rows)


def _amount(quantity: Any, unit: str) -> str:
    return f"{quantity}" if unit == "piece" else f"{quantity} {unit}"


def _by(row: Answer) -> str:
    """Whether somebody set the level, or the part's use did."""
    return {"set by hand": "hand", "reckoned": "use"}.get(row["level_by"], "nobody")


def _asked(row: Answer) -> str:
    """The level that the part's use asks for, whoever set the one that holds."""
    asked = row["reckoned"]
    return f"{asked[0]}–{asked[1]}" if asked and row["method"] not in (None, "none") else ""


def _covered(rows: list[Answer]) -> str:
    if not rows:
        return ""
    shown = [(r["part_number"], r["available"], r["point"], _helpers(r["served_by"])) for r in rows]
    columns = ["part number", "there", "order at", "to spare of what drops in"]
    return "\n" + simple_table("At their point, not ordered: drop-ins have enough to spare", columns, shown)


def _helpers(served: list[Answer]) -> str:
    return ", ".join(f"{one['quantity']} of {one['part_number']}" for one in served)


def _watch(rows: list[Answer]) -> str:
    if not rows:
        return ""
    shown = [(r["part_number"], _amount(r["available"], r["unit"]), r["lasts"], r["why"]) for r in rows]
    return "\n" + simple_table("At their end, not ordered", ["part number", "there", "lasts", "why"], shown)


def levels_table(rows: list[Answer]) -> str:
    """Every part's level, as it holds and as its use asks for it, and how that was worked out."""
    if not rows:
        return "Nothing was ever in stock."
    columns = ["part number", "unit", "order at", "up to", "set by", "use asks", "lasts", "why"]
    keys = ("part_number", "unit", "point", "up_to")
    return simple_table("", columns, [(*(r[k] for k in keys), _by(r), _asked(r), r["lasts"], r["why"]) for r in rows])
