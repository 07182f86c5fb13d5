"""A board: its hole patterns, the positions relays sit in, what drives their coils and what their contacts switch.

None means *not stated*, and a check that needs the value then answers *unknown*.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from bom.relays.footprint import View
from bom.relays.relay import SupplyKind
from bom.relays.wiring import Kind, Wiring


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole: centre and finished drill in mm, and the net its pad belongs to (empty = joined to nothing)."""

    name: str
    x_mm: float
    y_mm: float
    drill_mm: float | None = None
    net: str = ""


@dataclass(frozen=True, slots=True)
class HolePattern:
    """A named set of holes in the view stated."""

    name: str
    holes: tuple[Hole, ...]
    view: View = View.COMPONENT

    def from_component_side(self) -> HolePattern:
        """The same holes seen from the component side; an unknown view is kept as it is."""
        if self.view is not View.SOLDER:
            return self
        turned = tuple(replace(h, x_mm=-h.x_mm) for h in self.holes)
        return replace(self, holes=turned, view=View.COMPONENT)

    def net_of(self, hole: str) -> str:
        return next(h.net for h in self.holes if h.name == hole)


@dataclass(frozen=True, slots=True)
class Supply:
    """The board's supply in volts; ``code`` is the road-vehicle code it came from, if any."""

    min_volts: float | None = None
    nominal_volts: float | None = None
    max_volts: float | None = None
    code: str = ""


@dataclass(frozen=True, slots=True)
class Driver:
    """What drives the coils: limits in milliamps for one channel and the package, drop in volts, and suppression.

    ``polarity``: *low side* pulls the coil's - end, *high side* feeds the + end, *both ways*; empty = not stated.
    """

    channel_milliamps: float | None = None
    package_milliamps: float | None = None
    drop_volts: float | None = None
    polarity: str = ""
    suppression: str = ""


@dataclass(frozen=True, slots=True)
class Load:
    """What a contact switches: kind, volts and running amps, and how it starts, stalls and stops."""

    kind: str
    volts: float | None = None
    amps: float | None = None
    stall_amps: float | None = None
    stall_seconds: float | None = None
    inrush_amps: float | None = None
    lr_ms: float | None = None
    power_factor: float | None = None
    supply: SupplyKind = SupplyKind.DC
    temp_c: float | None = None
    operations_per_day: float | None = None
    reversing: bool = False
    suppression: str = ""


@dataclass(frozen=True, slots=True)
class Function:
    """What one contact of one unit does on this board; ``pole`` empty = the unit's only pole."""

    name: str
    unit: str
    contact: Kind
    load: Load
    pole: str = ""


@dataclass(frozen=True, slots=True)
class Position:
    """A place on the board by its reference; ``wiring`` names what the board expects, hole names standing for pins."""

    ref: str
    pattern: str
    fitted: str = ""
    wiring: str = ""
    driver: Driver | None = None
    units_on_together: int | None = None
    functions: tuple[Function, ...] = ()


@dataclass(frozen=True, slots=True)
class Repair:
    """A repair type: what a customer notices, which positions serve it, what to check before blaming the relay."""

    name: str
    symptoms: tuple[str, ...] = ()
    positions: tuple[str, ...] = ()
    first_check: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Board:
    """A board file and its holes. Temperatures in degrees Celsius, lengths in mm."""

    name: str
    title: str = ""
    supply: Supply = Supply()
    ambient_min_c: float | None = None
    ambient_max_c: float | None = None
    board_thickness_mm: float | None = None
    lid_clearance_mm: float | None = None
    process: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    patterns: dict[str, HolePattern] | None = None
    positions: tuple[Position, ...] = ()
    repairs: tuple[Repair, ...] = ()

    def position(self, ref: str) -> Position | None:
        return next((p for p in self.positions if p.ref == ref), None)

    def pattern_of(self, position: Position) -> HolePattern | None:
        return (self.patterns or {}).get(position.pattern)


@dataclass(frozen=True, slots=True)
class Place:
    """One position with all that surrounds it: what match, fit and duty are asked about.

    ``wiring`` is the wiring the board expects, its pins being hole names; None = not known.
    ``original`` data that came from the fitted part travels in the requirement, not here.
    """

    board: Board
    position: Position
    pattern: HolePattern
    wiring: Wiring | None
