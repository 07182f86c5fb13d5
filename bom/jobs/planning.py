"""The cheapest order: for a stand-alone problem, or for parts by name over all the shop's offers."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bom.values.part_number import same
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.buying.baskets import Basket
    from bom.buying.from_offers import Need
    from bom.buying.problem import PlanProblem
    from bom.store.unit_of_work import Session


def plan_file(path: Path, seconds: float) -> dict[str, Any]:
    """A problem file's plan, as the contract's JSON."""
    from bom.buying.plan import plan
    from bom.buying.problem import read_problem
    from bom.intake.problem_file import read_problem as read_json

    try:
        problem = read_problem(read_json(path))
    except Refused as refused:
        raise Refused(f"{path}: {refused}" if str(path) not in str(refused) else str(refused)) from refused
    return dict(plan(problem, seconds=seconds).as_json())


def plan_parts(session: Session, wanted: Sequence[str], most: int | None, seconds: float) -> dict[str, Any]:
    """The plan for PART=QTY words."""
    needs = [need_of(session, word) for word in wanted]
    if not needs:
        raise Refused("expected --problem FILE or at least one --part PART=QTY")
    answer, _ = plan_needs(session, needs, most, seconds)
    return answer


def need_of(session: Session, word: str) -> Need:
    """From PART=QTY."""
    from bom.buying.from_offers import Need
    from bom.jobs.shelf import part_named

    name, equals, count = word.rpartition("=")
    if not equals or not count.strip().isdigit() or int(count) < 1:
        raise Refused(f"expected PART=QTY, as in TW2-12S=20, found {word!r}")
    part, _ = part_named(session, name)
    return Need(part, int(count), (part,))


def plan_needs(
    session: Session, needs: Sequence[Need], most: int | None, seconds: float
) -> tuple[dict[str, Any], dict[str, Any]]:
    """(the answer to show, what a spreadsheet needs besides: the suppliers, the rates, the lines)."""
    from bom.buying.baskets import best_single_supplier, lowest_unit_price_habit
    from bom.buying.from_offers import lines_of, offer_ids, problem_from
    from bom.buying.plan import plan
    from bom.jobs.prices import rates_to, usual_currency
    from bom.store.suppliers import offers, suppliers

    base = usual_currency(session)
    rates, known = rates_to(session, base), suppliers(session)
    offered = offers(session, [a for need in needs for a in need.accepts])
    problem, left_out = problem_from(
        needs, known, offered, rates, tax_registered=shop_is_registered(session), max_suppliers=most, today=date.today()
    )
    found = plan(problem, seconds=seconds)
    lines = lines_of(found, problem, offered) if found.cost is not None else ()
    habits = {
        "lowest unit price each line": lowest_unit_price_habit(problem),
        "best single supplier": best_single_supplier(problem),
    }
    answer = {
        **found.as_json(),
        "currency": base,
        "orders": _orders(lines, found.suppliers),
        "compared_with": {name: _placeable(problem, basket) for name, basket in habits.items()},
        "left_out": list(left_out),
        "rates_of": rates.day,
    }
    return answer, {"suppliers": known, "lines": lines, "offers": offer_ids(offered)}


def _placeable(problem: PlanProblem, basket: Basket | None) -> float | None:
    """What a habit's order costs; None where it leaves a need open or misses a minimum order."""
    from bom.buying.plan import faults

    if basket is None or faults(problem, dict(basket.order)):
        return None
    return round(float(basket.cost), 6)


def shop_is_registered(session: Session) -> bool:
    """Whether the shop gets purchase tax back, as its kits' market states; without a kit it does not."""
    from bom.store.kits import kits

    return any(kit.market.tax_registered for kit in kits(session) if kit.market)


def _orders(lines: Any, costs: Any) -> list[dict[str, Any]]:
    return [
        {
            "supplier": cost.supplier,
            "lines": [_line(line) for line in lines if same(line.supplier, cost.supplier)],
            "goods": round(float(cost.goods), 2),
            "shipping": round(float(cost.shipping), 2),
            "import_fee": round(float(cost.import_fee), 2),
            "tax": round(float(cost.tax), 2),
            "total": round(float(cost.total), 2),
        }
        for cost in costs
    ]


def _line(line: Any) -> dict[str, Any]:
    return {
        "supplier_code": line.supplier_code,
        "part_number": line.part_number,
        "maker": line.maker,
        "quantity": line.quantity,
        "unit_price": line.unit_price,
        "cost": line.line_total,
        "why": line.why,
    }
