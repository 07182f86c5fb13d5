"""What people type about the shelf, understood: a part or kit by name, an amount in its unit, a cost, a lot."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from bom.shop.parts import part_named
from bom.shop.settings import settings_of, settle
from bom.stock.ledger import Lot, Move, MoveKind
from bom.values.money import Money
from bom.values.problem import Refused
from bom.values.quantity import read_amount

if TYPE_CHECKING:
    from datetime import datetime

    from bom.store.unit_of_work import Session

MOST = Decimal(10**12)
"""More than any shelf holds, in any unit: a slip of the finger."""


def stocked_named(session: Session, text: str) -> str:
    """A part number, or the name of a kit that is made up and kept as a lot."""
    from bom.store.boards_and_kits import kits

    for kit in kits(session):
        if kit.name.casefold() == text.strip().casefold():
            return kit.name
    return part_named(session, text).name


def unit_of(session: Session, part: str) -> str:
    """The unit this part is kept in: g, mm or ml for some supplies, piece for all else."""
    return units_in(session).get(part, "piece")


def units_in(session: Session) -> dict[str, str]:
    """Part to its unit, for those that are not kept by the piece."""
    from bom.store.catalogue import supply_units
    from bom.store.part_names import part_names

    name = part_names(session).name
    return {name(number, maker): unit for number, maker, unit in supply_units(session) if unit != "piece"}


def amount_of(session: Session, part: str, text: str) -> Decimal:
    """How much of this part, in its own unit; a bare number is in that unit. Refuses another unit and split pieces."""
    own = unit_of(session, part)
    try:
        amount, unit = read_amount(text)
    except Refused as refused:
        raise Refused(
            str(refused).replace("a quantity such as '12 V'", f"how much of {part}, {_such_as(own)}")
        ) from None
    if unit not in ("piece", own):
        raise Refused(f"{part} is kept in {own}, found {text!r}")
    if own == "piece" and amount != amount.to_integral_value():
        raise Refused(f"expected whole pieces of {part}, found {text!r}")
    if amount > MOST:
        raise Refused(f"expected at most {MOST:,f} of {part}, found {text!r}")
    return amount


def _such_as(unit: str) -> str:
    return "such as 20" if unit == "piece" else f"such as 250 or '250 {unit}'"


def plain(amount: Decimal, unit: str = "") -> str:
    """An amount as people write it, never 1E+3; with its unit unless that is the piece."""
    text = f"{amount:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text if unit in ("", "piece") else f"{text} {unit}"


def money(text: str) -> Money:
    """Money as typed: an amount and its currency, as in 2.10 GBP."""
    match text.split():
        case [amount, currency] | [currency, amount] if currency.isalpha():
            if "," in amount:
                raise Refused(
                    f"write the decimal sign as a point and no thousands mark, as in 2.10 GBP, found {text!r}"
                )
            found = Money.of(amount, currency.upper())
            if not 0 <= found.amount <= MOST:
                raise Refused(f"expected a cost of 0 or more that somebody can pay, found {text!r}")
            return found
    raise Refused(f"expected an amount and its currency, as in 2.10 GBP, found {text!r}")


def cost_of(session: Session, text: str) -> Money:
    """A cost as typed; refused in a currency that the shop cannot convert, since it would spoil every average."""
    cost = money(text)
    settle(session, currency=cost.currency)
    if why := no_rate(session, cost.currency):
        raise Refused(why)
    return cost


def no_rate(session: Session, currency: str) -> str:
    """Why an amount in this currency cannot be converted; empty where it can."""
    from bom.shop.prices import rates_to

    base = settings_of(session).currency or currency
    rates = rates_to(session, base)
    if rates.to_base(currency) is not None:
        return ""
    known = ", ".join(dict.fromkeys([base, *(code for code, _ in rates.worth)]))
    return f"no exchange rate from {currency} to {base}, which the shop counts in; rates are known for {known}"


class Drawers:
    """The shop's drawers by the letters they are called: a5 is A5, and whichever was written first is its spelling."""

    def __init__(self, session: Session) -> None:
        from bom.store.shelf import drawers

        self._spelled: dict[str, list[str]] = {}
        for drawer in sorted(drawers(session)):
            self._spelled.setdefault(_folded(drawer), []).append(drawer)

    def named(self, text: str) -> str:
        """The drawer that is meant; a new one as it is typed. Refused where two in use differ by capitals alone."""
        typed = " ".join(text.split())
        known = self._spelled.setdefault(_folded(typed), [typed])
        if typed in known or len(known) == 1:
            return typed if typed in known else known[0]
        raise Refused(f"drawer {typed} may be {' or '.join(known)}: write the one meant, capitals as they are")


def _folded(drawer: str) -> str:
    return " ".join(drawer.split()).casefold()


def lot_named(session: Session, number: str) -> Lot:
    """The lot of this number, in capitals or not."""
    from bom.store.shelf import lots

    for lot in lots(session, {number, number.upper()}):
        return lot
    raise Refused(f"no lot {number}")


def entry(when: datetime, kind: MoveKind, lot: Lot, quantity: Decimal, reason: str, **more: str) -> Move:
    """A move yet to be entered: the ledger gives it its place. ``more``: reference, drawer or customer."""
    return Move(0, when, kind, lot.part_number, lot.number, quantity, reason, **more)  # type: ignore[arg-type]
