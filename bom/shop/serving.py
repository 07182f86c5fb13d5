"""What may serve at a place: one question, one ranking and one answer, however long the catalogue is.

A catalogue that is not long is proved one and all, those first that meet the necessary conditions; a long one is
narrowed by the database and proved in rank order (``bom.shop.narrowing``). Both give the same candidates in the same
order, so a match, a kit's line, a stand-in for a part and a plan never differ on what serves.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from functools import cached_property
from itertools import takewhile
from typing import TYPE_CHECKING, Protocol

from bom.duty.rules import DEFAULT
from bom.match.match import Candidate, match, rank
from bom.match.necessary_conditions import meets, necessary
from bom.match.requirement import Requirement, like
from bom.shop.narrowing import PAGE, Narrowing, Page, first_page, shelves
from bom.shop.placements import recall_placements
from bom.shop.places import requirement_there
from bom.store.marks import marked
from bom.values.finding import Verdict

if TYPE_CHECKING:
    from bom.duty.rules import Rule
    from bom.relays.relay import Design, Relay
    from bom.shop.shop import Shop


class Serving(Protocol):
    """What may serve for one requirement, asked in three ways; candidates come in rank order."""

    def page(self, wanted: int | None = None) -> Page:
        """The first so many, the nearest misses where fewer serve; of a catalogue that is not long all there are."""

    def accepted(self, verdicts: Collection[Verdict], named: Collection[str] = ()) -> tuple[Candidate, ...]:
        """Those with one of these verdicts, *no* never among them, and those named that are not refused."""

    def nearest(self) -> Candidate | None:
        """The best there is, also where it does not serve; None in an empty catalogue."""


def serving(shop: Shop, requirement: Requirement, rule: Rule = DEFAULT) -> Serving:
    """What of the shop's catalogue may serve, proved once for a job."""
    kind = _Searched if shop.is_long else _Proved
    return shop.kept(("serving", repr((requirement, rule))), lambda: kind(shop, requirement, rule))


class _Proved:
    """Everything in the catalogue is proved; what nobody asks for is proved last, and only when it is asked for."""

    def __init__(self, shop: Shop, requirement: Requirement, rule: Rule) -> None:
        self.shop, self.requirement, self.rule = shop, requirement, rule
        conditions = necessary(requirement, rule)
        self.designs: dict[bool, list[Design]] = {True: [], False: []}
        for design in shop.catalogue.designs():
            self.designs[meets(conditions, design.relay)].append(design)
        recall_placements(shop, [requirement.place], shop.catalogue.footprints.values())

    def page(self, wanted: int | None = None) -> Page:
        return Page(self._every, whole=True)

    def accepted(self, verdicts: Collection[Verdict], named: Collection[str] = ()) -> tuple[Candidate, ...]:
        return tuple(c for c in self._near if _is_accepted(self.shop, c, verdicts, named))

    def nearest(self) -> Candidate | None:
        return next(iter(self._every), None)

    @cached_property
    def _near(self) -> tuple[Candidate, ...]:
        """Those that meet every necessary condition: whatever is not refused is among them."""
        return self._judged(self.designs[True])

    @cached_property
    def _every(self) -> tuple[Candidate, ...]:
        return tuple(sorted((*self._near, *self._judged(self.designs[False])), key=rank))

    def _judged(self, designs: Iterable[Design]) -> tuple[Candidate, ...]:
        there = shelves(self.shop, self.shop.catalogue.relays)
        return match(self.requirement, designs, there, self.rule)


class _Searched:
    """No more is proved than is asked for."""

    def __init__(self, shop: Shop, requirement: Requirement, rule: Rule) -> None:
        self.shop, self.requirement, self.rule = shop, requirement, rule

    def page(self, wanted: int | None = None) -> Page:
        return first_page(self.shop, self.requirement, self.rule, wanted or PAGE, marked(self.shop.session, "relays"))

    def accepted(self, verdicts: Collection[Verdict], named: Collection[str] = ()) -> tuple[Candidate, ...]:
        worst = max(map(_ORDER.index, verdicts), default=-1)
        ranked = Narrowing(self.shop, self.requirement, self.rule).in_rank_order()
        good = takewhile(lambda c: _ORDER.index(c.verdict) <= worst, ranked) if verdicts else ()
        found = {c.relay: c for c in (*good, *self._named(named)) if _is_accepted(self.shop, c, verdicts, named)}
        return tuple(sorted(found.values(), key=rank))

    def nearest(self) -> Candidate | None:
        return next(iter(self.page(1).candidates), None)

    def _named(self, names: Collection[str]) -> tuple[Candidate, ...]:
        designs = [design for name in names for design in self.shop.designs(name)]
        there = shelves(self.shop, [design.relay for design in designs])
        return match(self.requirement, designs, there, self.rule)


_ORDER = list(Verdict)


def _is_accepted(shop: Shop, candidate: Candidate, verdicts: Collection[Verdict], named: Collection[str]) -> bool:
    if candidate.verdict is Verdict.NO:
        return False
    return candidate.verdict in verdicts or (bool(named) and name_of(shop, candidate) in named)


def name_of(shop: Shop, candidate: Candidate) -> str:
    """The name that the candidate goes by here."""
    return shop.names.name(candidate.relay.part_number, candidate.relay.maker)


def stand_ins_of(shop: Shop, parts: Iterable[str], *, conditional: bool = False) -> dict[str, tuple[str, ...]]:
    """Each part to those that drop in (or may under a condition, where allowed) wherever it is fitted.

    A part that is fitted nowhere is replaced by what drops in for itself; a part that is no relay by nothing.
    """
    wanted = tuple(parts)
    shop.look_up(wanted)
    asked = {part: asked_of(shop, part) for part in wanted}
    if not shop.is_long:
        places = [requirement.place for several in asked.values() for requirement in several]
        recall_placements(shop, places, shop.catalogue.footprints.values())
    return {part: _stand_ins(shop, part, asked[part], conditional) for part in asked}


def _stand_ins(shop: Shop, part: str, several: Iterable[Requirement], conditional: bool) -> tuple[str, ...]:
    enough = {Verdict.DROP_IN, Verdict.CONDITIONAL} if conditional else {Verdict.DROP_IN}
    proved = [{name_of(shop, c) for c in serving(shop, asked).accepted(enough)} for asked in several]
    return tuple(sorted(set.intersection(*proved) - {part})) if proved else ()


def asked_of(shop: Shop, part: str) -> tuple[Requirement, ...]:
    """What is asked of whatever takes the part's place: at each position that has it fitted, else to be like it."""
    return shop.kept(("asked of", part), lambda: _asked_of(shop, part))


def _asked_of(shop: Shop, part: str) -> tuple[Requirement, ...]:
    relay = shop.relay(part)
    if relay is None:
        return ()
    if places := shop.kept("places by what is fitted", lambda: _places_by_relay(shop)).get(relay):
        return tuple(requirement_there(shop, place) for place in places)
    return (like(shop.around(part).design(relay)),)


def _places_by_relay(shop: Shop) -> dict[Relay, list[str]]:
    """Each relay that is fitted anywhere to where it is, as BOARD:REF."""
    fitted = [(p.fitted, f"{b.name}:{p.ref}") for b in shop.boards.values() for p in b.positions if p.fitted]
    shop.look_up(text for text, _ in fitted)
    answer: dict[Relay, list[str]] = {}
    for text, place in fitted:
        if (relay := shop.relay(text)) is not None:
            answer.setdefault(relay, []).append(place)
    return answer
