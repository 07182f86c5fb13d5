"""Made-up markets for measuring the plan: lines, suppliers and offers with the spread a shop meets, from a seed."""

from __future__ import annotations

from decimal import Decimal
from random import Random

from bom.buying.plan_problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier

CURRENCIES = (("EUR", "1"), ("USD", "0.92"), ("GBP", "1.17"))
STEPS = (1, 5, 10, 25, 50, 100)


def market(lines: int, suppliers: int, seed: int = 1) -> PlanProblem:
    """``lines`` needs that about 97 % of the suppliers can serve, one in four also through its neighbour's part."""
    dice = Random(seed)
    sellers = tuple(_supplier(n, dice) for n in range(suppliers))
    worth = [round(dice.lognormvariate(0.6, 0.8), 4) + 0.05 for _ in range(lines)]
    needs = tuple(_need(n, lines, dice) for n in range(lines))
    offers = [
        _offer(f"O{s.id}-{n}", s, n, worth[n], needs[n].demand, dice)
        for n in range(lines)
        for s in sellers
        if dice.random() < 0.97 or s is sellers[n % suppliers]
    ]
    return PlanProblem("EUR", needs, sellers, tuple(offers), None, f"{lines}x{suppliers} s{seed}")


def _supplier(n: int, dice: Random) -> PlanSupplier:
    currency, rate = dice.choice(CURRENCIES)
    return PlanSupplier(
        id=f"S{n}",
        currency=currency,
        fx_to_base=Decimal(rate),
        shipping_fee=Decimal(dice.randrange(300, 1500)) / 100,
        free_shipping_from=dice.choice([None, Decimal(dice.randrange(4000, 30000)) / 100]),
        min_order_value=dice.choice([Decimal(0), Decimal(dice.randrange(1000, 8000)) / 100]),
        tax_rate=Decimal("0.2"),
        tax_recoverable=dice.random() < 0.5,
        import_fee=dice.choice([Decimal(0), Decimal(0), Decimal(9)]),
    )


def _need(n: int, lines: int, dice: Random) -> PlanNeed:
    accepted = (f"A{n}", f"A{(n + 1) % lines}") if dice.random() < 0.25 else (f"A{n}",)
    return PlanNeed(f"P{n}", dice.randrange(1, 60), accepted)


def _offer(name: str, supplier: PlanSupplier, n: int, worth: float, demand: int, dice: Random) -> PlanOffer:
    first = Decimal(str(round(worth * dice.uniform(0.85, 1.4), 4))) + Decimal("0.01")
    starts = [1, *sorted(dice.sample(STEPS[1:], dice.randrange(0, 4)))]
    price, breaks = first, []
    for start in starts:
        breaks.append((start, price))
        price = (price * Decimal(str(round(dice.uniform(0.72, 0.96), 3)))).quantize(Decimal("0.0001"))
    multiple = dice.choice([1, 1, 1, 1, 5, 10])
    return PlanOffer(
        id=name,
        supplier=supplier.id,
        part_number=f"A{n}",
        breaks=tuple(breaks),
        stock=dice.choice([demand * 3 + 100, demand * 10 + 50, demand // 2 + 10]),
        moq=dice.choice([1, 1, 1, 5]),
        multiple=multiple,
        lead_days=dice.randrange(1, 15),
        incremental=dice.random() < 0.15,
    )
