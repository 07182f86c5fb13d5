"""Slots: holes that are longer than they are wide, and how much play the leads have in them where a part lies.

A slot is ``drill_mm`` wide and ``slot_mm`` long, with half-round ends, its long side at ``slot_angle_deg``. The search
for placements knows round holes only. It takes a slot by the circle inside it, which is safe; for what goes in only
along a slot it takes the circle about it, which loses nothing, and each lead is then held against the slot itself in
the position found. A lead goes in where all its corners, or its whole round, lie inside the slot; own derivation.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, hypot, radians, sin

from bom.boards.board import Hole, HolePattern
from bom.fit.placement import Placement, corners
from bom.fit.plane import Point, minus, plus, turned
from bom.relays.footprint import Footprint, Pin


def slots_in(pattern: HolePattern) -> tuple[Hole, ...]:
    return tuple(h for h in pattern.holes if h.slot_mm is not None)


def circles_about(pattern: HolePattern) -> HolePattern:
    """The pattern with each slot taken as the round hole about it."""
    return replace(pattern, holes=tuple(replace(h, drill_mm=h.slot_mm or h.drill_mm) for h in pattern.holes))


def along_slots(way: Placement, footprint: Footprint, pattern: HolePattern) -> Placement | None:
    """The position with the play that its leads have in slots and holes; None where a slot's angle is not stated.

    A negative play says only that this position will not do.
    """
    holes = {h.name: h for h in pattern.holes}
    plays = [(play_of(pin, holes[way.assignment[pin.name]], way), pin.name) for pin in footprint.pins]
    known = [(play, name) for play, name in plays if play is not None]
    if len(known) < len(plays):
        return None
    play, tightest = min(known)
    return replace(way, play_mm=play, tightest=tightest)


def play_of(pin: Pin, hole: Hole, way: Placement) -> float | None:
    """The room left round the lead of this pin in its hole or slot, in the position found, in mm; None where a size, or
    a slot's angle, is not stated."""
    turn = radians(way.rotation_deg)
    middle = plus(turned((pin.x_mm, pin.y_mm), turn), way.shift_mm)
    angle = None if pin.lead_angle_deg is None else pin.lead_angle_deg + way.rotation_deg
    return room_round_lead(replace(pin, x_mm=middle[0], y_mm=middle[1], lead_angle_deg=angle), hole)


def room_round_lead(pin: Pin, hole: Hole) -> float | None:
    """The room left round a lead as it lies over its hole: half the slot's width less how far it reaches from the
    slot's axis, in mm; None where the drill or a slot's angle is not stated. A flat lead of unknown angle counts by
    its diagonal."""
    axis = _axis(hole)
    if axis is None or hole.drill_mm is None:
        return None
    feelers, middle = corners(pin), (pin.x_mm, pin.y_mm)
    points = [plus(middle, corner) for corner in feelers] or [middle]
    thick = 0.0 if feelers else (pin.lead_diameter_mm or 0.0) / 2
    return hole.drill_mm / 2 - thick - max(_off_axis(minus(point, (hole.x_mm, hole.y_mm)), axis) for point in points)


def _axis(hole: Hole) -> Point | None:
    """From a hole's middle to where the half round of one end has its centre; a round hole has none, so no way."""
    if hole.slot_mm is None or hole.drill_mm is None:
        return 0.0, 0.0
    if hole.slot_angle_deg is None:
        return None
    half, angle = max(0.0, hole.slot_mm - hole.drill_mm) / 2, radians(hole.slot_angle_deg)
    return half * cos(angle), half * sin(angle)


def _off_axis(point: Point, axis: Point) -> float:
    """The distance of a point from the line between the two ends of the axis."""
    square = axis[0] ** 2 + axis[1] ** 2
    # how far along an axis of no length plays no part, so no test can tell `0.0`
    along = (point[0] * axis[0] + point[1] * axis[1]) / square if square else 0.0
    share = max(-1.0, min(1.0, along))
    return hypot(point[0] - share * axis[0], point[1] - share * axis[1])
