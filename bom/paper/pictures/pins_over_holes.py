"""Knows one picture of pins over holes: where each lies in it, what misses, and the shapes and letters that show it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from math import cos, radians, sin

from bom.boards.board import Hole, HolePattern
from bom.fit.slots import room_round_lead
from bom.paper.svg import circle, filled, number, rect, text
from bom.relays.footprint import Footprint, Pin
from bom.relays.wiring import Kind, Wiring

UNSTATED_MM = 0.6  # how large a hole or lead of unstated size is drawn, dashed
_ROOM_MM = 3.6  # round the outermost holes, for letters
_SAME_MM = 1e-5
_BESIDE_MM, _LEVEL_MM = 5.0, 1.4  # nearer than this letters beside a pin meet those of its neighbour
Position = tuple[float, tuple[float, float]]  # rotation in degrees, shift in mm


@dataclass(frozen=True, slots=True)
class Spot:
    """A pin where it comes to lie, in the pattern's mm; its hole, what it is, and the room left round its lead."""

    pin: Pin
    x: float
    y: float
    angle_deg: float | None
    hole: Hole | None
    marks: tuple[Mark, ...]

    @property
    def room_mm(self) -> float | None:
        """The room left round the lead in its hole or slot; None where a size, or a slot's angle, is not stated."""
        if self.hole is None or self.pin.lead_diameter_mm is None:
            return None
        lies = replace(self.pin, x_mm=self.x, y_mm=self.y, lead_angle_deg=self.angle_deg)
        return room_round_lead(lies, self.hole)

    @property
    def missed(self) -> bool:
        """No hole, or a lead that stands out of it; where a size is not stated only a missing hole is claimed."""
        return self.hole is None or (self.room_mm is not None and self.room_mm < -_SAME_MM)

    @property
    def letters(self) -> str:
        return " ".join(mark.letters for mark in self.marks)

    @property
    def out(self) -> str:
        """How far the lead stands out of its hole, in mm; nothing where it goes in."""
        if not self.missed:
            return ""
        return "no hole" if self.room_mm is None else f"{-self.room_mm:.2f}"

    @property
    def room_words(self) -> str:
        if self.hole is None:
            return "no hole"
        if self.room_mm is None:
            return "not stated"
        return f"misses by {-self.room_mm:.3f} mm" if self.missed else f"{max(self.room_mm, 0.0):.3f} mm"


@dataclass(frozen=True, slots=True)
class Box:
    """The part of the plane that is shown."""

    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything that is drawn, from the component side, in mm."""

    holes: tuple[Hole, ...]
    spots: tuple[Spot, ...]
    body: tuple[tuple[float, float], ...]
    box: Box
    wired: bool

    @property
    def empty(self) -> tuple[str, ...]:
        taken = {s.hole.name for s in self.spots if s.hole}
        return tuple(h.name for h in self.holes if h.name not in taken)

    @property
    def unstated(self) -> bool:
        return any(h.drill_mm is None for h in self.holes) or any(not _is_sure(s) for s in self.spots)

    @property
    def units(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(mark.unit for s in self.spots for mark in s.marks))


def scene_of(
    footprint: Footprint,
    pattern: HolePattern,
    assignment: Mapping[str, str],
    position: Position,
    marks: Marks,
    body_mm: tuple[float, float] | None,
) -> Scene:
    """The pins in their position over the pattern's holes, both from the component side."""
    pattern, footprint = pattern.from_component_side(), footprint.from_component_side()
    holes = {h.name: h for h in pattern.holes}
    spots = tuple(_spot(p, position, holes.get(assignment.get(p.name, "")), marks) for p in footprint.pins)
    body = _body(footprint, position, body_mm)
    points = [(h.x_mm, h.y_mm) for h in pattern.holes] + [(s.x, s.y) for s in spots]
    return Scene(pattern.holes, spots, body, _box(points or [(0.0, 0.0)], body), bool(marks))


def _spot(pin: Pin, position: Position, hole: Hole | None, marks: Marks) -> Spot:
    x, y = _moved((pin.x_mm, pin.y_mm), position)
    angle = None if pin.lead_angle_deg is None else pin.lead_angle_deg + position[0]
    return Spot(pin, x, y, angle, hole, marks.get(pin.name, ()))


def _moved(point: tuple[float, float], position: Position) -> tuple[float, float]:
    c, s = cos(radians(position[0])), sin(radians(position[0]))
    (x, y), (dx, dy) = point, position[1]
    return x * c - y * s + dx, x * s + y * c + dy


def _body(
    footprint: Footprint, position: Position, body_mm: tuple[float, float] | None
) -> tuple[tuple[float, float], ...]:
    """The corners of the body, where its middle is stated; its sides lie so that it covers its pins."""
    if body_mm is None or footprint.body_mm is None or not footprint.pins:
        return ()
    x, y = footprint.body_mm
    a, b = body_mm[0] / 2, body_mm[1] / 2
    if any(abs(p.x_mm - x) > a or abs(p.y_mm - y) > b for p in footprint.pins):
        a, b = b, a
    return tuple(_moved((x + i * a, y + j * b), position) for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1)))


def _box(points: list[tuple[float, float]], body: tuple[tuple[float, float], ...]) -> Box:
    """What is shown: holes and pins with room for letters, and the body."""
    around = [(x + i, y + j) for x, y in points for i, j in ((-_ROOM_MM, -_ROOM_MM), (_ROOM_MM, _ROOM_MM))]
    xs, ys = [x for x, _ in (*around, *body)], [y for _, y in (*around, *body)]
    return Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


@dataclass(frozen=True, slots=True)
class Side:
    """From which side (1 component, -1 solder, mirrored) and how many times its true size the scene is drawn."""

    sign: int
    scale: float

    def at(self, box: Box, x: float, y: float) -> tuple[float, float]:
        """A point of the scene, in mm from the picture's corner."""
        across = x - box.left if self.sign > 0 else box.left + box.width - x
        return self.scale * across, self.scale * (y - box.top)

    @property
    def large(self) -> bool:
        return self.scale > 1


def side(scene: Scene, seen: Side) -> Iterator[str]:
    """The shapes and letters of one picture: body, holes, pins, rings, then what is written."""
    if scene.body:
        corners = " ".join(f"{number(x)},{number(y)}" for x, y in (seen.at(scene.box, *c) for c in scene.body))
        yield f'<polygon class="body" points="{corners}"/>'
    empty = set(scene.empty)
    yield from (_hole(scene, seen, h, h.name in empty) for h in scene.holes)
    yield from (_lead(scene, seen, s) for s in scene.spots)
    yield from (_ring(scene, seen, s) for s in scene.spots if s.missed)
    yield from (words for h in scene.holes for words in _hole_letters(scene, seen, h))
    yield from (words for s in scene.spots for words in _pin_letters(scene, seen, s))


def _hole(scene: Scene, seen: Side, hole: Hole, empty: bool) -> str:
    x, y = seen.at(scene.box, hole.x_mm, hole.y_mm)
    stated = hole.drill_mm and (hole.slot_mm is None or hole.slot_angle_deg is not None)
    kinds = ["hole", *(["empty"] if empty else []), *([] if stated else ["unstated"])]
    radius = seen.scale * (hole.drill_mm or UNSTATED_MM) / 2
    if hole.slot_mm is not None and hole.slot_angle_deg is not None:
        long, turn = seen.scale * hole.slot_mm, number(seen.sign * hole.slot_angle_deg)
        lies = f' rx="{number(radius)}" transform="rotate({turn} {number(x)} {number(y)})"'
        return rect(x - long / 2, y - radius, long, 2 * radius, " ".join(kinds), lies)
    return circle(x, y, radius, " ".join(kinds))


def _is_sure(spot: Spot) -> bool:
    """Whether size and, for a flat lead, angle are stated."""
    pin = spot.pin
    return pin.lead_mm is not None and (pin.lead_width_mm is None or spot.angle_deg is not None)


def _lead(scene: Scene, seen: Side, spot: Spot) -> str:
    """Round, or flat at its angle; a flat lead of unstated angle is the circle that it needs at any angle, dashed."""
    (x, y), pin = seen.at(scene.box, spot.x, spot.y), spot.pin
    kind = "pin" + (" miss" if spot.missed else "") + ("" if _is_sure(spot) else " unstated")
    fill = filled(pattern_id(spot.marks[0], scene.units)) if spot.marks else ' fill="#999"'
    if pin.lead_mm is not None and pin.lead_width_mm is not None and spot.angle_deg is not None:
        long, short = (seen.scale * f(pin.lead_mm, pin.lead_width_mm) for f in (max, min))
        turn = f' transform="rotate({number(seen.sign * spot.angle_deg)} {number(x)} {number(y)})"'
        return rect(x - long / 2, y - short / 2, long, short, kind, turn + fill)
    radius = seen.scale * (pin.lead_diameter_mm or UNSTATED_MM) / 2
    return circle(x, y, radius, kind, fill)


def _reach(spot: Spot) -> float:
    """Half the width of lead or hole, whichever is wider, in mm."""
    wide = _wide(spot.hole) if spot.hole else 0.0
    return max(spot.pin.lead_diameter_mm or UNSTATED_MM, wide) / 2


def _wide(hole: Hole) -> float:
    """How far across a hole is drawn, a slot along its length, in mm."""
    return hole.slot_mm or hole.drill_mm or UNSTATED_MM


def _ring(scene: Scene, seen: Side, spot: Spot) -> str:
    x, y = seen.at(scene.box, spot.x, spot.y)
    radius = seen.scale * _reach(spot) + 0.5
    return circle(x, y, radius, "ring")


def _hole_letters(scene: Scene, seen: Side, hole: Hole) -> Iterator[str]:
    """A hole's name and net above it, where there is room; at true size an empty hole's name alone."""
    x, y = seen.at(scene.box, hole.x_mm, hole.y_mm)
    ringed = any(s.missed and s.hole == hole for s in scene.spots)
    half = seen.scale * _wide(hole) / 2 + (0.6 if ringed else 0.0)
    if seen.large:
        yield text(x, y - half - 0.5, " ".join(filter(None, (hole.name, hole.net))), "", "middle")
    elif hole.name in scene.empty:
        yield text(x, y - half - 0.4, hole.name, "tiny", "middle")


def _pin_letters(scene: Scene, seen: Side, spot: Spot) -> Iterator[str]:
    """The pin's name, what it is, and how far it stands out, where its neighbours leave room."""
    x, y = seen.at(scene.box, spot.x, spot.y)
    reach = seen.scale * _reach(spot) + (0.5 if spot.missed else 0.0)
    if seen.large:
        yield from _large_letters(spot, x, y, reach)
    elif _crowded(scene, spot):
        yield from _stacked_letters(scene, spot, x, y, reach)
    else:
        yield text(x - reach - 0.3, y + 0.4, spot.pin.name, "tiny", "end")
        yield text(x + reach + 0.3, y + 0.4, spot.letters, "code")
        yield text(x, y - reach - 0.4, spot.out, "code", "middle")


def _large_letters(spot: Spot, x: float, y: float, reach: float) -> Iterator[str]:
    yield text(x, y + reach + 2.1, f"pin {spot.pin.name}", "", "middle")
    yield text(x, y + reach + 4.3, spot.out, "code large", "middle")
    yield text(x + reach + 0.4, y + 0.7, spot.letters, "code large")


def _stacked_letters(scene: Scene, spot: Spot, x: float, y: float, reach: float) -> Iterator[str]:
    """Above and below; every other pin a line further out, since a distance is wider than the step of a grid."""
    further = 1.2 * (scene.spots.index(spot) % 2)
    yield text(x, y - reach - 0.4 - (further if spot.out else 0.0), spot.out or spot.letters, "code", "middle")
    yield text(x, y + reach + 1.2, spot.pin.name, "tiny", "middle")
    if spot.out:
        yield text(x, y + reach + 2.4, spot.letters, "code", "middle")


def _crowded(scene: Scene, spot: Spot) -> bool:
    """Whether something lies close by to the left or right."""
    places = [(h.x_mm, h.y_mm) for h in scene.holes if h != spot.hole]
    places += [(s.x, s.y) for s in scene.spots if s is not spot]
    return any(abs(x - spot.x) < _BESIDE_MM and abs(y - spot.y) < _LEVEL_MM for x, y in places)


class Part(StrEnum):
    """What a pin is in its unit."""

    COIL = "coil"
    COMMON = "common"
    MAKE = "make"
    BREAK = "break"

    @property
    def letter(self) -> str:
        return {"coil": "c", "common": "p", "make": "m", "break": "b"}[self.value]


@dataclass(frozen=True, slots=True)
class Mark:
    """One thing a pin is: of which unit, what, and whether it is a coil's + end."""

    unit: str
    part: Part
    plus: bool = False

    @property
    def letters(self) -> str:
        return f"{self.unit}{self.part.letter}{'+' if self.plus else ''}"

    @property
    def words(self) -> str:
        return " ".join(filter(None, (self.unit, self.part.value, "+" if self.plus else "")))


Marks = dict[str, tuple[Mark, ...]]  # by pin


def marks_of(wiring: Wiring | None) -> Marks:
    """What each pin is; pins that are bridged inside are the same; a pin that is missing here is mechanical."""
    if wiring is None:
        return {}
    found: dict[str, dict[Mark, None]] = {}
    for pin, mark in _told(wiring):
        found.setdefault(pin, {})[mark] = None
    for bridge in wiring.bridges:
        both = {**found.get(bridge.from_pin, {}), **found.get(bridge.to_pin, {})}
        found[bridge.from_pin] = found[bridge.to_pin] = both
    return {pin: tuple(marks) for pin, marks in found.items()}


def _told(wiring: Wiring) -> Iterator[tuple[str, Mark]]:
    for coil in wiring.coils:
        yield coil.from_pin, Mark(coil.unit, Part.COIL, coil.polarised)
        yield coil.to_pin, Mark(coil.unit, Part.COIL)
    for contact in wiring.contacts:
        common, other = wiring.ends(contact)
        yield common, Mark(contact.unit, Part.COMMON)
        yield other, Mark(contact.unit, Part.MAKE if contact.kind is Kind.MAKE else Part.BREAK)


_TURNED = {Part.COIL: (0, 90), Part.MAKE: (45, 135), Part.BREAK: (0, 45), Part.COMMON: (0, 0)}
# Colours that people who see colours otherwise can tell apart; source: Okabe and Ito, Color Universal Design.
_COLOUR = {Part.COIL: "#0072b2", Part.COMMON: "#222", Part.MAKE: "#009e73", Part.BREAK: "#d55e00"}
_PITCH = 0.42  # mm from line to line


def pattern_id(mark: Mark, units: tuple[str, ...]) -> str:
    return f"fit-{mark.part.value}-{units.index(mark.unit) % 2 if mark.unit in units else 0}"


def pattern_definitions() -> str:
    """Every pattern, to stand once in each drawing."""
    return "".join(_pattern(part, n, turn) for part, turns in _TURNED.items() for n, turn in enumerate(turns))


def _pattern(part: Part, number: int, turn: int) -> str:
    colour, p = _COLOUR[part], _PITCH
    inside = {
        Part.COIL: f'<rect width="{p}" height="{p}" fill="#fff"/><rect width="{p}" height=".2" fill="{colour}"/>',
        Part.MAKE: f'<rect width="{p}" height="{p}" fill="#fff"/><rect width="{p}" height=".2" fill="{colour}"/>',
        Part.BREAK: f'<rect width="{p}" height="{p}" fill="#fff"/><circle cx=".21" cy=".21" r=".13" fill="{colour}"/>',
        Part.COMMON: f'<rect width="{p}" height="{p}" fill="{colour}"/>'
        + f'<rect width="{p}" height=".08" fill="#fff"/>' * number,
    }[part]
    return (
        f'<pattern id="fit-{part.value}-{number}" width="{p}" height="{p}" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate({turn})">{inside}</pattern>'
    )
