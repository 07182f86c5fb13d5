"""How each part stands: what is there, coming and taken by planned kits, the level that holds, and what drop-ins spare.

Parts that are obsolete or in their last-time buy have no level of their own: they are named, with how long they last.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_CEILING, Decimal
from typing import TYPE_CHECKING

from bom.answers.buying import PartStands, Spared
from bom.buying.levels import LevelFromUse, Wish
from bom.buying.reorder_points import days_left, due
from bom.shop.amounts import plain, units_in
from bom.shop.parts import parts_by_name

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session

ENDING = ("obsolete", "last-time buy")

LAST_BUY_YEARS = 2.0
"""How long a last buy is to last, when it is proposed. Own choice."""


@dataclass(frozen=True, slots=True)
class Standing:
    """A part as it stands: what is there, coming and taken, the level that holds, and the one its use asks for."""

    part: str
    unit: str
    status: str
    available: Decimal
    on_order: Decimal
    planned: Decimal
    set_level: tuple[Decimal, Decimal] | None
    reckoned: LevelFromUse | None
    helpers: tuple[tuple[str, Decimal], ...] = ()  # parts that drop in for it, and how many of each are to spare

    @property
    def helped(self) -> Decimal:
        return sum((quantity for _, quantity in self.helpers), Decimal(0))

    @property
    def position(self) -> Decimal:
        """What there will be: available and coming, its own and stand-ins', less what planned kits take."""
        return self.available - self.planned + self.on_order + self.helped

    @property
    def spare(self) -> Decimal:
        """What other parts may be served with: all that leaves it above its own point, set or asked for by its use."""
        own = max(self.level[0], Decimal(self.reckoned.point if self.reckoned else 0))
        return max(self.position - own - (1 if own else 0), Decimal(0))

    @property
    def ending(self) -> bool:
        return self.status in ENDING

    @property
    def level(self) -> tuple[Decimal, Decimal]:
        """The level set by hand, else the one its use asks for; none for a part that is at its end."""
        if self.set_level is not None:
            return self.set_level
        if self.reckoned is None or self.ending:
            return Decimal(0), Decimal(0)
        return Decimal(self.reckoned.point), Decimal(self.reckoned.up_to)

    @property
    def wanted(self) -> int:
        """What to order now, in whole units; kits planned are taken off what is available."""
        point, up_to = (int(x.to_integral_value(ROUND_CEILING)) for x in self.level)
        if self.set_level is None and up_to == 0 and self.position >= 0:
            return 0
        return due(self.part, self.position, 0, point, up_to)

    @property
    def per_day(self) -> float:
        return self.reckoned.usage.per_day if self.reckoned else 0.0

    def lasts(self) -> str:
        """How long what is there and coming lasts at the rate it is used."""
        days = days_left(float(self.position), self.per_day)
        if days is None:
            return "nothing used lately"
        until = date.today() + timedelta(days=min(int(days), 36500))
        return f"{days:.0f} days, to {until}" if days < 3650 else "more than ten years"

    def why(self) -> str:
        """How the level came about, and for a part at its end what a last buy would be."""
        told = self.reckoned.why if self.reckoned else "never used"
        if self.set_level is not None and self.reckoned is not None and self.reckoned.method != "none":
            told += f"; asks for {self.reckoned.point}, up to {self.reckoned.up_to}"
        if self.helpers:
            told = f"{', '.join(f'{plain(q)} of {p}' for p, q in self.helpers)} to spare drop in; {told}"
        if not self.ending:
            return told
        need = max(0.0, self.per_day * 365 * LAST_BUY_YEARS - float(self.position))
        more = f"; a last buy of {plain(Decimal(round(need)), self.unit)} would last {LAST_BUY_YEARS:g} years"
        return f"{self.status}: {told}" + (more if self.status == "last-time buy" and need >= 1 else "")

    @property
    def level_by(self) -> str:
        return "set by hand" if self.set_level is not None else "none" if self.ending else "reckoned"

    def as_row(self, accepted: tuple[str, ...] | None = None) -> PartStands:
        """As it is shown; ``accepted`` are the parts that may be bought for one that is due."""
        point, up_to = self.level
        return PartStands(
            part_number=self.part,
            quantity=self.wanted,
            unit=self.unit,
            available=self.available,
            on_order=self.on_order,
            planned=self.planned,
            stand_ins=self.helped,
            served_by=tuple(Spared(part, quantity) for part, quantity in self.helpers),
            point=point,
            up_to=up_to,
            level_by=self.level_by,
            reckoned=(self.reckoned.point, self.reckoned.up_to) if self.reckoned else None,
            method=self.reckoned.method if self.reckoned else None,
            status=self.status,
            lasts=self.lasts(),
            why=self.why(),
            accepted=accepted,
        )


def standings(session: Session, wish: Wish | None = None) -> list[Standing]:
    """Every part that was ever in stock, used, planned for a kit, or has a level set."""
    from bom.shop.levels import levels_from_use
    from bom.stock.ledger import Level
    from bom.store.on_order import on_order
    from bom.store.shelf import levels_wanted, shelf

    units, there, wanted = units_in(session), shelf(session).parts, levels_wanted(session)
    reckoned, planned = levels_from_use(session, wish or Wish(), units), planned_uses(session)
    coming: dict[str, Decimal] = {}
    for one in on_order(session):
        coming[one.part_number] = coming.get(one.part_number, Decimal(0)) + one.quantity
    status, nothing = _statuses(session), Decimal(0)
    parts = [p for p in sorted({*wanted, *reckoned, *planned, *coming}) if p in status]
    return [
        Standing(
            p,
            units.get(p, "piece"),
            status[p],
            there.get(p, Level()).available,
            coming.get(p, nothing),
            planned.get(p, nothing),
            wanted.get(p),
            reckoned.get(p),
        )
        for p in parts
    ]


def _statuses(session: Session) -> dict[str, str]:
    """Part to its status, of all in the catalogue; kits made up are not among them, they are not bought."""
    return {name: str(part.status or "") for name, part in parts_by_name(session).items()}


def planned_uses(session: Session) -> dict[str, Decimal]:
    """Part to how much of it the kits that are planned take, shared stand-ins counted once."""
    from bom.shop.kits import kits_by_name
    from bom.shop.sourcing import Sourcing
    from bom.shop.together import together
    from bom.store.boards_and_kits import planned_kits

    known = kits_by_name(session)
    counts = {name: count for name, count in planned_kits(session).items() if name in known}
    if not counts:
        return {}
    found = together(Sourcing(session, known), counts)
    taken = [(part, quantity) for (_, _, part), quantity in found.uses.items()]
    taken += [(one.allowed[0], one.quantity) for one in found.missing if one.allowed]
    answer: dict[str, Decimal] = {}
    for part, quantity in taken:
        answer[part] = answer.get(part, Decimal(0)) + quantity
    return answer
