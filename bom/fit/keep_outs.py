"""Keep-outs: whether the body, as the relay is placed, stays clear of what stands round the position.

Every pin lies under the body, and the body's sides run along the drawing's axes. Where the drawing states the middle
of the body, that is where it is. Otherwise the body may lie anywhere over its pins, and a keep-out that it touches in
only some of these positions gives *unknown*.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, radians, sin

from bom.boards.board import HolePattern, KeepOut, Position
from bom.fit.body_size import total_height_mm
from bom.fit.plane import Point, minus, plus, turned
from bom.relays.footprint import Footprint, View
from bom.relays.relay import Relay
from bom.values.finding import Finding, Outcome

CHECK = "body"
_ROUNDING_MM = 1e-6  # forgives rounding; a tenth of it is far below what anyone measures: no test can tell


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A rectangle in the plane: its middle, half its sides in mm, and the angle of the first in degrees."""

    middle: Point
    half: tuple[float, float]
    angle_deg: float = 0.0

    def gap_to(self, other: Rectangle) -> float:
        """How far apart the two are along the side that separates them best; negative: they overlap by that much.

        By the separating axes of rectangles, so never more than the true distance.
        """
        # a quarter turn one way or the other is the same side, so no test can tell
        axes = [box.angle_deg + quarter for box in (self, other) for quarter in (0.0, 90.0)]
        return max(self._gap_along(other, radians(angle)) for angle in axes)

    def _gap_along(self, other: Rectangle, angle: float) -> float:
        apart = minus(other.middle, self.middle)
        along = abs(apart[0] * cos(angle) + apart[1] * sin(angle))
        return along - self._half_along(angle) - other._half_along(angle)

    def _half_along(self, angle: float) -> float:
        off = angle - radians(self.angle_deg)
        return self.half[0] * abs(cos(off)) + self.half[1] * abs(sin(off))

    def placed(self, rotation_deg: float, shift_mm: Point) -> Rectangle:
        """The box turned about the origin, then shifted."""
        middle = plus(turned(self.middle, radians(rotation_deg)), shift_mm)
        return Rectangle(middle, self.half, self.angle_deg + rotation_deg)


@dataclass(frozen=True, slots=True)
class Outline:
    """Where a body may lie over its pins: all it may cover, and what it covers wherever it lies."""

    most: tuple[Rectangle, ...]
    least: Rectangle


def outline(relay: Relay, footprint: Footprint) -> Outline | None:
    """The body over the pins in the drawing's own place; None where body or pins are not stated or do not agree."""
    if relay.body_length_mm is None or relay.body_width_mm is None or not footprint.pins:
        return None
    low = (min(p.x_mm for p in footprint.pins), min(p.y_mm for p in footprint.pins))
    high = (max(p.x_mm for p in footprint.pins), max(p.y_mm for p in footprint.pins))
    sides = dict.fromkeys([(relay.body_length_mm, relay.body_width_mm), (relay.body_width_mm, relay.body_length_mm)])
    most = [box for side in sides for box in _lying(side, low, high, footprint.body_mm)]
    if not most:
        return None
    least = most[0] if footprint.body_mm and len(most) == 1 else _box(low, high)
    return Outline(tuple(most), least)


def _lying(sides: tuple[float, float], low: Point, high: Point, middle: Point | None) -> Iterator[Rectangle]:
    """All that a body with these sides may cover; nothing where its pins would stand out."""
    if middle is None:
        bottom, top = (high[0] - sides[0], high[1] - sides[1]), (low[0] + sides[0], low[1] + sides[1])
        if all(s - (b - a) >= -_ROUNDING_MM for a, b, s in zip(low, high, sides, strict=True)):
            yield _box(bottom, top)
        return
    body = Rectangle(middle, (sides[0] / 2, sides[1] / 2))
    if all(_covers(body, end) for end in (low, high)):
        yield body


def _covers(body: Rectangle, point: Point) -> bool:
    return all(abs(o) <= half + _ROUNDING_MM for o, half in zip(minus(point, body.middle), body.half, strict=True))


def _box(low: Point, high: Point) -> Rectangle:
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    return Rectangle(middle, ((high[0] - low[0]) / 2, (high[1] - low[1]) / 2))


@dataclass(frozen=True, slots=True)
class PlacedRelay:
    """A relay in its placed position over a board."""

    relay: Relay
    footprint: Footprint
    rotation_deg: float
    shift_mm: Point


def keep_out_finding(over: PlacedRelay, position: Position, pattern: HolePattern) -> Finding | None:
    """The worst of the position's keep-outs; None where it states none. Both drawings from the component side."""
    if not position.keep_outs:
        return None
    body = outline(over.relay, over.footprint)
    if body is None:
        return Finding(CHECK, Outcome.UNKNOWN, "measure the body's length and width, and where it lies over its pins")
    found = [_against(over, body, k, mirrored=pattern.view is View.SOLDER) for k in position.keep_outs]
    return min(found, key=lambda f: (-f[0].outcome.gravity, f[1]))[0]


def _against(over: PlacedRelay, body: Outline, keep_out: KeepOut, mirrored: bool) -> tuple[Finding, float]:
    """The answer for one keep-out, and how far away it is in mm, negative where they overlap."""
    box = _keep_out_box(keep_out, mirrored)
    surely = min(b.placed(over.rotation_deg, over.shift_mm).gap_to(box) for b in body.most)
    at_best = body.least.placed(over.rotation_deg, over.shift_mm).gap_to(box)
    if surely >= -_ROUNDING_MM:
        away = f"{max(surely, 0.0):.2f} mm"
        return _found(Outcome.PASS, f"{away} or more from {keep_out.name}", keep_out, away), surely
    return _reaching_over(over.relay, keep_out) or _overlapping(keep_out, surely, at_best), surely


def _found(outcome: Outcome, why: str, keep_out: KeepOut, offered: str = "") -> Finding:
    return Finding(CHECK, outcome, why, f"clear of {keep_out.name}", offered, source="board file")


def _reaching_over(relay: Relay, keep_out: KeepOut) -> Finding | None:
    """Whether the body passes under a keep-out that begins above the board; None where it does not."""
    if not keep_out.from_mm:
        return None
    begins = f"{keep_out.name} begins {keep_out.from_mm:g} mm above the board"
    height = total_height_mm(relay)
    if height is None:
        return _found(Outcome.UNKNOWN, f"measure the height: {begins}", keep_out)
    if height > keep_out.from_mm + _ROUNDING_MM:
        return None
    return _found(Outcome.PASS, f"{height:g} mm high, {begins}", keep_out, f"{height:g} mm")


def _overlapping(keep_out: KeepOut, surely: float, at_best: float) -> Finding:
    if at_best < -_ROUNDING_MM:
        why = f"the body overlaps {keep_out.name} by {-at_best:.2f} mm or more as it is placed"
        return _found(Outcome.FAIL, why, keep_out)
    why = f"measure where the body lies over its pins: it may overlap {keep_out.name} by up to {-surely:.2f} mm"
    return _found(Outcome.UNKNOWN, why, keep_out)


def _keep_out_box(keep_out: KeepOut, mirrored: bool) -> Rectangle:
    """The keep-out as seen from the component side."""
    sign = -1.0 if mirrored else 1.0
    half = keep_out.length_mm / 2, keep_out.width_mm / 2
    return Rectangle((sign * keep_out.x_mm, keep_out.y_mm), half, sign * keep_out.angle_deg)
