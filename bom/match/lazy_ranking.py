"""Proving in rank order: only what may still come before the proved is proved, so the first page comes at once.

Every part waits under the best rank it can come to. The foremost of all is taken: a proved part is next in the list,
an unproved one is proved and waits again under its true rank, a group is opened for its best parts. Ratings are
stated for a series, so what they alone let a part come to is worked out once for thousands of relays.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass, field, fields, replace
from heapq import heapify, heappop, heappush
from itertools import count
from operator import attrgetter
from typing import Any

from bom.duty.check import contact_findings
from bom.duty.rules import DEFAULT, Rule
from bom.match.match import Availability, Candidate, judge, rank, verdict_on
from bom.match.necessary_conditions import Promise
from bom.match.part_against_part import rating_findings
from bom.match.requirement import Requirement
from bom.match.spec_bounds import bound_findings
from bom.relays.relay import Design, Rating, Relay
from bom.relays.wiring import Wiring
from bom.values.finding import Finding, Verdict, narrowest_margin, verdict_of

Rank = tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Unproved:
    """One part and the best rank it can come to."""

    design: Design
    best: Rank


@dataclass(frozen=True, slots=True)
class Unopened:
    """Parts not read yet, the best rank that any of them can come to, and how to read on: parts, then the rest."""

    best: Rank
    open: Callable[[], Iterable[Unproved | Unopened]]


@dataclass(slots=True)
class Prover:
    """Proves parts against one requirement; parts alike in every fact are proved once."""

    requirement: Requirement
    rule: Rule = DEFAULT
    shelves: dict[tuple[str, str], Availability] = field(default_factory=dict)
    proved: dict[Hashable, Candidate] = field(default_factory=dict)
    verdicts: dict[Hashable, Verdict] = field(default_factory=dict)
    refused: list[Candidate] = field(default_factory=list)
    facts: Callable[[Relay], Hashable] = field(init=False)

    def __post_init__(self) -> None:
        """A name, a series and a lifecycle are no facts, unless the requirement asks for them."""
        bounds = self.requirement.bounds
        self.facts = attrgetter(*(f.name for f in fields(Relay) if f.name not in _NAMES or f.name in bounds))

    def candidate(self, design: Design) -> Candidate:
        """The part judged, with its findings."""
        alike = (self.facts(design.relay), design.ratings)
        found = self.proved.get(alike)
        if found is None:
            found = self.proved[alike] = judge(self.requirement, design, self.rule)
        shelf = self.shelves.get((design.relay.maker, design.relay.part_number), Availability())
        proved = replace(found, relay=design.relay, shelf=shelf)
        if proved.verdict is Verdict.NO:
            self.refused.append(proved)
        return proved

    def verdict(self, design: Design) -> Verdict:
        """The part's verdict without its findings: whose the ratings are, and who says so, is no matter to it."""
        alike = (self.facts(design.relay), tuple(map(FIGURES, design.ratings)))
        found = self.verdicts.get(alike)
        if found is None:
            found = self.verdicts[alike] = verdict_on(self.requirement, design, self.rule)
        return found


_NAMES = ("maker", "part_number", "series", "status")
FIGURES = attrgetter(*(f.name for f in fields(Rating) if f.name not in ("applies_to", "source")))
"""A rating's figures: what it says, whomever it is said of."""


class Queue:
    """Parts that wait, under the best rank each can come to."""

    def __init__(self, waiting: Iterable[Unproved | Unopened], prover: Prover) -> None:
        self.prover, self.numbers = prover, count()
        self.heap: list[tuple[Rank, int, int, Any]] = [(w.best, 1, next(self.numbers), w) for w in waiting]
        heapify(self.heap)

    def in_rank_order(self) -> Iterator[Candidate]:
        """Every part, best first, each proved no sooner than it must be; the refused come last."""
        while self.heap:
            first = heappop(self.heap)[-1]
            if isinstance(first, Candidate):
                yield first
            elif isinstance(first, Unproved):
                proved = self.prover.candidate(first.design)
                heappush(self.heap, (rank(proved), 0, next(self.numbers), proved))
            else:
                for one in first.open():
                    heappush(self.heap, (one.best, 1, next(self.numbers), one))

    def verdicts(self) -> Iterator[Verdict]:
        """What all that still wait come to, in no order, which takes less."""
        waiting = [row[-1] for row in self.heap]
        self.heap.clear()
        while waiting:
            one = waiting.pop()
            if isinstance(one, Unopened):
                waiting += one.open()
            else:
                yield one.verdict if isinstance(one, Candidate) else self.prover.verdict(one.design)


def best_rank(promise: Promise, relay: Relay, shelf: Availability | None = None) -> Rank:
    """The rank of a part that comes to what it promises; empty names come before all others."""
    return rank(Candidate(relay, promise.verdict, (), shelf or Availability()), promise.margin)


# What is judged by ratings and loads alone, whatever else a sheet states.
_CHECKS = ("running current", "start", "stall", "stop at its end", "rating temperature", "inductance")
_AMPS = ("min_make_amps", "min_break_amps")


def by_ratings(
    requirement: Requirement, wiring: Wiring | None, ratings: tuple[Rating, ...], rule: Rule = DEFAULT
) -> Promise:
    """The best that any relay with this wiring and these ratings can come to."""
    found = _findings(requirement, Design(Relay("", ""), None, wiring, ratings), rule)
    margin = narrowest_margin(found)
    return Promise(verdict_of(found) if found else Verdict.DROP_IN, float("inf") if margin is None else margin)


def _findings(requirement: Requirement, design: Design, rule: Rule) -> tuple[Finding, ...]:
    place = requirement.place
    if place is not None and place.board.name:
        found = contact_findings(design, place, rule, requirement.original)
        return tuple(f for f in found if f.check.split(", ")[0] in _CHECKS)
    if requirement.original is not None:
        return tuple(rating_findings(design, requirement.original))
    asked = {name: value for name, value in requirement.bounds.items() if name in _AMPS}
    helpers = {name: value for name, value in requirement.bounds.items() if name.startswith("load")}
    return bound_findings(design, asked | helpers) if asked else ()
