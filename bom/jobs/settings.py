"""Who the shop is, shown and changed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bom.shop.settings import Settings, change_setting, settings_of

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


@dataclass(frozen=True, slots=True)
class Changed:
    """A setting as it was and as it is; empty = not said."""

    setting: str
    before: str
    after: str


def show_shop(session: Session) -> Settings:
    """What the shop has said of itself."""
    return settings_of(session)


def set_shop(session: Session, wanted: list[tuple[str, str]]) -> list[Changed]:
    """Change these settings, all or none."""
    return [Changed(name, *change_setting(session, name, value)) for name, value in wanted]
