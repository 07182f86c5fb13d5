"""Who the shop is: its name and address on papers, the currency it counts in, its tax position, its usual words.

These are settings, kept in the database and changed by ``bom shop set``. Nothing is guessed from a kit or a price
list: a shop that has not said its currency is given that of the first thing which states one, and is told so once.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bom.answers.settings import Settings
from bom.store.settings import keep_setting, kept_settings
from bom.values.column import Column, Topic, described, nearest
from bom.values.money import KNOWN, meant
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session

COLUMNS = described(Settings)
TOPIC = Topic("shop", "What bom shop set keeps: who the shop is.", COLUMNS)


def settings_of(session: Session) -> Settings:
    """What is kept; what was never said is empty."""
    kept = kept_settings(session)
    return Settings(**{name: column.read(kept.get(name, "")) for name, column in COLUMNS.items()})


def change_setting(session: Session, name: str, value: str) -> tuple[str, str]:
    """Keep one setting, an empty value for *not said*; (before, after) as they are kept.

    Raises Refused for a name that is none, and for a value that the setting cannot hold.
    """
    column = _column_named(name)
    before, after = kept_settings(session).get(column.name, ""), _written(column, value.strip())
    keep_setting(session, column.name, after)
    return before, after


def _column_named(name: str) -> Column:
    wanted = name.strip().casefold().replace("-", "_").replace(" ", "_")
    if wanted in COLUMNS:
        return COLUMNS[wanted]
    near = nearest(name, COLUMNS)
    hint = f" (is {near} meant?)" if near else ""
    raise Refused(f"expected a setting: {', '.join(COLUMNS)}{hint}, found {name!r}")


def _written(column: Column, value: str) -> str:
    """The value as it is kept."""
    if column.name == "currency":
        return _currency(value)
    try:
        read: Any = column.read(value)
    except Refused as refused:
        raise Refused(f"{column.name}: expected {refused}, found {value!r}") from None
    return ("yes" if read else "no") if isinstance(read, bool) and value else value


def _currency(value: str) -> str:
    code = value.upper()
    if code and code not in KNOWN:
        near = meant(code)
        hint = f" (is {near} meant?)" if near else ""
        raise Refused(f"currency: expected an ISO 4217 code such as EUR{hint}, found {value!r}")
    return code


def settle(session: Session, *, currency: str = "", tax_registered: bool | None = None) -> tuple[str, ...]:
    """Take over what the shop has not said yet from the first thing that states it; what to tell the user of that."""
    kept = kept_settings(session)
    told = []
    if currency and not kept.get("currency"):
        keep_setting(session, "currency", currency)
        told.append(f"the shop counts in {currency} from now on; bom shop set currency CODE changes that")
    if tax_registered is not None and not kept.get("tax_registered"):
        keep_setting(session, "tax_registered", "yes" if tax_registered else "no")
        back = "gets" if tax_registered else "does not get"
        told.append(f"the shop {back} tax on purchases back; bom shop set tax_registered yes|no changes that")
    return tuple(told)
