"""Knows the plan problem: needs, suppliers and offers as plain numbers, and how to read one from a mapping.

Money here is Decimal in the supplier's currency; ``fx_to_base`` turns it into the base currency. Nothing is rounded.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import TypeVar

from bom.values.problem import Refused

T = TypeVar("T")
ONE = Decimal(1)
ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class PlanNeed:
    """``demand`` pieces, to be covered by pieces of any part number in ``fillable_by``.

    ``max_lead_days`` None = any time will do; else an offer fills it only with a stated lead time no longer than that.
    """

    id: str
    demand: int
    fillable_by: tuple[str, ...]
    max_lead_days: int | None = None


@dataclass(frozen=True, slots=True)
class PlanSupplier:
    """A supplier. Fee and thresholds are in its currency, tested on the goods (surplus pieces too) with >=.

    ``prices_include_tax``: everything it states, thresholds too, holds the tax. ``import_fee`` is untaxed, in its
    currency, once per order. ``tax_rate`` is a share (0.21). ``reluctance`` is what ordering from it must save, in the
    base currency, before it is chosen; it is no cost.
    """

    id: str
    currency: str
    fx_to_base: Decimal = ONE
    shipping_fee: Decimal = ZERO
    free_shipping_from: Decimal | None = None
    min_order_value: Decimal = ZERO
    tax_rate: Decimal = ZERO
    tax_recoverable: bool = False
    tax_on_shipping: bool = True
    import_fee: Decimal = ZERO
    prices_include_tax: bool = False
    reluctance: Decimal = ZERO

    @property
    def goods_factor(self) -> Decimal:
        """Base currency that one listed unit of goods value comes to cost."""
        return self.fx_to_base * (self._paid / self._listed)

    @property
    def shipping_factor(self) -> Decimal:
        """Base currency that one listed unit of shipping comes to cost."""
        return self.goods_factor if self.tax_on_shipping else self.fx_to_base

    @property
    def _paid(self) -> Decimal:
        return ONE if self.tax_recoverable else ONE + self.tax_rate

    @property
    def _listed(self) -> Decimal:
        return ONE + self.tax_rate if self.prices_include_tax else ONE


@dataclass(frozen=True, slots=True)
class PlanOffer:
    """A supplier's price for a part number. ``stock`` None = as many as wanted.

    ``breaks`` are (from quantity, unit price), rising quantities; the first price also holds below its quantity.
    ``incremental``: pieces from each break on cost that price; else all pieces cost the reached price.
    ``surplus_value``: base currency credited per piece bought and not needed.
    """

    id: str
    supplier: str
    part_number: str
    breaks: tuple[tuple[int, Decimal], ...]
    stock: int | None = None
    moq: int = 1
    multiple: int = 1
    lead_days: int | None = None
    incremental: bool = False
    surplus_value: Decimal = ZERO

    def reached(self, quantity: int) -> int:
        """The index of the break that this quantity reaches."""
        return max((k for k, (start, _) in enumerate(self.breaks) if start <= quantity), default=0)

    def goods(self, quantity: int) -> Decimal:
        """What this many pieces cost, in the supplier's currency as listed."""
        k = self.reached(quantity)
        return self.offset(k) + self.breaks[k][1] * quantity if quantity else ZERO

    def offset(self, k: int) -> Decimal:
        """The fixed part of break ``k``'s straight line: 0 for all-units, what earlier pieces cost more otherwise."""
        if not self.incremental:
            return ZERO
        steps = zip(self.breaks[:k], self.breaks[1 : k + 1], strict=True)
        return sum(((before - after) * (start - 1) for (_, before), (start, after) in steps), ZERO)

    def rounded_up(self, quantity: int) -> int:
        """The smallest number of pieces that may be ordered and is at least this many, stock aside."""
        least = max(quantity, self.moq, 1)
        return -(-least // self.multiple) * self.multiple

    @property
    def most(self) -> int | None:
        """The largest number of pieces that may be ordered; 0 where none may, None without limit."""
        if self.stock is None:
            return None
        most = self.stock // self.multiple * self.multiple
        return most if most >= self.rounded_up(1) else 0


@dataclass(frozen=True, slots=True)
class PlanProblem:
    """Everything a plan is made from. ``max_suppliers`` None = as many as it takes."""

    base_currency: str
    needs: tuple[PlanNeed, ...]
    suppliers: tuple[PlanSupplier, ...]
    offers: tuple[PlanOffer, ...]
    max_suppliers: int | None = None
    id: str = ""

    def supplier(self, name: str) -> PlanSupplier:
        """The supplier of that id."""
        return next(s for s in self.suppliers if s.id == name)

    def bought(self, order: Mapping[str, int]) -> list[tuple[PlanOffer, int]]:
        """The order's offers and pieces, where any are bought; Refused where an id is none of the problem's."""
        offers = {offer.id: offer for offer in self.offers}
        strange = next((name for name in order if name not in offers), None)
        if strange is not None:
            raise Refused(f"expected an offer of the problem, found {strange!r}")
        return [(offers[name], pieces) for name, pieces in order.items() if pieces > 0]


def fills(offer: PlanOffer, need: PlanNeed) -> bool:
    """Whether the offer's part may fill the need, in time. An unstated lead time never meets a limit."""
    if offer.part_number not in need.fillable_by:
        return False
    return need.max_lead_days is None or (offer.lead_days is not None and offer.lead_days <= need.max_lead_days)


def by_part_number(needs: Iterable[PlanNeed]) -> dict[str, list[PlanNeed]]:
    """Part number to the needs it may fill, lead times aside."""
    answer: dict[str, list[PlanNeed]] = {}
    for need in needs:
        for number in dict.fromkeys(need.fillable_by):
            answer.setdefault(number, []).append(need)
    return answer


def net_price(price: Decimal, tax_pct: Decimal, includes: bool) -> Decimal:
    """The price without tax: 22.20 including 20 % is 18.50. ``tax_pct`` is of 100."""
    return price / (ONE + tax_pct / 100) if includes else price


def read_problem(mapping: object) -> PlanProblem:
    """A plan problem from parsed JSON (keys: base_currency, parts, suppliers, offers, max_suppliers).

    Raises Refused naming the key's path, what was expected there and what was found.
    """
    at = _At("", mapping)
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


def _need(at: _At) -> PlanNeed:
    return PlanNeed(
        at.text("id"),
        at.whole("demand", least=0),
        at.texts("fillable_by"),
        at.maybe_whole("max_lead_days"),
    )


def _supplier(at: _At) -> PlanSupplier:
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


def _offer(at: _At) -> PlanOffer:
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


def _incremental(at: _At) -> bool:
    kind = at.text("price_kind", "all_units")
    if kind not in ("all_units", "incremental"):
        raise at.wrong("price_kind", "all_units or incremental", kind)
    return kind == "incremental"


def _breaks(at: _At) -> tuple[tuple[int, Decimal], ...]:
    rows = at.get("breaks")
    if not isinstance(rows, Sequence) or isinstance(rows, str) or not rows:
        raise at.wrong("breaks", "a list of [from quantity, price]", rows)
    breaks = tuple(_break(at, n, row) for n, row in enumerate(rows))
    starts = [start for start, _ in breaks]
    if starts != sorted(set(starts)):
        raise at.wrong("breaks", "rising from-quantities", starts)
    return breaks


def _break(at: _At, n: int, row: object) -> tuple[int, Decimal]:
    if not isinstance(row, Sequence) or isinstance(row, str) or len(row) != 2:
        raise at.wrong(f"breaks[{n}]", "[from quantity, price]", row)
    pair = _At(f"{at.path}.breaks[{n}]", {"from": row[0], "price": row[1]})
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


_NEVER = object()


@dataclass(frozen=True, slots=True)
class _At:
    """A place in the mapping, which says its own path when something there is wrong."""

    path: str
    value: object

    def wrong(self, key: str, expected: str, found: object) -> Refused:
        path = f"{self.path}.{key}" if self.path else key
        return Refused(f"{path}: expected {expected}, found {'nothing' if found is _NEVER else repr(found)}")

    def get(self, key: str, default: object = _NEVER) -> object:
        if not isinstance(self.value, Mapping):
            raise Refused(f"{self.path or 'problem'}: expected keys and values, found {self.value!r}")
        return self.value.get(key, default)

    def each(self, key: str, read: Callable[[_At], T]) -> tuple[T, ...]:
        rows = self.get(key)
        if not isinstance(rows, Sequence) or isinstance(rows, str):
            raise self.wrong(key, "a list", rows)
        path = f"{self.path}.{key}" if self.path else key
        return tuple(read(_At(f"{path}[{n}]", row)) for n, row in enumerate(rows))

    def text(self, key: str, default: str | None = None) -> str:
        found = self.get(key, _NEVER if default is None else default)
        if not isinstance(found, str):
            raise self.wrong(key, "text", found)
        return found

    def texts(self, key: str) -> tuple[str, ...]:
        found = self.get(key)
        if not isinstance(found, list | tuple) or not all(isinstance(f, str) for f in found):
            raise self.wrong(key, "a list of part numbers", found)
        return tuple(found)

    def truth(self, key: str, default: bool) -> bool:
        found = self.get(key, default)
        if not isinstance(found, bool):
            raise self.wrong(key, "true or false", found)
        return found

    def whole(self, key: str, default: int | None = None, *, least: int = 0) -> int:
        found = self.get(key, _NEVER if default is None else default)
        if isinstance(found, bool) or not isinstance(found, int) or found < least:
            raise self.wrong(key, f"a whole number, {least} or more", found)
        return found

    def maybe_whole(self, key: str, *, least: int = 0) -> int | None:
        return None if self.get(key, None) is None else self.whole(key, least=least)

    def amount(self, key: str, default: Decimal | None = None) -> Decimal:
        found = self.get(key, _NEVER if default is None else default)
        if isinstance(found, bool) or not isinstance(found, int | float | str | Decimal):
            raise self.wrong(key, "a number, 0 or more", found)
        try:
            exact = Decimal(str(found))
        except InvalidOperation as error:
            raise self.wrong(key, "a number, 0 or more", found) from error
        if not exact.is_finite() or exact < 0:
            raise self.wrong(key, "a number, 0 or more", found)
        return exact

    def maybe_amount(self, key: str) -> Decimal | None:
        return None if self.get(key, None) is None else self.amount(key)

    def positive(self, key: str) -> Decimal:
        exact = self.amount(key, ONE)
        if not exact:
            raise self.wrong(key, "a number above 0", exact)
        return exact
