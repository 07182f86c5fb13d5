"""Which design may be replaced by which, for every pair, one way at a time; and who has nobody else to replace it.

A *design* is all that decides a verdict: pins, wiring, the relay's facts and its ratings. Parts that share it (other
makers, other suffixes) are its parts. Each pair is proved by itself, as ``match`` proves a part in place of another:
nothing is inherited through a third design, and the other direction is another question.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, fields
from functools import cached_property
from operator import attrgetter

from bom.boards.board import Place
from bom.fit.spacing import HoleSpacing, PinSpacing
from bom.match.lazy_ranking import FIGURES
from bom.match.match import judge
from bom.match.necessary_conditions import seated
from bom.match.requirement import Requirement, like
from bom.relays.footprint import Footprint
from bom.relays.relay import Design, Relay, Status
from bom.values.finding import Finding, Verdict, narrowest_margin

_LABELS = ("maker", "part_number", "series", "status", "footprint", "wiring", "source")  # they decide no verdict
_facts = attrgetter(*(f.name for f in fields(Relay) if f.name not in _LABELS))
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Kin:
    """One design with all the parts that share it; ``design`` is its first part's."""

    design: Design
    parts: tuple[Relay, ...]

    @property
    def name(self) -> str:
        return self.design.relay.part_number

    @property
    def active(self) -> tuple[Relay, ...]:
        return tuple(p for p in self.parts if p.status is Status.ACTIVE)


@dataclass(frozen=True, slots=True)
class Replacement:
    """``old`` may (or may not) be replaced by ``new``: what its proof came to, with its worst finding and its narrowest
    margin. There are very many pairs, so no more of the proof is kept."""

    old: Kin
    new: Kin
    verdict: Verdict
    worst: Finding
    margin: float | None


@dataclass(frozen=True)
class Replaceability:
    """Where one design stands: every active part that drops in for it, its own among them."""

    kin: Kin
    by: tuple[Replacement, ...]

    @cached_property
    def drop_ins(self) -> tuple[Relay, ...]:
        """Active parts that serve as they are: its own, and those of every design proved a drop-in for it."""
        others = (p for r in self.by if r.verdict is Verdict.DROP_IN and r.new is not self.kin for p in r.new.active)
        return (*self.kin.active, *others)

    @property
    def makers(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(p.maker for p in self.drop_ins))

    @property
    def words(self) -> str:
        """*none active*, *one source*, or how many sources there are."""
        count = len(self.makers)
        return "none active" if not count else "one source" if count == 1 else f"{count} sources"


@dataclass(frozen=True, slots=True)
class CrossReference:
    """Every pair that may serve (of other pairs too, where they were asked for), and where each design stands."""

    designs: tuple[Kin, ...]
    replacements: tuple[Replacement, ...]

    def standings(self) -> tuple[Replaceability, ...]:
        """Each design, those with none active first, then those with one source."""
        by: dict[int, list[Replacement]] = {}
        for r in self.replacements:
            by.setdefault(id(r.old), []).append(r)
        standing = (Replaceability(kin, tuple(by.get(id(kin), ()))) for kin in self.designs)
        return tuple(sorted(standing, key=lambda s: (len(s.makers), s.kin.design.relay.maker, s.kin.name)))


def distinct(designs: Iterable[Design]) -> tuple[Kin, ...]:
    """The designs there are, each with its parts, in the order in which they were first met."""
    found: dict[object, list[Design]] = {}
    for design in designs:
        found.setdefault(_what_decides(design), []).append(design)
    return tuple(Kin(of[0], tuple(d.relay for d in of)) for of in found.values())


def _what_decides(design: Design) -> object:
    """All of a design but its names: two that share this get the same verdict everywhere."""
    return _facts(design.relay), _shape(design), frozenset(map(FIGURES, design.ratings))


def _shape(design: Design) -> object:
    """Pins and wiring without their names. A design without one of them is like no other."""
    if design.footprint is None or design.wiring is None:
        return design.relay.maker, design.relay.part_number
    return design.footprint.pins, design.footprint.view, design.wiring.elements


def cross_reference(
    designs: Iterable[Design], *, part: Relay | None = None, refused: bool = False, told: Progress | None = None
) -> CrossReference:
    """All pairs of distinct designs that may serve or are unknown; with ``refused`` those that may not, too.

    Of one ``part``, where named, its pairs alone, both ways. ``told`` hears after each design how many have been looked
    at, and how many there are.
    """
    kin = distinct(designs)
    groups = _grouped(kin)
    its_own = tuple(one for one in kin if part in one.parts)
    its_group = tuple(_Group((one,), _spacing(one.design.footprint)) for one in its_own)
    found: list[Replacement] = []
    done = 0
    for old_group in groups:
        for old in old_group.members:
            news = groups if part is None or any(old is one for one in its_own) else its_group
            found += _of_one(old, news if refused else old_group.seated_by(old, news), refused)
            done += 1
            if told:
                told(done, len(kin))
    return CrossReference(kin, tuple(found))


@dataclass(slots=True)
class _Group:
    """Designs that share their pins and wiring; which groups may sit where they sit is found out once.

    ``pins`` are the distances between their pins, None where there is no footprint.
    """

    members: tuple[Kin, ...]
    pins: PinSpacing | None
    seats: dict[int, tuple[_Group, ...]] = field(default_factory=dict)

    def seated_by(self, old: Kin, groups: tuple[_Group, ...]) -> tuple[_Group, ...]:
        """The groups whose pins go in and whose wiring connects alike: nothing else of a design decides that."""
        if (found := self.seats.get(id(groups))) is None:
            requirement = like(old.design)
            near = groups if requirement.place is None else _about_as_far_apart(groups, requirement.place)
            found = self.seats[id(groups)] = tuple(g for g in near if g.may_sit(requirement))
        return found

    def may_sit(self, requirement: Requirement) -> bool:
        shown = self.members[0].design
        return seated(requirement, shown.footprint, shown.wiring) is not Verdict.NO


def _grouped(kin: Iterable[Kin]) -> tuple[_Group, ...]:
    groups: dict[object, list[Kin]] = {}
    for one in kin:
        groups.setdefault(_shape(one.design), []).append(one)
    return tuple(_Group(tuple(of), _spacing(of[0].design.footprint)) for of in groups.values())


def _spacing(footprint: Footprint | None) -> PinSpacing | None:
    return None if footprint is None else PinSpacing.of(footprint.pins)


def _about_as_far_apart(groups: Iterable[_Group], place: Place) -> Iterator[_Group]:
    """The groups whose pins may go in by their distances; nearly all of thousands are left out here."""
    holes = HoleSpacing.of(place.pattern.holes, place.board.leg_dressing_mm)
    return (g for g in groups if g.pins is None or holes.may_take(g.pins))


def _of_one(old: Kin, groups: Iterable[_Group], refused: bool) -> Iterator[Replacement]:
    """Whatever may replace this design: its coil at a glance, then the whole proof."""
    requirement = like(old.design)
    for new in (member for group in groups for member in group.members if member is not old):
        if refused or _same_coil(old.design.relay, new.design.relay):
            found = judge(requirement, new.design)
            if refused or found.verdict is not Verdict.NO:
                margin = narrowest_margin(found.findings)
                yield Replacement(old, new, found.verdict, found.findings[0], margin)


def _same_coil(old: Relay, new: Relay) -> bool:
    """Whether the coils may be for the same volts, of the same kind: without that every proof ends in *no*."""
    pairs = ((old.coil_volts, new.coil_volts), (old.coil_supply, new.coil_supply))
    return all(a is None or b is None or a == b for a, b in pairs)
