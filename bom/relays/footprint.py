"""A footprint: a relay's pins with their positions, as drawn, and from which side it was drawn."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import combinations
from math import hypot


class View(StrEnum):
    """The side a drawing was made from. Only *component* is comparable as it stands."""

    COMPONENT = "component"
    SOLDER = "solder"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Pin:
    """One pin: its centre and its lead, in mm; ``lead_mm`` None = not stated.

    A round lead's ``lead_mm`` is its diameter; a flat one is ``lead_mm`` x ``lead_width_mm``, the long side at
    ``lead_angle_deg`` where stated.
    """

    name: str
    x_mm: float
    y_mm: float
    lead_mm: float | None = None
    lead_width_mm: float | None = None
    lead_angle_deg: float | None = None

    @property
    def lead_diameter_mm(self) -> float | None:
        """What must pass the hole: the diameter, or a flat lead's corner-to-corner diagonal (the safe bound)."""
        if self.lead_mm is None or self.lead_width_mm is None:
            return self.lead_mm
        return hypot(self.lead_mm, self.lead_width_mm)


@dataclass(frozen=True, slots=True)
class Footprint:
    """A named set of pins, x to the right and y down, in the view stated; ``body_mm`` the middle of the body."""

    name: str
    pins: tuple[Pin, ...]
    view: View = View.COMPONENT
    body_mm: tuple[float, float] | None = None

    def from_component_side(self) -> Footprint:
        """The same pins from the component side: a solder-side drawing is mirrored in x, an unknown one is kept."""
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
    return replace(pin, x_mm=-pin.x_mm, lead_angle_deg=angle)
