"""Body size: is there height under the lid, do the pins reach through the board, is the body larger than the old one.

A limit that the board file does not state is taken from the relay that is replaced, where that is known.
"""

from __future__ import annotations

from bom.boards.board import Board
from bom.relays.relay import Relay
from bom.values.finding import Finding, Outcome

# Pin beyond the board: 0.5 mm is enough to solder, more than 2.5 mm is trimmed.
# Source: from memory (usual soldered-assembly limits are 0.5 to 1.5 or 2.5 mm by class); not looked up.
SOLDER_MM = 0.5
TRIM_MM = 2.5
PROTRUSION_SOURCE = "0.5 to 2.5 mm of pin beyond the board: from memory"
_ROUNDING_MM = 1e-9  # forgives rounding; a tenth of it is far below what anyone measures: no test can tell


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
        return _under(total, lid)
    if body is not None and body > lid:  # a body that is too high by itself is too high on any standoff
        return _under(body, lid)
    return Finding("height", Outcome.UNKNOWN, _measure_height(relay), f"at most {_mm(lid)}", source="board file")


def _under(height: float, lid: float) -> Finding:
    fits = height <= lid + _ROUNDING_MM
    why = f"{_mm(abs(lid - height))} {'to spare under' if fits else 'too high for'} the lid"
    outcome = Outcome.PASS if fits else Outcome.FAIL
    margin = (lid - height) / lid if lid else None
    return Finding("height", outcome, why, f"at most {_mm(lid)}", _mm(height), margin, "board file")


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
