"""Who the shop is, shown and changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bom.answers.settings import Changed, Settings
from bom.shop.settings import change_setting, settings_of

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def show_shop(session: Session) -> Settings:
    """What the shop has said of itself."""
    return settings_of(session)


def set_shop(session: Session, wanted: list[tuple[str, str]]) -> list[Changed]:
    """Change these settings, all or none."""
    return [Changed(name, *change_setting(session, name, value)) for name, value in wanted]
