"""What makes a refused part one of another kind, or of another coil voltage: said first, since no rating mends it.

Other pins, other units, a latching coil for one that falls back, AC for DC: such a part never could serve. Nothing here
refuses a part; it only puts into words what the proof found.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from bom.match.requirement import Requirement
from bom.relays.relay import Design
from bom.values.finding import Finding, Outcome

# Coil voltages this far apart are other codes of a series (5 and 6 V, 12 and 24 V): common practice, no source.
_ANOTHER_VOLTAGE = 1.15
_GOES_IN = {"goes in", "side of the drawing"}
_COIL_KIND = {"coil system", "coil supply"}
_COIL_WINDOW = {"pull-in when hot", "highest coil volts", "coil power"}


def differs_in_kind(requirement: Requirement, design: Design, found: Iterable[Finding]) -> str:
    """How the part differs in kind from what is asked, as in *5 pins, not 10*; empty where it does not."""
    failed = {f.check for f in found if f.outcome is Outcome.FAIL}
    differences = (*_shape(requirement, design, failed), *_coil(requirement, design, failed)) if failed else ()
    return "; ".join(f"{theirs}, not {ours}" for ours, theirs in differences)


def said_first(requirement: Requirement, design: Design, kind: str, found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The findings, worst first, the worst of them headed by how the part differs in kind, else in coil voltage."""
    if not found or found[0].outcome is not Outcome.FAIL:
        return found
    first = found[0]
    if kind and first.check in _COIL_KIND:
        return (replace(first, why=f"differs in kind: {first.why}"), *found[1:])
    head = f"differs in kind: {kind}" if kind else _other_volts(requirement, design, first.check)
    why = head if kind and first.check in _GOES_IN else f"{head}; {first.why}"
    return (replace(first, why=why), *found[1:]) if head else found


def _shape(requirement: Requirement, design: Design, failed: set[str]) -> Iterator[tuple[str, str]]:
    """Pins, where they do not go in, and units, where these do not or join other nets; asked and given."""
    pins = _pins_asked(requirement)
    if failed & _GOES_IN and design.footprint and pins and len(design.footprint.pins) != pins:
        yield str(pins), _counted(len(design.footprint.pins), "pin")
    wanted = requirement.place.wiring if requirement.place else None
    joins_others = failed & (_GOES_IN | {"connects alike"})
    if joins_others and design.wiring and wanted and len(design.wiring.units) != len(wanted.units):
        yield str(len(wanted.units)), _counted(len(design.wiring.units), "unit")


def _pins_asked(requirement: Requirement) -> int:
    """The pins of the part in place, else one a hole."""
    if requirement.original and requirement.original.footprint:
        return len(requirement.original.footprint.pins)
    return len(requirement.place.pattern.holes) if requirement.place else 0


def _coil(requirement: Requirement, design: Design, failed: set[str]) -> Iterator[tuple[str, str]]:
    old, new = requirement.original.relay if requirement.original else None, design.relay
    if "coil system" in failed and new.coil_system:
        yield (old.coil_system if old and old.coil_system else "as asked"), new.coil_system
    if "coil supply" in failed and new.coil_supply:
        given = new.coil_supply.upper()
        yield "DC" if given == "AC" else "AC", f"{given} coil"


def _other_volts(requirement: Requirement, design: Design, check: str) -> str:
    """At a board, where the coil's window is proved and no voltage is asked by name."""
    if check not in _COIL_WINDOW or requirement.original is None:
        return ""
    ours, theirs = requirement.original.relay.coil_volts, design.relay.coil_volts
    if ours and theirs and max(ours / theirs, theirs / ours) > _ANOTHER_VOLTAGE:
        return f"{theirs:g} V coil, not {ours:g} V"
    return ""


def _counted(number: int, thing: str) -> str:
    return f"{number} {thing}{'' if number == 1 else 's'}"
