"""The tech's job: a replacement by part number, by board position or by spec, with every reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.replacing import Judged, MatchAsked, Matched
from bom.match.match import Candidate, cautions
from bom.match.requirement import Requirement
from bom.shop.places import requirement_for
from bom.shop.serving import serving
from bom.shop.shop import Shop
from bom.values.finding import Verdict

if TYPE_CHECKING:
    from bom.duty.before_parts import BeforeParts
    from bom.duty.rules import Rule
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
    shop, judging = Shop(session), rule_called(rule)
    return replacements(shop, requirement_for(shop, like_part, position, spec), judging, limit)


def replacements(shop: Shop, requirement: Requirement, rule: Rule, limit: int | None = None) -> Matched:
    """The same for a requirement, in a shop that others have read of."""
    page = serving(shop, requirement, rule).page(limit)
    answer = matched(requirement, page.candidates, rule)
    if page.whole:
        return replace(answer, candidates=answer.candidates[:limit])
    proved: Mapping[Verdict, int] = page.rest or {}
    counts = {v: answer.counts[v] + proved.get(v, 0) for v in Verdict} | {Verdict.NO: page.refused}
    return replace(answer, counts=counts, more=page.more, more_proved=page.rest is not None)


def rule_called(name: str | None) -> Rule:
    """The rule of thumb of this name, or in this file, else the usual one."""
    from bom.jobs.replacing.rules import rule_asked

    return rule_asked(name)


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
    from bom.duty.before_parts import before_parts

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
