"""A part's reorder level set by hand, and left to its use again."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from bom.shop.amounts import amount_of, plain, unit_of
from bom.shop.parts import part_named
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def set_levels(session: Session, part: str, point: str, up_to: str) -> str:
    """Keep a part's reorder point and the level it is ordered up to."""
    from bom.store.shelf import set_level

    number, _ = part_named(session, part)
    low = Decimal(0) if point.strip() == "0" else amount_of(session, number, point)
    high, unit = amount_of(session, number, up_to), unit_of(session, number)
    if high < low:
        raise Refused(f"expected to order up to {plain(low, unit)} or more, found {plain(high, unit)}")
    set_level(session, number, low, high)
    return f"{number}: at {plain(low, unit)} or less, order up to {plain(high, unit)}"


def forget_level(session: Session, part: str) -> str:
    """From now on the level follows from what is used."""
    from bom.store.shelf import drop_level

    number, _ = part_named(session, part)
    if not drop_level(session, number):
        raise Refused(f"no level is set for {number}")
    return f"{number}: its level follows from what is used"
