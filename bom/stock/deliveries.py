"""How late each supplier was: deliveries against the days that were promised, and what is late now.

A delivery is what came of one order's line at a time. One that was undone never came. Without a promised day there is
nothing to be late against, so such a delivery is counted apart and is neither late nor in time.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple


class Delivery(NamedTuple):
    """Something that was ordered: promised for a day (None = for none), and come on a day (None = not yet)."""

    supplier: str
    order: str
    part: str
    due: date | None
    came: date | None

    def late_days(self, today: date) -> int | None:
        """Days after the one promised, below zero for days before; None where no day was promised."""
        return None if self.due is None else ((self.came or today) - self.due).days


@dataclass(frozen=True, slots=True)
class Punctuality:
    """A supplier's record. ``late`` of ``promised`` deliveries came after their day; ``mean_days`` and ``worst_days``
    are of those alone, None where there are none; ``overdue`` lines are late now, the oldest by ``overdue_days``."""

    supplier: str
    deliveries: int
    promised: int
    late: int
    mean_days: float | None
    worst_days: int | None
    overdue: int
    overdue_days: int | None


def punctuality(deliveries: Iterable[Delivery], today: date) -> list[Punctuality]:
    """Each supplier's record, by name."""
    by: dict[str, list[Delivery]] = {}
    for one in deliveries:
        by.setdefault(one.supplier, []).append(one)
    return [_record(supplier, by[supplier], today) for supplier in sorted(by)]


def _record(supplier: str, of: list[Delivery], today: date) -> Punctuality:
    came = [one for one in of if one.came is not None]
    judged = [days for one in came if (days := one.late_days(today)) is not None]
    late = [days for days in judged if days > 0]
    open_now = [days for one in of if one.came is None and (days := one.late_days(today)) is not None and days > 0]
    return Punctuality(
        supplier=supplier,
        deliveries=len(came),
        promised=len(judged),
        late=len(late),
        mean_days=round(sum(late) / len(late), 1) if late else None,
        worst_days=max(late, default=None),
        overdue=len(open_now),
        overdue_days=max(open_now, default=None),
    )
