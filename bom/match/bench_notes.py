"""What a bench knows besides its checks: what a fault points at, and how a relay is changed.

All of it is common practice, no source. The order of the checks themselves is ``bom.duty.at_the_bench.before_parts``.
"""

from __future__ import annotations

from bom.boards.board import Function, Place

BYPASS = (
    "Where a switch can feed the load directly and only the timed or automatic mode is dead, "
    "the relay or the driver in the box is the suspect."
)
OFTEN = "Coils and contacts of the relay fail far more often than the transistor that drives it; that may also fail on."
BACK_EMF = "A motor without suppression can feed its back-EMF into the box and set off another function."
AT_WORK = (
    "Open a clip-on cover with a plastic tool.",
    "Heavy copper and relay bodies soak heat: a temperature-controlled iron of 150 W or more; 120 W barely does it.",
    "Old joints melt badly: blend in fresh low-melting solder, then take out as much as possible before pulling. "
    "If it does not come easily there is solder left, and pads are fragile.",
    "All relays on one board may be one part number, one of them turned by 90°: mark how it sat.",
    "The new relay goes in with little force; if it is tight, clear the holes further.",
    "Joints see vibration: full wetting, on both sides where the holes are plated through.",
    "One box across a model range may carry different stored coding: keep the customer's own box.",
)


def telling_signs(place: Place) -> tuple[str, ...]:
    """What the fault itself points at, by what this position switches."""
    bare = any(_is_bare_motor(f) for f in place.position.functions)
    return tuple(text for text, wanted in ((OFTEN, True), (BYPASS, True), (BACK_EMF, bare)) if wanted)


def _is_bare_motor(function: Function) -> bool:
    return function.load.kind == "motor" and function.load.suppression in ("", "none")
