"""Pins and wirings in one line each, as a data sheet prints them and a person types them: read, and written back.

Pins are ``A1 0/0, A2 0/5``: each with its place to the right and downwards. A lead is ``0.8`` where it is round,
``0.8 x 0.5`` where it is flat, ``0.8 x 0.5 at 90`` where it is turned. A unit of a wiring is
``coil A2(+) A1; common 11 make 14 break 12``: its coils, contacts and bridges, ``;`` between them, ``(+)`` at the pin
that must be plus. Contacts are numbered as poles 1, 2, … as they come, or named, as in ``pole 2 make 23 24``; a coil
may be named too, as in ``set coil 2 1``. A changeover may end in ``(break before make)`` or ``(make before break)``.

>>> problems = []
>>> [(e.kind.value, e.from_pin, e.to_pin, e.polarised) for e in unit_in("A", "coil 2(+) 1; make 3 4", problems)]
[('coil', '2', '1', True), ('make', '3', '4', False)]
>>> [(pin.name, pin.x_mm, pin.y_mm) for pin in pins_in("1 0/0, 2 0/5", {}, problems)]
[('1', 0.0, 0.0), ('2', 0.0, 5.0)]
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from bom.relays.footprint import Pin
from bom.relays.wiring import Element, Kind, Transfer, Wiring
from bom.values.column import made
from bom.values.problem import Problem

PIN = "a pin and its place in mm, as in A1 0/5"
LEAD = "a lead in mm, as in 0.8, 0.8 x 0.5 or 0.8 x 0.5 at 90"
UNIT = "coils, contacts and bridges with ';' between them, as in coil A1 A2; common 11 make 14 break 12"

_PLACED = re.compile(r"(?P<pin>.*\S)\s+(?P<x>[^\s/]+)\s*/\s*(?P<y>[^\s/]+)")
_LEAD = re.compile(r"(?P<lead_mm>[\d.]+)(\s*[x×]\s*(?P<lead_width_mm>[\d.]+)(\s+at\s+(?P<lead_angle_deg>-?[\d.]+))?)?")

Leads = Mapping[str, Mapping[str, str]]
"""The lead of each pin as cells by column; under the empty name that of all other pins."""


def names_in(line: str) -> list[str]:
    """The names in a line, a comma between two."""
    return [name.strip() for name in line.split(",")] if line.strip() else []


def pins_in(
    line: str | Sequence[str], leads: Leads, problems: list[Problem], pitch_mm: float | None = None
) -> tuple[Pin, ...]:
    """The pins of a line, or of a list with one pin each; with a pitch their places count in pitches."""
    texts = names_in(line) if isinstance(line, str) else [text.strip() for text in line]
    return tuple(pin for text in texts if (pin := _pin(text, leads, problems, pitch_mm)) is not None)


def _pin(text: str, leads: Leads, problems: list[Problem], pitch_mm: float | None) -> Pin | None:
    if not (found := _PLACED.fullmatch(text)):
        problems.append(Problem("", 0, "pins", PIN, text or "nothing"))
        return None
    name, x, y = found.groups()
    own: list[Problem] = []
    lead = leads.get(name, leads.get("", {}))
    pin: Pin = made(Pin, {"pin": name, "x_mm": _mm(x, pitch_mm), "y_mm": _mm(y, pitch_mm), **lead}, own)
    problems.extend(Problem("", 0, "pins", f"{p.expected} as {p.column} of pin {name}", p.found) for p in own)
    return pin


def _mm(steps: str, pitch_mm: float | None) -> str:
    """Steps of a pitch in mm; anything but a number stays as it is, to be refused where it is read."""
    if pitch_mm is None or not re.fullmatch(r"-?\d+(\.\d+)?", steps):
        return steps
    return str(Decimal(steps) * Decimal(str(pitch_mm)))


def lead_in(text: str) -> Mapping[str, str] | None:
    """The cells of a lead by column; none where it is not stated, None where it is no lead."""
    if not text.strip():
        return {}
    found = _LEAD.fullmatch(text.strip().removesuffix("°").removesuffix(" deg"))
    return {column: value for column, value in found.groupdict().items() if value} if found else None


def pins_line(pins: Iterable[Pin]) -> str:
    """The pins as a line that ``pins_in`` reads."""
    return ", ".join(f"{pin.name} {figure(pin.x_mm)}/{figure(pin.y_mm)}" for pin in pins)


def lead_text(pin: Pin) -> str:
    """The pin's lead as ``lead_in`` reads it; empty where it is not stated."""
    sizes = [figure(size) for size in (pin.lead_mm, pin.lead_width_mm) if size is not None]
    angle = "" if pin.lead_angle_deg is None else f" at {figure(pin.lead_angle_deg)}"
    return " x ".join(sizes) + angle


def figure(value: float) -> str:
    """The shortest text that reads back as the same number: 12 and not 12.0."""
    return repr(value).removesuffix(".0")


def unit_in(unit: str, line: str, problems: list[Problem]) -> tuple[Element, ...]:
    """The elements of one unit in the order in which they are written."""
    elements: list[Element] = []
    for part in line.split(";"):
        read = _Part(unit, part, 1 + len({e.pole for e in elements if e.kind in _CONTACTS}))
        elements.extend(read.elements())
        problems.extend(Problem("", 0, unit, expected, part.strip() or "nothing") for expected in read.wrong)
    return tuple(elements)


def wiring_of(name: str, units: Iterable[Sequence[Element]]) -> Wiring:
    """One wiring of its units' elements: all coils first, then all contacts, then the bridges."""
    elements = [element for unit in units for element in unit]
    return Wiring(name, tuple(sorted(elements, key=lambda e: _ORDER[e.kind])))


_CONTACTS = (Kind.MAKE, Kind.BREAK)
_ORDER = {Kind.COIL: 0, Kind.MAKE: 1, Kind.BREAK: 1, Kind.BRIDGE: 2}
_CHANGE = re.compile(r"\(\s*(break before make|make before break)\s*\)")
_SIGN = re.compile(r"(.+)\(([+-])\)")


class _End(NamedTuple):
    pin: str
    sign: str


class _Part:
    """One coil, contact, changeover or bridge of a unit's line, and what is ``wrong`` with it."""

    def __init__(self, unit: str, text: str, place: int) -> None:
        self.unit, self.pole, self.wrong = unit, str(place), list[str]()
        changes = _CHANGE.findall(text)
        self.transfer = Transfer(changes[0]) if changes else None
        self.words = _CHANGE.sub(" ", text).replace(",", " ").split()

    def elements(self) -> Iterator[Element]:
        words = [word.casefold() for word in self.words]
        if words[:1] == ["pole"] and len(words) > 2:
            self.pole, self.words, words = self.words[1], self.words[2:], words[2:]
        match words:
            case ["coil", *_]:
                yield from self._joined(Kind.COIL, self.words[1:], "")
            case [_, "coil", *_]:
                yield from self._joined(Kind.COIL, self.words[2:], self.words[0])
            case ["bridge", *_]:
                yield from self._joined(Kind.BRIDGE, self.words[1:], "")
            case ["common", _, *_]:
                yield from self._changing(self.words[1], self.words[2:])
            case ["make" | "break" as kind, *_]:
                yield from self._joined(Kind(kind), self.words[1:], self.pole)
            case _:
                self.wrong.append(UNIT)

    def _joined(self, kind: Kind, pins: Sequence[str], pole: str) -> Iterator[Element]:
        """An element between two pins; of a coil one may be marked."""
        if len(pins) != 2:
            self.wrong.append(f"two pins after {kind.value}")
            return
        first, second = (self._end(pin, kind) for pin in pins)
        if first.sign and first.sign == second.sign:
            self.wrong.append("(+) at one end of a coil")
        if first.sign == "-" or second.sign == "+":
            first, second = second, first
        yield Element(self.unit, pole, kind, first.pin, second.pin, bool(first.sign or second.sign), self.transfer)
        if self.transfer and kind not in _CONTACTS:
            self.wrong.append(f"no ({self.transfer}) after {kind.value}, as only a changeover changes over")

    def _end(self, text: str, kind: Kind) -> _End:
        found = _SIGN.fullmatch(text)
        if found and kind is not Kind.COIL:
            self.wrong.append(f"no sign at a {kind.value}, as only a coil has polarity")
        return _End(*found.groups()) if found else _End(text, "")

    def _changing(self, common: str, words: Sequence[str]) -> Iterator[Element]:
        """Contacts from one common, each a word and its pin."""
        pairs = list(zip(words[::2], words[1::2], strict=False))
        if len(words) % 2 or not pairs or any(word.casefold() not in ("make", "break") for word, _ in pairs):
            self.wrong.append("make and break after the common, each with its pin, as in common 11 make 14 break 12")
            return
        for word, pin in pairs:
            yield Element(self.unit, self.pole, Kind(word.casefold()), common, pin, transfer=self.transfer)


def unit_lines(wiring: Wiring) -> dict[str, str] | None:
    """Unit to its line; None where lines cannot say this wiring exactly, as of an unusual order or pole."""
    units = dict.fromkeys(e.unit for e in wiring.elements)
    lines = {unit: "; ".join(_parts_of([e for e in wiring.elements if e.unit == unit])) for unit in units}
    problems: list[Problem] = []
    read = wiring_of(wiring.name, [unit_in(unit, line, problems) for unit, line in lines.items()])
    return lines if read == wiring and not problems and all(units) else None


def _parts_of(elements: Sequence[Element]) -> Iterator[str]:
    yield from (_coil(e) for e in elements if e.kind is Kind.COIL)
    contacts = [e for e in elements if e.kind in _CONTACTS]
    poles = list(dict.fromkeys(e.pole for e in contacts))
    usual = poles == [str(place) for place in range(1, len(poles) + 1)]
    for pole in poles:
        named = "" if usual else f"pole {pole} "
        yield named + _contact([e for e in contacts if e.pole == pole])
    yield from (f"bridge {e.from_pin} {e.to_pin}" for e in elements if e.kind is Kind.BRIDGE)


def _coil(coil: Element) -> str:
    named = f"{coil.pole} " if coil.pole else ""
    return f"{named}coil {coil.from_pin}{'(+)' if coil.polarised else ''} {coil.to_pin}"


def _contact(contacts: Sequence[Element]) -> str:
    """The contacts of one pole: each by its two ends, or several by their common."""
    first = contacts[0]
    if len(contacts) == 1:
        return f"{first.kind.value} {first.from_pin} {first.to_pin}{_change(first)}"
    ends = " ".join(f"{e.kind.value} {e.to_pin}" for e in contacts)
    return f"common {first.from_pin} {ends}{_change(first)}"


def _change(contact: Element) -> str:
    return f" ({contact.transfer})" if contact.transfer else ""
