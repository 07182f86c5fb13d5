"""Names as people type them, understood: a part or a kit, alone or as NAME=N, a lot, a drawer.

A part goes by its name (``bom.store.part_names``). A text that may mean two parts is a question to ask, never a choice
to make, so it is refused with the choices.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from bom.kits.kit import MOST_KITS, Kit
from bom.store import shelf
from bom.store.boards_and_kits import lots_of
from bom.store.catalogue import supply_numbers
from bom.store.marks import marked
from bom.store.search import beginning, run_together_as, slips
from bom.values.difference import some
from bom.values.part_number import makers_and_numbers, normal, run_together, suggest
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.shop.shop import Shop
    from bom.stock.ledger import Lot
    from bom.store.unit_of_work import Session


class Part(NamedTuple):
    """A part of the catalogue by the name it goes by, and its maker."""

    name: str
    maker: str


READ_AS = "read as"
"""Where a session keeps what was read otherwise than it was typed, to be told once the job is done."""
AFTERWARDS = "afterwards"
"""Where a session keeps what is left to do once the job is done."""


def read_as(session: Session, name: str, typed: str) -> str:
    """The name that was taken for what was typed; the person is told once the job is done."""
    session.info.setdefault(READ_AS, {})[name] = typed.strip()
    return name


def part_named(shop: Shop, text: str) -> Part:
    """The relay or supply that is meant by what somebody typed; hyphens between digits may be left out."""
    if not shop.called(text):
        match run_together_as(shop.session, text) or _supplies_run_together(shop, text):
            case [number]:
                return part_stated(shop, read_as(shop.session, number, text))
            case [_, *_] as several:
                raise Refused(f"{text} may be {' or '.join(several)}: type the hyphens of the one meant")
    return part_stated(shop, text)


def part_stated(shop: Shop, text: str, maker: str = "") -> Part:
    """The relay or supply that a file or a label states, with every separator between digits; refuses another."""
    found, names = shop.called(text), shop.names
    if maker and found:
        makers = dict.fromkeys(m for _, m in found)
        found = [(n, m) for n, m in found if m.casefold() == maker.strip().casefold()]
        if not found:
            raise Refused(f"{text} of {maker} is not in the catalogue; it has that of {' and of '.join(makers)}")
    several = {names.name(number, whose): whose for number, whose in found}
    match list(several.items()):
        case []:
            raise Refused(no_such_part(shop, text))
        case [(name, whose)]:
            return Part(name, whose)
    raise Refused(whose_is_meant(found[0][0], several.values()))


def whose_is_meant(text: str, makers: Iterable[str]) -> str:
    """The question where two makers make a part of this number."""
    whose = sorted(set(makers))
    choices = " or ".join(f"'{maker} {text}'" for maker in whose)
    return f"{text} is made by {' and by '.join(whose)}: write {choices}"


def name_meant(shop: Shop, text: str) -> str:
    """The name of the one part that a kit's file states as ``Maker NUMBER``; any other text as it is, for a number is
    a name already, or is nobody's, or is two makers'."""
    names = shop.names
    if " " not in text or names.part(text)[1]:
        return text
    match [(number, maker) for number, maker in shop.called(text) if number != text]:
        case [(number, maker)] if f"{maker} {number}".casefold() == text.casefold():
            return names.name(number, maker)
    return text


def no_such_part(shop: Shop, text: str) -> str:
    """Why nothing is there by this number: perhaps one is like it, perhaps nothing is there at all."""
    supplies = supply_numbers(shop.session)
    if not supplies and not marked(shop.session, "relays"):
        return f"no part {text}: the catalogue is empty; bom catalog add FOLDER takes one in"
    near = _near(shop, text, supplies)
    return f"no part {text} in the catalogue" + (f"; did you mean {' or '.join(near)}?" if near else "")


def _near(shop: Shop, text: str, supplies: Sequence[str], most: int = 5) -> list[str]:
    for _, number in makers_and_numbers(text):
        wanted = normal(number)
        begun = sorted((n for n in supplies if wanted and normal(n).startswith(wanted)), key=lambda n: (len(n), n))
        near = slips(shop.session, number, most) + suggest(number, supplies)
        if found := near or (beginning(shop.session, number, most) + begun):
            return found[:most]
    return []


def _supplies_run_together(shop: Shop, text: str) -> list[str]:

    return run_together(text, supply_numbers(shop.session))


def with_our_names(shop: Shop, kit: Kit) -> Kit:
    """The kit with each part by the name it goes by here, where its file writes the maker too."""
    return replace(kit, lines=tuple(replace(line, part=name_meant(shop, line.part)) for line in kit.lines))


def kit_named(shop: Shop, name: str) -> Kit:
    """The kit of this name, capitals or not; refused, naming those there are, where there is none."""
    kits = shop.kits
    for known, kit in kits.items():
        if known.casefold() == name.strip().casefold():
            return kit
    raise Refused(f"no kit {name}; there are {', '.join(sorted(kits)) or 'none yet: bom kit add FILE'}")


def resting_on(shop: Shop, kit: str) -> tuple[str, ...]:
    """Who uses the kit: kits that hold it, those planned, the kit lots of it."""
    holders = [k.name for k in shop.kits.values() if any(line.kit == kit for line in k.lines)]
    planned = shop.planned_kits.get(kit)
    said = [some(holders, "kit"), f"{planned} planned" if planned else "", some(lots_of(shop.session, kit), "kit lot")]
    return tuple(filter(None, said))


def kit_and_count(shop: Shop, word: str) -> tuple[str, int]:
    """From KIT=N, as in 'OS-3 valve drive=12'."""
    name, equals, count = word.rpartition("=")
    if not equals or not (count.strip().isascii() and count.strip().isdigit()) or not count.strip(" 0"):
        raise Refused(f"expected KIT=N, as in 'OS-3 valve drive=12', found {word!r}")
    return kit_named(shop, name).name, few_enough(count.strip())


def few_enough(count: str | int) -> int:
    """The number of kits; refused where nobody can have meant so many."""
    if len(str(count).lstrip("0")) > len(str(MOST_KITS)) or int(count) > MOST_KITS:
        raise Refused(f"expected at most {MOST_KITS:,} kits, found {count}")
    return int(count)


def stocked_named(shop: Shop, text: str) -> str:
    """A part number, or the name of a kit that is made up and kept as a lot."""
    for kit in shop.kits:
        if kit.casefold() == text.strip().casefold():
            return kit
    return part_named(shop, text).name


class Drawers:
    """The shop's drawers by the letters they are called: a5 is A5, and whichever was written first is its spelling."""

    def __init__(self, shop: Shop) -> None:
        self._spelled: dict[str, list[str]] = {}
        for drawer in sorted(shelf.drawers(shop.session)):
            self._spelled.setdefault(_folded(drawer), []).append(drawer)

    def named(self, text: str) -> str:
        """The drawer that is meant; a new one as it is typed. Refused where two in use differ by capitals alone."""
        typed = " ".join(text.split())
        known = self._spelled.setdefault(_folded(typed), [typed])
        if typed in known or len(known) == 1:
            return typed if typed in known else known[0]
        raise Refused(f"drawer {typed} may be {' or '.join(known)}: write the one meant, capitals as they are")


def _folded(drawer: str) -> str:
    return " ".join(drawer.split()).casefold()


def lot_named(shop: Shop, number: str) -> Lot:
    """The lot of this number, in capitals or not."""
    for lot in shelf.lots(shop.session, {number, number.upper()}):
        return lot
    raise Refused(f"no lot {number}")
