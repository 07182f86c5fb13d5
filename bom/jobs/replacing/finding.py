"""Finding relays by part number as typed, by any fact of the sheet, and by what callipers find over the pins; and what
the shell offers while a part is being typed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import inf, nextafter
from typing import TYPE_CHECKING, Any

from bom.answers.catalogue import RelayListed, RelaysFound
from bom.jobs.bench import glance
from bom.match.spec_bounds import CONTACTS, PITCH_TOLERANCE_MM, contact_words
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint
from bom.relays.relay import Design, Rating, Relay
from bom.shop.places import database_words
from bom.store.catalogue import all_drawings
from bom.store.marks import marked
from bom.store.part_names import part_names
from bom.store.search import Facts, parts_typed
from bom.values.column import Column, Holds, described, folded, nearest, number
from bom.values.problem import Refused
from bom.values.quantity import read

if TYPE_CHECKING:
    from bom.store.search import Range
    from bom.store.unit_of_work import Session


_HEIGHT = number("mm", "Body and standoff together.", "14.3", above=0)
FACTS: Mapping[str, Column] = {**described(Relay), "height": _HEIGHT, "height_mm": _HEIGHT}
"""What a relay is searched by, beside its number: every column of relays.csv, and its height above the board."""
_KEPT_AS = {"height": "height_mm"}
RATED: Mapping[str, Column] = {
    name: column
    for name, column in described(Rating).items()
    if name
    in ("contact", "load", "amps", "inrush_amps", "carry_amps", "carry_seconds", "lr_ms", "power_factor", "operations")
}
"""What is asked of one of its published ratings."""


@dataclass(frozen=True, slots=True)
class Sought:
    """What was typed; None and empty = not asked. ``facts`` as in *coil_ohms=200..260*, *sealing=RT III*."""

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


def find_relays(session: Session, sought: Sought, limit: int) -> RelaysFound:
    """The relays found, how many there are in all, and how the number was read; refuses words that nothing knows."""
    from bom.store.search import find_relays as find

    drawn = _drawings(session)
    found = find(session, sought.text, _facts(sought, drawn), limit)
    rows = tuple(
        relay_listed(Design(r, drawn.footprints.get(r.footprint), drawn.wirings.get(r.wiring))) for r in found.relays
    )
    return RelaysFound(rows, found.total, found.how, "" if rows else _hint(session))


def _drawings(session: Session) -> Catalogue:

    return all_drawings(session)


def _hint(session: Session) -> str:
    """Why there may be nothing to find."""

    if marked(session, "relays"):
        return ""
    return f"the catalogue of {database_words(session)} is empty; bom catalog add FOLDER fills it"


def _facts(sought: Sought, drawn: Catalogue) -> Facts:
    """Everything asked but the number; refuses what is no fact, saying what was likely meant."""

    facts = Facts(footprints=_footprints(sought, drawn), wirings=_wirings(sought, drawn))
    for fact in (*sought.facts, *([f"coil_volts={sought.volts}"] if sought.volts else [])):
        facts = _with(facts, fact)
    return facts


def _with(facts: Facts, fact: str) -> Facts:
    name, equals, value = (part.strip() for part in fact.partition("="))
    if not equals or not value:
        raise Refused(f"expected a fact as NAME=VALUE or NAME=FROM..TO, as in coil_ohms=200..260, found {fact!r}")
    known = next((n for n in (*FACTS, *RATED) if n == name), "") or _spelled(name)
    if (column := FACTS.get(known)) is not None:
        kept = _KEPT_AS.get(known, known)
        if column.holds is Holds.NUMBER:
            return replace(facts, ranges={**facts.ranges, kept: _range(name, column, value)})
        return replace(facts, words={**facts.words, kept: _read(name, column, value)})
    column = RATED[known]
    if column.holds is Holds.NUMBER:
        return replace(facts, rated={**facts.rated, known: _range(name, column, value)})
    words = (_read(name, column, value), *(["both"] if known == "contact" else []))
    return replace(facts, rated_words={**facts.rated_words, known: words})


def _spelled(name: str) -> str:
    """The fact of this name where only capitals, spaces or hyphens differ; refused with the nearest where none is."""
    by_fold = {folded(n): n for n in (*FACTS, *RATED)}
    if (known := by_fold.get(folded(name))) is not None:
        return known
    inside = [n for n in (*FACTS, *RATED) if folded(name) in n.split("_")][:3]
    near = inside or [n for n in [nearest(name, (*FACTS, *RATED))] if n]
    hint = f" ({' or '.join(near)}?)" if near else ""
    raise Refused(f"expected a column of relays.csv{hint}, found {name!r}; bom explain relays.csv lists them")


def _range(name: str, column: Column, value: str) -> Range:
    """From and to; one number is itself, as near as its digits are kept."""
    low, dots, high = value.partition("..")
    column = column.unbounded
    if dots:
        return (_read(name, column, low) if low.strip() else None, _read(name, column, high) if high.strip() else None)
    if between := re.fullmatch(r"([\d.,]+ *\w*) *[-–] *([\d.,]+ *\w*)", value):
        raise Refused(f"{name}: expected a range as {between[1]}..{between[2]}, found {value!r}")
    stated = _read(name, column, value)
    return nextafter(stated, -inf), nextafter(stated, inf)


def _read(name: str, column: Column, text: str) -> Any:
    try:
        return column.read(text.strip())
    except Refused as refused:
        raise Refused(f"{name}: expected {refused}, found {text.strip()!r}") from refused


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
    contacts = None if sought.contacts is None else _read("--contacts", CONTACTS, sought.contacts)
    if contacts is None and sought.units is None:
        return None
    return [
        name
        for name, w in drawn.wirings.items()
        if sought.units in (None, len(w.units)) and contacts in (None, contact_words(w))
    ]


def relay_listed(design: Design) -> RelayListed:
    """A relay in one line."""
    relay = design.relay
    return RelayListed(
        maker=relay.maker,
        part_number=relay.part_number,
        coil_volts=relay.coil_volts,
        coil_ohms=relay.coil_ohms,
        units=len(design.wiring.units) if design.wiring else None,
        contacts=contact_words(design.wiring) if design.wiring else None,
        pins=len(design.footprint.pins) if design.footprint else None,
        status=relay.status,
    )


MOST = 20
"""More would not be read. Own choice."""


def parts_beginning(url: str | None, typed: str) -> list[str]:
    """Names of parts that begin with what was typed, or whose maker does; none where no database is there.

    What was typed stays as it is, capitals or not: a shell drops what does not begin with it to the letter.
    """

    try:
        with glance(url) as session:
            name, found = part_names(session).name, parts_typed(session, typed, MOST)
    except Refused:
        return []
    offered = dict.fromkeys(word for number, maker in found for word in (name(number, maker), f"{maker} {number}"))
    return [typed + word[len(typed) :] for word in offered if word.casefold().startswith(typed.casefold())]
