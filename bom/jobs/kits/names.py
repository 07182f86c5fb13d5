"""Knows the shop's kits by name, what KIT=N means, and what the kits' files say of the shop's own tax position."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bom.kits.kit import Kit
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def kits_by_name(session: Session) -> dict[str, Kit]:
    """Every kit taken, by its name as its file spells it."""
    from bom.store.kits import kits

    return {kit.name: kit for kit in kits(session)}


def kit_named(session: Session, name: str) -> Kit:
    """The kit of this name, capitals or not; refused, naming those there are, where there is none."""
    kits = kits_by_name(session)
    for known, kit in kits.items():
        if known.casefold() == name.strip().casefold():
            return kit
    raise Refused(f"no kit {name}; there are {', '.join(sorted(kits)) or 'none yet: bom kit add FILE'}")


def kit_and_count(session: Session, word: str) -> tuple[str, int]:
    """From KIT=N, as in 'OS-3 valve drive=12'."""
    name, equals, count = word.rpartition("=")
    if not equals or not count.strip().isdigit() or int(count) < 1:
        raise Refused(f"expected KIT=N, as in 'OS-3 valve drive=12', found {word!r}")
    return kit_named(session, name).name, int(count)


def shop_is_registered(session: Session) -> bool:
    """Whether the shop gets purchase tax back, as its kits' market states; without a kit it does not."""
    return any(kit.market.tax_registered for kit in kits_by_name(session).values() if kit.market)
