"""The cheapest order: for a stand-alone problem, or for parts and kits over all the shop's offers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import ROUND_CEILING, Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.buying import BarePlan, BlockedPlan, ShopPlan
from bom.shop.plan import plan_needs
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.buying.from_offers import Need
    from bom.buying.offer import Supplier
    from bom.buying.plan_problem import Preferences, Watcher
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
    from bom.buying.order_lines import blocked
    from bom.buying.plan import plan
    from bom.intake.problem_file import json_mapping as read_json
    from bom.intake.problem_file import stated_problem
    from bom.shop.plan_shown import bare

    try:
        problem = stated_problem(read_json(path))
    except Refused as refused:
        raise Refused(f"{path}: {refused}" if str(path) not in str(refused) else str(refused)) from refused
    found = plan(problem, gap=gap_pct / 100, seconds=seconds, watcher=watcher)
    answer = bare(found)
    if found.status == "infeasible":
        return BlockedPlan(answer.status, answer.cost, answer.bound, answer.gap, answer.order, blocked(problem))
    return answer


def plan_asked(session: Session, asked: PlanAsked, watcher: Watcher | None = None) -> ShopPlan:
    """The plan for what is asked; where nothing is lacking for the kits, an order of nothing."""
    if not asked.parts and not asked.kits:
        raise Refused("expected --problem FILE, or at least one --part PART=QTY or --kit KIT=N")
    from bom.shop.plan_care import with_care

    named = _parts_needed(session, asked)
    needs = [*named, *_kits_needed(session, asked.kits)]
    preferences = _preferences(session, asked)
    answer, _ = plan_needs(session, needs, asked.most, asked.seconds, preferences, asked.gap_pct / 100, watcher)
    return with_care(session, answer, [n.part for n in named], asked.kits)


def need_of(session: Session, word: str) -> Need:
    """From PART=QTY."""
    from bom.buying.from_offers import Need
    from bom.shop.parts import part_named

    name, equals, count = word.rpartition("=")
    if not equals or not count.strip().isdigit() or int(count) < 1:
        raise Refused(f"expected PART=QTY, as in TW2-12S=20, found {word!r}")
    part, _ = part_named(session, name)
    return Need(part, int(count), (part,))


def _parts_needed(session: Session, asked: PlanAsked) -> list[Need]:
    from bom.shop.stand_ins import stand_ins

    if asked.substitutes not in SUBSTITUTES:
        raise Refused(f"expected substitutes {', '.join(SUBSTITUTES)}, found {asked.substitutes!r}")
    needs = [need_of(session, word) for word in asked.parts]
    if asked.substitutes == "none":
        return needs
    conditional = asked.substitutes == "conditional"
    return [replace(n, accepts=(n.part, *stand_ins(session, n.part, conditional=conditional))) for n in needs]


def _kits_needed(session: Session, kits: Sequence[str]) -> list[Need]:
    """What lacks for so many of each kit side by side; a part that may serve several of them is bought once."""
    from bom.buying.from_offers import Need
    from bom.shop.kits import kit_and_count, kits_by_name
    from bom.shop.sourcing import Sourcing
    from bom.shop.together import missing_parts

    if not kits:
        return []
    counts = dict(kit_and_count(session, word) for word in kits)
    bench = Sourcing(session, kits_by_name(session))
    short = missing_parts(bench, counts)
    if not all(parts for parts, _ in short):
        raise Refused(f"a line of {', '.join(counts)} has no part that may serve it; bom kit cost says which and why")
    return [Need(parts[0], int(q.to_integral_value(ROUND_CEILING)), parts) for parts, q in short]


def _preferences(session: Session, asked: PlanAsked) -> Preferences:
    from bom.buying.plan_problem import Preferences
    from bom.store.offers import suppliers

    known = suppliers(session)
    return Preferences(
        within_days=_days_until(asked.by) if asked.by else None,
        avoid=tuple(_named_saving(known, word) for word in asked.avoid),
        prefer=tuple((name, saving or Decimal(0)) for name, saving in (_preferred(known, w) for w in asked.prefer)),
        surplus_pct=Decimal(str(asked.surplus_pct)),
    )


def _days_until(text: str) -> int:
    try:
        days = (date.fromisoformat(text) - date.today()).days
    except ValueError as error:
        raise Refused(f"expected a day such as 2026-12-31, found {text!r}") from error
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
