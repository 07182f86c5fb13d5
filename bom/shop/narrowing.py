"""A search of a catalogue too long to prove whole: the database narrows it, the rest is proved in rank order.

What is left out fails a condition that no candidate can do without (``bom.match.narrow``), so the first page is the
first page of the whole catalogue, and how many more there are is counted, not guessed: proved where they are few.
Which pairs of pins and wiring may sit at a place is worked out once and kept for the next job: that holds as long as
the drawings, the place and the rooms that judged it are the same.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, partial
from hashlib import sha256
from itertools import islice, takewhile
from pathlib import Path
from typing import TYPE_CHECKING

from bom.match.lazy_ranking import FIGURES, Prover, Queue, Rank, Unopened, Unproved, best_rank, by_ratings
from bom.match.match import LIFECYCLES, Availability, Candidate, rank
from bom.match.necessary_conditions import OneOf, Promise, may_go_in, meets, necessary, seated_with
from bom.match.requirement import Requirement
from bom.match.search_facts import KIND
from bom.relays.relay import Design, Rating, Relay
from bom.shop.names import AFTERWARDS
from bom.shop.placements import recall_placements
from bom.shop.prices import cheapest, offers_by_part
from bom.stock.ledger import Level
from bom.store.catalogue import all_drawings
from bom.store.kept_results import keep_seatings, kept_seating
from bom.store.marks import marked
from bom.store.narrowed import ENDLESS, Search, SeriesGroup, Shelved, all_seats, kinds_of, ratings_by_name
from bom.values.finding import Verdict
from bom.values.money import Money

if TYPE_CHECKING:
    from bom.boards.board import Place
    from bom.duty.rules import Rule
    from bom.fit.sieve import Sieve
    from bom.relays.footprint import Footprint
    from bom.relays.wiring import Wiring
    from bom.shop.shop import Shop

PAGE = 50
"""How many candidates are proved where nobody says how many."""

PROVED_TOO = 300
"""So many left after the page are proved as well, for an exact count: some hundredths of a second."""

_TOGETHER = 60  # parts read at once from a group
_GROUPS_FIRST = 200  # groups whose ratings are read at once: more than a page ever opens
_VERDICTS = list(Verdict)


@dataclass(frozen=True, slots=True)
class Page:
    """The first candidates in rank order, and how many ``more`` there are.

    Where few were left they were proved too, and ``rest`` says what they came to: then ``more`` is how many serve.
    Else ``rest`` is None, and ``more`` counts those that meet every condition: no more than these can serve.
    ``refused`` are known to be; the nearest misses end the list where it had room. ``whole``: every part of the
    catalogue was proved and is among the candidates, the refused too.
    """

    candidates: tuple[Candidate, ...]
    more: int = 0
    refused: int = 0
    rest: Counter[Verdict] | None = None
    whole: bool = False


def first_page(shop: Shop, requirement: Requirement, rule: Rule, wanted: int, total: int) -> Page:
    """So many candidates of the ``total`` there are to choose from."""
    narrowing = Narrowing(shop, requirement, rule)
    serving = narrowing.serving(wanted)
    more = narrowing.left - len(serving) - len(narrowing.prover.refused) - narrowing.ruled_out
    rest = narrowing.rest() if more <= PROVED_TOO else None
    more = more if rest is None else rest.total()
    misses = narrowing.misses(wanted - len(serving)) if len(serving) < wanted else ()
    return Page((*serving, *misses), more, total - more - len(serving), rest)


class Narrowing:
    """One requirement's search of the database."""

    def __init__(self, shop: Shop, requirement: Requirement, rule: Rule) -> None:
        session = shop.session
        self.shop, self.session, self.requirement, self.rule = shop, session, requirement, rule
        asked = repr((requirement, rule))
        conditions = shop.kept(("necessary", asked), lambda: necessary(requirement, rule))
        self.verdicts = shop.kept(("seats", asked), lambda: seats_for(shop, requirement, rule))
        self.kinds = kinds_of(session, self.verdicts)
        words = [c for c in conditions if isinstance(c, OneOf) and c.column in KIND]
        said = {kind: dict(zip(KIND, texts, strict=True)) for kind, texts in self.kinds.items()}
        self.missed = {kind: sum(not w.holds(s) for w in words) for kind, s in said.items()}
        self.search = Search(session, conditions, [kind for kind, misses in self.missed.items() if not misses])
        self.prover = Prover(requirement, rule)
        shop.wirings.expect(wiring for _, wiring in self.verdicts)
        drawn = shop.footprints.among([footprint for footprint, _ in self.verdicts])
        recall_placements(shop, [requirement.place], drawn.values())
        self.ratings: dict[str, tuple[Rating, ...]] = {}
        self.rated: dict[tuple[str, tuple[object, ...]], Promise] = {}
        self.waiting_by_name: frozenset[tuple[str, str]] = frozenset()
        self.left = self.ruled_out = 0
        self.queue = Queue((), self.prover)

    def serving(self, wanted: int) -> list[Candidate]:
        """The first so many that are not refused."""
        return list(islice(self.in_rank_order(wanted), wanted))

    def in_rank_order(self, wanted: int = PAGE) -> Iterator[Candidate]:
        """All that are not refused, best first, each proved no sooner than it must be; about so many are wanted."""
        groups = self.search.groups()
        self.left = sum(group.count for group in groups) - self._asked_is_left()
        if self.left <= wanted + PROVED_TOO:
            self.search.read_all()
        known = self._on_the_shelf()
        self._read_ratings({g.series for g in sorted(groups, key=lambda g: -g.margin)[:_GROUPS_FIRST]})
        self.queue = Queue([*map(self._unopened, groups), *known], self.prover)
        return takewhile(lambda candidate: candidate.verdict is not Verdict.NO, self.queue.in_rank_order())

    def rest(self) -> Counter[Verdict]:
        """What those after the first come to, the refused left out."""
        return Counter(verdict for verdict in self.queue.verdicts() if verdict is not Verdict.NO)

    def misses(self, count: int) -> list[Candidate]:
        """The nearest misses: those refused in the proof, then those that miss the fewest conditions."""
        refused = list(self.prover.refused)
        near = [r for r in self.search.nearest(self.missed, count + 1) if not self._is_asked(r)]
        proved = [self.prover.candidate(d) for d in self._designs(near)]
        return sorted([*refused, *proved], key=rank)[:count]

    def _unopened(self, group: SeriesGroup) -> Unopened:
        promise = self._promise(group, group.margin)
        return Unopened(self._best(promise, group), lambda: self._by_ratings(group, promise))

    def _promise(self, group: SeriesGroup, margin: float) -> Promise:
        footprint, wiring, *_ = self.kinds[group.kind]
        seat = self.verdicts[footprint, wiring]
        return Promise(_worse(seat, Verdict.UNKNOWN if group.silent else Verdict.DROP_IN), self._margin(margin))

    def _margin(self, found: float) -> float:
        """Where nothing narrows it, a part counts as one with no room, unless a board's load may give it some."""
        if found < ENDLESS:
            return found
        return float("inf") if self.requirement.place and self.requirement.place.board.name else 0.0

    def _best(self, promise: Promise, group: SeriesGroup) -> Rank:
        return best_rank(promise, Relay("", "", status=LIFECYCLES[group.status]))

    def _by_ratings(self, group: SeriesGroup, promise: Promise) -> list[Unopened | Unproved]:
        """The group again, under what its ratings let it come to; nothing where they let it come to nothing."""
        if not group.alone:
            promise = _both(promise, self._rated(group))
        if promise.verdict is Verdict.NO:
            self.ruled_out += group.count
            return []
        return [Unopened(self._best(promise, group), lambda: list(self._read(group, promise, 0)))]

    def _rated(self, group: SeriesGroup) -> Promise:
        """Many series are rated alike, line by line, and then come to the same."""
        wiring, ratings = self.kinds[group.kind][1], self._ratings_of(group.series)
        key = (wiring, tuple(map(FIGURES, ratings)))
        if key not in self.rated:
            self.rated[key] = by_ratings(self.requirement, self.shop.wirings.get(wiring), ratings, self.rule)
        return self.rated[key]

    def _read(self, group: SeriesGroup, promise: Promise, after: int) -> Iterator[Unopened | Unproved]:
        """The group's best parts after the first so many, then the rest of them, unopened."""
        found = self.search.best(group, _TOGETHER, after)
        mine = [(relay, margin) for relay, margin in found if self._waits_not_yet(relay)]
        best = {id(relay): _both(promise, Promise(Verdict.DROP_IN, self._margin(margin))) for relay, margin in mine}
        for design in self._designs([relay for relay, _ in mine], rated_alone=bool(group.alone)):
            yield Unproved(design, best_rank(best[id(design.relay)], design.relay))
        if len(found) == _TOGETHER:
            rest = _both(promise, Promise(Verdict.DROP_IN, self._margin(found[-1][1])))
            yield Unopened(self._best(rest, group), lambda: list(self._read(group, promise, after + _TOGETHER)))

    def _on_the_shelf(self) -> list[Unopened]:
        """Parts in stock or on offer, which their shelf may put before others: they wait apart from their groups, and
        what the shop has of them is asked when they are the foremost."""
        asked = self._asked()
        itself = (asked.maker, asked.part_number) if asked else None
        groups = self.search.on_the_shelf(self.left)
        here = {group: [s for s in some if (s.maker, s.part_number) != itself] for group, some in groups.items()}
        self.waiting_by_name = frozenset((one.maker, one.part_number) for some in here.values() for one in some)
        if len(self.waiting_by_name) <= PROVED_TOO:
            names = [self.shop.names.name(number, maker) for maker, number in self.waiting_by_name]
            self.shop.levels.expect(names)
            offers_by_part(self.shop).expect(names)
        return [self._shelved(group, some) for group, some in here.items() if some]

    def _shelved(self, group: SeriesGroup, some: list[Shelved]) -> Unopened:
        promise = self._promise(group, group.margin)
        return Unopened(_best_shelved(promise), partial(self._shelved_by_ratings, group, some, promise))

    def _shelved_by_ratings(self, group: SeriesGroup, some: list[Shelved], promise: Promise) -> list[Unopened]:
        if not group.alone:
            promise = _both(promise, self._rated(group))
        if promise.verdict is Verdict.NO:
            return []
        return [
            Unopened(
                _best_shelved(_both(promise, Promise(Verdict.DROP_IN, self._margin(some[n].margin)))),
                partial(self._looked_up, group, some[n : n + _TOGETHER], promise),
            )
            for n in range(0, len(some), _TOGETHER)
        ]

    def _looked_up(self, group: SeriesGroup, some: list[Shelved], promise: Promise) -> list[Unproved]:
        relays = self.search.by_id([one.id for one in some])
        self.prover.shelves |= (there := shelves(self.shop, relays))
        margins = {(one.maker, one.part_number): self._margin(one.margin) for one in some}
        return [
            Unproved(d, best_rank(best, d.relay, there.get(name, Availability())))
            for d in self._designs(relays, rated_alone=bool(group.alone))
            for name in [(d.relay.maker, d.relay.part_number)]
            for best in [_both(promise, Promise(Verdict.DROP_IN, margins[name]))]
        ]

    def _designs(self, relays: list[Relay], *, rated_alone: bool = True) -> Iterator[Design]:
        names = {r.series for r in relays} | ({r.part_number for r in relays} if rated_alone else set())
        self._read_ratings(names)
        for r in relays:
            ratings = self._ratings_of(r.series)
            if rated_alone and (own := self._ratings_of(r.part_number)) and r.part_number != r.series:
                ratings = tuple(sorted((*own, *ratings), key=lambda rating: rating.applies_to))
            yield Design(r, self.shop.footprints.get(r.footprint), self.shop.wirings.get(r.wiring), ratings)

    def _ratings_of(self, name: str) -> tuple[Rating, ...]:
        if name not in self.ratings:
            self._read_ratings({name})
        return self.ratings[name]

    def _read_ratings(self, names: Iterable[str]) -> None:
        if new := set(names) - self.ratings.keys():
            found = ratings_by_name(self.session, new)
            self.ratings |= {name: found.get(name, ()) for name in new}

    def _waits_not_yet(self, relay: Relay) -> bool:
        return (relay.maker, relay.part_number) not in self.waiting_by_name and not self._is_asked(relay)

    def _is_asked(self, relay: Relay) -> bool:
        return self._asked() == relay

    def _asked(self) -> Relay | None:
        """The part to be replaced, which is no candidate unless a board asks."""
        place, original = self.requirement.place, self.requirement.original
        return None if original is None or (place and place.board.name) else original.relay

    def _asked_is_left(self) -> bool:
        """Whether the groups count the part to be replaced."""
        asked = self._asked()
        return (
            asked is not None
            and (asked.footprint, asked.wiring) in self.verdicts
            and meets(self.search.conditions, asked)
        )


def _worse(a: Verdict, b: Verdict) -> Verdict:
    return max(a, b, key=_VERDICTS.index)


def _best_shelved(promise: Promise) -> Rank:
    """The rank of a part with this promise before the shop was asked what it has of it: before any that has some."""
    endless = Availability(Decimal("Infinity"), Money(0, "XXX"))
    return best_rank(promise, Relay("", "", status=LIFECYCLES[0]), endless)


def _both(a: Promise, b: Promise) -> Promise:
    return Promise(_worse(a.verdict, b.verdict), min(a.margin, b.margin))


Shelves = dict[tuple[str, str], Availability]


def shelves(shop: Shop, relays: Iterable[Relay]) -> Shelves:
    """(maker, part number) to what the shop has of a part and what the cheapest single piece costs, net: what a match
    ranks by once the verdicts are equal.
    """
    names = {(r.maker, r.part_number): shop.names.name(r.part_number, r.maker) for r in relays}
    parts = tuple(names.values())
    stock, prices = shop.levels.among(parts), cheapest(shop).among(parts)
    return {
        relay: Availability(stock.get(name, Level()).available, prices.get(name))
        for relay, name in names.items()
        if name in stock or name in prices
    }


Seat = tuple[str, str]


def seats_for(shop: Shop, requirement: Requirement, rule: Rule) -> dict[Seat, Verdict]:
    """Footprint and wiring to the best verdict of any relay with them; pairs that are refused are left out."""
    asked, edition = _digest(requirement, rule), marked(shop.session, "drawings")
    kept = kept_seating(asked, edition)
    if kept is not None:
        return {(footprint, wiring): Verdict(verdict) for footprint, wiring, verdict in json.loads(kept)}
    found = _judged(shop, requirement, rule)
    document = json.dumps([(*seat, verdict.value) for seat, verdict in found.items()])
    _NEW_SEATINGS[asked, edition] = document
    shop.session.info.setdefault(AFTERWARDS, {})[_keep_new_seatings] = None
    if len(_NEW_SEATINGS) >= _KEPT_TOGETHER:
        _keep_new_seatings()
    return found


_NEW_SEATINGS: dict[tuple[str, int], str] = {}
"""What was worked out and is not kept yet: each keeping waits for the disk."""
_KEPT_TOGETHER = 50  # what a job that is broken off loses at most


def _keep_new_seatings() -> None:
    if _NEW_SEATINGS:
        keep_seatings(_NEW_SEATINGS)
        _NEW_SEATINGS.clear()


def _judged(shop: Shop, requirement: Requirement, rule: Rule) -> dict[Seat, Verdict]:
    """A footprint that does not go in by itself is not tried with every wiring."""
    drawn = shop.kept("drawings", lambda: _drawings(shop))
    near = drawn.that_may_go_in(requirement.place)
    recall_placements(shop, [requirement.place], near.values())
    answer: dict[Seat, Verdict] = {}
    for footprint in sorted(near.keys() | drawn.undrawn):
        pins = near.get(footprint)
        if not may_go_in(requirement, pins):
            continue
        for wiring in drawn.seats.get(footprint, ()):
            verdict = seated_with(requirement, pins, drawn.wirings.get(wiring), rule)
            if verdict is not Verdict.NO:
                answer[footprint, wiring] = verdict
    return answer


@dataclass(frozen=True, slots=True)
class _Drawings:
    """Every footprint that relays have and every wiring, with which wirings each footprint goes, and what sifts them.

    ``undrawn`` are the footprints that relays name and nobody drew.
    """

    footprints: Mapping[str, Footprint]
    wirings: Mapping[str, Wiring]
    sieve: Sieve
    seats: Mapping[str, list[str]]
    undrawn: frozenset[str]

    def that_may_go_in(self, place: Place | None) -> dict[str, Footprint]:
        """The footprints whose pins may go in there: of thousands nearly all are left out."""
        if place is None:
            return dict(self.footprints)
        kept = self.sieve.what_may_go_in(place.pattern, place.board.leg_dressing_mm)
        return {name: self.footprints[name] for name in sorted(kept)}


def _drawings(shop: Shop) -> _Drawings:
    from bom.fit.sieve import Sieve  # arrays take a tenth of a second to start, and most jobs find what was kept

    drawn = all_drawings(shop.session)
    seats: dict[str, list[str]] = {}
    for footprint, wiring in all_seats(shop.session):
        seats.setdefault(footprint, []).append(wiring)
    used = {name: footprint for name, footprint in drawn.footprints.items() if name in seats}
    return _Drawings(used, drawn.wirings, Sieve(used), seats, frozenset(seats.keys() - used.keys()))


def _digest(requirement: Requirement, rule: Rule) -> str:
    """What the answer rests on: the requirement, the rule, and what is written in the rooms that judge."""
    return sha256(repr((requirement, rule, _judges())).encode()).hexdigest()


_JUDGES = ("values", "relays", "boards", "circuit", "fit", "duty", "match")
_ROOMS = Path(__file__).resolve().parents[2]


@cache
def _judges(rooms: Path = _ROOMS) -> str:
    """The digest of every file that judges, read once. Its text, not its time: packages may date all files alike."""
    texts = (file.read_bytes() for room in _JUDGES for file in sorted((rooms / room).rglob("*.py")))
    return sha256(b"\0".join(texts)).hexdigest()
