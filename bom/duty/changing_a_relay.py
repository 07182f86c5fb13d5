"""How a soldered relay is taken out and another put in: the steps, each with where it is published.

They follow general soldering and rework practice for through-hole parts and relay makers' own soldering limits, and do
not replace the training that IPC J-STD-001 and IPC-7711 ask for.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from bom.duty.before_parts import PRACTICE
from bom.duty.sources import REMOVAL_GUIDE, SOLDERING_GUIDE, SOLDERING_STEPS

MOST_TIP_C, MOST_JOINT_SECONDS = 350, 3
"""The hottest iron tip and longest time at one terminal by hand, °C and seconds: source 23, hand soldering."""

LEAST_FILL_SHARE = 0.75
"""How far solder must fill a plated hole: IPC J-STD-001, plated-through holes, from memory."""


@dataclass(frozen=True, slots=True)
class ChangeStep:
    """One thing to do, and where it is published."""

    do: str
    source: str

    @property
    def words(self) -> str:
        """The step with its source behind it; without one where it is common practice."""
        return self.do if self.source == PRACTICE else f"{self.do} ({self.source})"


_DEAD = ChangeStep("Disconnect every supply, then unplug the box and take its board to the bench.", PRACTICE)
_BARE = ChangeStep("Take the coating off the joints of this relay alone.", "IPC-7711, coating removal, from memory")
_FLUX = ChangeStep(
    "Flux each joint of the relay, and feed a lean one fresh solder, so that heat gets into it.", REMOVAL_GUIDE.cited
)
_EMPTY = ChangeStep(
    "Melt each joint right through with a vacuum tip, keep the lead moving in its hole while the solder is drawn off, "
    "and put no pressure on the pad.",
    REMOVAL_GUIDE.cited,
)
_LIFT = ChangeStep(
    "Once it is cold, check that each lead moves freely, and only then lift the relay out. "
    "Where a lead holds, fill that joint and empty it again; force tears pads off.",
    PRACTICE,
)

_HOLES = ChangeStep("Clean the pads; every hole is open, round and still plated, and no pad has come loose.", PRACTICE)
_ALLOY = ChangeStep("Use the alloy the board was made with, or take all of the old one out first.", PRACTICE)
_SET = ChangeStep(
    "Set the relay in as the picture shows. It sits down by its own leads; do not bend them to make it fit.",
    SOLDERING_GUIDE.cited,
)
_SOLDER = ChangeStep(
    f"Heat pad and lead together and feed solder from the other side of the lead: tip at {MOST_TIP_C} °C at most, "
    f"{MOST_JOINT_SECONDS} s at a terminal, then let it cool before another try.",
    f"{SOLDERING_STEPS.cited}; {SOLDERING_GUIDE.cited}",
)
_LOOK = ChangeStep(
    f"Look at each joint from both sides: solder wets lead and pad, and fills {LEAST_FILL_SHARE:.0%} of the hole "
    "or more.",
    "IPC J-STD-001, plated-through holes, from memory",
)
_WIPE = ChangeStep(
    "Wipe flux off by hand. Wash only with a wash-tight relay (RT III or better), never in an ultrasonic bath.",
    f"{SOLDERING_GUIDE.cited}; IEC 61810-7, sealing categories",
)
_COAT = ChangeStep("Coat the joints again when they are clean and dry.", "IPC-7711, coating replacement, from memory")
_TRY = ChangeStep(
    "Before power: no short between neighbouring joints. Then try each function unloaded, nobody near what moves.",
    PRACTICE,
)
_PROVE = ChangeStep(
    "Before power: no short between neighbouring joints. This is a safety function: the maker of the machine or a "
    "licensed person proves it before the machine is used.",
    PRACTICE,
)


def taking_out(process: Collection[str] = ()) -> tuple[ChangeStep, ...]:
    """The steps to take a relay out; ``process`` as in the board file, where *coating* adds one."""
    return (_DEAD, *((_BARE,) if "coating" in process else ()), _FLUX, _EMPTY, _LIFT)


def putting_in(process: Collection[str] = (), guarded: bool = False) -> tuple[ChangeStep, ...]:
    """The steps to put a relay in and try it; ``guarded`` where a safety function is proved by others."""
    coated = (_COAT,) if "coating" in process else ()
    return (_HOLES, _ALLOY, _SET, _SOLDER, _LOOK, _WIPE, *coated, _PROVE if guarded else _TRY)
