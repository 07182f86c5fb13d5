"""What the shop has said of itself, as names and texts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import delete, insert, select

from bom.store import tables as t

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


_KEPT = "kept settings"


def kept_settings(session: Session) -> dict[str, str]:
    """Name to text of every setting that is kept, read once for a session and whenever one changed."""
    if _KEPT not in session.info:
        session.info[_KEPT] = {row.name: row.value for row in session.execute(select(t.settings))}
    kept: dict[str, str] = session.info[_KEPT]
    return kept


def taken_over(session: Session) -> str:
    """What an upgrade took over as settings, in words; told once, and gone after that."""
    said = kept_settings(session).get(_TAKEN_OVER, "")
    if said:
        keep_setting(session, _TAKEN_OVER, "")
    return said


_TAKEN_OVER = "taken over"


def keep_setting(session: Session, name: str, value: str) -> None:
    """Keep this text under the name; an empty one takes the setting out."""
    session.execute(delete(t.settings).where(t.settings.c.name == name))
    if value:
        session.execute(insert(t.settings).values(name=name, value=value))
    session.info.pop(_KEPT, None)
