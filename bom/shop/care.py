"""What whoever fits the parts must be told: on what each serves where it goes in, and what can hurt; of what is in a
kit's bag, and of what a plan buys.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from bom.duty.cautions import (
    CARRIERS,
    all_cautions,
    by_gravity,
    cautions_for_bag,
    cautions_together,
    grave_of_part,
    one_line,
)
from bom.kits.kit import Content, Kit, Proviso, provisos
from bom.match.match import judge
from bom.shop.kit_needs import needed
from bom.shop.names import kit_and_count
from bom.shop.placements import recall_placements
from bom.shop.places import requirement_there
from bom.shop.serving import asked_of
from bom.shop.sourcing import Sourcing
from bom.values.finding import Finding, Outcome
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.answers.buying import PlannedLine, ShopPlan
    from bom.boards.board import Place
    from bom.match.requirement import Requirement
    from bom.relays.relay import Design
    from bom.shop.shop import Shop


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


def as_picked_now(kit: Kit, sourcing: Sourcing) -> Iterator[Content]:
    """What would go into one bag now: of the parts that may serve a line, the one that is costed; "" where none may."""
    for one in needed(kit, sourcing):
        part = sourcing.choose(kit, one.line) if one.parts else None
        yield Content(part or "", one.quantity, one.line.unit, one.line.position, one.inside)


def fitted(sourcing: Sourcing, kit: Kit, contents: Iterable[Content]) -> tuple[Fitted, ...]:
    """Everything in the bag that goes in at a position, and every relay that goes in at none."""
    found = [one for content in contents if content.part_number for one in _fitted(sourcing, kit, content)]
    return tuple({(one.at, one.part_number): one for one in found}.values())


def _fitted(sourcing: Sourcing, kit: Kit, content: Content) -> Iterator[Fitted]:
    designs = sourcing.shop.designs(content.part_number)
    if not content.position:
        if designs:
            yield Fitted("", content.part_number, designs, None, _NO_POSITION)
        return
    board = sourcing.kits[content.inside].board if content.inside in sourcing.kits else kit.board
    at = content.position if board == kit.board else f"{board}:{content.position}"
    try:
        yield Fitted(
            at, content.part_number, designs, _requirement(sourcing.shop, f"{board}:{content.position}", designs)
        )
    except Refused as refused:
        yield Fitted(at, content.part_number, designs, None, f"{refused}: nothing proves that this part serves there")


_NO_POSITION = "the kit names no position for it: nothing proves that it fits, connects and bears the load"


def _requirement(shop: Shop, place: str, designs: Iterable[Design]) -> Requirement:
    requirement = requirement_there(shop, place)
    recall_placements(shop, [requirement.place], [d.footprint for d in designs if d.footprint])
    return requirement


def provisos_of(parts: Sequence[Fitted]) -> tuple[Proviso, ...]:
    """On what these parts serve where they go in, the worst first; empty where all of them drop in."""
    return provisos((one.at, one.part_number, _findings(one)) for one in parts)


def _findings(one: Fitted) -> tuple[Finding, ...]:
    """Those of the part's verdict; of every part by its number, where two makers share one."""
    if one.requirement is None:
        return (Finding("goes in", Outcome.UNKNOWN, one.why),)
    if not one.designs:
        return (Finding("goes in", Outcome.UNKNOWN, "not in the catalogue: nothing proves that it serves there"),)
    return tuple(f for design in one.designs for f in judge(one.requirement, design).findings)


def cautions_of(parts: Sequence[Fitted]) -> tuple[str, ...]:
    """What can hurt whoever fits these parts, the gravest first."""
    return cautions_together(pair for one in parts for pair in one.placed)


def bag_cautions(sourcing: Sourcing, parts: Sequence[Fitted], contents: Iterable[Content]) -> tuple[str, ...]:
    """What can hurt whoever opens the bag, the gravest first: by place, by part, and by what else is in it."""
    placed = [pair for one in parts for pair in one.placed]
    may_burn = any(burns(sourcing, content.part_number) for content in contents)
    return tuple(text for text in cautions_for_bag(placed) if may_burn or text != CARRIERS)


_BURNS = re.compile(
    r"alcohol|isoprop|solvent|flux|thinner|lacquer|varnish|coating|cleaner|spray|aerosol|gas|batter", re.I
)
"""Words for what carriers restrict; trade usage, from memory. A liquid is one whatever it is called."""


def burns(sourcing: Sourcing, part: str) -> bool:
    """Whether a part may be of what carriers restrict: a liquid, what its name says, or what the catalogue lacks."""
    if sourcing.shop.part(part) is None and part not in sourcing.kits:
        return bool(part)
    solid = sourcing.unit(part) in ("g", "mm")
    return sourcing.unit(part) == "ml" or (not solid and bool(_BURNS.search(f"{part} {sourcing.describe(part)}")))


def with_care(shop: Shop, answer: ShopPlan, wanted: Iterable[str], kits: Sequence[str] = ()) -> ShopPlan:
    """The plan's answer with its cautions, and each order line with its own ``conditions`` and ``cautions``.

    A stand-in for one of the parts ``wanted`` is judged at every position that has that part, and what serves ``kits``
    at their positions. The grave cautions of both parts stand with it.
    """
    in_kits = _in_kits(shop, [line.part_number for line in answer.lines], kits)
    said, named = list[str](), set(wanted)

    def cared_for(line: PlannedLine) -> PlannedLine:
        part, originals = line.part_number, line.in_place_of
        asked, told = in_kits.get(part, ((), ()))
        found = (*asked, *_conditions(shop, part, [o for o in originals if o in named]))
        said.extend((*told, *care_for(shop, (part, *originals))))
        words = tuple(dict.fromkeys(proviso.words for proviso in found))
        return replace(line, conditions=words, cautions=_grave(shop, part, originals))

    orders = tuple(replace(order, lines=tuple(map(cared_for, order.lines))) for order in answer.orders)
    line = one_line(said) if answer.lines else ""
    return replace(answer, orders=orders, cautions=tuple(by_gravity(said)), caution=line)


def care_for(shop: Shop, parts: Iterable[str]) -> tuple[str, ...]:
    """The cautions of these parts, and of every position that has one of them fitted, the gravest first.

    None for what is no relay.
    """
    fitted = [pair for part in parts for pair in _places(shop, part)]
    return cautions_together(fitted) if fitted else ()


def caution_to_seller(shop: Shop, parts: Iterable[str]) -> str:
    """The grave cautions of parts that are asked for, in one line; empty where none is guided or rated for mains."""
    designs = [design for part in parts for design in shop.designs(part)]
    return one_line((c for design in designs for c in grave_of_part(design)), "please ask us")


def caution_line(shop: Shop, parts: Iterable[str]) -> str:
    """The cautions of these parts and their places in one line."""
    return one_line(care_for(shop, parts))


def _places(shop: Shop, part: str) -> Iterator[tuple[Place | None, Design | None]]:
    designs = shop.designs(part)
    places = [r.place for r in asked_of(shop, part)] if designs else []
    yield from ((place, design) for design in designs for place in places or (None,))


def _grave(shop: Shop, part: str, originals: tuple[str, ...]) -> tuple[str, ...]:
    """What may not be left out beside the line, in few words."""
    designs = [design for number in (part, *originals) for design in shop.designs(number)]
    said = by_gravity(caution for design in designs for caution in grave_of_part(design))
    short = {text: words for words, text in all_cautions()}
    return tuple(short[text] for text in said)


def _conditions(shop: Shop, part: str, originals: Iterable[str]) -> tuple[Proviso, ...]:
    return provisos(
        (_at(r.place) or f"in place of {original}", part, judge(r, design).findings)
        for original in originals
        for r in asked_of(shop, original)
        for design in shop.designs(part)
    )


def _at(place: Place | None) -> str:
    return f"{place.board.name}:{place.position.ref}" if place and place.board.name else ""


def _in_kits(
    shop: Shop, bought: Sequence[str], kits: Sequence[str]
) -> dict[str, tuple[tuple[Proviso, ...], tuple[str, ...]]]:
    """Part to its conditions and cautions at the positions of these kits, KIT or KIT=N each."""
    sourcing, answer = Sourcing(shop), {}
    for part in bought if kits else ():
        here = tuple(
            one
            for word in kits
            for kit in [shop.kits[kit_and_count(shop, word)[0]]]
            for one in fitted(sourcing, kit, _served(kit, sourcing, part))
        )
        answer[part] = provisos_of(here), cautions_of(here)
    return answer


def _served(kit: Kit, sourcing: Sourcing, part: str) -> Iterator[Content]:
    """The kit's lines that this part may serve, as if it were in the bag."""
    for one in needed(kit, sourcing):
        if part in one.parts:
            yield Content(part, one.quantity, one.line.unit, one.line.position, one.inside)
