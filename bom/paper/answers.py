"""How each command's answer looks in a terminal, made from the same mapping that ``--json`` prints."""

from __future__ import annotations

from typing import Any

from bom.paper.tables import findings_table, simple_table
from bom.paper.tables import match_table as candidates_table
from bom.paper.tables import relay_card as card

Answer = dict[str, Any]
NEAR_MISSES = 8
UNIT_DIGITS = 4  # a piece may cost fractions of a cent


def facts_table(answer: Answer) -> str:
    """Names and values, a line each; lists one item a line."""
    rows = [
        (k.replace("_", " "), "; ".join(map(str, v)) or "none" if isinstance(v, list) else v) for k, v in answer.items()
    ]
    return simple_table("", ["", ""], rows)


def problems_table(answer: Answer) -> str:
    """Every problem with its place, or that there is none."""
    if not answer["problems"]:
        return f"{answer['folder']}: {answer['relays']} relays, no problem found"
    rows = [(p["file"], p["line"] or "", p["column"], p["expected"], p["found"]) for p in answer["problems"]]
    return simple_table(f"{len(rows)} problems", ["file", "line", "column", "expected", "found"], rows)


def relays_table(rows: list[Answer]) -> str:
    """Relays found, a line each."""
    if not rows:
        return "No relay was found."
    columns = ("maker", "part_number", "coil_volts", "coil_ohms", "units", "contacts", "pins", "status")
    shown = [[row[c] for c in columns] for row in rows]
    return simple_table("", [c.replace("_", " ") for c in columns], shown)


def relay_card(answer: Answer) -> str:
    """Everything stated, then what is not."""
    missing = ", ".join(k.replace("_", " ") for k in answer["not_stated"])
    shown = card({k: v for k, v in answer.items() if k != "not_stated"})
    return shown + (f"Not stated: {missing}\n" if missing else "")


def identified_table(answer: Answer) -> str:
    """What the reading comes to, every relay it may be, what to measure next."""
    head = f"The coil is {answer['ohms_at_20']} Ω at 20 °C.\n"
    rows = [
        (c["maker"], c["part_number"], c["coil_ohms"], f"{c['off']:+.1%}", "; ".join(c["assumed"]))
        for c in answer["candidates"]
    ]
    table = (
        simple_table("May be", ["maker", "part number", "coil Ω", "off", "assumed"], rows)
        if rows
        else "No relay fits.\n"
    )
    tail = f"Measure next: {answer['measure_next']}" if answer["measure_next"] else ""
    return head + table + tail


def board_table(board: Answer) -> str:
    """A board's positions with their functions and loads, its repairs and cautions."""
    rows = [
        (p["ref"], p["fitted"], f["name"], f"{f['unit']} {f['contact']}", _load(f["load"]))
        for p in board["positions"]
        for f in p["functions"]
    ]
    repairs = [(r["name"], ", ".join(r["positions"]), "; ".join(r["symptoms"])) for r in board["repairs"]]
    return (
        simple_table(f"{board['name']}  {board['title']}", ["position", "fitted", "function", "contact", "load"], rows)
        + simple_table("Repairs", ["repair", "positions", "symptoms"], repairs)
        + _cautions(board["cautions"])
    )


def _load(load: Answer) -> str:
    parts = [load["kind"], _with(load["volts"], "V"), _with(load["amps"], "A")]
    parts.append(f"stall {load['stall_amps']} A" if load["stall_amps"] is not None else "")
    return " ".join(p for p in parts if p)


def _with(value: object, unit: str) -> str:
    return "" if value is None else f"{value} {unit}"


def _cautions(cautions: list[str]) -> str:
    return simple_table("Cautions", ["", ""], [("!", c) for c in cautions]) if cautions else ""


def board_check_table(answer: Answer) -> str:
    """A verdict for each position, then every finding that is no pass."""
    shown = ""
    for position in answer["positions"]:
        open_ones = [f for f in position["findings"] if f["outcome"] != "pass"]
        passed = len(position["findings"]) - len(open_ones)
        fitted = position["fitted"] or "nothing fitted"
        title = f"{answer['board']}:{position['ref']}  {fitted}: {_word(position['verdict'])}"
        shown += f"{title} ({passed} checks passed)\n"
        shown += findings_table(open_ones) if open_ones else ""
    return shown


def _word(verdict: str) -> str:
    return verdict.replace("_", "-")


def rules_table(rules: list[Answer]) -> str:
    """Rules of thumb by name, with where they are published."""
    return simple_table("Rules of thumb", ["name", "source"], [(r["name"], r["source"]) for r in rules])


def fit_table(answer: Answer) -> str:
    """The fit in words, and which pin goes into which hole."""
    lines = [f"{answer['outcome']}: {answer['why']}"]
    if answer["assignment"]:
        lines.append(f"turned by {answer['rotation_deg']:.2f}°, smallest play {answer['play_mm']:.3f} mm")
        lines += [f"  {pin} -> {hole}" for pin, hole in answer["assignment"].items()]
    return "\n".join(lines)


def match_table(answer: Answer, *, every: bool = False) -> str:
    """Candidates that may serve, then the nearest misses, then the cautions."""
    serve = [c for c in answer["candidates"] if c["verdict"] != "no"]
    refused = [c for c in answer["candidates"] if c["verdict"] == "no"]
    shown = refused if every else refused[:NEAR_MISSES]
    asked = answer["requirement"]["asked"]
    head = f"What may serve {asked}: {_counted(answer['candidates'])}\n"
    more = len(refused) - len(shown)
    tail = f"... and {more} more refused; --all shows them.\n" if more else ""
    body = _candidates(serve)
    misses = "Refused, nearest first\n" + _candidates(shown) if shown else ""
    return head + body + misses + tail + _cautions(answer["cautions"])


def _candidates(candidates: list[Answer]) -> str:
    shown = [{**c, "landed_cost": _money(c["landed_cost"]) if c["landed_cost"] else None} for c in candidates]
    return candidates_table({"candidates": shown, "cautions": []})


def _counted(candidates: list[Answer]) -> str:
    words = ("drop_in", "conditional", "unknown", "no")
    counts = [(sum(c["verdict"] == w for c in candidates), _word(w)) for w in words]
    return ", ".join(f"{n} {w}" for n, w in counts)


def kits_table(kits: list[Answer]) -> str:
    """Each kit line by line, what one costs and leaves, how many can be made up now."""
    return "\n".join(map(_kit, kits))


def _kit(kit: Answer) -> str:
    rows = [row for line in kit["lines"] for row in _kit_rows(line, 0)]
    title = f"{kit['kit']}, {kit['batch']} together"
    table = simple_table(title, ["line", "part number", "quantity", "unit", "each", "cost", "by"], rows)
    sale = kit["sale"] or {}
    figures = [("one kit costs", _money(kit["per_kit"]))]
    figures += [(name.replace("_", " "), _money(value)) for name, value in sale.items()]
    figures += [("can be made up now", kit["can_make_now"])]
    unknown = "".join(f"? {why}\n" for why in kit["unknown"])
    return table + unknown + simple_table("", ["", ""], figures)


def _kit_rows(line: Answer, depth: int) -> list[tuple[Any, ...]]:
    name = "  " * depth + line["line"]
    each = _money(line["each"], UNIT_DIGITS) if line["each"] else None
    cost = _money(line["cost"])
    row = (name, line["part_number"], line["needed"], line["unit"], each, cost, line["why"])
    return [row, *(inner for one in line["inside"] for inner in _kit_rows(one, depth + 1))]


def _money(value: Any, digits: int = 2) -> Any:
    """Money in few digits for the eye; ``--json`` has every one. A figure that nobody knows says so."""
    if isinstance(value, dict) and set(value) == {"amount", "currency"}:
        return f"{float(value['amount']):.{digits}f} {value['currency']}"
    return "not known" if value is None else value


def pick_table(answer: Answer) -> str:
    """The pick list by drawer, or what is missing."""
    if answer["missing"]:
        lacking = [(" or ".join(m["parts"]), m["quantity"]) for m in answer["missing"]]
        return simple_table(f"Missing for {answer['count']} x {answer['kit']}", ["part number", "quantity"], lacking)
    picks = sorted(answer["picks"], key=lambda p: (p["drawer"], p["part_number"]))
    rows = [(p["drawer"], p["part_number"], p["lot"], p["quantity"]) for p in picks]
    made = f", kit lot {answer['kit_lot']}" if answer["kit_lot"] else " (nothing booked)"
    title = f"{answer['count']} x {answer['kit']}{made}"
    return simple_table(title, ["drawer", "part number", "lot", "quantity"], rows)


def refreshed_table(answer: list[Answer]) -> str:
    """Each supplier's list: how many offers, and what was said."""
    rows = [(a["supplier"], "failed" if a["failed"] else a["offers"], "; ".join(a["notes"])) for a in answer]
    return simple_table("", ["supplier", "offers", "notes"], rows)


def trace_table(answer: Answer) -> str:
    """A lot's own facts, then its entries in order."""
    lot = {k.replace("_", " "): v for k, v in answer["lot"].items() if v not in (None, "")}
    moves = [(m["when"], m["kind"], m["quantity"], m["reason"], m["reference"]) for m in answer["moves"]]
    return facts_table({k: _money(v) for k, v in lot.items()}) + simple_table(
        "Entries", ["when", "kind", "quantity", "for", "into"], moves
    )


def plan_table(answer: Answer) -> str:
    """What to order from whom, each order's sums, then the plan against the habits it is better than."""
    if answer["status"] == "infeasible":
        return "infeasible: no order over these offers serves every need\n" + _left_out(answer)
    orders = "".join(_order(order) for order in answer.get("orders", []))
    return (orders or _bare_order(answer)) + _plan_figures(answer) + _left_out(answer)


def _order(order: Answer) -> str:
    rows = [
        (
            line["supplier_code"],
            line["part_number"],
            line["maker"],
            line["quantity"],
            _money(line["unit_price"], UNIT_DIGITS),
            _money(line["cost"]),
            line["why"],
        )
        for line in order["lines"]
    ]
    columns = ["code", "part number", "maker", "quantity", "unit price", "line total", "why"]
    sums = ", ".join(
        f"{k.replace('_', ' ')} {order[k]:.2f}" for k in ("goods", "shipping", "import_fee", "tax", "total")
    )
    return simple_table(order["supplier"], columns, rows) + f"{sums}\n"


def _bare_order(answer: Answer) -> str:
    return simple_table("", ["offer", "quantity"], list(answer["order"].items()))


def _plan_figures(answer: Answer) -> str:
    unit = f" {answer['currency']}" if "currency" in answer else ""
    figures = [
        (f"landed cost, {answer['status']}", f"{answer['cost']:.2f}{unit}"),
        ("no order is cheaper than", f"{answer['bound']:.2f}{unit}"),
    ]
    for habit, cost in answer.get("compared_with", {}).items():
        figures.append((habit, "cannot be placed" if cost is None else f"{cost:.2f}{unit}"))
    return simple_table("", ["", ""], figures)


def _left_out(answer: Answer) -> str:
    return "".join(f"left out: {reason}\n" for reason in answer.get("left_out", []))
