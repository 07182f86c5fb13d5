"""How each part stands: what is there, coming and taken by planned kits, and the level it is ordered at, with reasons.

The level is the one set by hand, or the one that its use asks for. Parts that are obsolete or in their last-time buy
have no level of their own: they are named, with how long they last.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import ROUND_CEILING, Decimal
from typing import TYPE_CHECKING

from bom.answers.buying import PartStands, Spared
from bom.buying.levels import Lead, LevelFromUse, PriceSteps, Wish, lead_of, level_for
from bom.buying.reorder_points import days_left, due, weeks
from bom.shop.amounts import plain
from bom.shop.kit_needs import together
from bom.shop.prices import net_worth, offers_for, tax_inside
from bom.shop.sourcing import Sourcing
from bom.stock.ledger import Level
from bom.store.offers import stated_leads
from bom.store.on_order import lead_times
from bom.store.shelf import known_since, uses
from bom.store.shop_files import past_usage
from bom.values.part_number import normal

if TYPE_CHECKING:
    from collections.abc import Iterable

    from bom.shop.shop import Shop

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
    def can_wait(self) -> int:
        """How many of those wanted are above the reorder point; what planned kits take and the point itself is not."""
        point = int(self.level[0].to_integral_value(ROUND_CEILING))
        must = max(0, int((point - self.position).to_integral_value(ROUND_CEILING)))
        return max(0, self.wanted - must)

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
            point, up_to = map(plain, self.set_level)
            told = f"set by hand: order at {point}, up to {up_to}; by its use: {told}"
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


def standings(shop: Shop, wish: Wish | None = None) -> list[Standing]:
    """Every part that was ever in stock, used, planned for a kit, or has a level set."""
    there, wanted, planned = shop.shelf.parts, shop.levels_wanted, planned_uses(shop)
    reckoned, coming = levels_from_use(shop, wish or Wish()), dict[str, Decimal]()
    for one in shop.on_order:
        coming[one.part_number] = coming.get(one.part_number, Decimal(0)) + one.quantity
    names, nothing, known = sorted({*wanted, *reckoned, *planned, *coming}), Decimal(0), shop.statuses
    return [
        Standing(
            name,
            shop.unit(name),
            known[name],
            there.get(name, Level()).available,
            coming.get(name, nothing),
            planned.get(name, nothing),
            wanted.get(name),
            reckoned.get(name),
        )
        for name in names
        if name in known  # kits made up are no parts: they are not bought
    ]


def planned_uses(shop: Shop) -> dict[str, Decimal]:
    """Part to how much of it the kits that are planned take, shared stand-ins counted once."""
    known = shop.kits
    counts = {name: count for name, count in shop.planned_kits.items() if name in known}
    if not counts:
        return {}
    found = together(Sourcing(shop), counts)
    taken = [(part, quantity) for (_, _, part), quantity in found.uses.items()]
    taken += [(one.allowed[0], one.quantity) for one in found.missing if one.allowed]
    answer: dict[str, Decimal] = {}
    for part, quantity in taken:
        answer[part] = answer.get(part, Decimal(0)) + quantity
    return answer


LONGEST_WEEKS = 104
"""Use older than two years says little about today. Common practice, no source."""

USUAL_LEAD_DAYS = 7.0
"""Where nobody states a lead time. Own choice; the level then says so."""

Use = tuple[date, Decimal]


@dataclass(slots=True)
class History:
    """What went out of each part on which day, from the ledger and from before it, and the first day it was known."""

    used: dict[str, list[Use]] = field(default_factory=dict)
    since: dict[str, date] = field(default_factory=dict)

    def enter(self, part: str, day: date, quantity: Decimal | None = None) -> None:
        self.since[part] = min(day, self.since.get(part, day))
        if quantity is not None:
            self.used.setdefault(part, []).append((day, quantity))

    def weekly(self, part: str, today: date) -> tuple[float, ...]:
        """Use per week up to today, oldest first, of at most two years."""
        since = max(self.since.get(part, today), today - timedelta(days=7 * LONGEST_WEEKS - 1))
        return weeks(self.used.get(part, ()), since, today)


def history(shop: Shop) -> History:
    """What went out in the weeks that count and was not undone. A count that found less is no use: it is a loss to look
    into."""
    found, begin = History(), shop.today - timedelta(days=7 * LONGEST_WEEKS)
    for used in past_usage(shop.session):
        found.enter(used.part_number, used.day, used.quantity)
    for part, day in known_since(shop.session).items():
        found.enter(part, day)
    for part, day, quantity in uses(shop.session, begin):
        found.enter(part, day, quantity)
    return found


def leads(shop: Shop, parts: Iterable[str]) -> dict[str, Lead]:
    """Each of these parts to its lead time, where one is known: what deliveries took, else what its offers state (each
    supplier's usual days else)."""
    usual, names = {s.name: s.lead_days for s in shop.suppliers}, shop.names
    promised: dict[str, list[float]] = {}
    for number, normal_number, maker, supplier, days in stated_leads(shop.session):
        days = usual.get(supplier) if days is None else days
        if days is not None:
            shared = normal_number in names.shared_numbers
            promised.setdefault(names.name(number, maker) if shared else normal_number, []).append(float(days))
    took: dict[str, list[float]] = {}
    for one in lead_times(shop.session):
        took.setdefault(one.part_number, []).append(one.days)
    answer: dict[str, Lead] = {}
    for part in parts:
        stated = promised.get(part) or promised.get(normal(part)) or []
        if stated or part in took:
            answer[part] = lead_of(stated, took.get(part, ()), USUAL_LEAD_DAYS)
    return answer


def levels_from_use(shop: Shop, wish: Wish) -> dict[str, LevelFromUse]:
    """The level that its use asks for, of every part that was ever used, in stock or asked about."""
    seen, today = history(shop), date.today()
    known = leads(shop, seen.since)
    offers = _price_steps(shop, seen.since) if wish.order_cost is not None else {}
    nothing = lead_of((), (), USUAL_LEAD_DAYS)
    return {
        part: level_for(
            seen.weekly(part, today),
            known.get(part, nothing),
            wish,
            by_piece=shop.unit(part) == "piece",
            offers=offers.get(part, ()),
        )
        for part in sorted(seen.since)
    }


def _price_steps(shop: Shop, parts: Iterable[str]) -> dict[str, tuple[PriceSteps, ...]]:
    """Part number to the price steps of its offers, in the shop's currency and without tax, where there is a rate."""
    rates = shop.rates_to(shop.currency)
    tax = tax_inside(shop)
    answer: dict[str, tuple[PriceSteps, ...]] = {}
    for offer in offers_for(shop, parts):
        if worth := net_worth(offer, rates, tax.get(offer.supplier, Decimal(0))):
            steps = tuple((float(b.from_quantity), float(b.price.amount * worth)) for b in offer.breaks)
            answer[offer.part_number] = (*answer.get(offer.part_number, ()), PriceSteps(steps, offer.incremental))
    return answer
