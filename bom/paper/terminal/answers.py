"""How matches, relays found, problems and a lot's trace look in a terminal, all made from what ``--json`` prints."""

from __future__ import annotations

from typing import Any

from bom.paper.terminal.board_tables import apart
from bom.paper.terminal.tables import match_table as candidates_table
from bom.paper.terminal.tables import money, simple_table
from bom.paper.terminal.take_care import take_care

Answer = dict[str, Any]
NEAR_MISSES = 8


def facts_table(answer: Answer) -> str:
    """Names and values, a line each; lists one item a line."""
    rows = [
        (k.replace("_", " "), "; ".join(map(str, v)) or "none" if isinstance(v, list) else v) for k, v in answer.items()
    ]
    return simple_table("", ["", ""], rows)


def problems_table(answer: Answer) -> str:
    """Every problem with its place, or that there is none."""
    notes = "".join(f"note: {note}\n" for note in answer["notes"])
    if not answer["problems"]:
        return notes + f"{answer['folder']}: {answer['relays']} relays, no problem found"
    rows = [(p["file"], p["line"] or "", p["column"], p["expected"], p["found"]) for p in answer["problems"]]
    title = "1 problem" if len(rows) == 1 else f"{len(rows)} problems"
    return notes + simple_table(title, ["file", "line", "column", "expected", "found"], rows)


def relays_table(rows: list[Answer]) -> str:
    """Relays found, a line each."""
    if not rows:
        return "No relay was found."
    columns = ("maker", "part_number", "coil_volts", "coil_ohms", "units", "contacts", "pins", "status")
    shown = [[row[c] for c in columns] for row in rows]
    return simple_table("", [c.replace("_", " ") for c in columns], shown)


def _word(verdict: str) -> str:
    return verdict.replace("_", "-")


def match_table(answer: Answer, *, every: bool = False) -> str:
    """Candidates that may serve, then the nearest misses, then the cautions."""
    serve = [c for c in answer["candidates"] if c["verdict"] != "no"]
    refused = [c for c in answer["candidates"] if c["verdict"] == "no"]
    shown = refused if every else refused[:NEAR_MISSES]
    asked = answer["requirement"]["asked"]
    head = f"What may serve {asked}: {_counted(answer)}\n{_not_proved_yet(answer)}"
    more = answer.get("counts", {}).get("no", len(refused)) - len(shown)
    rest = "--why PART says why one is" if "more" in answer else "--all shows them"
    tail = f"... and {more} more refused; {rest}.\n" if more else ""
    body = _candidates(serve)
    misses = "Refused, nearest first\n" + _candidates(shown) if shown else ""
    return head + body + misses + tail + apart(take_care(answer["cautions"])) + _before(answer)


def _before(answer: Answer) -> str:
    """Where the checks stand that come before a part is blamed: they are many, and a board's own."""
    groups = answer.get("before_parts") or []
    steps = max((len(group["steps"]) for group in groups), default=0)
    where = f"bom board show {answer['requirement']['board']}"
    return f"\nBefore a part is blamed: {steps} checks in their order, {where}\n" if steps else ""


def _not_proved_yet(answer: Answer) -> str:
    """How many more there are than are shown of a long catalogue: counted exactly, or no more than so many."""
    if not (more := answer.get("more")):
        return ""
    shown = sum(c["verdict"] != "no" for c in answer["candidates"])
    if answer.get("more_proved"):
        return f"The best {shown} are shown; {more} more are not refused: --limit {shown + more} shows them all.\n"
    return f"The best {shown} are proved; at most {more} more may serve, not proved yet: --limit proves more.\n"


def _candidates(candidates: list[Answer]) -> str:
    shown = [{**c, "landed_cost": money(c["landed_cost"]) if c["landed_cost"] else None} for c in candidates]
    return candidates_table({"candidates": shown, "cautions": []})


def _counted(answer: Answer) -> str:
    """How many of each verdict there are in all, however many are shown."""
    words = ("drop_in", "conditional", "unknown", "no")
    found = answer.get("counts") or {w: sum(c["verdict"] == w for c in answer["candidates"]) for w in words}
    counts = [(found.get(w, 0), _word(w)) for w in words]
    return ", ".join(f"{n} {w}" for n, w in counts)


def trace_table(answer: Answer) -> str:
    """A lot's own facts, then its entries in order."""
    lot = {k.replace("_", " "): v for k, v in answer["lot"].items() if v not in (None, "")}
    moves = [(m["when"], m["kind"], m["quantity"], m["reason"], m["reference"]) for m in answer["moves"]]
    return facts_table({k: money(v) for k, v in lot.items()}) + simple_table(
        "Entries", ["when", "kind", "quantity", "for", "into"], moves
    )
