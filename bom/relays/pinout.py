"""What each pin of a relay is, in words: an end of a coil, a contact's common, make or break, or mechanical."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bom.relays.relay import Design
from bom.relays.wiring import Element, Wiring

UNWIRED = "not stated: the relay names no wiring that the catalogue has"
MECHANICAL = "mechanical: joined to nothing inside"


@dataclass(frozen=True, slots=True)
class PinUse:
    """One pin: its uses in words, and its middle in mm from the component side; None where no drawing places it."""

    pin: str
    uses: str
    x_mm: float | None = None
    y_mm: float | None = None


def pinout(design: Design) -> tuple[PinUse, ...]:
    """Every pin that the drawing or the wiring names, in the drawing's order."""
    drawn = design.footprint.from_component_side().pins if design.footprint else ()
    wired = sorted(design.wiring.pins) if design.wiring else []
    placed = {pin.name: (pin.x_mm, pin.y_mm) for pin in drawn}
    named = dict.fromkeys((*placed, *wired))
    return tuple(PinUse(pin, _uses(design.wiring, pin), *placed.get(pin, (None, None))) for pin in named)


def _uses(wiring: Wiring | None, pin: str) -> str:
    if wiring is None:
        return UNWIRED
    joined = [b.to_pin if pin == b.from_pin else b.from_pin for b in wiring.bridges if pin in b.pins]
    said = [use for one in (pin, *joined) for use in _said(wiring, one)]
    inside = [f"joined inside to {' and '.join(joined)}"] if joined else []
    return ", ".join(dict.fromkeys((*said, *inside))) or MECHANICAL


def _said(wiring: Wiring, pin: str) -> Iterator[str]:
    """What coils and contacts the pin is an end of."""
    for coil in wiring.coils:
        if pin in coil.pins:
            sign = "" if not coil.polarised else ", its + end" if pin == coil.from_pin else ", its - end"
            yield f"coil{_of(wiring, coil)}{sign}"
    for contact in wiring.contacts:
        common, other = wiring.ends(contact)
        if pin in (common, other):
            yield f"{'common' if pin == common else contact.kind}{_of(wiring, contact)}"


def _of(wiring: Wiring, element: Element) -> str:
    """Which unit, and which of its poles, where there are several."""
    unit = f" of unit {element.unit}" if len(wiring.units) > 1 and element.unit else ""
    pole = f", pole {element.pole}" if element in wiring.contacts and len(wiring.poles(element.unit)) > 1 else ""
    return unit + pole
