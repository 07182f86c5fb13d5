"""Kits in the database, each kept whole as the document its file was read into."""

from __future__ import annotations

from sqlalchemy.orm import Session

from bom.kits.kit import Kit
from bom.store import tables as t
from bom.store.catalogue import Changes
from bom.store.filing import all_filed, file_away, filed, throw_away


def take_kit(session: Session, kit: Kit, digest: str = "") -> Changes:
    """Keep the kit under its name; digest is that of its file."""
    return file_away(session, t.kits, kit, digest)


def kit(session: Session, name: str) -> Kit | None:
    """The kit of this name, or None."""
    return filed(session, t.kits, Kit, name)


def kits(session: Session) -> tuple[Kit, ...]:
    """Every kit, by name."""
    return all_filed(session, t.kits, Kit)


def drop_kit(session: Session, name: str) -> bool:
    """Forget the kit; whether there was one."""
    return throw_away(session, t.kits, name)
