"""The holes of a position that is made for a known part: one for each of its pins, at the part's own drawing.

The board still says what no drawing knows: the drill for each lead, and the net of each pin, in one line, a net with
its pins: ``VBAT 2 4; DRIVE 1; - 5``. A drill is stated for each lead once, for the board or for a position.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from bom.boards.board import Hole, HolePattern
from bom.intake.rows import is_it
from bom.intake.tables import Table
from bom.relays.footprint import Footprint, Pin
from bom.relays.in_a_line import LEAD, lead_in, lead_text
from bom.values.column import keys, made, table, text
from bom.values.problem import Problem

DRILLS = table("The drill in mm by the lead that goes in, for holes made for a part's pins.", '{ "0.8 x 0.5" = 1.3 }')
HOLES = keys(
    holes_of=text("The part whose pins its holes are made for, in the place of pattern; else the fitted.", "TW2-12S"),
    nets=text(
        "Its nets, each with its pins, ';' between two; - for pins that are joined to nothing.", "VBAT 2 4; DRV 1; - 5"
    ),
    drills=DRILLS,
)
NETS = "each net with its pins, as in VBAT 2 4; DRV 1; - 5"


@dataclass(frozen=True, slots=True)
class KnownPins:
    """The pins of a known part, and the wiring that it has."""

    footprint: Footprint
    wiring: str


PinsOf = Callable[[str], KnownPins | None]
"""The pins of the part that a text names; None where there is none, or several differ."""


def nobody(part: str) -> KnownPins | None:
    """No part is known."""
    return None


def made_for_a_part(position: Table) -> bool:
    """Whether the position states its holes so, rather than by a pattern."""
    return any(position.values.get(key) not in (None, "") for key in HOLES)


@dataclass(frozen=True, slots=True)
class MadeHoles:
    """The holes of one position, the wiring that their names stand for the pins of, and the net of each pin."""

    pattern: HolePattern
    wiring: str = ""
    nets: Mapping[str, str] = field(default_factory=dict)


def holes_for(position: Table, board: Table, pins_of: PinsOf, like: Mapping[str, str]) -> MadeHoles:
    """The holes, by the pins' names, in a pattern called as the position; what is wrong is told where it stands.

    ``like`` are the nets of a position that it is like, pin to net, for every pin at which it names none.
    """
    ref = position.text("ref")
    key = "holes_of" if position.text("holes_of") else "fitted"
    part = position.text(key)
    if position.text("pattern"):
        position.wrong("pattern", "either pattern, or holes made for a part", position.get("pattern"))
    own = _nets(position)
    nets = {**like, **own}
    if not part or (known := pins_of(part)) is None:
        expected = "a part whose pins the catalogue knows" if part else "the part whose pins the holes are made for"
        position.wrong(key, expected, part or "nothing")
        return MadeHoles(HolePattern(ref, ()))
    footprint = known.footprint.from_component_side()
    _check_pins(position, own, nets, part, [pin.name for pin in footprint.pins])
    drills = _drills(board) | _drills(position)
    _check_drills(position, drills, footprint.pins)
    holes = tuple(
        Hole(pin.name, pin.x_mm, pin.y_mm, drills.get(_size(pin)), nets.get(pin.name, ""), error_mm=pin.error_mm)
        for pin in footprint.pins
    )
    return MadeHoles(HolePattern(ref, holes, footprint.view), known.wiring, nets)


def _nets(position: Table) -> dict[str, str]:
    """Pin to net, empty for one that is joined to nothing."""
    answer: dict[str, str] = {}
    line = position.text("nets")
    for part in line.split(";") if line else ():
        net, *pins = part.replace(",", " ").split() or [""]
        if not pins:
            position.wrong("nets", NETS, part.strip() or "nothing")
        for pin in pins:
            if pin in answer:
                position.wrong("nets", f"pin {pin} at one net", part.strip())
            answer[pin] = "" if net == "-" else net
    return answer


def _check_pins(position: Table, own: Mapping[str, str], nets: Mapping[str, str], part: str, pins: list[str]) -> None:
    """Every pin is named, so that none is joined to nothing by an oversight; ``own`` are those named here."""
    for strange in own.keys() - set(pins):
        position.wrong("nets", f"pins of {part}{is_it(strange, pins)}", strange)
    if lacking := [pin for pin in pins if pin not in nets]:
        position.wrong("nets", f"every pin of {part}, with - where it is joined to nothing", f"no {', '.join(lacking)}")


def _drills(table: Table) -> dict[str, float]:
    """Drill by lead."""
    stated = table.table("drills")
    answer: dict[str, float] = {}
    for lead in stated.values if stated is not None else ():
        if stated is not None:
            drill = stated.positive(lead)
            if (cells := lead_in(lead)) is None or not cells:
                stated.wrong(lead, LEAD, lead)
            elif drill is not None:
                answer[_size(_pin_with(cells))] = drill
    return answer


def _pin_with(cells: Mapping[str, str]) -> Pin:
    problems: list[Problem] = []
    pin: Pin = made(Pin, {"pin": "", "x_mm": "0", "y_mm": "0", **cells}, problems)
    return pin


def _size(pin: Pin) -> str:
    """The lead without its turn, which no drill minds."""
    return lead_text(pin).partition(" at ")[0]


def _check_drills(position: Table, drills: Mapping[str, float], pins: Iterable[Pin]) -> None:
    """Each lead has its drill, and goes in."""
    by_size: dict[str, list[Pin]] = {}
    for pin in pins:
        by_size.setdefault(_size(pin), []).append(pin)
    for size, of in by_size.items():
        names = ", ".join(pin.name for pin in of)
        lead = of[0].lead_diameter_mm
        if not size or lead is None:
            position.wrong("drills", f"a part whose leads are known, to go by (pins {names}); else a pattern", "none")
        elif size not in drills:
            position.wrong("drills", f"a drill for {size}, the lead of pins {names}, here or under [board]", "none")
        elif drills[size] < lead:
            expected = f"no less than {lead:.3g} mm, which the lead of pins {names} is across"
            position.wrong("drills", expected, f"{drills[size]:g}")
