"""Proving in rank order: only what may still come before the proved is proved, so the first page comes at once.

Every part waits under the best rank it can come to. The foremost of all is taken: a proved part is next in the list, an
unproved one is proved and waits again under its true rank, a group is opened for its best parts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from heapq import heapify, heappop, heappush
from itertools import count
from typing import Any

from bom.duty.figures.rules import DEFAULT, Rule
from bom.match.conditions import Promise
from bom.match.match import Candidate, Shelf, judge, rank
from bom.match.requirement import Requirement
from bom.relays.relay import Design, Rating, Relay
from bom.values.finding import Verdict

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
    shelves: dict[str, Shelf] = field(default_factory=dict)
    proved: dict[tuple[Relay, tuple[Rating, ...]], Candidate] = field(default_factory=dict)
    refused: list[Candidate] = field(default_factory=list)

    def candidate(self, design: Design) -> Candidate:
        """The part judged; a name, a series and a lifecycle are no facts, unless the requirement asks for them."""
        names = {n: v for n, v in _NAMES.items() if n not in self.requirement.bounds}
        facts = (replace(design.relay, **names), design.ratings)
        found = self.proved.get(facts)
        if found is None:
            found = self.proved[facts] = judge(self.requirement, design, self.rule)
        shelf = self.shelves.get(design.relay.part_number, Shelf())
        proved = Candidate(design.relay, found.verdict, found.findings, shelf)
        if proved.verdict is Verdict.NO:
            self.refused.append(proved)
        return proved


_NAMES: dict[str, Any] = {"maker": "", "part_number": "", "series": "", "status": None}


def in_rank_order(waiting: Iterable[Unproved | Unopened], prover: Prover) -> Iterator[Candidate]:
    """Every part that is not refused, best first, each proved no sooner than it must be; the refused come last."""
    numbers = count()
    heap: list[tuple[Rank, int, int, Any]] = [(w.best, 1, next(numbers), w) for w in waiting]
    heapify(heap)
    while heap:
        _, _, _, first = heappop(heap)
        if isinstance(first, Candidate):
            yield first
        elif isinstance(first, Unproved):
            proved = prover.candidate(first.design)
            heappush(heap, (rank(proved), 0, next(numbers), proved))
        else:
            for one in first.open():
                heappush(heap, (one.best, 1, next(numbers), one))


def best_rank(promise: Promise, relay: Relay, shelf: Shelf | None = None) -> Rank:
    """The rank of a part that comes to what it promises; empty names come before all others."""
    return rank(Candidate(relay, promise.verdict, (), shelf or Shelf()), promise.margin)
