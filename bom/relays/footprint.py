"""A footprint: a relay's pins with their positions, as drawn, and from which side it was drawn."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum
from itertools import combinations
from math import hypot

from bom.values.column import given, number, stated, text, word


class View(StrEnum):
    """The side a drawing was made from. Only *component* is comparable as it stands."""

    COMPONENT = "component"
    SOLDER = "solder"
    UNKNOWN = "unknown"


VIEW = word(
    View,
    "The side it was drawn from; pins over holes are compared from the component side.",
    "component",
    also={"component": ("component side",), "solder": ("solder side",), "unknown": ("not known",)},
    unclear={"top": "top: component", "bottom": "bottom: solder"},
    name="view",
)
"""The column *view* of a drawing, of pins or of holes."""

_BODY = tuple(
    replace(
        number("mm", f"Middle of the body, {way}; stated in one of the drawing's rows or alike in all.", "6"),
        name=f"body_{axis}_mm",
    )
    for axis, way in (("x", "to the right"), ("y", "downwards"))
)


@dataclass(frozen=True, slots=True)
class Pin:
    """One pin: its centre and its lead, in mm; ``lead_mm`` None = not stated.

    A round lead's ``lead_mm`` is its diameter; a flat one is ``lead_mm`` x ``lead_width_mm``, the long side at
    ``lead_angle_deg`` where stated.
    """

    name: str = field(metadata=given(text("The pin's name or number, a label only.", "1", needed=True, name="pin")))
    x_mm: float = field(metadata=given(number("mm", "Middle of the pin, to the right.", "0.00", needed=True)))
    y_mm: float = field(metadata=given(number("mm", "Middle of the pin, downwards.", "5.00", needed=True)))
    lead_mm: float | None = stated(
        number("mm", "Diameter of a round lead, or the longer side of a flat one.", "0.6", above=0)
    )
    lead_width_mm: float | None = stated(
        number("mm", "Shorter side of a flat lead; a round one has none.", "0.3", above=0)
    )
    lead_angle_deg: float | None = stated(
        number("deg", "How far the flat lead's long side is turned from the x axis.", "90", least=-360, most=360)
    )
    error_mm: float | None = stated(
        number("mm", "How far its middle may be off where it was measured; empty = as drawn.", "0.04", least=0, most=5)
    )

    @property
    def lead_diameter_mm(self) -> float | None:
        """What must pass the hole: the diameter, or a flat lead's corner-to-corner diagonal (the safe bound)."""
        if self.lead_mm is None or self.lead_width_mm is None:
            return self.lead_mm
        return hypot(self.lead_mm, self.lead_width_mm)


@dataclass(frozen=True, slots=True)
class Footprint:
    """A named set of pins, x to the right and y down, in the view stated; ``body_mm`` the middle of the body."""

    name: str = field(
        metadata=given(text("The drawing's name, which relays name.", "OST-TW2", needed=True, name="footprint"))
    )
    pins: tuple[Pin, ...]
    view: View = field(default=View.COMPONENT, metadata=given(VIEW))
    body_mm: tuple[float, float] | None = field(default=None, metadata=given(*_BODY))

    def from_component_side(self) -> Footprint:
        """The pins as seen from the component side: a solder-side drawing is mirrored in x, an unknown one is kept."""
        if self.view is not View.SOLDER:
            return self
        body = None if self.body_mm is None else (-self.body_mm[0], self.body_mm[1])
        return replace(self, pins=tuple(map(_mirrored, self.pins)), view=View.COMPONENT, body_mm=body)

    @property
    def pitch_mm(self) -> float | None:
        """The least distance between two pins' centres; None with fewer than two pins."""
        return min((hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm) for a, b in combinations(self.pins, 2)), default=None)

    @property
    def spans_mm(self) -> tuple[float, float] | None:
        """The longer and the shorter side of the box about the pins' centres, along the drawing's own axes."""
        if not self.pins:
            return None
        xs, ys = [p.x_mm for p in self.pins], [p.y_mm for p in self.pins]
        sides = sorted((max(xs) - min(xs), max(ys) - min(ys)))
        return sides[1], sides[0]


def _mirrored(pin: Pin) -> Pin:
    angle = None if pin.lead_angle_deg is None else -pin.lead_angle_deg
    return replace(pin, x_mm=0.0 - pin.x_mm, lead_angle_deg=angle)
