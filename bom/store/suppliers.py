"""Knows the suppliers and how their price lists are to be read. Their offers and the rates have rooms of their own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from bom.buying.offer import Feed, Supplier
from bom.store import tables as t
from bom.store.catalogue import Changes
from bom.store.documents import decode, encode
from bom.store.filing import all_filed, file_away, filed, forget

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


def take_supplier(session: Session, supplier: Supplier, feed: Feed | None = None, digest: str = "") -> Changes:
    """Keep the supplier, and how to read its price list, under its name."""
    return file_away(session, t.suppliers, supplier, digest, feed=None if feed is None else encode(feed))


def forget_supplier(session: Session, name: str) -> None:
    """Take the supplier of this name out again, with its price list and its quotes."""
    forget(session, t.suppliers, name)


def supplier(session: Session, name: str) -> Supplier | None:
    """The supplier of this name, or None."""
    return filed(session, t.suppliers, Supplier, name)


def suppliers(session: Session) -> tuple[Supplier, ...]:
    """Every supplier, by name."""
    return all_filed(session, t.suppliers, Supplier)


def feed_of(session: Session, supplier: str) -> Feed | None:
    """How to read the supplier's price list; None where it has none."""
    found = session.scalar(select(t.suppliers.c.feed).where(t.suppliers.c.name == supplier))
    return None if found is None else decode(Feed, found)
