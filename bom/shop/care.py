"""Knows what whoever fits a kit's parts must be told: on what each part serves where it goes in, and what can hurt."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bom.kits.kit import Content, Kit, Proviso, provisos
from bom.shop.needs import needed
from bom.shop.sourcing import Sourcing
from bom.values.finding import Finding, Outcome
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.boards.board import Place
    from bom.match.requirement import Requirement
    from bom.relays.relay import Design


@dataclass(frozen=True, slots=True)
class Fitted:
    """A relay of the kit and where it goes in; ``requirement`` None = nowhere that is known, and ``why`` says so.

    ``designs`` are all that the catalogue has by this number, none where it has none.
    """

    at: str
    part_number: str
    designs: tuple[Design, ...]
    requirement: Requirement | None
    why: str = ""

    @property
    def place(self) -> Place | None:
        return self.requirement.place if self.requirement else None

    @property
    def placed(self) -> tuple[tuple[Place | None, Design | None], ...]:
        """The place with each part that matters there: those that may be in the bag, and the one they stand in for."""
        original = (self.requirement.original,) if self.requirement and self.requirement.original else ()
        return tuple((self.place, design) for design in (*self.designs, *original) or (None,))


def as_picked_now(kit: Kit, bench: Sourcing) -> Iterator[Content]:
    """What would go into one bag now: of the parts that may serve a line, the one that is costed; "" where none may."""
    for one in needed(kit, bench):
        part = bench.choose(kit, one.line) if one.parts else None
        yield Content(part or "", one.quantity, one.line.unit, one.line.position, one.inside)


def fitted(bench: Sourcing, kit: Kit, contents: Iterable[Content]) -> tuple[Fitted, ...]:
    """Everything in the bag that goes in at a position, and every relay that goes in at none."""
    found = [one for content in contents if content.part_number for one in _fitted(bench, kit, content)]
    return tuple({(one.at, one.part_number): one for one in found}.values())


def _fitted(bench: Sourcing, kit: Kit, content: Content) -> Iterator[Fitted]:
    relays = bench.catalogue.named(content.part_number)
    designs = tuple(map(bench.catalogue.design, relays))
    if not content.position:
        if designs:
            yield Fitted("", content.part_number, designs, None, _NO_POSITION)
        return
    board = bench.kits[content.inside].board if content.inside in bench.kits else kit.board
    at = content.position if board == kit.board else f"{board}:{content.position}"
    try:
        yield Fitted(at, content.part_number, designs, _requirement(bench, f"{board}:{content.position}"))
    except Refused as refused:
        yield Fitted(at, content.part_number, designs, None, f"{refused}: nothing proves that this part serves there")


_NO_POSITION = "the kit names no position for it: nothing proves that it fits, connects and bears the load"


def _requirement(bench: Sourcing, place: str) -> Requirement:
    from bom.shop.placements import recall_placements
    from bom.shop.places import requirement_at

    requirement = requirement_at(bench.catalogue, bench.boards, place)
    recall_placements(bench.session, requirement.place, bench.catalogue.footprints.values())
    return requirement


def provisos_of(parts: Sequence[Fitted]) -> tuple[Proviso, ...]:
    """On what these parts serve where they go in, the worst first; empty where all of them drop in."""
    return provisos((one.at, one.part_number, _findings(one)) for one in parts)


def _findings(one: Fitted) -> tuple[Finding, ...]:
    """Those of the part's verdict; of every part by its number, where two makers share one."""
    from bom.match.match import judge

    if one.requirement is None:
        return (Finding("goes in", Outcome.UNKNOWN, one.why),)
    if not one.designs:
        return (Finding("goes in", Outcome.UNKNOWN, "not in the catalogue: nothing proves that it serves there"),)
    return tuple(f for design in one.designs for f in judge(one.requirement, design).findings)


def cautions_of(parts: Sequence[Fitted]) -> tuple[str, ...]:
    """What can hurt whoever fits these parts, the gravest first."""
    from bom.duty.cautions import cautions_together

    return cautions_together(pair for one in parts for pair in one.placed)


def bag_cautions(bench: Sourcing, parts: Sequence[Fitted], contents: Iterable[Content]) -> tuple[str, ...]:
    """What can hurt whoever opens the bag, the gravest first: by place, by part, and by what else is in it."""
    from bom.duty.cautions import CARRIERS, cautions_for_bag

    placed = [pair for one in parts for pair in one.placed]
    may_burn = any(burns(bench, content.part_number) for content in contents)
    return tuple(text for text in cautions_for_bag(placed) if may_burn or text != CARRIERS)


_BURNS = re.compile(
    r"alcohol|isoprop|solvent|flux|thinner|lacquer|varnish|coating|cleaner|spray|aerosol|gas|batter", re.I
)
"""Words for what carriers restrict; trade usage, from memory. A liquid is one whatever it is called."""


def burns(bench: Sourcing, part: str) -> bool:
    """Whether a part may be of what carriers restrict: a liquid, what its name says, or what the catalogue lacks."""
    if part not in bench.parts and part not in bench.kits:
        return bool(part)
    solid = bench.unit(part) in ("g", "mm")
    return bench.unit(part) == "ml" or (not solid and bool(_BURNS.search(f"{part} {bench.describe(part)}")))
