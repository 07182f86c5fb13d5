"""What the circuit asks of each contact: the most it carries, makes and breaks, of which loads, at which volts.

A contact makes and breaks where a change of its own unit alone leads from one permitted state to another and neither
shorts the supply; what flows in the state in which it is closed is what it makes and what it breaks.
"""

from __future__ import annotations

from dataclasses import dataclass

from bom.circuit.net_list import Contact
from bom.circuit.states import Part, Solution, Solved


@dataclass(frozen=True, slots=True)
class RunningAmps:
    """The most running amps that a contact carries, makes and breaks, at the supplies' usual volts."""

    carries: float
    makes: float
    breaks: float


def running_amps(solution: Solution) -> dict[str, RunningAmps]:
    """By contact, as ``bom board circuit`` gives them; contacts with a pad on no net are left out."""
    return {
        contact.name: _running(contact, part, solution)
        for part in solution.parts
        for contact in part.contacts
        if contact.used
    }


def _running(contact: Contact, part: Part, solution: Solution) -> RunningAmps:
    closed = [s for s in solution.sound(part) if contact.name in s.through]
    changing = [s for s in closed if changes(contact, s, part)]
    carries, changes_over = (max((abs(s.through[contact.name]) for s in of), default=0.0) for of in (closed, changing))
    return RunningAmps(carries, changes_over, changes_over)


def changes(contact: Contact, state: Solved, part: Part) -> bool:
    """Whether the contact's unit may move alone from this state: what it leads to is permitted and shorts nothing."""
    other = part.states.get(state.on ^ {contact.unit})
    return other is not None and not other.short
