"""How *why this part?* and a whole board at a glance look in a terminal: verdict, what is against it, what passed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from bom.paper.terminal.tables import simple_table
from bom.paper.terminal.take_care import in_a_line, take_care
from bom.values.finding import Outcome

Finding = dict[str, Any]
_COUNTED = (("fail", "against it"), ("unknown", "unknown"), ("condition", "with a condition"), ("pass", "passed"))


def why_table(answer: dict[str, Any]) -> str:
    """One part's findings: what is no pass with its reason and source, the worst first, then the rest in short."""
    candidate = answer["candidates"][0]
    findings = candidate["findings"]
    open_ones = [f for f in findings if f["outcome"] != Outcome.PASS]
    passed = [f for f in findings if f["outcome"] == Outcome.PASS]
    unread = "; ".join(answer["why"]["left_unread"])
    search = f"A search of a long catalogue leaves it unread: {unread}.\n" if unread else ""
    parts = (_open(open_ones) + search, take_care(answer["cautions"]), *_passed(passed))
    return _head(answer, candidate) + "\n\n".join(part.strip("\n") for part in parts if part) + "\n"


def glance_table(answer: dict[str, Any]) -> str:
    """A whole board: each position with the best that was found for it."""
    rows = [(p["position"], ", ".join(p["functions"]), _nearest(p)) for p in answer["positions"]]
    return simple_table(answer["title"], ["position", "functions", "nearest"], rows) + in_a_line(answer["cautions"])


def _nearest(position: dict[str, Any]) -> str:
    if not position["part_number"]:
        return "nothing found"
    return f"{position['maker']} {position['part_number']}: {position['verdict'].replace('_', '-')}"


def _head(answer: dict[str, Any], candidate: dict[str, Any]) -> str:
    verdict = candidate["verdict"].replace("_", "-")
    counts = ", ".join(f"{answer['why'][name]} {words}" for name, words in _COUNTED if answer["why"][name])
    part = f"{candidate['maker']} {candidate['part_number']}"
    return f"{part} {answer['requirement']['asked']}: {verdict} ({counts})\n"


def _open(findings: list[Finding]) -> str:
    rows = [(Outcome(f["outcome"]), f["check"], f["required"], f["offered"], _why(f)) for f in findings]
    return simple_table("", ["outcome", "check", "required", "offered", "why"], rows) if rows else ""


def _why(finding: Finding) -> str:
    return f"{finding['why']} [{finding['source']}]" if finding["source"] else finding["why"]


def _passed(findings: list[Finding]) -> tuple[str, str]:
    """Those with room to tell, functions that come to the same in one row; the rest by name only."""
    measured = _alike(f for f in findings if f["margin"] is not None)
    rows = [(_name(names), f["required"], f["offered"], _room(f["margin"])) for names, f in measured]
    plain = dict.fromkeys(f["check"].partition(", ")[0] for f in findings if f["margin"] is None)
    return (
        simple_table("Passed, the narrowest first", ["check", "required", "offered", "room"], rows) if rows else "",
        simple_table("", ["", ""], [("passed too", ", ".join(plain))]) if plain else "",
    )


def _alike(findings: Iterable[Finding]) -> list[tuple[list[str], Finding]]:
    """Findings of one check with the same figures, with the names they go by."""
    rows: dict[object, tuple[list[str], Finding]] = {}
    for f in findings:
        key = (f["check"].partition(", ")[0], f["required"], f["offered"], f["margin"])
        rows.setdefault(key, ([], f))[0].append(f["check"])
    return list(rows.values())


def _name(names: list[str]) -> str:
    check, _, function = names[0].partition(", ")
    return names[0] if len(names) == 1 or not function else f"{check}, {len(names)} functions"


def _room(margin: float | None) -> str:
    return "" if margin is None else f"{margin:+.0%}"
