"""The match: every candidate judged against one requirement, and the judged put in order.

Order: verdict, then the narrowest margin (widest first), then available stock, then landed cost, then lifecycle.
Among refused candidates the nearest misses come first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from bom.duty.cautions import cautions_for
from bom.duty.check import duty_findings
from bom.duty.rules import DEFAULT, Rule
from bom.fit.check import fit_findings
from bom.match.alike import alike_findings
from bom.match.bounds import bound_findings
from bom.match.requirement import Requirement
from bom.relays.relay import Design, Relay, Status
from bom.values.finding import Finding, Outcome, Verdict, narrowest_margin, verdict_of, worst_first
from bom.values.money import Money


@dataclass(frozen=True, slots=True)
class Shelf:
    """What the shop knows of a part besides its data sheet: pieces available, and what one costs landed."""

    available: Decimal = Decimal(0)
    landed_cost: Money | None = None


@dataclass(frozen=True, slots=True)
class Candidate:
    """One part's verdict, with every finding, the one worst reason first."""

    relay: Relay
    verdict: Verdict
    findings: tuple[Finding, ...]
    shelf: Shelf = Shelf()

    @property
    def failures(self) -> int:
        return sum(f.outcome is Outcome.FAIL for f in self.findings)


def judge(requirement: Requirement, design: Design, rule: Rule = DEFAULT) -> Candidate:
    """Prove one part against the requirement: fit, connections and duty; or equal to a part; or inside the bounds."""
    findings = worst_first((*_fit(requirement, design), *_electrical(requirement, design, rule)))
    return Candidate(design.relay, verdict_of(findings), findings)


def match(
    requirement: Requirement,
    designs: Iterable[Design],
    shelves: Mapping[str, Shelf] | None = None,
    rule: Rule = DEFAULT,
) -> tuple[Candidate, ...]:
    """Every design judged and ranked; the part to be replaced is left out unless a board asks."""
    shelves = shelves or {}
    judged = (judge(requirement, d, rule) for d in designs if not _is_the_asked(requirement, d))
    known = (Candidate(c.relay, c.verdict, c.findings, shelves.get(c.relay.part_number, Shelf())) for c in judged)
    return tuple(sorted(known, key=_rank))


def cautions(requirement: Requirement, candidates: Iterable[Candidate]) -> tuple[str, ...]:
    """What the bench is told next to the verdicts; see ``bom.duty.cautions``."""
    return tuple(cautions_for(requirement.place, requirement.original))


def _is_the_asked(requirement: Requirement, design: Design) -> bool:
    asked = requirement.original
    from_board = requirement.place is not None and requirement.place.board.name
    return asked is not None and not from_board and design.relay == asked.relay


def _fit(requirement: Requirement, design: Design) -> tuple[Finding, ...]:
    if requirement.place is None:
        return (NOT_PLACED if requirement.original is None else _no_drawing(requirement.original),)
    findings, _ = fit_findings(design, requirement.place, requirement.original)
    return tuple(findings)


NOT_PLACED = Finding(
    "goes in",
    Outcome.CONDITION,
    "a spec names no holes and no nets: hold its drawing against the board before fitting",
    "a board position",
    "not stated",
    None,
    "the spec",
)


def _no_drawing(original: Design) -> Finding:
    why = f"{original.relay.part_number} has no footprint in the catalogue: measure its pins"
    return Finding("goes in", Outcome.UNKNOWN, why, "the original's holes", "not stated")


def _electrical(requirement: Requirement, design: Design, rule: Rule) -> tuple[Finding, ...]:
    if requirement.place is not None and requirement.place.board.name:
        return tuple(duty_findings(design, requirement.place, requirement.original, rule))
    if requirement.original is not None:
        return alike_findings(design, requirement.original)
    return bound_findings(design, requirement.bounds)


_VERDICTS = list(Verdict)
_STATUSES: list[Status | None] = [
    Status.ACTIVE,
    Status.NOT_FOR_NEW_DESIGNS,
    None,
    Status.LAST_TIME_BUY,
    Status.OBSOLETE,
]


def _rank(candidate: Candidate) -> tuple[object, ...]:
    cost = candidate.shelf.landed_cost
    margin = narrowest_margin(candidate.findings)
    return (
        _VERDICTS.index(candidate.verdict),
        any(f.check == "goes in" and f.outcome is Outcome.FAIL for f in candidate.findings),
        candidate.failures,
        -(margin if margin is not None else 0.0),
        -candidate.shelf.available,
        cost.millionths if cost else float("inf"),
        _STATUSES.index(candidate.relay.status),
        candidate.relay.maker,
        candidate.relay.part_number,
    )
