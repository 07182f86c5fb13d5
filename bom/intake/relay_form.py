"""One relay as a person states it, by answers or by options: what was typed, made into the part that it states.

Its figures are the columns of relays.csv. Pins, leads, wiring and ratings are a line each, as on a series sheet; pins
and wiring may be the name of a drawing that the catalogue has. A part may be stated by another one that it is like,
and its differences; the figures of a coil of other volts are then its own, and never the other's.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any

from bom.relays.catalogue import ratings_for
from bom.relays.checks import footprint_problems, relay_problems, wired_problems, wiring_problems
from bom.relays.footprint import VIEW, Footprint, View
from bom.relays.in_a_line import LEAD, PIN, UNIT, lead_in, pins_in, unit_in, wiring_of
from bom.relays.rating_in_a_line import rating_in
from bom.relays.relay import Design, Rating, Relay
from bom.relays.same_drawing import same_pins, same_wiring
from bom.relays.usual_wirings import USUAL, usual_wiring
from bom.relays.wiring import Element, Wiring
from bom.values.column import closed, described, folded, made, nearest
from bom.values.problem import Problem, ProblemsFound, Refused

COLUMNS = {name: column for name, column in described(Relay).items() if name not in ("footprint", "wiring")}
"""What is stated as a figure or a word. Footprint and wiring are stated as pins and wiring."""
COILS_OWN = (
    *("coil_ohms", "operate_volts", "release_volts", "coil_max_volts", "hold_volts", "coil_henries"),
    *("suppression_ohms", "suppression_volts"),
)
"""What goes with a coil's rated volts, and differs from code to code of a series."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What the catalogue has that a part may use or is held against."""

    footprints: Mapping[str, Footprint] = field(default_factory=dict)
    wirings: Mapping[str, Wiring] = field(default_factory=dict)
    ratings: tuple[Rating, ...] = ()


@dataclass(frozen=True, slots=True)
class Said:
    """What was typed of one relay. ``cells`` are by column; a blank one was left blank on purpose."""

    cells: Mapping[str, str] = field(default_factory=dict)
    pins: str = ""
    view: str = ""
    lead: str = ""
    wiring: str = ""
    ratings: tuple[str, ...] = ()

    @property
    def typed(self) -> int:
        """How many values were typed: each figure and word, of a pin its name and both places, of a wiring its name
        and each pin, of a rating each figure and word."""
        cells = sum(1 for value in (*self.cells.values(), self.view, self.lead) if value)
        pins = len(re.findall(r"[^,\s/]+", self.pins))
        usual, colon, ends = self.wiring.partition(":")
        wiring = len(re.findall(r"[^,;|\s]+", ends)) if colon else 0
        lines = (rating_in(line, "of it", []) for line in self.ratings)
        rated = sum(getattr(line, name) is not None for line in lines if line for name in _RATED)
        return cells + pins + wiring + bool(usual.strip()) + rated


_RATED = tuple(name for name in described(Rating) if name not in ("applies_to", "source"))


@dataclass(frozen=True, slots=True)
class StatedRelay:
    """The part that was stated. ``ratings`` are those stated for its number alone; ``notes`` say what was taken for
    what."""

    design: Design
    ratings: tuple[Rating, ...]
    notes: tuple[str, ...] = ()


def stated(said: Said, kept: Kept, like: Design | None = None) -> StatedRelay:
    """The part; raises ``ProblemsFound`` with everything that is wrong, by column and without a place."""
    problems: list[Problem] = []
    relay = relay_said(_named(said, like), like, problems)
    problems = problems or [*relay_problems(relay)]
    notes: list[str] = []
    footprint = footprint_said(said, relay, kept, problems, notes) or (like.footprint if like else None)
    wiring = wiring_said(said, relay, kept, problems, notes) or (like.wiring if like else None)
    ratings = _ratings(said, relay, like, problems)
    if footprint and wiring and not problems:
        problems += wired_problems(footprint, wiring)
    if problems:
        raise ProblemsFound(problems)
    relay = replace(relay, footprint=footprint.name if footprint else "", wiring=wiring.name if wiring else "")
    others = (r for r in kept.ratings if r.applies_to != relay.part_number)
    lines = ratings_for(relay, (*ratings, *others))
    return StatedRelay(Design(relay, footprint, wiring, lines), ratings, tuple(notes))


def _named(said: Said, like: Design | None) -> Said:
    """With a blank where the maker or the number is not said, so that its want is told."""
    needed = ("part_number",) if like is not None else ("maker", "part_number")
    return replace(said, cells={**dict.fromkeys(needed, ""), **said.cells})


def relay_said(said: Said, like: Design | None, problems: list[Problem]) -> Relay:
    """The part's own figures as far as they are said, each read in its own column."""
    cells = {name: text.strip() for name, text in said.cells.items()}
    own: Relay = made(Relay, cells, problems)
    return own if like is None else _with_differences(like.relay, own, cells)


def _with_differences(like: Relay, own: Relay, cells: Mapping[str, str]) -> Relay:
    """The other part with what is said of this one. Whether it is still made is its own matter; of a coil of other
    volts nothing is taken over that goes with its volts."""
    said = {name: getattr(own, name) for name in cells if name in COLUMNS}
    other_coil = "coil_volts" in said and own.coil_volts != like.coil_volts
    blank: dict[str, Any] = {name: None for name in COILS_OWN if name not in said} if other_coil else {}
    return replace(like, **{"status": None} | blank | said)


def left_to_say(said: Said, like: Relay) -> tuple[str, ...]:
    """The figures of the coil that the other part states and this one, of other volts, still has to say."""
    volts = said.cells.get("coil_volts", "")
    if not volts or _number(volts) == like.coil_volts:
        return ()
    return tuple(name for name in COILS_OWN if getattr(like, name) is not None and name not in said.cells)


def _number(text: str) -> float | None:
    try:
        value: float | None = COLUMNS["coil_volts"].read(text)
    except Refused:
        return None
    return value


def column_called(name: str) -> str:
    """The column of this name, capitals and hyphens or not; refused with the nearest one."""
    if (column := closed(COLUMNS).meant(name)) is not None:
        return column
    if folded(name) in ("footprint", "wiring"):
        raise Refused(f"expected pins or wiring as a line or a name of their own, found {name!r}")
    near = nearest(name, COLUMNS)
    hint = f" (is {near!r} meant?)" if near else ""
    raise Refused(f"expected a column of relays.csv{hint}, found {name!r}; bom explain relays.csv lists them")


# ---- pins ----------------------------------------------------------------------------------------------------------


def footprint_said(said: Said, relay: Relay, kept: Kept, problems: list[Problem], notes: list[str]) -> Footprint | None:
    """The drawing that the catalogue has by this name, or the pins of the line; None where nothing was said."""
    text = said.pins.strip()
    if not text:
        return None
    if (known := closed(kept.footprints).meant(text)) is not None:
        return kept.footprints[known]
    if "/" not in text:
        near = nearest(text, kept.footprints)
        hint = f" (is {near!r} meant?)" if near else ""
        problems.append(Problem("", 0, "pins", f"{PIN}, A2 5/5; or a footprint that the catalogue has{hint}", text))
        return None
    drawn = _drawn(said, text, relay, problems)
    if drawn is not None and (same := next(same_pins(drawn, kept.footprints), "")):
        notes.append(f"these pins are those of footprint {same}, which is used")
        return kept.footprints[same]
    return drawn


def _drawn(said: Said, text: str, relay: Relay, problems: list[Problem]) -> Footprint | None:
    before = len(problems)
    lead, view = lead_in(said.lead), VIEW.words.meant(said.view.strip()) if said.view.strip() else View.UNKNOWN
    if lead is None:
        problems.append(Problem("", 0, "lead", LEAD, said.lead.strip()))
    if view is None:
        problems.append(Problem("", 0, "view", VIEW.words.expected(said.view.strip()), said.view.strip()))
    pins = pins_in(text, {"": lead or {}}, problems)
    if len(problems) > before or view is None:
        return None
    drawn = Footprint(called(relay), pins, View(view))
    problems += [replace(problem, line=0, column="pins") for problem in footprint_problems(drawn)]
    return drawn


def called(relay: Relay) -> str:
    """What a drawing is called that is made for this part."""
    return f"{relay.maker} {relay.part_number}".strip()


# ---- wiring --------------------------------------------------------------------------------------------------------

WIRING = "a usual wiring and its pins, as in single changeover: A1, A2, 11, 14, 12; or units, as in A: coil A1 A2; "
WIRING += "common 11 make 14 break 12 | B: …; or a wiring that the catalogue has"


def wiring_said(said: Said, relay: Relay, kept: Kept, problems: list[Problem], notes: list[str]) -> Wiring | None:
    """The wiring that the catalogue has by this name, or that of the line; None where nothing was said."""
    text = said.wiring.strip()
    if not text:
        return None
    if (known := closed(kept.wirings).meant(text)) is not None:
        return kept.wirings[known]
    before = len(problems)
    wired = _wired(text, called(relay), problems)
    if len(problems) == before:
        problems += [replace(problem, line=0, column="wiring") for problem in wiring_problems(wired)]
    if len(problems) == before and (same := next(same_wiring(wired, kept.wirings), "")):
        notes.append(f"this wiring is {same}, which is used")
        return kept.wirings[same]
    return wired if len(problems) == before else None


def _wired(text: str, name: str, problems: list[Problem]) -> Wiring:
    head, colon, rest = text.partition(":")
    if colon and (usual := closed(USUAL).meant(head)) is not None:
        return usual_wiring(name, usual, rest.replace(",", " ").split(), problems)
    if colon and len(head.split()) > 1:
        problems.append(Problem("", 0, "wiring", closed(USUAL).expected(head), head))
        return Wiring(name, ())
    if not colon and not text.casefold().startswith(("coil", "common", "make", "break")):
        near = nearest(text, USUAL)
        problems.append(Problem("", 0, "wiring", WIRING + (f" (is {near!r} meant?)" if near else ""), text))
        return Wiring(name, ())
    found: list[Problem] = []
    units = [_unit(part, found) for part in text.split("|")]
    problems += [replace(p, column="wiring", expected=WIRING if p.expected == UNIT else p.expected) for p in found]
    return wiring_of(name, units)


def _unit(part: str, problems: list[Problem]) -> tuple[Element, ...]:
    unit, colon, line = part.partition(":")
    return unit_in(unit.strip() if colon else "A", line if colon else part, problems)


# ---- ratings -------------------------------------------------------------------------------------------------------


def _ratings(said: Said, relay: Relay, like: Design | None, problems: list[Problem]) -> tuple[Rating, ...]:
    """Those that were typed; else those that the other part has by its own number, since this one is like it."""
    if said.ratings or like is None:
        read = [rating_in(line, relay.part_number, problems) for line in said.ratings]
        return tuple(replace(rating, source=relay.source) for rating in read if rating is not None)
    own = (r for r in like.ratings if r.applies_to == like.relay.part_number)
    return tuple(replace(rating, applies_to=relay.part_number) for rating in own)


def differences(design: Design, like: Design) -> Iterator[tuple[str, object, object]]:
    """Column, the other part's value and this one's, wherever they differ."""
    for f in fields(Relay):
        before, after = getattr(like.relay, f.name), getattr(design.relay, f.name)
        if before != after:
            yield f.name, before, after
