"""What the kits' jobs found: what a kit costs and leaves, how many there can be, what was picked and made up.

Money is in the kit's own currency; None is *not known*. Quantities are in the ``unit`` beside them, those of a
costed line for the whole batch.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from bom.answers.buying import ShopPlan
from bom.kits.cost import LineCost
from bom.kits.kit import Proviso
from bom.values.money import Money


@dataclass(frozen=True, slots=True)
class SoldAt:
    """One kit sold: where its price goes, and the profit that is left, as a margin and as a markup in percent."""

    price: Money
    tax: Money
    fee: Money
    postage: Money
    packing: Money
    labour: Money
    cost: Money
    profit: Money
    margin_pct: Decimal | None
    margin_on: str
    markup_pct: Decimal | None
    markup_on: str


@dataclass(frozen=True, slots=True)
class LineChanged:
    """A line that costs ``more`` (or less, below 0) per kit than it did, or that takes another part than it did."""

    line: str
    was: str
    is_: str
    more: Money | None


@dataclass(frozen=True, slots=True)
class CostChanged:
    """How much more one kit costs than when its figures were last kept, and through which lines."""

    since: date
    per_kit: Money | None
    lines: tuple[LineChanged, ...]


@dataclass(frozen=True, slots=True)
class CostedKit:
    """What one kit of a ``batch`` costs by ``cost_by``, whose cost is ``unknown``, what it sells for, and how many
    can be made up now.

    ``conditions`` say on what its parts serve. ``no_price`` says why there is no ``sale``, where its file wants one;
    ``changed`` is None where nothing was kept before, or nothing changed.
    """

    kit: str
    board: str
    repair: str
    batch: int
    cost_by: str
    attrition_pct: Decimal
    lines: tuple[LineCost, ...]
    unknown: tuple[str, ...]
    notes: tuple[str, ...]
    conditions: tuple[Proviso, ...]
    cautions: tuple[str, ...]
    per_kit: Money | None
    sale: SoldAt | None
    no_price: str
    changed: CostChanged | None
    can_make_now: int


@dataclass(frozen=True, slots=True)
class Lacking:
    """So much that lacks of any of ``parts``, ``for_`` these positions, and ``why``, where it is not just too few."""

    parts: tuple[str, ...]
    quantity: Decimal
    unit: str
    for_: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True)
class KitCount:
    """How many of a kit can be made up ``alone`` and side by side with the others, and how many are planned."""

    kit: str
    alone: int
    together: int
    planned: int
    why: str


@dataclass(frozen=True, slots=True)
class PossibleKits:
    """How many of each kit; the most by number or by profit, ``value`` in all, and whether that is ``proven``.

    ``wanted`` (kit to how many), what is ``missing`` for them, and on what their parts serve are None where nobody
    asked for so many of a kit; ``plan`` buys what is missing, where that was asked.
    """

    kits: tuple[KitCount, ...]
    best_by: str
    value: Decimal
    proven: bool
    cautions: tuple[str, ...]
    wanted: Mapping[str, int] | None = None
    missing: tuple[Lacking, ...] | None = None
    conditions: tuple[Proviso, ...] | None = None
    plan: ShopPlan | None = None


@dataclass(frozen=True, slots=True)
class PlannedKits:
    """So many of a kit are meant to be made up."""

    kit: str
    planned: int


@dataclass(frozen=True, slots=True)
class InBag:
    """What each bag of a kit lot holds of a part; ``inside`` is the kit inside the kit that asks for it."""

    position: str
    part_number: str
    name: str
    quantity: Decimal
    unit: str
    inside: str


@dataclass(frozen=True, slots=True)
class KitLotMade:
    """So many bags that are all alike; without a number where nothing was booked."""

    kit_lot: str | None
    count: int
    contents: tuple[InBag, ...]


@dataclass(frozen=True, slots=True)
class Pick:
    """What to take of a lot from its drawer, and for which kit lot."""

    drawer: str
    part_number: str
    name: str
    lot: str
    quantity: Decimal
    unit: str
    date_code: str
    expires: date | None
    kit_lot: str | None


@dataclass(frozen=True, slots=True)
class MadeKits:
    """So many of a kit: ``booked`` as *made up* or *reserved*, or None where nothing was; short of anything, nothing
    is picked. ``kit_lot`` is the first of ``kit_lots``."""

    kit: str
    count: int
    booked: str | None
    missing: tuple[Lacking, ...]
    kit_lot: str | None
    kit_lots: tuple[KitLotMade, ...]
    picks: tuple[Pick, ...]
    conditions: tuple[Proviso, ...]
    cautions: tuple[str, ...]

    @property
    def by_drawer(self) -> list[Pick]:
        """What to take, by drawer; what goes into several kit lots from one lot is taken at once."""
        found: dict[tuple[str, str, str], Pick] = {}
        for pick in self.picks:
            key = (pick.drawer, pick.part_number, pick.lot)
            found[key] = replace(pick, quantity=found[key].quantity + pick.quantity) if key in found else pick
        return [found[key] for key in sorted(found, key=lambda key: (not key[0], [*map(_natural, key)]))]

    @property
    def differing(self) -> list[tuple[KitLotMade, InBag]]:
        """What a kit lot's bags hold that another's do not; for mixed bags, all they hold by position."""
        held = [{(c.position, c.part_number, c.quantity) for c in lot.contents} for lot in self.kit_lots]
        common = set.intersection(*held) if held else set()
        return [(lot, content) for lot in self.kit_lots for content in _differs(lot, common)]

    def where_booked(self, nothing: str) -> str:
        """The kit lots made up or promised to, else the words for nothing booked."""
        lots = ", ".join(lot.kit_lot for lot in self.kit_lots if lot.kit_lot)
        said = {"made up": f"kit lot {lots}", "reserved": f"promised to kit lot {lots}"}
        return said.get(self.booked or "", nothing)


def _differs(lot: KitLotMade, common: set[tuple[str, str, Decimal]]) -> list[InBag]:
    parts = {c.part_number for c in lot.contents if c.position}
    wanted = [c for c in lot.contents if (c.position, c.part_number, c.quantity) not in common]
    return wanted or ([c for c in lot.contents if c.position] if len(parts) > 1 else [])


def _natural(text: str) -> list[tuple[bool, int, str]]:
    """A2 before A10, as drawers stand."""
    return [(part.isdecimal(), int(part) if part.isdecimal() else 0, part) for part in re.split(r"(\d+)", text)]


@dataclass(frozen=True, slots=True)
class FinishedKits:
    """A kit lot whose promised pieces are booked."""

    kit: str
    kit_lot: str
    count: int


@dataclass(frozen=True, slots=True)
class BackInLot:
    """So much of a part that went back into its lot."""

    part_number: str
    lot: str
    quantity: Decimal


@dataclass(frozen=True, slots=True)
class UndoneKits:
    """A kit lot taken apart again."""

    kit: str
    kit_lot: str
    count: int
    back: tuple[BackInLot, ...]
