"""Knows the shop's kits by name, and what KIT=N means."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bom.kits.kit import MOST_KITS, Kit
from bom.shop.parts import name_meant
from bom.values.difference import some
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def kits_by_name(session: Session) -> dict[str, Kit]:
    """Every kit taken, by its name as its file spells it, its parts by the names they go by here."""
    from bom.store.boards_and_kits import kits

    return {kit.name: with_our_names(session, kit) for kit in kits(session)}


def with_our_names(session: Session, kit: Kit) -> Kit:
    """The kit with each part by the name it goes by here, where its file writes the maker too."""
    return replace(kit, lines=tuple(replace(line, part=name_meant(session, line.part)) for line in kit.lines))


def kit_named(session: Session, name: str) -> Kit:
    """The kit of this name, capitals or not; refused, naming those there are, where there is none."""
    kits = kits_by_name(session)
    for known, kit in kits.items():
        if known.casefold() == name.strip().casefold():
            return kit
    raise Refused(f"no kit {name}; there are {', '.join(sorted(kits)) or 'none yet: bom kit add FILE'}")


def resting_on(session: Session, kit: str) -> tuple[str, ...]:
    """Who uses the kit: kits that hold it, those planned, the kit lots of it."""
    from bom.store.boards_and_kits import lots_of, planned_kits

    holders = [k.name for k in kits_by_name(session).values() if any(line.kit == kit for line in k.lines)]
    planned = planned_kits(session).get(kit)
    said = [some(holders, "kit"), f"{planned} planned" if planned else "", some(lots_of(session, kit), "kit lot")]
    return tuple(filter(None, said))


def kit_and_count(session: Session, word: str) -> tuple[str, int]:
    """From KIT=N, as in 'OS-3 valve drive=12'."""
    name, equals, count = word.rpartition("=")
    if not equals or not (count.strip().isascii() and count.strip().isdigit()) or not count.strip(" 0"):
        raise Refused(f"expected KIT=N, as in 'OS-3 valve drive=12', found {word!r}")
    return kit_named(session, name).name, few_enough(count.strip())


def few_enough(count: str | int) -> int:
    """The number of kits; refused where nobody can have meant so many."""
    if len(str(count).lstrip("0")) > len(str(MOST_KITS)) or int(count) > MOST_KITS:
        raise Refused(f"expected at most {MOST_KITS:,} kits, found {count}")
    return int(count)
