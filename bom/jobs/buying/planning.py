"""The cheapest order, for a stand-alone problem or for parts and kits over all the shop's offers: planned, told to
whoever waits for it, and written down as a workbook that recalculates and as a picture beside the habits.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import ROUND_CEILING, Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.buying import BarePlan, BlockedPlan, KitsShort, ShopPlan
from bom.buying.from_offers import Need
from bom.buying.order_lines import blocked
from bom.buying.plan import plan
from bom.buying.plan_problem import Preferences, SoFar, Watcher
from bom.intake.problem_file import json_mapping, stated_problem
from bom.paper.pictures.money_bars import plan_picture
from bom.paper.workbooks.plan_workbook import write_plan
from bom.paper.writing import written_whole
from bom.shop.care import with_care
from bom.shop.kit_needs import missing_parts
from bom.shop.names import kit_and_count, part_named
from bom.shop.plan import bare, pieces_not_to_be_had, plan_needs, why_not_to_be_had
from bom.shop.serving import stand_ins_of
from bom.shop.shop import Shop
from bom.shop.sourcing import Sourcing
from bom.values.problem import Refused
from bom.values.typed_day import day_typed

if TYPE_CHECKING:
    from bom.buying.offer import Supplier
    from bom.store.unit_of_work import Session


SUBSTITUTES = ("none", "drop-in", "conditional")


@dataclass(frozen=True, slots=True)
class PlanAsked:
    """What is to be bought, as words: ``parts`` are PART=QTY, ``kits`` KIT=N (what lacks to make so many up).

    ``avoid`` are NAME or NAME=SAVING, ``prefer`` NAME=SAVING, ``by`` the latest day. ``substitutes`` is one of
    ``SUBSTITUTES``: which verdict a part must have to serve in place of one of ``parts``.
    """

    parts: Sequence[str] = ()
    kits: Sequence[str] = ()
    most: int | None = None
    by: str = ""
    avoid: Sequence[str] = ()
    prefer: Sequence[str] = ()
    surplus_pct: float = 0.0
    substitutes: str = "none"
    seconds: float = 60.0
    gap_pct: float = 0.0


def plan_file(path: Path, seconds: float, gap_pct: float = 0.0, watcher: Watcher | None = None) -> BarePlan:
    """A problem file's plan, alone; where there is none, ``blocked`` says what is in the way."""
    try:
        problem = stated_problem(json_mapping(path))
    except Refused as refused:
        raise Refused(f"{path}: {refused}" if str(path) not in str(refused) else str(refused)) from refused
    found = plan(problem, gap=gap_pct / 100, seconds=seconds, watcher=watcher)
    answer = bare(found)
    if found.status == "infeasible":
        return BlockedPlan(answer.status, answer.cost, answer.bound, answer.gap, answer.order, blocked(problem))
    return answer


def plan_asked(session: Session, asked: PlanAsked, watcher: Watcher | None = None) -> ShopPlan:
    """The plan for what is asked; where nothing is lacking for the kits, an order of nothing.

    What cannot be had is named and the rest is planned; of kits, those that can be completed.
    """
    shop = Shop(session)
    if not asked.parts and not asked.kits:
        raise Refused("expected --problem FILE, or at least one --part PART=QTY or --kit KIT=N")

    named = _parts_needed(shop, asked)
    preferences = _preferences(shop, asked)
    wanted = dict(kit_and_count(shop, word) for word in asked.kits)
    bench = _Bench(shop, named, asked.most, preferences)
    counts = bench.that_can_be_completed(wanted)
    needs = [*named, *bench.needs_of(counts)]
    answer, _ = plan_needs(shop, needs, asked.most, asked.seconds, preferences, asked.gap_pct / 100, watcher)
    answer = replace(answer, kits_short=bench.short_of(wanted, counts))
    return with_care(shop, answer, [n.part for n in named], asked.kits)


def need_of(shop: Shop, word: str) -> Need:
    """From PART=QTY."""
    name, equals, count = word.rpartition("=")
    if not equals or not count.strip().isdigit() or int(count) < 1:
        raise Refused(f"expected PART=QTY, as in TW2-12S=20, found {word!r}")
    part, _ = part_named(shop, name)
    return Need(part, int(count), (part,))


def _parts_needed(shop: Shop, asked: PlanAsked) -> list[Need]:
    if asked.substitutes not in SUBSTITUTES:
        raise Refused(f"expected substitutes {', '.join(SUBSTITUTES)}, found {asked.substitutes!r}")
    needs = [need_of(shop, word) for word in asked.parts]
    if asked.substitutes == "none":
        return needs
    conditional = asked.substitutes == "conditional"
    others = stand_ins_of(shop, [need.part for need in needs], conditional=conditional)
    return [replace(need, accepts=(need.part, *others[need.part])) for need in needs]


@dataclass(frozen=True, slots=True)
class _Bench:
    """The kits that are to be made up, beside the parts named and under the same wishes."""

    shop: Shop
    named: Sequence[Need]
    most: int | None
    preferences: Preferences

    def needs_of(self, counts: Mapping[str, int]) -> list[Need]:
        """What lacks for so many of each kit side by side; a part that may serve several of them is bought once."""
        if not any(counts.values()):
            return []
        short = missing_parts(Sourcing(self.shop), {name: count for name, count in counts.items() if count})
        if not all(parts for parts, _ in short):
            raise Refused(
                f"a line of {', '.join(counts)} has no part that may serve it; bom kit cost says which and why"
            )
        return [Need(parts[0], int(q.to_integral_value(ROUND_CEILING)), parts) for parts, q in short]

    def that_can_be_completed(self, wanted: Mapping[str, int]) -> dict[str, int]:
        """As many of each kit as there are parts to be had for, the kit named first served first.

        Minimum orders and the number of suppliers are not asked here: what they keep out is named part by part.
        """
        counts = dict(wanted)
        if not self._lacks(counts):
            return counts
        counts = dict.fromkeys(wanted, 0)
        for name, count in wanted.items():
            few, many = 0, count + 1  # so many can be completed, so many cannot
            while many - few > 1:
                half = (few + many) // 2
                few, many = (few, half) if self._lacks({**counts, name: half}) else (half, many)
            counts[name] = few
        return counts

    def _lacks(self, counts: Mapping[str, int]) -> bool:
        """Whether a piece for these kits cannot be had, beyond what lacks of the parts named."""
        kits = self.needs_of(counts)
        return bool(kits) and self._open([*self.named, *kits]) > self._open(self.named)

    def _open(self, needs: Sequence[Need]) -> int:
        return pieces_not_to_be_had(self.shop, needs, self.most, self.preferences)

    def short_of(self, wanted: Mapping[str, int], counts: Mapping[str, int]) -> tuple[KitsShort, ...]:
        """The kits of which fewer can be completed than were wanted, and which parts are in the way of all of them."""
        if counts == wanted:
            return ()
        needs = [*self.named, *self.needs_of(wanted)]
        why = "; ".join(why_not_to_be_had(self.shop, needs, self.most, self.preferences))
        return tuple(KitsShort(n, count, counts[n], why) for n, count in wanted.items() if counts[n] < count)


def _preferences(shop: Shop, asked: PlanAsked) -> Preferences:
    known = shop.suppliers
    return Preferences(
        within_days=_days_until(asked.by) if asked.by else None,
        avoid=tuple(_named_saving(known, word) for word in asked.avoid),
        prefer=tuple((name, saving or Decimal(0)) for name, saving in (_preferred(known, w) for w in asked.prefer)),
        surplus_pct=Decimal(str(asked.surplus_pct)),
    )


def _days_until(text: str) -> int:
    if (day := day_typed(text)) is None:
        raise Refused(f"expected a day such as 2026-12-31 (3/4/2027 could be two), found {text!r}")
    days = (day - date.today()).days
    if days < 0:
        raise Refused(f"{text} is over")
    return days


def _preferred(known: Sequence[Supplier], word: str) -> tuple[str, Decimal | None]:
    name, saving = _named_saving(known, word)
    if saving is None:
        raise Refused(f"expected NAME=SAVING, as in Osmere=5 (what another must save to be chosen), found {word!r}")
    return name, saving


def _named_saving(known: Sequence[Supplier], word: str) -> tuple[str, Decimal | None]:
    """From NAME or NAME=SAVING, the name as its file spells it."""
    name, _, amount = word.partition("=")
    supplier = next((s for s in known if s.name.casefold() == name.strip().casefold()), None)
    if supplier is None:
        raise Refused(f"no supplier {name.strip()}; there are {', '.join(sorted(s.name for s in known)) or 'none yet'}")
    return supplier.name, _saving(amount, word) if amount else None


def _saving(text: str, word: str) -> Decimal:
    try:
        saving = Decimal(text.strip())
    except InvalidOperation as error:
        raise Refused(f"expected NAME=SAVING with a decimal point, as in Osmere=5.50, found {word!r}") from error
    if not saving.is_finite() or saving < 0:
        raise Refused(f"expected a saving of 0 or more, found {word!r}")
    return saving


def write_plan_book(path: Path, answer: ShopPlan) -> None:
    """The plan as a workbook. Refused: another ending than .xlsx, or a plan that orders nothing from anybody named."""
    _check(path, ".xlsx", answer)
    write_plan(path, answer)


def write_plan_picture(path: Path, answer: ShopPlan) -> None:
    """What plan and habits are made of, as stacked bars. Refused as above, for .svg."""
    _check(path, ".svg", answer)
    with written_whole(path) as draft:
        draft.write_text(plan_picture(answer), encoding="utf-8")


def _check(path: Path, ending: str, answer: ShopPlan) -> None:
    if path.suffix.lower() != ending:
        raise Refused(f"{path.name}: expected a name ending in {ending}")
    if not answer.orders:
        raise Refused(f"{path.name}: not written, the plan orders nothing from a supplier of the shop")


__all__ = ["Watcher", "in_words", "watcher"]


def watcher(say: Callable[[str], None]) -> Watcher:
    """Somebody who is told in words."""
    return Watcher(lambda so_far: say(in_words(so_far)))


def in_words(so_far: SoFar) -> str:
    """Such as *470.88 GBP; none can be cheaper than 465.10 GBP (1.23 % less)*."""
    cost = f"{so_far.cost:.2f} {so_far.currency}" + (" with what can wait" if so_far.counts_waiting else "")
    if so_far.gap is None or so_far.bound is None or so_far.bound <= 0:
        return f"{cost}; how near the cheapest is not known yet"
    bound = min(so_far.bound, so_far.cost)
    return f"{cost}; none can be cheaper than {bound:.2f} {so_far.currency} ({100 * so_far.gap:.2f} % less)"
