"""Suppliers taken, and their price lists read anew when asked."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bom.buying.offer import Feed, Supplier
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def add_supplier(session: Session, file: Path) -> list[str]:
    """Take a supplier's file; what to tell the user. Raises ProblemsFound."""
    from bom.intake.suppliers import take_supplier
    from bom.store.suppliers import take_supplier as keep_supplier

    (supplier, feed), notes = take_supplier(file)
    keep_supplier(session, supplier, feed)
    listed = "a price list that refresh reads" if feed else "no price list"
    return [f"supplier {supplier.name}, {supplier.currency}, {listed}", *(f"note: {note}" for note in notes)]


def refresh_suppliers(session: Session, name: str) -> list[dict[str, Any]]:
    """Read the list of the supplier named, or of all that have one; a list that fails leaves the last good one."""
    from bom.store.suppliers import feed_of, suppliers

    known = [s for s in suppliers(session) if not name or s.name.casefold() == name.casefold()]
    if not known:
        raise Refused(f"no supplier {name}" if name else "no supplier yet: bom supplier add FILE")
    feeds = [(s, feed_of(session, s.name)) for s in known]
    if name and feeds[0][1] is None:
        raise Refused(f"{known[0].name} has no price list in its file")
    return [_refreshed(session, supplier, feed) for supplier, feed in feeds if feed is not None]


def _refreshed(session: Session, supplier: Supplier, feed: Feed) -> dict[str, Any]:
    from bom.intake.feeds import take_price_list
    from bom.store.suppliers import list_seen, take_offers

    try:
        offers, problems, notes = take_price_list(feed, supplier, _list_of(feed), feed.file or feed.url)
    except Refused as refused:
        return _failed(supplier, str(refused), list_seen(session, supplier.name))
    if problems or not offers:
        why = "; ".join(map(str, problems)) or "the list holds no offer"
        return _failed(supplier, why, list_seen(session, supplier.name))
    count = take_offers(session, supplier.name, offers, datetime.now(UTC))
    return {"supplier": supplier.name, "offers": count, "failed": False, "notes": list(notes)}


def _list_of(feed: Feed) -> bytes:
    """The list as it came: from its file, or from its address through the kept copies in the user's cache folder."""
    from bom.intake.feeds import fetch
    from bom.store.engine import cache_folder

    if not feed.file:
        return fetch(feed, cache_folder() / "price-lists.sqlite")
    path = Path(feed.file)
    if not path.is_file():
        raise Refused(f"there is no file {path}")
    return path.read_bytes()


def _failed(supplier: Supplier, why: str, seen: datetime | None) -> dict[str, Any]:
    kept = f"the offers of {seen:%Y-%m-%d %H:%M} stay" if seen else "there are no earlier offers"
    return {"supplier": supplier.name, "offers": 0, "failed": True, "notes": [why, kept]}
