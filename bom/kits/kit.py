"""A kit for one repair type: its lines, its packing and the market it is sold in. Quantities are per kit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from bom.values.money import Money

BASES = ("average", "landed", "fixed")
"""What a part may be costed at: average cost on hand, landed cost of the plan that would buy it, or a fixed cost."""

MOST_KITS = 100_000
"""More kits than any bench costs or makes up at once: a slip of the finger. Own choice."""

ROUNDINGS = ("half up", "half even", "down")


@dataclass(frozen=True, slots=True)
class Line:
    """One line: exactly one of ``position`` (a relay by board position), ``part`` or ``kit`` is set.

    ``quantity`` is in ``unit`` (piece, g, mm, ml). ``accept`` lists verdict words (*drop-in*, *conditional*) or part
    numbers, for a position line. ``each`` is a fixed cost of one unit, where the shop sets one; ``how`` says how a
    quantity was worked out (solder by joints), ``alloy`` what a solder is made of.
    """

    position: str = ""
    part: str = ""
    kit: str = ""
    quantity: Decimal = Decimal(1)
    unit: str = "piece"
    accept: tuple[str, ...] = ("drop-in",)
    each: Money | None = None
    how: str = ""
    alloy: str = ""


@dataclass(frozen=True, slots=True)
class Packing:
    """What packing and posting one kit takes."""

    cost: Money
    postage: Money
    minutes: Decimal = Decimal(0)
    hourly_rate: Money | None = None


@dataclass(frozen=True, slots=True)
class Market:
    """Where it is sold: percentages of 100, ``fee_on`` is *price* or *price and postage*; a price or a wanted margin.
    ``postage_charged`` is what the buyer pays on top of the price; None = post-free. ``payment_pct`` and
    ``payment_fixed`` are what taking the money costs, always on price and postage. ``rounding`` is one of
    ``ROUNDINGS``; a price worked out from a margin goes up to a whole ``price_step`` (None = the currency's
    smallest unit)."""

    tax_registered: bool
    tax_pct: Decimal
    fee_pct: Decimal
    fee_fixed: Money
    fee_on: str = "price and postage"
    price: Money | None = None
    margin_pct: Decimal | None = None
    postage_charged: Money | None = None
    payment_pct: Decimal = Decimal(0)
    payment_fixed: Money | None = None
    rounding: str = "half up"
    price_step: Money | None = None


@dataclass(frozen=True, slots=True)
class Kit:
    """A kit file. ``batch`` kits are costed together, because attrition and price breaks go by the batch; ``cost_by``
    is one of ``BASES``. ``steps`` are the kit's own, for its sheet; none = the usual ones."""

    name: str
    currency: str
    board: str = ""
    repair: str = ""
    batch: int = 1
    attrition_pct: Decimal = Decimal(0)
    lines: tuple[Line, ...] = ()
    packing: Packing | None = None
    market: Market | None = None
    cost_by: str = "average"
    steps: tuple[str, ...] = ()


def way_back(kit: Kit, kits: Mapping[str, Kit]) -> tuple[str, ...]:
    """The names from a kit through those inside it back to itself, as in (A, B, A); () where it does not hold itself.

    ``kits`` are those known before, by name; what ``kit`` says goes before an older one of its name.
    """
    known, seen = {**kits, kit.name: kit}, {kit.name}
    paths: list[tuple[str, ...]] = [(kit.name,)]
    for path in paths:  # grows while it is walked: the shortest ways first
        inside = [line.kit for line in known[path[-1]].lines if line.kit in known]
        if kit.name in inside:
            return (*path, kit.name)
        paths += [(*path, name) for name in dict.fromkeys(inside) if name not in seen]
        seen.update(inside)
    return ()
