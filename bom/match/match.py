"""The match: every candidate judged against one requirement, and the judged put in order.

Order: verdict, then the narrowest margin (widest first), then available stock, then landed cost, then lifecycle.
Among refused candidates the nearest misses come first: those that fit and connect before those that do not. Of a
refused part it is said first what makes it one of another kind or of another coil voltage (other pins, other units, a
latching coil for one that falls back, AC for DC), since no rating mends that.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from bom.duty.cautions import by_gravity, cautions_for, grave_of_part
from bom.duty.check import duty_findings
from bom.duty.rules import DEFAULT, Rule
from bom.fit.check import fit_findings
from bom.match.part_against_part import alike_findings
from bom.match.requirement import Requirement
from bom.match.spec_bounds import bound_findings
from bom.relays.relay import Design, Relay, Status
from bom.values.finding import Finding, Outcome, Verdict, narrowest_margin, verdict_of, worst_first
from bom.values.money import Money


@dataclass(frozen=True, slots=True)
class Availability:
    """What the shop knows of a part besides its data sheet: pieces available, and what one costs landed."""

    available: Decimal = Decimal(0)
    landed_cost: Money | None = None


@dataclass(frozen=True, slots=True)
class Candidate:
    """One part's verdict, with every finding, the one worst reason first, and the grave cautions of the part itself.

    ``kind`` says how it differs in kind from what is asked, and is empty where it does not.
    """

    relay: Relay
    verdict: Verdict
    findings: tuple[Finding, ...]
    shelf: Availability = Availability()
    cautions: tuple[str, ...] = ()
    kind: str = ""

    @property
    def failures(self) -> int:
        return sum(f.outcome is Outcome.FAIL for f in self.findings)


def judge(requirement: Requirement, design: Design, rule: Rule = DEFAULT) -> Candidate:
    """Prove one part against the requirement: fit, connections and duty; or equal to a part; or inside the bounds."""
    findings = worst_first((*_fit(requirement, design), *_electrical(requirement, design, rule)))
    kind = differs_in_kind(requirement, design, findings)
    said = said_first(requirement, design, kind, findings)
    return Candidate(design.relay, verdict_of(findings), said, cautions=grave_of_part(design), kind=kind)


def verdict_on(requirement: Requirement, design: Design, rule: Rule = DEFAULT) -> Verdict:
    """The verdict ``judge`` gives, where nobody reads the reasons: what does not go in is not asked what it bears."""
    verdict = verdict_of(fit := _fit(requirement, design))
    return verdict if verdict is Verdict.NO else verdict_of((*fit, *_electrical(requirement, design, rule)))


def match(
    requirement: Requirement,
    designs: Iterable[Design],
    shelves: Mapping[tuple[str, str], Availability] | None = None,
    rule: Rule = DEFAULT,
) -> tuple[Candidate, ...]:
    """Every design judged and ranked; the part to be replaced is left out unless a board asks.

    ``shelves`` is by (maker, part number).
    """
    shelves = shelves or {}
    judged = (judge(requirement, d, rule) for d in designs if not _is_the_asked(requirement, d))
    there = ((c, shelves.get((c.relay.maker, c.relay.part_number), Availability())) for c in judged)
    known = (replace(c, shelf=shelf) for c, shelf in there)
    return tuple(sorted(known, key=rank))


def cautions(requirement: Requirement, candidates: Iterable[Candidate], rule: Rule = DEFAULT) -> tuple[str, ...]:
    """What the bench is told next to the verdicts: of the place, the part that was there, those that may serve."""
    usual = cautions_for(requirement.place, requirement.original, rule)
    return by_gravity((*usual, *(text for c in candidates if c.verdict is not Verdict.NO for text in c.cautions)))


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


# A part that fits and connects but is rated too low is nearer than one wired otherwise, that one nearer than one whose
# pins do not go in, and a part of another kind is furthest: a rating may be looked up or made up for, the others not.
# Common practice, no source.
_DISTANCES = {
    "goes in": 2,
    "side of the drawing": 2,
    "connects alike": 1,
    "coil polarity": 1,
    "coil system": 1,
}


def _distance(candidate: Candidate) -> int:
    """How far a refused part is from serving, by what refuses it: 0 ratings, 1 wiring, 2 pins, 3 its kind."""
    if candidate.kind:
        return 3
    return max((_DISTANCES.get(f.check, 0) for f in candidate.findings if f.outcome is Outcome.FAIL), default=0)


_VERDICTS = list(Verdict)
LIFECYCLES: list[Status | None] = [
    Status.ACTIVE,
    Status.NOT_FOR_NEW_DESIGNS,
    None,
    Status.LAST_TIME_BUY,
    Status.OBSOLETE,
]
"""Lifecycles in the order in which candidates are ranked; not stated stands in the middle."""


def rank(candidate: Candidate, margin: float | None = None) -> tuple[object, ...]:
    """What candidates are put in order by; ``margin`` in place of the narrowest of its findings, where given."""
    cost = candidate.shelf.landed_cost
    narrowest = narrowest_margin(candidate.findings) if margin is None else margin
    return (
        _VERDICTS.index(candidate.verdict),
        _distance(candidate),
        candidate.failures,
        -(narrowest if narrowest is not None else 0.0),
        -candidate.shelf.available,
        cost.millionths if cost else float("inf"),
        LIFECYCLES.index(candidate.relay.status),
        candidate.relay.maker,
        candidate.relay.part_number,
    )


# Coil voltages this far apart are other codes of a series (5 and 6 V, 12 and 24 V): common practice, no source.
_ANOTHER_VOLTAGE = 1.15


_GOES_IN = {"goes in", "side of the drawing"}


_COIL_KIND = {"coil system", "coil supply"}


_COIL_WINDOW = {"pull-in when hot", "highest coil volts", "coil power"}


def differs_in_kind(requirement: Requirement, design: Design, found: Iterable[Finding]) -> str:
    """How the part differs in kind from what is asked, as in *5 pins, not 10*; empty where it does not."""
    failed = {f.check for f in found if f.outcome is Outcome.FAIL}
    differences = (*_shape(requirement, design, failed), *_coil(requirement, design, failed)) if failed else ()
    return "; ".join(f"{theirs}, not {ours}" for ours, theirs in differences)


def said_first(requirement: Requirement, design: Design, kind: str, found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The findings, worst first, the worst of them headed by how the part differs in kind, else in coil voltage."""
    if not found or found[0].outcome is not Outcome.FAIL:
        return found
    first = found[0]
    if kind and first.check in _COIL_KIND:
        return (replace(first, why=f"differs in kind: {first.why}"), *found[1:])
    head = f"differs in kind: {kind}" if kind else _other_volts(requirement, design, first.check)
    why = head if kind and first.check in _GOES_IN else f"{head}; {first.why}"
    return (replace(first, why=why), *found[1:]) if head else found


def _shape(requirement: Requirement, design: Design, failed: set[str]) -> Iterator[tuple[str, str]]:
    """Pins, where they do not go in, and units, where these do not or join other nets; asked and given."""
    pins = _pins_asked(requirement)
    if failed & _GOES_IN and design.footprint and pins and len(design.footprint.pins) != pins:
        yield str(pins), _counted(len(design.footprint.pins), "pin")
    wanted = requirement.place.wiring if requirement.place else None
    joins_others = failed & (_GOES_IN | {"connects alike"})
    if joins_others and design.wiring and wanted and len(design.wiring.units) != len(wanted.units):
        yield str(len(wanted.units)), _counted(len(design.wiring.units), "unit")


def _pins_asked(requirement: Requirement) -> int:
    """The pins of the part in place, else one a hole."""
    if requirement.original and requirement.original.footprint:
        return len(requirement.original.footprint.pins)
    return len(requirement.place.pattern.holes) if requirement.place else 0


def _coil(requirement: Requirement, design: Design, failed: set[str]) -> Iterator[tuple[str, str]]:
    old, new = requirement.original.relay if requirement.original else None, design.relay
    if "coil system" in failed and new.coil_system:
        yield (old.coil_system if old and old.coil_system else "as asked"), new.coil_system
    if "coil supply" in failed and new.coil_supply:
        given = new.coil_supply.upper()
        yield "DC" if given == "AC" else "AC", f"{given} coil"


def _other_volts(requirement: Requirement, design: Design, check: str) -> str:
    """At a board, where the coil's window is proved and no voltage is asked by name."""
    if check not in _COIL_WINDOW or requirement.original is None:
        return ""
    ours, theirs = requirement.original.relay.coil_volts, design.relay.coil_volts
    if ours and theirs and max(ours / theirs, theirs / ours) > _ANOTHER_VOLTAGE:
        return f"{theirs:g} V coil, not {ours:g} V"
    return ""


def _counted(number: int, thing: str) -> str:
    return f"{number} {thing}{'' if number == 1 else 's'}"
