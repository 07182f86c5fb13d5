"""What the kits' jobs found: what a kit costs and what selling one leaves.

Money is in the kit's own currency; None is *not known*. Quantities of a line are for the whole batch, in its ``unit``.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from bom.kits.cost import LineCost
from bom.kits.provisos import Proviso
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
