"""The pictures of duty: the coil window and the contacts of a part at a place, for a page or as files."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bom.boards.board import Place
from bom.relays.relay import Design

if TYPE_CHECKING:
    from bom.duty.rules import Rule


def duty_pictures(design: Design, place: Place, rule: Rule) -> tuple[tuple[str, str], ...]:
    """Captions with the coil window and the contact pictures of this part at this place."""
    from bom.duty.coil_window import coil_window
    from bom.duty.contact_picture import contact_pictures
    from bom.paper.pictures.coil_picture import coil_picture
    from bom.paper.pictures.contact_picture import contact_picture

    window = coil_window(design, place, rule)
    name = f"coil-{place.position.ref}-{design.relay.maker}-{design.relay.part_number}"
    coil = ("Does the coil pull in, and bear its volts?", coil_picture(window, _plain(name)))
    contacts = [("Do the contacts live?", contact_picture(p)) for p in contact_pictures(design, place, rule)]
    return (coil, *contacts)


def _plain(name: str) -> str:
    """A name fit for an SVG's reference, and another for every other name."""
    return "".join(c if c.isascii() and c.isalnum() else f"_{ord(c):x}" for c in name)
