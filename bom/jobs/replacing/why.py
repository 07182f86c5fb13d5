"""Why is the part I thought of not in the list? One part proved against what was asked, with every finding.

Nothing is narrowed here, so a part that a search would leave unread is judged all the same, and it says by what.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.replacing import Matched, WhyPart
from bom.jobs.replacing.matching import matched, rule_called
from bom.match.match import Candidate, judge
from bom.match.necessary_conditions import Condition, OneOf, facts_of, necessary
from bom.match.requirement import Requirement
from bom.shop.places import design_called, requirement_for
from bom.shop.prices import shelves
from bom.shop.shop import Shop
from bom.values.finding import Outcome

if TYPE_CHECKING:
    from bom.duty.rules import Rule
    from bom.store.unit_of_work import Session


def why_part(
    session: Session,
    part: str,
    *,
    like_part: str | None = None,
    position: str | None = None,
    spec: Path | None = None,
    rule: str | None = None,
) -> Matched:
    """A match of this part alone; ``why`` names the part and counts its findings."""
    shop, chosen = Shop(session), rule_called(rule)
    requirement = requirement_for(shop, like_part, position, spec)
    found = judge(requirement, design_called(shop, part), chosen)
    relay = found.relay
    there = shelves(shop, [relay]).get((relay.maker, relay.part_number), found.shelf)
    judged = replace(found, shelf=there)
    why = WhyPart(relay.maker, relay.part_number, _outcomes(judged), _left_unread(requirement, judged, chosen))
    return replace(matched(requirement, (judged,), chosen), why=why)


def _left_unread(requirement: Requirement, candidate: Candidate, rule: Rule) -> tuple[str, ...]:
    """The conditions for which a search of a long catalogue would leave this part unread, in words."""
    facts = facts_of(candidate.relay)
    return tuple(_words(c, facts[c.column]) for c in necessary(requirement, rule) if not c.holds(facts))


_DERIVED = {
    "operate_volts_20": "operate volts at 20 °C",
    "least_ohms_20": "least coil ohms at 20 °C",
    "coil_amps": "coil amps",
    "height_mm": "height with standoff, mm",
}


def _words(condition: Condition, value: object) -> str:
    name = _DERIVED.get(condition.column, condition.column.replace("_", " "))
    if isinstance(condition, OneOf):
        wanted = " or ".join(sorted(condition.values)) or "nothing that there is"
        return f"{name} must be {wanted}, is {value}"
    side = "at least" if condition.least else "at most"
    return f"{name} must be {side} {condition.limit:.4g}, is {value:.4g}"


def _outcomes(candidate: Candidate) -> dict[Outcome, int]:
    outcomes = [f.outcome for f in candidate.findings]
    return {one: outcomes.count(one) for one in (Outcome.FAIL, Outcome.UNKNOWN, Outcome.CONDITION, Outcome.PASS)}
