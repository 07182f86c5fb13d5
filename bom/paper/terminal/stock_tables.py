"""How the shelf looks in a terminal: levels, a lot's story, what stock is worth, what is on order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from bom.paper.terminal.tables import simple_table

Answer = dict[str, Any]
FINEST = 4  # a piece may cost fractions of a cent


def stock_table(rows: list[Answer]) -> str:
    """Each part with its unit, always in the same columns."""
    if not rows:
        return "Nothing in stock."
    code = next((r["average_cost"]["currency"] for r in rows if r["average_cost"]), "")
    there = ("on_hand", "reserved", "held", "available", "on_order")
    columns = [*("part number", "unit"), *(k.replace("_", " ") for k in there)]
    columns += ["order at, up to", f"average {code}".strip(), "drawer"]
    shown = [
        (
            *(r[k] for k in ("part_number", "unit", *there)),
            _level(r),
            _bare(r["average_cost"], FINEST),
            ", ".join(r["drawers"]),
        )
        for r in rows
    ]
    lots = "".join(_lots_table(r) for r in rows if r.get("lots"))
    return simple_table("", columns, shown) + "".join(map(_expired, rows)) + lots


def _expired(row: Answer) -> str:
    over = row.get("expired")
    is_none = not over or not Decimal(str(over))
    return "" if is_none else f"{row['part_number']}: {_amount(over, row['unit'])} expired, so not available\n"


def _level(row: Answer) -> str | None:
    return None if row["reorder_point"] is None else f"{row['reorder_point']}, {row['order_up_to']}"


def _lots_table(row: Answer) -> str:
    """The lots of one part, the one that goes first on top."""
    columns = ["lot", "on hand", "held", "drawer", "date code", "last day", "supplier", "cost"]
    keys = ("lot", "on_hand", "held", "drawer", "date_code")
    shown = [(*(x[k] for k in keys), _last_day(x), x["supplier"], _money(x["unit_cost"], FINEST)) for x in row["lots"]]
    return simple_table(f"Lots of {row['part_number']}, first to go first", columns, shown)


def _last_day(lot: Answer) -> str | None:
    return f"{lot['expires']}, expired" if lot.get("expired") else lot["expires"]


def trace_table(answer: Answer) -> str:
    """A lot's facts, its entries, where its pieces went and what it was made of; or what somebody was given."""
    if "lot" not in answer:
        return _given(answer)
    lot = answer["lot"]
    facts = [(name, value) for name, value in _facts(answer, lot) if value not in (None, "")]
    return simple_table("", ["", ""], facts) + _entries(answer) + _steps(answer)


def _facts(answer: Answer, lot: Answer) -> Iterable[tuple[str, Any]]:
    level, unit = answer["level"], answer["unit"]
    yield "lot", f"{lot['number']}, {lot['part_number']}{', ' + lot['maker'] if lot['maker'] else ''}"
    yield "on hand", _amount(level["on_hand"], unit) + _set_apart(level)
    yield "drawer", answer["drawer"]
    yield "supplier", lot["supplier"]
    yield "maker's lot", lot["maker_lot"]
    yield "date code", lot["date_code"]
    yield "last day", lot["expires"]
    yield "came", _day(lot["received"])
    cost = _money(lot["unit_cost"], FINEST)
    yield "cost", f"{cost} {'each' if unit == 'piece' else 'per ' + unit}" if lot["unit_cost"] else ""


def _set_apart(level: Answer) -> str:
    said = [f"{level[name]} {name}" for name in ("held", "reserved") if level[name]]
    return f" ({', '.join(said)})" if said else ""


def _entries(answer: Answer) -> str:
    rows = [
        (m["sequence"], _minute(m["when"]), _kind(m), m["quantity"] or "", balance, held or "", _for(m))
        for m, balance, held in zip(answer["moves"], answer["balance"], answer["held"], strict=True)
    ]
    return simple_table("Entries", ["entry", "when", "what", "quantity", "on hand", "held", "for"], rows)


def _kind(move: Answer) -> str:
    return f"{move['kind']}, undone" if move["counters"] is not None else str(move["kind"])


def _for(move: Answer) -> str:
    undoes = f"undoes {move['counters']}" if move["counters"] is not None else ""
    drawer = f"to drawer {move['drawer']}" if move["drawer"] else ""
    reason = "" if move["reason"] == f"undoes entry {move['counters']}" else move["reason"]
    return ", ".join(t for t in (undoes, reason, move["reference"], move["customer"], drawer) if t)


def _steps(answer: Answer) -> str:
    shown = ""
    if answer["onward"]:
        shown += _step_table("Went to", answer["onward"])
    if answer["made_of"]:
        shown += _step_table("Made of", answer["made_of"])
    return shown + _bought(answer["bought"])


def _step_table(title: str, steps: Iterable[Answer]) -> str:
    rows = [
        ("  " * (s["depth"] - 1) + s["lot"], s["part_number"], s["quantity"], s["unit"], s["into"], s["customer"])
        for s in steps
    ]
    return simple_table(title, ["lot", "part number", "quantity", "unit", "into", "customer"], rows)


def _bought(lots: list[Answer]) -> str:
    if not lots:
        return ""
    keys = ("lot", "part_number", "maker", "supplier", "maker_lot", "date_code")
    rows = [(*(x[k] for k in keys), _day(x["received"])) for x in lots]
    return simple_table(
        "Bought as", ["lot", "part number", "maker", "supplier", "maker's lot", "date code", "came"], rows
    )


def _given(answer: Answer) -> str:
    shown = _step_table(f"Went to {answer['asked']}", answer["went_out"]) if answer["went_out"] else ""
    made_of = _step_table("Those kit lots were made of", answer["made_of"]) if answer["made_of"] else ""
    return shown + made_of + _bought(answer["bought"])


def worth_table(answer: Answer) -> str:
    """Each part's stock in money, then the sums."""
    amounts = ("came_in", "gone", "stock")
    rows = [
        (p["part_number"], p["on_hand"], p["unit"], *(_bare(p[k]) for k in amounts), _bare(p["each"], FINEST))
        for p in answer["parts"]
    ]
    by = {"average": "moving average", "fifo": "first in, first out"}[answer["method"]]
    columns = ["part number", "on hand", "unit", "came in", "went out", "stock", "each now"]
    names = ("came in, all parts", "went out at cost", "stock is worth")
    sums = [(name, _money(answer[k])) for name, k in zip(names, amounts, strict=True)]
    unknown = "".join(f"? {part}: a lot's cost is not known, so it is in no sum\n" for part in answer["unknown"])
    title = f"By {by}, in {answer['currency']} at rates of {answer['rates_of']}"
    return simple_table(title, columns, rows) + simple_table("", ["", ""], sums) + unknown


def ordered_table(rows: list[Answer]) -> str:
    """What has not come yet, an order after the other."""
    if not rows:
        return "Nothing is on order."
    columns = ["order", "supplier", "part number", "to come", "unit", "due", "late"]
    keys = ("order", "supplier", "part_number", "quantity", "unit", "due")
    return simple_table("", columns, [(*(r[k] for k in keys), _late(r["late_days"])) for r in rows])


def _late(days: int | None) -> str:
    return f"{days} days" if days else ""


def _money(value: Mapping[str, Any] | None, digits: int = 2) -> str | None:
    """Few digits for the eye; ``--json`` has every one."""
    return None if value is None else f"{_bare(value, digits)} {value['currency']}"


def _bare(value: Mapping[str, Any] | None, digits: int = 2) -> str | None:
    """An amount whose currency stands above it."""
    return None if value is None else f"{float(value['amount']):,.{digits}f}"


def _amount(quantity: Any, unit: str) -> str:
    return f"{quantity}" if unit == "piece" else f"{quantity} {unit}"


def _minute(moment: str) -> str:
    return moment[:16].replace("T", " ")


def _day(moment: str | None) -> str:
    return moment[:10] if moment else ""
