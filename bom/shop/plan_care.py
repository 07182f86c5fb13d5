"""What whoever fits the parts that are bought must be told: on what a stand-in serves, and what can hurt."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from bom.duty.cautions import all_cautions, by_gravity, cautions_together, grave_of_part, one_line
from bom.kits.kit import provisos
from bom.match.match import judge

if TYPE_CHECKING:
    from bom.answers.buying import PlannedLine, ShopPlan
    from bom.boards.board import Place
    from bom.kits.kit import Content, Kit, Proviso
    from bom.relays.catalogue import Catalogue
    from bom.relays.relay import Design
    from bom.shop.sourcing import Sourcing
    from bom.store.unit_of_work import Session


def with_care(session: Session, answer: ShopPlan, wanted: Iterable[str], kits: Sequence[str] = ()) -> ShopPlan:
    """The plan's answer with its cautions, and each order line with its own ``conditions`` and ``cautions``.

    A stand-in for one of the parts ``wanted`` is judged at every position that has that part, and what serves ``kits``
    at their positions. The grave cautions of both parts stand with it.
    """
    from bom.store.catalogue import whole_catalogue

    in_kits = _in_kits(session, [line.part_number for line in answer.lines], kits)
    catalogue, said, named = whole_catalogue(session), list[str](), set(wanted)

    def cared_for(line: PlannedLine) -> PlannedLine:
        part, originals = line.part_number, line.in_place_of
        asked, told = in_kits.get(part, ((), ()))
        found = (*asked, *_conditions(session, catalogue, part, [o for o in originals if o in named]))
        said.extend((*told, *care_for(session, catalogue, (part, *originals))))
        words = tuple(dict.fromkeys(proviso.words for proviso in found))
        return replace(line, conditions=words, cautions=_grave(catalogue, part, originals))

    orders = tuple(replace(order, lines=tuple(map(cared_for, order.lines))) for order in answer.orders)
    line = one_line(said) if answer.lines else ""
    return replace(answer, orders=orders, cautions=tuple(by_gravity(said)), caution=line)


def care_for(session: Session, catalogue: Catalogue, parts: Iterable[str]) -> tuple[str, ...]:
    """The cautions of these parts, and of every position that has one of them fitted, the gravest first.

    None for what is no relay.
    """
    fitted = [pair for part in parts for pair in _places(session, catalogue, part)]
    return cautions_together(fitted) if fitted else ()


def caution_to_seller(session: Session, parts: Iterable[str]) -> str:
    """The grave cautions of parts that are asked for, in one line; empty where none is guided or rated for mains."""
    from bom.store.catalogue import whole_catalogue

    catalogue = whole_catalogue(session)
    relays = [relay for part in parts for relay in catalogue.named(part)]
    return one_line((c for relay in relays for c in grave_of_part(catalogue.design(relay))), "please ask us")


def caution_line(session: Session, parts: Iterable[str]) -> str:
    """The cautions of these parts and their places in one line."""
    from bom.store.catalogue import whole_catalogue

    return one_line(care_for(session, whole_catalogue(session), parts))


def _places(session: Session, catalogue: Catalogue, part: str) -> Iterator[tuple[Place | None, Design | None]]:
    from bom.shop.stand_ins import requirements

    designs = [catalogue.design(relay) for relay in catalogue.named(part)]
    places = [r.place for r in requirements(session, catalogue, part)] if designs else []
    yield from ((place, design) for design in designs for place in places or (None,))


def _grave(catalogue: Catalogue, part: str, originals: tuple[str, ...]) -> tuple[str, ...]:
    """What may not be left out beside the line, in few words."""
    designs = [catalogue.design(relay) for number in (part, *originals) for relay in catalogue.named(number)]
    said = by_gravity(caution for design in designs for caution in grave_of_part(design))
    short = {text: words for words, text in all_cautions()}
    return tuple(short[text] for text in said)


def _conditions(session: Session, catalogue: Catalogue, part: str, originals: Iterable[str]) -> tuple[Proviso, ...]:
    from bom.shop.stand_ins import requirements

    return provisos(
        (_at(r.place) or f"in place of {original}", part, judge(r, catalogue.design(relay)).findings)
        for original in originals
        for r in requirements(session, catalogue, original)
        for relay in catalogue.named(part)
    )


def _at(place: Place | None) -> str:
    return f"{place.board.name}:{place.position.ref}" if place and place.board.name else ""


def _in_kits(
    session: Session, bought: Sequence[str], kits: Sequence[str]
) -> dict[str, tuple[tuple[Proviso, ...], tuple[str, ...]]]:
    """Part to its conditions and cautions at the positions of these kits, KIT or KIT=N each."""
    from bom.shop.care import cautions_of, fitted, provisos_of
    from bom.shop.kits import kit_and_count, kits_by_name
    from bom.shop.sourcing import Sourcing

    known = kits_by_name(session) if kits else {}
    bench, answer = Sourcing(session, known), {}
    for part in bought if kits else ():
        here = tuple(
            one
            for word in kits
            for kit in [known[kit_and_count(session, word)[0]]]
            for one in fitted(bench, kit, _served(kit, bench, part))
        )
        answer[part] = provisos_of(here), cautions_of(here)
    return answer


def _served(kit: Kit, bench: Sourcing, part: str) -> Iterator[Content]:
    """The kit's lines that this part may serve, as if it were in the bag."""
    from bom.kits.kit import Content
    from bom.shop.needs import needed

    for one in needed(kit, bench):
        if part in one.parts:
            yield Content(part, one.quantity, one.line.unit, one.line.position, one.inside)
