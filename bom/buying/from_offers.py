"""How suppliers, offers and dated rates become a plan problem.

Part numbers are compared exactly: whoever calls spells them alike first.

What is not known is never ranked: an offer without a price, a rate, a known supplier or a valid date is left out and
named. So is one whose price looks like a slip, until somebody confirms it. So is one that does not state its stock, or
of which none is in stock, unless a lead time is stated: who promises a date can be ordered from whatever lies on the
shelf. What a supplier usually takes is for what it has. A shipping fee, import fee or minimum order that is not stated
counts as none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from bom.buying.doubtful_prices import kept_out
from bom.buying.offer import Offer, Rates, Supplier
from bom.buying.plan_problem import ZERO, PlanNeed, PlanOffer, PlanProblem, PlanSupplier
from bom.values.money import Money
from bom.values.problem import Refused


@dataclass(frozen=True, slots=True)
class Need:
    """``quantity`` pieces of ``part``, or of any part number in ``accepts``.

    ``within_days`` None = whenever it comes. ``may`` of them can wait; the part is used ``per_day``.
    """

    part: str
    quantity: int
    accepts: tuple[str, ...] = ()
    within_days: int | None = None
    may: int = 0
    per_day: float = 0.0


def problem_from(
    needs: Sequence[Need],
    suppliers: Sequence[Supplier],
    offers: Sequence[Offer],
    rates: Rates,
    *,
    tax_registered: bool,
    max_suppliers: int | None = None,
    today: date,
) -> tuple[PlanProblem, tuple[str, ...]]:
    """The problem, in the rates' base currency, and a sentence for each offer left out.

    ``tax_registered``: tax paid is got back, so it costs nothing. Offers that no need accepts are passed over.
    """
    known = {s.name: s for s in suppliers}
    wanted = {number for need in needs for number in (need.part, *need.accepts)}
    usable: list[PlanOffer] = []
    left_out: list[str] = []
    for name, offer in offer_ids(offers).items():
        if offer.part_number in wanted:
            reason = _why_not(offer, known.get(offer.supplier), rates, today)
            if reason:
                left_out.append(f"{_with_part(name, offer)}: {reason}")
            else:
                usable.append(_plan_offer(name, offer, known[offer.supplier]))
    problem = PlanProblem(
        rates.base,
        _plan_needs(needs),
        tuple(_plan_supplier(s, rates, tax_registered) for s in suppliers if _used(s, usable)),
        tuple(usable),
        max_suppliers,
    )
    return problem, tuple(left_out)


def offer_ids(offers: Sequence[Offer]) -> dict[str, Offer]:
    """The id that each offer goes by in a problem: supplier and code, numbered from the second of the same on."""
    answer: dict[str, Offer] = {}
    for offer in offers:
        name = f"{offer.supplier} {offer.supplier_code or offer.part_number}"
        answer[_free(name, answer)] = offer
    return answer


def _with_part(name: str, offer: Offer) -> str:
    """The offer's id and the part it is for, where the id does not say it."""
    return name if offer.part_number in name else f"{name} ({offer.part_number})"


def _why_not(offer: Offer, supplier: Supplier | None, rates: Rates, today: date) -> str:
    """Why the offer cannot be ranked; empty where it can."""
    if supplier is None:
        return f"no supplier named {offer.supplier!r} is set up"
    if not offer.breaks:
        return "no price is stated"
    if offer.valid_until is not None and offer.valid_until < today:
        return f"the quote expired on {offer.valid_until.isoformat()}"
    if offer.doubt:
        return kept_out(offer)
    return _no_rate(offer, supplier, rates) or _no_stock(offer, supplier)


def _no_rate(offer: Offer, supplier: Supplier, rates: Rates) -> str:
    strange = sorted({b.price.currency for b in offer.breaks} - {supplier.currency})
    if strange:
        return f"priced in {', '.join(strange)}, where {supplier.name} sells in {supplier.currency}"
    stated = (supplier.shipping_fee, supplier.free_from, supplier.import_fee, supplier.minimum_order)
    currencies = {supplier.currency, *(m.currency for m in stated if m is not None)}
    missing = sorted(c for c in currencies if not rates.to_base(c))
    return f"no rate from {', '.join(missing)} to {rates.base}" if missing else ""


def _no_stock(offer: Offer, supplier: Supplier) -> str:
    if offer.stock:
        return ""
    if offer.stock == 0:
        return "" if offer.lead_days else "none in stock, and no day is stated when there will be"
    return "" if _lead_days(offer, supplier) is not None else "neither stock nor lead time is stated; ask the supplier"


def _lead_days(offer: Offer, supplier: Supplier) -> int | None:
    """The days the offer states; a quote that states none comes in its supplier's usual ones. Whoever reads a list puts
    those in where they hold, so that a list's offer without days is one whose days are not known."""
    if offer.lead_days is not None or offer.valid_until is None:
        return offer.lead_days
    return supplier.lead_days


def _used(supplier: Supplier, offers: Sequence[PlanOffer]) -> bool:
    return any(o.supplier == supplier.name for o in offers)


def _plan_needs(needs: Sequence[Need]) -> tuple[PlanNeed, ...]:
    answer: dict[str, PlanNeed] = {}
    for need in needs:
        name = _free(need.part, answer)
        numbers = tuple(dict.fromkeys((need.part, *need.accepts)))
        answer[name] = PlanNeed(name, need.quantity, numbers, need.within_days)
    return tuple(answer.values())


def _plan_supplier(supplier: Supplier, rates: Rates, tax_registered: bool) -> PlanSupplier:
    def own(money: Money | None) -> Decimal:
        return ZERO if money is None else _in(money, supplier.currency, rates)

    return PlanSupplier(
        id=supplier.name,
        currency=supplier.currency,
        fx_to_base=_rate(supplier.currency, rates),
        shipping_fee=own(supplier.shipping_fee),
        free_shipping_from=None if supplier.free_from is None else own(supplier.free_from),
        min_order_value=own(supplier.minimum_order),
        tax_rate=supplier.tax_pct / 100,
        tax_recoverable=tax_registered,
        import_fee=own(supplier.import_fee),
        prices_include_tax=supplier.prices_include_tax,
    )


def _plan_offer(name: str, offer: Offer, supplier: Supplier) -> PlanOffer:
    breaks = sorted(offer.breaks, key=lambda b: b.from_quantity)
    return PlanOffer(
        id=name,
        supplier=offer.supplier,
        part_number=offer.part_number,
        breaks=tuple((b.from_quantity, b.price.amount) for b in breaks),
        stock=offer.stock or None,  # of what is yet to come, as many as are wanted
        moq=max(offer.moq, breaks[0].from_quantity),  # below the first break no price is stated
        multiple=offer.multiple,
        lead_days=_lead_days(offer, supplier),
        incremental=offer.incremental,
    )


def _rate(currency: str, rates: Rates) -> Decimal:
    rate = rates.to_base(currency)
    if not rate:
        raise Refused(f"no rate from {currency} to {rates.base}")
    return rate


def _in(money: Money, currency: str, rates: Rates) -> Decimal:
    if money.currency == currency:
        return money.amount
    return money.amount * _rate(money.currency, rates) / _rate(currency, rates)


def _free(name: str, taken: Mapping[str, object]) -> str:
    if name not in taken:
        return name
    number = 2
    while f"{name} #{number}" in taken:
        number += 1
    return f"{name} #{number}"
