"""A replacement by part number, by board position or by spec, with every reason, under the rule of thumb that was asked
for; and why one part that was thought of is not in the list."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.catalogue import CategoryListed, RuleListed
from bom.answers.replacing import Judged, MatchAsked, Matched, WhyPart
from bom.duty.before_parts import BeforeParts, before_parts
from bom.duty.categories import CATEGORIES, DESIGNATION_SOURCE, all_designations
from bom.duty.rules import DEFAULT, TABLES, Rule, compared, joined, rule_named, with_loads
from bom.match.match import Candidate, cautions, judge
from bom.match.necessary_conditions import Condition, OneOf, facts_of, necessary
from bom.match.requirement import Requirement
from bom.shop.narrowing import shelves
from bom.shop.places import design_called, requirement_for
from bom.shop.serving import serving
from bom.shop.shop import Shop
from bom.values.finding import Outcome, Verdict
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def find_replacements(
    session: Session,
    *,
    like_part: str | None = None,
    position: str | None = None,
    spec: Path | None = None,
    rule: str | None = None,
    limit: int | None = None,
) -> Matched:
    """What may serve, ranked.

    A catalogue that is not long is proved whole. In a longer one the first ``limit`` candidates are proved
    (50 where nobody says), and ``more`` counts those that may serve besides: exactly, and in ``counts`` too, where
    ``more_proved``; else those that meet every necessary condition, of which a proof may still refuse some.
    """
    shop, judging = Shop(session), rule_asked(rule)
    return replacements(shop, requirement_for(shop, like_part, position, spec), judging, limit)


def replacements(shop: Shop, requirement: Requirement, rule: Rule, limit: int | None = None) -> Matched:
    """What may serve for a requirement, ranked, in a shop that a job has read of already."""
    page = serving(shop, requirement, rule).page(limit)
    answer = matched(requirement, page.candidates, rule)
    if page.whole:
        return replace(answer, candidates=answer.candidates[:limit])
    proved: Mapping[Verdict, int] = page.rest or {}
    counts = {v: answer.counts[v] + proved.get(v, 0) for v in Verdict} | {Verdict.NO: page.refused}
    return replace(answer, counts=counts, more=page.more, more_proved=page.rest is not None)


def matched(requirement: Requirement, candidates: tuple[Candidate, ...], rule: Rule) -> Matched:
    """The candidates under the rule of thumb they were judged by, with the cautions of the place and of theirs."""
    return Matched(
        requirement=_asked(requirement),
        counts={v: sum(c.verdict is v for c in candidates) for v in Verdict},
        candidates=tuple(map(_judged, candidates)),
        cautions=cautions(requirement, candidates, rule),
        before_parts=_before_parts(requirement),
    )


def _before_parts(requirement: Requirement) -> tuple[BeforeParts, ...]:
    """What to check before the relay is blamed; nothing where no board was asked about."""

    place = requirement.place
    return before_parts(place, requirement.original) if place and place.board.name else ()


def _asked(requirement: Requirement) -> MatchAsked:
    place = requirement.place if requirement.place and requirement.place.board.name else None
    return MatchAsked(
        asked=requirement.asked,
        replaces=requirement.original.relay.part_number if requirement.original else None,
        board=place.board.name if place else None,
        position=place.position.ref if place else None,
        functions=tuple(f.name for f in place.position.functions) if place else (),
        bounds=requirement.bounds,
    )


def _judged(candidate: Candidate) -> Judged:
    return Judged(
        maker=candidate.relay.maker,
        part_number=candidate.relay.part_number,
        status=candidate.relay.status,
        verdict=candidate.verdict,
        findings=candidate.findings,
        available=candidate.shelf.available,
        landed_cost=candidate.shelf.landed_cost,
        cautions=candidate.cautions,
    )


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
    shop, chosen = Shop(session), rule_asked(rule)
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


OWN = ".toml"
SYSTEMS = (12.0, 28.0)


def rule_asked(text: str | None) -> Rule:
    """The rule named, the one in the named .toml file, or several joined by `` + ``; the usual one for nothing.

    One that speaks of coils alone is joined by the usual one, so that loads are still judged.
    """
    if text is None:
        return DEFAULT
    return with_loads(joined(tuple(_one(part.strip()) for part in text.split(" + "))))


def _one(text: str) -> Rule:
    if text.lower().endswith(OWN):
        return _own(Path(text))
    try:
        return rule_named(text)
    except KeyError as error:
        raise Refused(f"{error.args[0]}, or a file of your own, as in bench{OWN}") from error


def _own(file: Path) -> Rule:
    from bom.intake.rule_file import read_rule  # what reads files would cost every match a tenth of its start

    if not file.is_file():
        raise Refused(f"expected a rule file, found none at {file}")
    return read_rule(file)


def list_rules(own: str | None = None) -> list[RuleListed | CategoryListed]:
    """Every rule of thumb, the shop's own among them; then the tables that no one chooses: utilisation categories and
    contact rating designations."""
    tables = (*TABLES, *(_own_ones(own) if own else ()))
    return [*(_row(rule) for rule in tables), *_categories(), *_designations()]


def _categories() -> list[CategoryListed]:

    return [CategoryListed("utilisation category", c.name, c.source, c.prints) for c in CATEGORIES.values()]


def _designations() -> list[CategoryListed]:

    return [
        CategoryListed("contact rating designation", d.name, DESIGNATION_SOURCE, d.prints) for d in all_designations()
    ]


def _own_ones(text: str) -> tuple[Rule, ...]:
    named = [part.strip() for part in text.split(" + ")]
    return tuple(_own(Path(part)) for part in named if part.lower().endswith(OWN))


def _row(rule: Rule) -> RuleListed:
    return RuleListed(
        kind="rule of thumb",
        name=rule.name,
        source=rule.source,
        used_unless_chosen=rule is DEFAULT,
        from_memory=rule.from_memory,
        note=rule.note,
        prints=rule.prints,
        times={f"{volts:g} V": _times(rule, volts) for volts in SYSTEMS},
    )


def _times(rule: Rule, volts: float) -> dict[str, tuple[float, float]]:
    """Lowest and highest figure by load, for the loads on which this rule prints one."""
    loads = dict.fromkeys((*rule.inrush_times, *rule.percent, *(k for t in rule.size_times.values() for k in t)))
    return {load: span for load in loads if (span := compared(load, volts, (rule,)).get(rule.name))}
