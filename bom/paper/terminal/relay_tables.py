"""Knows how a relay that was identified on the bench looks in a terminal."""

from __future__ import annotations

from typing import Any

from bom.paper.terminal.tables import simple_table
from bom.paper.terminal.take_care import take_care

Answer = dict[str, Any]
SHOWN = 20


def identified_table(answer: Answer) -> str:
    """What the reading comes to, every relay it may be, the near misses, what to measure next, the cautions."""
    ohms = answer["ohms_at_20"]
    head = _SILENT if ohms is None else f"The coil is {ohms} Ω at 20 °C.\n"
    may_be = _candidates("May be", answer["candidates"]) or "No relay in the catalogue fits all that was measured.\n"
    return head + may_be + _missed(answer["near_misses"]) + _next(answer) + "\n" + take_care(answer["cautions"])


_SILENT = "The coil told nothing, open or not measured: these are by the rest alone.\n"


def _off(share: float | None) -> str:
    return "–" if share is None else f"{share:+.1%}"


def _candidates(title: str, candidates: list[Answer]) -> str:
    columns = ["maker", "part number", "coil Ω", "off", "fits", "not stated", "assumed"]
    rows = [
        (
            c["maker"],
            c["part_number"],
            c["coil_ohms"],
            _off(c["off"]),
            ", ".join(c["fits"]),
            ", ".join(c["not_stated"]),
            "; ".join(c["assumed"]),
        )
        for c in candidates[:SHOWN]
    ]
    more = len(candidates) - len(rows)
    tail = f"... and {more} more; --json names them.\n" if more > 0 else ""
    return simple_table(title, columns, rows) + tail if rows else ""


def _missed(candidates: list[Answer]) -> str:
    """Those that miss in one thing, and by what."""
    rows = [
        (c["maker"], c["part_number"], _off(c["off"]), m["what"], m["measured"], m["stated"])
        for c in candidates
        for m in c["misses"]
    ]
    columns = ["maker", "part number", "coil off", "does not fit", "measured", "stated"]
    return simple_table("Nearly: one thing does not fit", columns, rows) if rows else ""


def _next(answer: Answer) -> str:
    """The next measurement, with how many relays it and the others would leave."""
    if not answer["measure_next"]:
        return ""
    left = "".join(
        f"  {t['measure']}: leaves {t['leaves_on_average']:g} of {len(answer['candidates'])} on average\n"
        for t in answer["telling"]
    )
    return f"Measure next: {answer['measure_next']}\n{left}"
