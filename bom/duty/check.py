"""Duty in one call: does the coil pull in on this board, and do the contacts survive what they switch there."""

from __future__ import annotations

from bom.boards.board import Place
from bom.duty.coil.check import coil_findings
from bom.duty.contact.check import contact_findings
from bom.duty.contact.on_unit import contacts_there
from bom.duty.figures.rules import DEFAULT, Rule
from bom.duty.guided import guided_use
from bom.relays.relay import Design
from bom.values.finding import Finding


def duty_findings(
    design: Design, place: Place, original: Design | None = None, rule: Rule = DEFAULT
) -> tuple[Finding, ...]:
    """Every coil and contact finding for the design in this place.

    ``original`` is the part fitted at the factory, where known; ``rule`` is the rule of thumb used where no
    rating for the kind of load is published.
    """
    coil, contacts = coil_findings(design, place, original, rule), contact_findings(design, place, rule)
    return coil + contacts_there(place) + contacts + guided_use(design, place, original)
