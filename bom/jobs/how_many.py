"""How many kits can be made up, alone and side by side; what lacks for more, and a plan to buy it; kits planned."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from decimal import ROUND_CEILING, Decimal
from typing import TYPE_CHECKING, Any

from bom.jobs.kit_needs import Needed, lacking_rows, needed, ways
from bom.jobs.kits import Asked, cost_asked, kit_named, kits_by_name
from bom.jobs.sourcing import Sourcing
from bom.kits.possible import JointPlan, KitNeed, WantedKit, picks, possible
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


@dataclass(frozen=True, slots=True)
class HowMany:
    """``wanted`` are KIT=N words; ``by_profit`` weighs kits by what selling one leaves, not alike; ``plan`` buys."""

    wanted: Sequence[str] = ()
    by_profit: bool = False
    plan: bool = False


def possible_kits(session: Session, asked: HowMany) -> dict[str, Any]:
    """How many of each kit, alone and side by side; what lacks for the kits wanted, and a plan to buy it if asked."""
    from bom.store.kits import planned_kits

    bench = Sourcing(session, kits_by_name(session))
    sold = [k for k in bench.kits.values() if k.market]
    if not sold:
        raise Refused("no kit yet: bom kit add FILE")
    values = _profits(session) if asked.by_profit else {}
    found = {kit.name: ways(kit, bench) for kit in sold}
    worth = {name: values.get(name, Decimal(0)) if asked.by_profit else Decimal(1) for name in found}
    wanted = {
        name: [w.wanted(f"{n} {name}", worth[name]) for n, w in enumerate(kinds)] for name, kinds in found.items()
    }
    joint = possible(bench.stock, [one for kinds in wanted.values() for one in kinds])
    planned = planned_kits(session)
    rows = [
        {
            "kit": name,
            "alone": _alone(bench, kinds, joint),
            "together": sum(joint.kits[one.name] for one in kinds),
            "planned": planned.get(name, 0),
        }
        for name, kinds in wanted.items()
    ]
    best_by = "profit" if asked.by_profit else "number"
    answer: dict[str, Any] = {"kits": rows, "best_by": best_by, "value": joint.value, "proven": joint.proven}
    return answer | (_wanted(session, bench, asked) if asked.wanted else {})


def _alone(bench: Sourcing, kinds: Sequence[WantedKit], joint: JointPlan) -> int:
    """How many if it were the only kit made, over all ways to pack it."""
    if len(kinds) == 1:
        return joint.alone[kinds[0].name]
    return sum(possible(bench.stock, [replace(one, value=Decimal(1)) for one in kinds]).kits.values())


def _wanted(session: Session, bench: Sourcing, asked: HowMany) -> dict[str, Any]:
    counts = dict(kit_and_count(session, word) for word in asked.wanted)
    short = missing_rows(bench, counts)
    answer = {"wanted": counts, "missing": short}
    return answer | ({"plan": _plan(session, short)} if asked.plan and short else {})


def kit_and_count(session: Session, word: str) -> tuple[str, int]:
    """From KIT=N, as in 'OS-3 valve drive=12'."""
    name, equals, count = word.rpartition("=")
    if not equals or not count.strip().isdigit() or int(count) < 1:
        raise Refused(f"expected KIT=N, as in 'OS-3 valve drive=12', found {word!r}")
    return kit_named(session, name).name, int(count)


def missing_parts(bench: Sourcing, counts: Mapping[str, int]) -> tuple[tuple[tuple[str, ...], Decimal], ...]:
    """What lacks for so many of each kit side by side: (the parts that may serve, how much)."""
    return tuple((tuple(row["parts"]), row["quantity"]) for row in missing_rows(bench, counts))


def missing_rows(bench: Sourcing, counts: Mapping[str, int]) -> list[dict[str, Any]]:
    """What lacks for so many of each kit side by side, by the parts that may serve; kits inside that lie there made up
    are taken first."""
    opened = _still_to_open(bench, counts)
    lines = {name: _lines(bench, name, opened[name]) for name in counts}
    kits = [WantedKit(name, tuple(KitNeed(n.quantity, n.parts) for n in lines[name])) for name in counts]
    missing = picks(bench.stock, kits, counts)[1]
    every = [line for name in counts for line in lines[name]]
    first = {name: sum(len(lines[before]) for before in list(counts)[:n]) for n, name in enumerate(counts)}
    return lacking_rows(every, [replace(one, line=first[one.kit] + one.line) for one in missing])


def _still_to_open(bench: Sourcing, counts: Mapping[str, int]) -> dict[str, dict[str, Decimal]]:
    """For each kit, the share of each kit inside it that does not lie there made up."""
    there = {name: bench.stock.get(name, Decimal(0)) for name in bench.kits}
    answer: dict[str, dict[str, Decimal]] = {name: {} for name in counts}
    for name, count in counts.items():
        inside: dict[str, Decimal] = {}
        for line in bench.kits[name].lines:
            if line.kit in there:
                inside[line.kit] = inside.get(line.kit, Decimal(0)) + line.quantity * count
        for kit, wanted in inside.items():
            taken = min(there[kit], wanted)
            there[kit] -= taken
            answer[name][kit] = 1 - taken / wanted
    return answer


def _lines(bench: Sourcing, name: str, opened: Mapping[str, Decimal]) -> list[Needed]:
    """What one of the kit takes of parts, kits inside it only as far as they are still to be opened."""
    return [
        replace(one, quantity=one.quantity * opened.get(one.outermost, Decimal(1)))
        for one in needed(bench.kits[name], bench)
    ]


def _plan(session: Session, short: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    from bom.buying.from_offers import Need
    from bom.jobs.planning import plan_needs

    whole = [(row["parts"], int(row["quantity"].to_integral_value(ROUND_CEILING))) for row in short]
    return plan_needs(session, [Need(parts[0], q, tuple(parts)) for parts, q in whole if parts], None, 30.0)[0]


def _profits(session: Session) -> dict[str, Decimal]:
    """Kit to what selling one leaves; a kit without a known price, or at a loss, is worth nothing."""
    sales = {row["kit"]: row["sale"] for row in cost_asked(session, Asked())}
    return {name: max(sale["profit"].amount, Decimal(0)) for name, sale in sales.items() if sale}


def plan_to_make(session: Session, name: str, count: int) -> dict[str, Any]:
    """Mean to make so many more of a kit (or fewer, below 0): what they take counts when parts are reordered."""
    from bom.store.kits import plan_kits

    kit = kit_named(session, name)
    return {"kit": kit.name, "planned": plan_kits(session, kit.name, count, datetime.now(UTC))}
