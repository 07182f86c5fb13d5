"""Knows how a plan problem is stated as keys and values, and what is wrong with one that is not stated so."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal

from bom.buying.keyed import At
from bom.buying.problem import ZERO, PlanNeed, PlanOffer, PlanProblem, PlanSupplier
from bom.values.problem import Refused


def read_problem(mapping: object) -> PlanProblem:
    """A plan problem from parsed JSON (keys: base_currency, parts, suppliers, offers, max_suppliers, id).

    An *answer* that stands beside it is not read; any other key is refused.

    Raises Refused naming the key's path, what was expected there and what was found.
    """
    at = At("", mapping).only("base_currency", "parts", "suppliers", "offers", "max_suppliers", "id", "answer")
    problem = PlanProblem(
        base_currency=at.text("base_currency"),
        needs=at.each("parts", _need),
        suppliers=at.each("suppliers", _supplier),
        offers=at.each("offers", _offer),
        max_suppliers=at.maybe_whole("max_suppliers", least=1),
        id=at.text("id", ""),
    )
    _check_names(problem)
    return problem


def _need(at: At) -> PlanNeed:
    at.only("id", "demand", "fillable_by", "max_lead_days")
    return PlanNeed(
        at.text("id"),
        at.whole("demand", least=0),
        at.texts("fillable_by"),
        at.maybe_whole("max_lead_days"),
    )


def _supplier(at: At) -> PlanSupplier:
    at.only(*PlanSupplier.__dataclass_fields__)
    return PlanSupplier(
        id=at.text("id"),
        currency=at.text("currency"),
        fx_to_base=at.positive("fx_to_base"),
        shipping_fee=at.amount("shipping_fee", ZERO),
        free_shipping_from=at.maybe_amount("free_shipping_from"),
        min_order_value=at.amount("min_order_value", ZERO),
        tax_rate=at.amount("tax_rate", ZERO),
        tax_recoverable=at.truth("tax_recoverable", False),
        tax_on_shipping=at.truth("tax_on_shipping", True),
        import_fee=at.amount("import_fee", ZERO),
        prices_include_tax=at.truth("prices_include_tax", False),
        reluctance=at.amount("reluctance", ZERO),
    )


def _offer(at: At) -> PlanOffer:
    at.only(*(name for name in PlanOffer.__dataclass_fields__ if name != "incremental"), "price_kind")
    return PlanOffer(
        id=at.text("id"),
        supplier=at.text("supplier"),
        part_number=at.text("part_number"),
        breaks=_breaks(at),
        stock=at.maybe_whole("stock"),
        moq=at.whole("moq", 1),
        multiple=at.whole("multiple", 1, least=1),
        lead_days=at.maybe_whole("lead_days"),
        incremental=_incremental(at),
        surplus_value=at.amount("surplus_value", ZERO),
    )


def _incremental(at: At) -> bool:
    kind = at.text("price_kind", "all_units")
    if kind not in ("all_units", "incremental"):
        raise at.wrong("price_kind", "all_units or incremental", kind)
    return kind == "incremental"


def _breaks(at: At) -> tuple[tuple[int, Decimal], ...]:
    rows = at.get("breaks")
    if not isinstance(rows, Sequence) or isinstance(rows, str) or not rows:
        raise at.wrong("breaks", "a list of [from quantity, price]", rows)
    breaks = tuple(_break(at, n, row) for n, row in enumerate(rows))
    starts = [start for start, _ in breaks]
    if starts != sorted(set(starts)):
        raise at.wrong("breaks", "rising from-quantities", starts)
    return breaks


def _break(at: At, n: int, row: object) -> tuple[int, Decimal]:
    if not isinstance(row, Sequence) or isinstance(row, str) or len(row) != 2:
        raise at.wrong(f"breaks[{n}]", "[from quantity, price]", row)
    pair = At(f"{at.path}.breaks[{n}]", {"from": row[0], "price": row[1]})
    return pair.whole("from", least=1), pair.amount("price")


def _check_names(problem: PlanProblem) -> None:
    known = {s.id for s in problem.suppliers}
    for n, offer in enumerate(problem.offers):
        if offer.supplier not in known:
            raise Refused(f"offers[{n}].supplier: expected one of the suppliers, found {offer.supplier!r}")
    for key, names in (
        ("parts", [n.id for n in problem.needs]),
        ("suppliers", [s.id for s in problem.suppliers]),
        ("offers", [o.id for o in problem.offers]),
    ):
        twice = next((name for name, times in Counter(names).items() if times > 1), None)
        if twice is not None:
            raise Refused(f"{key}: expected every id once, found {twice!r} twice")
