"""Knows how a relay that was just stated looks in a terminal: its card, what was made of the drawing, how it differs
from what it is like, and what every blank costs."""

from __future__ import annotations

from collections.abc import Iterator

from bom.answers.catalogue import RelayStated
from bom.match.blank_costs import USUAL
from bom.paper.terminal.relays import stated_of
from bom.paper.terminal.tables import Column, table
from bom.values.finding import Outcome


def stated_card(answer: RelayStated) -> str:
    """The card as understood; what it leaves blank is said with its cost, the usual places first."""
    return "\n".join(part for part in (stated_of(answer.relay), *_besides(answer)) if part)


def _besides(answer: RelayStated) -> Iterator[str]:
    if answer.differs:
        said = "\n".join(f"  {change}" for change in answer.differs)
        yield f"Like {answer.like}, but:\n{said}\n"
    yield "".join(f"{note}\n" for note in (*answer.notes, *_new(answer)))
    yield _blanks(answer)


def _new(answer: RelayStated) -> Iterator[str]:
    for kind, name in (("footprint", answer.new_footprint), ("wiring", answer.new_wiring)):
        if name:
            yield f"new {kind}: {name}"


def _blanks(answer: RelayStated) -> str:
    """A line for each place and outcome: the blanks, and what waits for them."""
    if not answer.blanks:
        return ""
    groups: dict[tuple[str, str], tuple[list[str], list[str]]] = {}
    for blank in answer.blanks:
        columns, checks = groups.setdefault((blank.outcome, blank.where), ([], []))
        columns.append(blank.column)
        checks.extend(check for check in blank.checks if check not in checks)
    rows = [
        (Outcome(outcome), where, ", ".join(columns), ", ".join(checks))
        for (outcome, where), (columns, checks) in sorted(groups.items(), key=lambda group: group[0][1] not in USUAL)
    ]
    headings = (
        Column("at best"),
        Column("where", prose=True),
        Column("blank", prose=True),
        Column("so not answered", prose=True),
    )
    first = "Left blank, so no drop-in on any board" if _never(answer) else "Left blank, and what it costs"
    return f"{first}\n" + table(headings, rows)


def _never(answer: RelayStated) -> bool:
    return any(b.where == "on any board" and b.outcome == Outcome.UNKNOWN for b in answer.blanks)
