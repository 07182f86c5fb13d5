"""Finding relays by part number as typed, by any fact of the sheet, and by what callipers find over the pins."""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import StrEnum
from math import inf, nextafter
from typing import TYPE_CHECKING, Any

from bom.match.bounds import PITCH_TOLERANCE_MM, contact_words
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint
from bom.relays.relay import CoilSystem, Design, Guided, Relay, Sealing, Status, SupplyKind, Suppression
from bom.values.problem import Refused
from bom.values.quantity import read

if TYPE_CHECKING:
    from bom.store.search import Facts
    from bom.store.unit_of_work import Session

CONTACTS = ("make", "break", "changeover")
WORDS: dict[str, type[StrEnum] | None] = {
    "maker": None, "series": None, "status": Status, "footprint": None, "wiring": None, "coil_system": CoilSystem,
    "coil_supply": SupplyKind, "coil_suppression": Suppression, "contact_material": None, "sealing": Sealing,
    "guided": Guided, "source": None,
}  # fmt: skip
NUMBERS = tuple(f.name for f in fields(Relay) if f.name not in WORDS and f.name != "part_number")
_UNITS = {"volts": "V", "ohms": "ohm", "mm": "mm", "c": "degC", "henries": "H"}


@dataclass(frozen=True, slots=True)
class Sought:
    """What was typed; None and empty = not asked. ``facts`` as in *coil_ohms=200..260* or *sealing=RT III*."""

    text: str = ""
    volts: str | None = None
    units: int | None = None
    contacts: str | None = None
    pins: int | None = None
    facts: tuple[str, ...] = ()
    pitch: str | None = None
    long: str | None = None
    wide: str | None = None
    within: str | None = None


def find_relays(session: Session, sought: Sought, limit: int) -> dict[str, Any]:
    """The relays found, how many there are in all, and how the number was read; refuses words that nothing knows."""
    from bom.store.search import find_relays as find

    drawn = _drawings(session)
    found = find(session, sought.text, _facts(sought, drawn), limit)
    rows = [
        row_of_relay(Design(r, drawn.footprints.get(r.footprint), drawn.wirings.get(r.wiring))) for r in found.relays
    ]
    return {"relays": rows, "total": found.total, "read": found.how, "hint": "" if rows else _hint(session)}


def _drawings(session: Session) -> Catalogue:
    from bom.store.catalogue import all_drawings

    return all_drawings(session)


def _hint(session: Session) -> str:
    """Why there may be nothing to find."""
    from bom.jobs.replacing.matching import database_words
    from bom.store.marks import marked

    if marked(session, "relays"):
        return ""
    return f"the catalogue of {database_words(session)} is empty; bom catalog add FOLDER fills it"


def _facts(sought: Sought, drawn: Catalogue) -> Facts:
    from bom.store.search import Facts

    words: dict[str, str] = {}
    ranges: dict[str, tuple[float | None, float | None]] = {}
    for fact in (*sought.facts, *([f"coil_volts={sought.volts}"] if sought.volts else [])):
        name, equals, value = (part.strip() for part in fact.partition("="))
        if not equals or not value:
            raise Refused(f"expected a fact as NAME=VALUE or NAME=FROM..TO, as in coil_ohms=200..260, found {fact!r}")
        if name in WORDS:
            words[name] = _word(name, value)
        elif name in NUMBERS:
            ranges[name] = _range(name, value)
        else:
            raise Refused(f"expected one of {', '.join((*WORDS, *NUMBERS))}; found {name!r}")
    return Facts(words, ranges, _footprints(sought, drawn), _wirings(sought, drawn))


def _word(name: str, value: str) -> str:
    kind = WORDS[name]
    if kind is None:
        return value
    known = {k.value.casefold(): k.value for k in kind}
    if value.casefold() not in known:
        raise Refused(f"{name}: expected one of: {' | '.join(kind)}; found {value!r}")
    return known[value.casefold()]


def _range(name: str, value: str) -> tuple[float | None, float | None]:
    """From and to; one number is itself, as near as its digits are kept."""
    low, dots, high = value.partition("..")
    if not dots:
        number = _number(name, value)
        return nextafter(number, -inf), nextafter(number, inf)
    return _number(name, low) if low.strip() else None, _number(name, high) if high.strip() else None


def _number(name: str, text: str) -> float:
    unit = _UNITS.get(name.rsplit("_", 1)[-1])
    if unit:
        return read(text, unit)
    try:
        return float(text)
    except ValueError as error:
        raise Refused(f"{name}: expected a number, found {text.strip()!r}") from error


def _footprints(sought: Sought, drawn: Catalogue) -> list[str] | None:
    """The names of the footprints as measured; None where nothing was."""
    within = read(sought.within, "mm") if sought.within else PITCH_TOLERANCE_MM
    lengths = [read(t, "mm") if t else None for t in (sought.pitch, sought.long, sought.wide)]
    if sought.pins is None and not any(lengths):
        return None
    return [
        name
        for name, f in drawn.footprints.items()
        if (sought.pins is None or len(f.pins) == sought.pins)
        and all(wanted is None or _near(found, wanted, within) for found, wanted in zip(_grid(f), lengths, strict=True))
    ]


def _grid(footprint: Footprint) -> tuple[float | None, float | None, float | None]:
    return (footprint.pitch_mm, *(footprint.spans_mm or (None, None)))


def _near(found: float | None, wanted: float, within: float) -> bool:
    return found is not None and abs(found - wanted) <= within + 1e-9


def _wirings(sought: Sought, drawn: Catalogue) -> list[str] | None:
    """The names of the wirings as asked; None where nothing was."""
    if sought.contacts is not None and sought.contacts not in CONTACTS:
        raise Refused(f"--contacts: expected one of: {' | '.join(CONTACTS)}; found {sought.contacts!r}")
    if sought.contacts is None and sought.units is None:
        return None
    return [
        name
        for name, w in drawn.wirings.items()
        if sought.units in (None, len(w.units)) and sought.contacts in (None, contact_words(w))
    ]


def row_of_relay(design: Design) -> dict[str, Any]:
    """A relay in one line."""
    relay = design.relay
    return {
        "maker": relay.maker,
        "part_number": relay.part_number,
        "coil_volts": relay.coil_volts,
        "coil_ohms": relay.coil_ohms,
        "units": len(design.wiring.units) if design.wiring else None,
        "contacts": contact_words(design.wiring) if design.wiring else None,
        "pins": len(design.footprint.pins) if design.footprint else None,
        "status": relay.status,
    }
