"""A footprint: a relay's pins with their positions, as drawn, and from which side it was drawn."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
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
    """A named set of pins, x to the right and y down, in the view stated."""

    name: str
    pins: tuple[Pin, ...]
    view: View = View.COMPONENT

    def from_component_side(self) -> Footprint:
        """The same pins from the component side: a solder-side drawing is mirrored in x, an unknown one is kept."""
        if self.view is not View.SOLDER:
            return self
        return replace(self, pins=tuple(map(_mirrored, self.pins)), view=View.COMPONENT)


def _mirrored(pin: Pin) -> Pin:
    angle = None if pin.lead_angle_deg is None else -pin.lead_angle_deg
    return replace(pin, x_mm=-pin.x_mm, lead_angle_deg=angle)
