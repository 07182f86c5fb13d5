"""A requirement: what a replacement is asked to be, from a part, from a board position, or from a spec.

All three end in the same shape: the place it must go into, the part it must equal, and the bounds it must keep.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from bom.boards.board import Board, Hole, HolePattern, Place, Position
from bom.relays.footprint import Footprint, Pin
from bom.relays.relay import Design
from bom.relays.wiring import Wiring
from bom.values.problem import Refused

# IPC-2222, level B: smallest finished hole = largest lead + 0.20 mm, from memory.
ASSUMED_HOLE_ROOM_MM = 0.20


@dataclass(frozen=True, slots=True)
class Requirement:
    """``asked`` in words; ``place`` a position or assumed holes; ``original`` the part to replace; or ``bounds``."""

    asked: str
    original: Design | None = None
    place: Place | None = None
    bounds: dict[str, object] = field(default_factory=dict)


def like(original: Design) -> Requirement:
    """Whatever may replace this part where nothing is known of the board."""
    relay = original.relay
    return Requirement(f"in place of {relay.maker} {relay.part_number}", original, _socket(original))


def at_position(board: Board, ref: str, fitted: Design | None, place: Place) -> Requirement:
    """Whatever may sit at this position of this board."""
    was = f", fitted with {fitted.relay.maker} {fitted.relay.part_number}" if fitted else ""
    return Requirement(f"at {board.name}:{ref}{was}", fitted, place)


def within(bounds: dict[str, object]) -> Requirement:
    """Whatever keeps these bounds; no holes, no board."""
    return Requirement("by spec: " + ", ".join(f"{k} = {_plain(v)}" for k, v in bounds.items()), bounds=bounds)


def place_of(board: Board, ref: str, fitted: Design | None, named_wirings: Mapping[str, Wiring]) -> Place:
    """The position with its holes and the wiring it expects.

    The board's own wiring, hole names standing for pins, comes first; without it the fitted part's, if that part's pins
    carry the holes' names. A wiring that the board names and nobody has is not known: the fitted part's stands in for
    none. Refuses a position or pattern the board does not have.
    """
    if (position := board.position(ref)) is None:
        known = ", ".join(p.ref for p in board.positions)
        raise Refused(f"board {board.name} has no position {ref}; it has {known}")
    if (pattern := board.pattern_of(position)) is None:
        raise Refused(f"board {board.name} has no hole pattern {position.pattern}, which {ref} names")
    wiring = fitted.wiring if fitted else None
    if position.wiring:
        wiring = named_wirings.get(position.wiring)
    return Place(board, position, pattern, wiring)


def _socket(original: Design) -> Place | None:
    """Holes made for the original's own pins, each a net of its own."""
    if original.footprint is None:
        return None
    drawn = original.footprint.from_component_side()
    part = original.relay.part_number
    pattern = HolePattern(f"holes for {part}", tuple(_holes(drawn)), drawn.view, part)
    position = Position("", pattern.name, part, original.relay.wiring)
    return Place(Board(""), position, pattern, original.wiring)


def _holes(footprint: Footprint) -> list[Hole]:
    return [Hole(p.name, p.x_mm, p.y_mm, _drill_for(p), p.name, error_mm=p.error_mm) for p in footprint.pins]


def _drill_for(pin: Pin) -> float | None:
    return pin.lead_diameter_mm and pin.lead_diameter_mm + ASSUMED_HOLE_ROOM_MM


def _plain(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
