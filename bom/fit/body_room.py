"""Room for the body: under the lid, through the board with its pins, and beside what stands round the position.

A limit that the board file does not state is taken from the relay that is replaced, where that is known. Every pin
lies under the body, and the body's sides run along the drawing's axes. Where the drawing states the middle of the
body, that is where it is. Otherwise the body may lie anywhere over its pins, and a keep-out that it touches in only
some of these positions gives *unknown*.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import cos, radians, sin

from bom.boards.board import Board, HolePattern, KeepOut, Position
from bom.fit.plane import Point, minus, plus, turned
from bom.relays.footprint import Footprint, View
from bom.relays.relay import Relay
from bom.values.finding import Finding, Outcome

# Pin beyond the board: 0.5 mm is enough to solder, more than 2.5 mm is trimmed.
# Source: from memory (usual soldered-assembly limits are 0.5 to 1.5 or 2.5 mm by class); not looked up.
SOLDER_MM = 0.5
TRIM_MM = 2.5
PROTRUSION_SOURCE = "0.5 to 2.5 mm of pin beyond the board: from memory"


# How far a body may be off the height its sheet prints, where the sheet gives no tolerance: data sheets of relays for
# boards print 0.3 to 0.5 mm.
BODY_TOLERANCE_MM = 0.3
BODY_SOURCE = "relay data sheets: bodies to ±0.3 mm, some to ±0.5 mm"


def size_findings(relay: Relay, board: Board, original: Relay | None = None) -> tuple[Finding, ...]:
    """Height, pin length and, where an original is known, outline."""
    outline = () if original is None else (outline_finding(relay, original),)
    return (height_finding(relay, board, original), pin_length_finding(relay, board, original), *outline)


def total_height_mm(relay: Relay) -> float | None:
    """Body height and standoff in mm, None unless both are stated."""
    if relay.body_height_mm is None or relay.standoff_mm is None:
        return None
    return relay.body_height_mm + relay.standoff_mm


def height_finding(relay: Relay, board: Board, original: Relay | None = None) -> Finding:
    """Height and standoff against the lid; without a stated lid, against the original's."""
    if board.lid_clearance_mm is None:
        return _no_higher_than(relay, original)
    lid, body, total = board.lid_clearance_mm, relay.body_height_mm, total_height_mm(relay)
    if total is not None:
        return _with_tolerance(_under(total, lid), total, lid, original)
    if body is not None and body > lid:  # a body that is too high by itself is too high on any standoff
        return _under(body, lid)
    return Finding("height", Outcome.UNKNOWN, _measure_height(relay), f"at most {_mm(lid)}", source="board file")


def _under(height: float, lid: float) -> Finding:
    fits = height <= lid + _ROUNDING_MM
    why = f"{_mm(abs(lid - height))} {'to spare under' if fits else 'too high for'} the lid"
    outcome = Outcome.PASS if fits else Outcome.FAIL
    margin = (lid - height) / lid if lid else None
    return Finding("height", outcome, why, f"at most {_mm(lid)}", _mm(height), margin, "board file")


def _with_tolerance(found: Finding, height: float, lid: float, original: Relay | None) -> Finding:
    """A body that just passes under the lid as drawn may be higher; one no higher than the fitted part's was tried."""
    theirs = None if original is None else total_height_mm(original)
    tried = theirs is not None and height <= theirs + _ROUNDING_MM
    if found.outcome is not Outcome.PASS or tried or height + BODY_TOLERANCE_MM <= lid + _ROUNDING_MM:
        return found
    why = f"{found.why}, and a body may be {_mm(BODY_TOLERANCE_MM)} higher than its sheet prints: measure the piece"
    return replace(found, outcome=Outcome.CONDITION, why=why, source=f"{found.source}; {BODY_SOURCE}")


def _no_higher_than(relay: Relay, original: Relay | None) -> Finding:
    ours, theirs = total_height_mm(relay), None if original is None else total_height_mm(original)
    if ours is None:
        return Finding("height", Outcome.UNKNOWN, _measure_height(relay))
    if theirs is not None and ours <= theirs + _ROUNDING_MM:
        why = "no higher than the part it replaces; the lid is not stated"
        return Finding("height", Outcome.PASS, why, f"at most {_mm(theirs)}", _mm(ours), source="the original")
    return Finding("height", Outcome.UNKNOWN, "measure from the board to the lid", offered=_mm(ours))


def _measure_height(relay: Relay) -> str:
    if relay.body_height_mm is None:
        return "height is not stated: measure the body and its standoff"
    return "standoff is not stated: measure the height from the board to the top of the body"


def pin_length_finding(relay: Relay, board: Board, original: Relay | None = None) -> Finding:
    """Pin length against board thickness; without a stated thickness, against the original's pins."""
    length, thickness = relay.pin_length_mm, board.board_thickness_mm
    if length is None:
        return Finding("pin length", Outcome.UNKNOWN, "measure the pins below the body's seat")
    if thickness is None:
        return _no_shorter_than(length, original)
    asked = f"{_mm(thickness + SOLDER_MM)} to {_mm(thickness + TRIM_MM)}"
    outcome, why = _protrusion(length - thickness)
    return Finding("pin length", outcome, why, asked, _mm(length), None, PROTRUSION_SOURCE)


def _protrusion(beyond: float) -> tuple[Outcome, str]:
    if beyond <= _ROUNDING_MM:
        return Outcome.FAIL, "the pins do not come through the board"
    if beyond < SOLDER_MM - _ROUNDING_MM:
        return Outcome.CONDITION, f"only {_mm(beyond)} beyond the board: see that the solder takes"
    if beyond > TRIM_MM + _ROUNDING_MM:
        return Outcome.CONDITION, f"{_mm(beyond)} beyond the board: trim after soldering, see what lies below"
    return Outcome.PASS, f"{_mm(beyond)} beyond the board"


def _no_shorter_than(length: float, original: Relay | None) -> Finding:
    theirs = None if original is None else original.pin_length_mm
    if theirs is not None and theirs - _ROUNDING_MM <= length <= theirs + SOLDER_MM + _ROUNDING_MM:
        why = "as long as the pins it replaces; the board's thickness is not stated"
        return Finding("pin length", Outcome.PASS, why, _mm(theirs), _mm(length), source="the original")
    return Finding("pin length", Outcome.UNKNOWN, "measure the board's thickness", offered=_mm(length))


def outline_finding(relay: Relay, original: Relay) -> Finding:
    """The body from above, longer side first, against the original's."""
    ours, theirs = _outline(relay), _outline(original)
    if ours is None:
        return Finding("outline", Outcome.UNKNOWN, "measure the body's length and width")
    if theirs is None:
        return Finding("outline", Outcome.UNKNOWN, "measure the room round the position", offered=_by(ours))
    over = max(ours[0] - theirs[0], ours[1] - theirs[1])
    if over <= _ROUNDING_MM:
        why = "no larger from above than the part it replaces"
        return Finding("outline", Outcome.PASS, why, _by(theirs), _by(ours), source="the original")
    why = f"up to {_mm(over)} larger from above than the part it replaces: see that its neighbours leave room"
    return Finding("outline", Outcome.CONDITION, why, _by(theirs), _by(ours), source="the original")


def _outline(relay: Relay) -> tuple[float, float] | None:
    if relay.body_length_mm is None or relay.body_width_mm is None:
        return None
    sides = sorted((relay.body_length_mm, relay.body_width_mm), reverse=True)
    return (sides[0], sides[1])


def _mm(length: float) -> str:
    return f"{length:.3f}".rstrip("0").rstrip(".") + " mm"


def _by(sides: tuple[float, float]) -> str:
    return f"{_mm(sides[0])} x {_mm(sides[1])}"


BODY = "body"
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
    """Where a body may lie over its pins: all it may cover, and the least that it covers, one or the other."""

    most: tuple[Rectangle, ...]
    least: tuple[Rectangle, ...]


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
    least = most if footprint.body_mm else [_box(low, high)]
    return Outline(tuple(most), tuple(least))


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
        return Finding(BODY, Outcome.UNKNOWN, "measure the body's length and width, and where it lies over its pins")
    found = [_against(over, body, k, mirrored=pattern.view is View.SOLDER) for k in position.keep_outs]
    return min(found, key=lambda f: (-f[0].outcome.gravity, f[1]))[0]


def _against(over: PlacedRelay, body: Outline, keep_out: KeepOut, mirrored: bool) -> tuple[Finding, float]:
    """The answer for one keep-out, and how far away it is in mm, negative where they overlap."""
    box = _keep_out_box(keep_out, mirrored)
    surely = min(b.placed(over.rotation_deg, over.shift_mm).gap_to(box) for b in body.most)
    at_best = max(b.placed(over.rotation_deg, over.shift_mm).gap_to(box) for b in body.least)
    if surely >= -_ROUNDING_MM:
        away = f"{max(surely, 0.0):.2f} mm"
        return _found(Outcome.PASS, f"{away} or more from {keep_out.name}", keep_out, away), surely
    return _reaching_over(over.relay, keep_out) or _overlapping(keep_out, surely, at_best), surely


def _found(outcome: Outcome, why: str, keep_out: KeepOut, offered: str = "") -> Finding:
    return Finding(BODY, outcome, why, f"clear of {keep_out.name}", offered, source="board file")


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


def beside_finding(over: PlacedRelay, fitted: PlacedRelay | None, position: Position) -> Finding | None:
    """The body as it lies over the holes, against the fitted one's: the same sides turned a quarter reach further.

    Without a fitted part nobody knows what stands round the position but its keep-outs. None where the sides tell
    nothing: a square body, or one whose sides ``outline_finding`` asks for.
    """
    if fitted is None:
        return None if position.keep_outs else Finding(BODY, Outcome.UNKNOWN, _NEIGHBOURS, "room round the position")
    ours, theirs = _outline(over.relay), _outline(fitted.relay)
    if ours is None or theirs is None or ours[0] - ours[1] <= SQUARE_MM or ours[0] <= theirs[1] + _ROUNDING_MM:
        return None
    lies, lay = lying_along(over), lying_along(fitted)
    if lies is None or lay is None:
        whose = "this body" if lies is None else "the fitted part's body"
        return Finding(BODY, Outcome.UNKNOWN, f"measure which way {whose} lies over its pins", source="the original")
    if _alike_turned(lies, lay):
        return None
    further = (ours[0] - theirs[1]) / 2
    why = f"it lies across where the fitted part lay along and reaches {_mm(further)} further on either side: see that "
    why += "its neighbours leave room"
    return Finding(BODY, Outcome.CONDITION, why, _by(theirs), _by(ours), source="the original")


_NEIGHBOURS = "no fitted part is known: measure what stands round the position, and state its keep_outs"
SQUARE_MM = 1.0
"""Sides that differ by no more are taken for square: a body's own tolerance, twice 0.5 mm."""


def lying_along(over: PlacedRelay) -> float | None:
    """The angle over the board, in degrees, that the longer side of the body lies along; None where nobody can tell.

    The body covers its pins, which mostly leaves one way. Where both ways would cover them, it lies along the longer
    span of the pins (common practice, no source); with equal spans nothing tells.
    """
    footprint, sides = over.footprint, _outline(over.relay)
    if sides is None or not footprint.pins:
        return None
    along, across = _lies(sides, footprint), _lies(sides[::-1], footprint)
    if along and across:
        xs, ys = [p.x_mm for p in footprint.pins], [p.y_mm for p in footprint.pins]
        spans = max(xs) - min(xs), max(ys) - min(ys)
        along, across = spans[0] > spans[1] + SPAN_MM, spans[1] > spans[0] + SPAN_MM
    return None if along is across else (0.0 if along else 90.0) + over.rotation_deg


SPAN_MM = 0.5
"""Spans of pins that differ by less are taken for equal; common practice, no source."""


def _lies(sides: tuple[float, float], footprint: Footprint) -> bool:
    """Whether a body with these sides along the drawing's axes covers all its pins."""
    low = (min(p.x_mm for p in footprint.pins), min(p.y_mm for p in footprint.pins))
    high = (max(p.x_mm for p in footprint.pins), max(p.y_mm for p in footprint.pins))
    return next(_lying(sides, low, high, footprint.body_mm), None) is not None


def _alike_turned(one: float, other: float) -> bool:
    """Two directions of a side that are the same within half a right angle; a half turn is the same direction."""
    apart = abs(one - other) % 180.0
    return min(apart, 180.0 - apart) < 45.0
