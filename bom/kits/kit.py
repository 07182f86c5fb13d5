"""A kit for one repair type: its lines, its packing and market, what is in its bags, and on what its parts serve.

Quantities are per kit. All bags of a kit lot are alike, so the lot says what is in each of them.

A part that a kit takes may serve on a condition only ("pause between directions"), with something still unknown, or,
out of an old bag, no longer at all. Whoever opens the bag must read that, so every paper of the kit carries it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from bom.values.finding import Finding, Outcome, worst_first
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


@dataclass(frozen=True, slots=True)
class Content:
    """``quantity`` of a part in each bag, in ``unit`` (piece, g, mm, ml).

    ``position`` is where it goes on the board, empty where it goes nowhere; ``inside`` the kit inside the kit that
    asks for it.
    """

    part_number: str
    quantity: Decimal
    unit: str = "piece"
    position: str = ""
    inside: str = ""


@dataclass(frozen=True, slots=True)
class MadeUp:
    """A kit lot: ``count`` bags of a kit, made up (or promised) together."""

    number: str
    kit: str
    count: int
    contents: tuple[Content, ...]
    when: datetime | None = None


@dataclass(frozen=True, slots=True)
class Proviso:
    """What one part is asked at the ``positions`` it goes in at: a finding's outcome and words, never a plain pass."""

    positions: tuple[str, ...]
    part_number: str
    outcome: Outcome
    check: str
    why: str
    source: str = ""

    @property
    def words(self) -> str:
        """On one line, where it goes in first.

        >>> Proviso(("K1", "K2"), "TW2", Outcome.CONDITION, "reversing", "pause between directions").words
        'K1, K2: TW2 serves on condition: pause between directions'
        """
        at = f"{', '.join(self.positions)}: " if self.positions else ""
        return f"{at}{self.part_number} {_SAID[self.outcome]}: {self.why}"


_SAID = {
    Outcome.CONDITION: "serves on condition",
    Outcome.UNKNOWN: "is not proved",
    Outcome.FAIL: "does not serve",
    Outcome.PASS: "serves",
}


def provisos(judged: Iterable[tuple[str, str, Iterable[Finding]]]) -> tuple[Proviso, ...]:
    """From (position, part number, findings): what does not pass, the worst first, positions that are asked the same
    thing together.

    >>> pause = Finding("reversing", Outcome.CONDITION, "pause between directions")
    >>> [(c.positions, c.why) for c in provisos([("K1", "TW2", [pause]), ("K2", "TW2", [pause])])]
    [(('K1', 'K2'), 'pause between directions')]
    """
    asked: dict[tuple[str, Outcome, str], tuple[Finding, list[str]]] = {}
    for position, part, findings in judged:
        for finding in findings:
            if finding.outcome is not Outcome.PASS:
                _, at = asked.setdefault((part, finding.outcome, finding.why), (finding, []))
                at.append(position)
    order = {id(f): n for n, f in enumerate(worst_first(f for f, _ in asked.values()))}
    worst = sorted(asked.items(), key=lambda one: order[id(one[1][0])])
    return tuple(
        Proviso(tuple(dict.fromkeys(filter(None, at))), part, outcome, finding.check, why, finding.source)
        for (part, outcome, why), (finding, at) in worst
    )
