"""A stand-alone buying problem: a JSON file of parts, suppliers and offers, read exactly and checked key by key.

What is wrong is told by the key's path, what was expected there and what was found.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any, NoReturn, TypeVar

from bom.buying.plan_problem import ZERO, PlanNeed, PlanOffer, PlanProblem, PlanSupplier
from bom.values.column import LARGEST, SMALLEST, nearest
from bom.values.problem import Refused

T = TypeVar("T")
NOTHING_THERE = object()


def stated_problem(mapping: object) -> PlanProblem:
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


@dataclass(frozen=True, slots=True)
class At:
    """A place in the mapping, which says its own path when something there is wrong."""

    path: str
    value: object

    def wrong(self, key: str, expected: str, found: object) -> Refused:
        path = f"{self.path}.{key}" if self.path else key
        return Refused(f"{path}: expected {expected}, found {'nothing' if found is NOTHING_THERE else repr(found)}")

    def get(self, key: str, default: object = NOTHING_THERE) -> object:
        if not isinstance(self.value, Mapping):
            raise Refused(f"{self.path or 'problem'}: expected keys and values, found {self.value!r}")
        return self.value.get(key, default)

    def only(self, *known: str) -> At:
        """The place, where it holds no key but these; keys that begin with *note* are free text."""
        self.get("")
        for key in map(str, self.value if isinstance(self.value, Mapping) else ()):
            if key not in known and not key.startswith("note"):
                near = nearest(key, known)
                raise self.wrong(key, f"a known key{f' such as {near}' if near else ''}", key)
        return self

    def each(self, key: str, read: Callable[[At], T]) -> tuple[T, ...]:
        rows = self.get(key)
        if not isinstance(rows, Sequence) or isinstance(rows, str):
            raise self.wrong(key, "a list", rows)
        path = f"{self.path}.{key}" if self.path else key
        return tuple(read(At(f"{path}[{n}]", row)) for n, row in enumerate(rows))

    def text(self, key: str, default: str | None = None) -> str:
        found = self.get(key, NOTHING_THERE if default is None else default)
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
        found = self.get(key, NOTHING_THERE if default is None else default)
        if isinstance(found, bool) or not isinstance(found, int) or found < least:
            raise self.wrong(key, f"a whole number, {least} or more", found)
        return found

    def maybe_whole(self, key: str, *, least: int = 0) -> int | None:
        return None if self.get(key, None) is None else self.whole(key, least=least)

    def amount(self, key: str, default: Decimal | None = None) -> Decimal:
        found = self.get(key, NOTHING_THERE if default is None else default)
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
        exact = self.amount(key, Decimal(1))
        if not exact:
            raise self.wrong(key, "a number above 0", exact)
        return exact


def json_mapping(path: Path) -> dict[str, Any]:
    """The mapping in this file, numbers with a point as Decimal. Raises Refused, with line and column on
    bad JSON."""
    try:
        found = json.loads(_text(path), parse_float=_likely, parse_int=_likely_whole, parse_constant=_no_number)
    except json.JSONDecodeError as error:
        raise Refused(f"{path.name}:{error.lineno} [column {error.colno}]: expected JSON, {error.msg}") from error
    except RecursionError as error:
        raise Refused(f"{path.name}: expected lists and braces a few deep, found some without end") from error
    if not isinstance(found, dict):
        raise Refused(f"{path.name}: expected one problem in braces, found {type(found).__name__}")
    return found


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise Refused(f"{path.name}: expected a file that can be read, found {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise Refused(f"{path.name}: expected UTF-8 text, found byte 0x{error.object[error.start]:02X}") from error


def _likely(text: str) -> Decimal:
    try:
        number = Decimal(text)
    except ArithmeticError:  # an exponent beyond what Decimal holds
        number = Decimal("inf")
    if number and not SMALLEST <= number.copy_abs() <= LARGEST:
        shown = text if len(text) <= 40 else f"{text[:37]}..."
        raise Refused(f"expected a number of a likely size, {SMALLEST:g} to {LARGEST:g}, in the problem, found {shown}")
    return number


def _likely_whole(text: str) -> int:
    return int(_likely(text))


def _no_number(word: str) -> NoReturn:
    raise Refused(f"expected a number in the problem, found {word}")
