"""A kit's papers: the sheet for its bag, its pick list, the picture of where its price goes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from shlex import quote
from typing import TYPE_CHECKING

from bom.circuit.functions import as_its_circuit_tells
from bom.duty.before_parts import LIVE, before_parts
from bom.duty.cautions import GUARDED, one_line
from bom.duty.changing_a_relay import putting_in, taking_out
from bom.duty.paired_contacts import is_guarded
from bom.fit.check import fit_findings
from bom.jobs.kits.making import standing
from bom.kits.kit import Content, Kit, MadeUp
from bom.kits.solder import holds_lead
from bom.paper.pages.kit_papers import Item, KitSheet, pick_list, sheet_page
from bom.paper.pictures.board_picture import board_drawing
from bom.paper.pictures.fit_drawing import position_picture
from bom.paper.pictures.money_bars import cost_bars
from bom.shop.board_drawn import drawn_board
from bom.shop.care import Fitted, as_picked_now, bag_cautions, burns, fitted, provisos_of
from bom.shop.names import kit_named
from bom.shop.places import catalogue_of, wirings_at
from bom.shop.shop import Shop
from bom.shop.sourcing import Sourcing
from bom.stock.ledger import Lot
from bom.store.boards_and_kits import made_up
from bom.store.shelf import lots, moves
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.answers.kits import CostedKit, MadeKits
    from bom.boards.board import Board
    from bom.duty.changing_a_relay import ChangeStep
    from bom.store.unit_of_work import Session


NOT_IN_THE_LIST = ("packing", "print")
"""Kinds of supplies that hold the kit or lie on it: nobody ticks off the bag they hold in their hands."""


@dataclass(frozen=True, slots=True)
class Wrapped:
    """A kit and, where one is named, the kit lot its papers are for."""

    kit: Kit
    made: MadeUp | None = None
    lot: Lot | None = None

    @property
    def number(self) -> str:
        return self.made.number if self.made else ""


def wrapped(shop: Shop, name: str, lot: str) -> Wrapped:
    """The kit of this name, or of the kit lot named in place of it or beside it. Refuses a lot of another kit."""
    made = made_up(shop.session, (lot or name).strip().upper())
    if made is None and lot:
        raise Refused(f"no kit lot {lot}; a kit lot has a number such as K00001")
    if made is None:
        return Wrapped(kit_named(shop, name))
    if name.strip().casefold() not in (made.kit.casefold(), made.number.casefold()):
        raise Refused(f"kit lot {made.number} is of {made.kit}, not of {name}")
    if not standing(shop, made.number):
        raise Refused(f"kit lot {made.number} is taken apart")
    there = lots(shop.session, [made.number])
    return Wrapped(kit_named(shop, made.kit), made, there[0] if there else None)


def kit_sheet(session: Session, name: str, lot: str = "") -> str:
    """The sheet for the bag, as one HTML page for A4: of a kit lot what was picked, else what would be picked now."""
    shop = Shop(session)
    found = wrapped(shop, name, lot)
    sourcing = Sourcing(shop)
    contents = tuple(opened(shop, found.made) if found.made else as_picked_now(found.kit, sourcing))
    board = shop.boards.get(found.kit.board)
    parts = fitted(sourcing, found.kit, contents)
    repair = next((r for r in board.repairs if r.name == found.kit.repair), None) if board else None
    return sheet_page(
        KitSheet(
            name=found.kit.name,
            board=" ".join(filter(None, (found.kit.board, board.title if board else ""))),
            repair=found.kit.repair,
            items=items_in(sourcing, contents),
            first_check=repair.first_check if repair else (),
            live=_live(parts),
            steps=found.kit.steps,
            changing=() if found.kit.steps else _changing(board, parts),
            provisos=provisos_of(parts),
            cautions=bag_cautions(sourcing, parts, contents),
            notes=(*_solder_words(sourcing, contents), *_liquid_words(sourcing, contents)),
            pictures=tuple(_pictures(parts)),
            whole_board=_whole_board(shop, board, parts) if board else "",
            kit_lot=found.number,
            made=made_on(found),
            use_by=found.lot.expires if found.lot else None,
        )
    )


def made_on(found: Wrapped) -> date | None:
    return found.made.when.date() if found.made and found.made.when else None


def opened(shop: Shop, made: MadeUp) -> Iterator[Content]:
    """What is in each bag; of a kit that went in made up, what is in its own bags."""
    lots = {m.part_number: m.lot for m in moves(shop.session, reference=made.number) if m.lot != made.number}
    for content in made.contents:
        if inner := made_up(shop.session, lots.get(content.part_number, "")):
            times = content.quantity
            yield from (replace(c, quantity=c.quantity * times, inside=inner.kit) for c in opened(shop, inner))
        else:
            yield content


def items_in(sourcing: Sourcing, contents: Sequence[Content]) -> tuple[Item, ...]:
    """What to tick off: each part once, with every position it goes in at; what goes on the board first."""
    sums: dict[str, tuple[Decimal, tuple[str, ...], str]] = {}
    for c in contents:
        if sourcing.kind(c.part_number) not in NOT_IN_THE_LIST:
            what = c.part_number or f"no part serves {c.position}"
            quantity, positions, _ = sums.get(what, (Decimal(0), (), c.unit))
            more = (c.position,) if c.position else ()
            sums[what] = (quantity + c.quantity, (*positions, *more), c.unit)
    ordered = sorted(sums.items(), key=lambda one: not one[1][1])
    return tuple(Item(p, sourcing.describe(p), q, unit, positions) for p, (q, positions, unit) in ordered)


def _pictures(parts: Iterable[Fitted]) -> Iterator[str]:
    """Pins over holes for each position whose part has a drawing and goes in."""
    for one in parts:
        design = next(iter(one.designs), None)
        if design is None or design.footprint is None or one.place is None:
            continue
        _, answer = fit_findings(design, one.place)
        if answer.assignment:
            yield position_picture(one.place.pattern, answer.assignment, f"{one.at}: {one.part_number}")


def _whole_board(shop: Shop, board: Board, parts: Iterable[Fitted]) -> str:
    """Every position of the board, those that the kit is for set off; nothing where the kit fits none of it, or where
    nobody states how they lie to each other: each by itself is drawn with its pins."""
    goes_in = {
        one.place.position.ref: one.designs[0] if len(one.designs) == 1 else None
        for one in parts
        if one.place is not None and one.place.board.name == board.name
    }
    if not goes_in:
        return ""
    catalogue = catalogue_of(shop, board)
    told = as_its_circuit_tells(board, wirings_at(catalogue, board))
    drawn = drawn_board(catalogue, told, goes_in)
    if not drawn.together or len(drawn.positions) < 2:
        return ""
    return board_drawing(replace(drawn, title=f"{board.name}: grey and framed is what this kit is for"), tall=60.0)


def _solder_words(sourcing: Sourcing, contents: Sequence[Content]) -> Iterator[str]:
    """What to know of each solder in the bag: with lead, without, or not stated."""
    alloys = {line.part: line.alloy for kit in sourcing.kits.values() for line in kit.lines if line.alloy}
    for part in dict.fromkeys(c.part_number for c in contents if c.unit == "g"):
        name, alloy = sourcing.describe(part), alloys.get(part, "")
        lead = holds_lead(" ".join((alloy, part, name)))
        if lead is not None or alloy or "solder" in name.casefold():
            yield f"{part}{f' ({alloy})' if alloy else ''} {_LEAD_WORDS[lead]}"


_LEAD_WORDS = {
    False: "is lead-free. The old joints may hold lead: take the old solder out, and do not mix the two.",
    True: "holds lead. Not for boards made lead-free. Keep it away from food and children; wash your hands after use.",
    None: "is of an alloy that is not stated: treat it as holding lead, and do not mix it with other solder.",
}
"""Common practice, no source."""


def _liquid_words(sourcing: Sourcing, contents: Sequence[Content]) -> Iterator[str]:
    """Which things in the bag may catch fire; nothing of a liquid is known here but its name."""
    found = dict.fromkeys(
        c.part_number
        for c in contents
        if sourcing.shop.part(c.part_number) is not None and burns(sourcing, c.part_number)
    )
    if found:
        yield f"{', '.join(found)}: take it for flammable unless its own label says that it is not."


def _live(parts: Iterable[Fitted]) -> tuple[str, ...]:
    """What goes before checks that are made under power; that a function is guarded stands among the cautions."""
    placed = [pair for one in parts for pair in one.placed]
    said = [b.caution for place, design in placed if place is not None for b in before_parts(place, design)]
    return tuple(dict.fromkeys(text.removeprefix(GUARDED).strip() for text in said)) or (LIVE,)


def _changing(board: Board | None, parts: Sequence[Fitted]) -> tuple[ChangeStep, ...]:
    """How a relay is changed; nothing where the bag holds none that goes in anywhere."""
    if not parts:
        return ()
    process = (board.process if board else None) or ()
    guarded = any(is_guarded(place, design) for one in parts for place, design in one.placed if place is not None)
    return (*taking_out(process), *putting_in(process, guarded))


def cost_picture(kits: Sequence[CostedKit]) -> str:
    """Where the price of each kit goes, as SVG."""
    return cost_bars(kits)


def pick_list_page(made: MadeKits) -> str:
    """The pick list as a page for A4."""
    return pick_list(made, date.today().isoformat(), one_line(made.cautions, f"bom kit sheet {quote(made.kit)}"))
