"""Knows in which order a bench takes what it picks, and what bags hold that others of the same picking do not; the
terminal and the printed pick list show both."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from bom.answers.kits import InBag, KitLotMade, MadeKits, Pick


def by_drawer(picks: Iterable[Pick]) -> list[Pick]:
    """What to take, by drawer; what goes into several kit lots from one lot is taken at once."""
    found: dict[tuple[str, str, str], Pick] = {}
    for pick in picks:
        key = (pick.drawer, pick.part_number, pick.lot)
        found[key] = replace(pick, quantity=found[key].quantity + pick.quantity) if key in found else pick
    return [found[key] for key in sorted(found, key=lambda key: (not key[0], [*map(_natural, key)]))]


def _natural(text: str) -> list[tuple[bool, int, str]]:
    """A2 before A10, as drawers stand."""
    return [(part.isdecimal(), int(part) if part.isdecimal() else 0, part) for part in re.split(r"(\d+)", text)]


def differing(lots: Sequence[KitLotMade], lot: KitLotMade) -> list[InBag]:
    """What this kit lot's bags hold that another's do not; for mixed bags, all they hold by position."""
    held = [{(c.position, c.part_number, c.quantity) for c in one.contents} for one in lots]
    common = set.intersection(*held) if held else set()
    parts = {c.part_number for c in lot.contents if c.position}
    wanted = [c for c in lot.contents if (c.position, c.part_number, c.quantity) not in common]
    return wanted or ([c for c in lot.contents if c.position] if len(parts) > 1 else [])


def where_booked(made: MadeKits, nothing: str) -> str:
    """The kit lots made up or promised to, else the words for nothing booked."""
    lots = ", ".join(lot.kit_lot for lot in made.kit_lots if lot.kit_lot)
    said = {"made up": f"kit lot {lots}", "reserved": f"promised to kit lot {lots}"}
    return said.get(made.booked or "", nothing)
