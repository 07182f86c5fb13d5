"""The cautions that go with a verdict. All are common practice, no source, except a board's own, which its file states.

They remind; they do not instruct: local codes and the law of the place decide, and so does who may do the work there.
"""

from __future__ import annotations

from bom.boards.board import Function, Place
from bom.duty.figures.rule import Rule
from bom.relays.relay import CoilSystem, Design, Guided, Sealing, SupplyKind

BATTERY = (
    "Disconnect the battery before the box is unplugged: "
    "under power, or by a surge from a boost start, it may lose its settings."
)
SOLDER = (
    "Soldering: air drawn away from the face, hands washed, and solder with lead kept apart from lead-free work; "
    "old joints and hot bodies burn, and cut leads fly."
)
MAINS = (
    "Mains volts: only for those licensed to work on them there; local codes decide. "
    "Isolate, lock off and prove dead, and keep the distances the board had."
)
MOVES = "A motor may start by itself when power returns: keep people and hands clear until it has been tried."
REVERSES = "After the work try both directions unloaded; both at once must not be possible."
SAFETY = (
    "If anyone's safety rests on this function, the maker of the machine or a licensed person decides on the part; "
    "a listed match here is not an approval."
)
GUIDED = "Guided contacts prove a safety function: only a guided part of the same kind, and only by those entitled to."
BENCH_COIL = (
    "On the bench: coil from a supply with a current limit, raised slowly, plus first one way then the other; "
    "an unsuppressed coil bites when cut, and its contacts carry nothing meanwhile."
)
UNSEALED = "This part is not wash-tight: solder it in after washing and coating."
WARM_COIL = (
    "Coils are reckoned at ambient: one that stays on is warmer; "
    'state coil_rise_k in the board file or use --rule "warm coil".'
)

_MAINS_VOLTS = 50.0
"""Volts AC from which the low-voltage rules speak (extra-low voltage ends at 50 V AC); from memory."""


def cautions_for(place: Place | None, design: Design | None = None, rule: Rule | None = None) -> tuple[str, ...]:
    """The cautions for putting this design in this place, the board's own first; no place = those of the part alone.

    ``rule`` is the one that verdicts beside them were reckoned by, None where there are none.
    """
    own = place.board.cautions if place else ()
    functions = place.position.functions if place else ()
    said = (*own, BATTERY, *_loads(functions), *_part(place, design), *_reckoned(place, design, rule), SAFETY, SOLDER)
    return tuple(dict.fromkeys(said))


def _loads(functions: tuple[Function, ...]) -> tuple[str, ...]:
    loads = [f.load for f in functions]
    asked = (
        (MAINS, any(x.supply is SupplyKind.AC and (x.volts is None or x.volts > _MAINS_VOLTS) for x in loads)),
        (MOVES, any(x.kind == "motor" for x in loads)),
        (REVERSES, any(x.reversing for x in loads)),
    )
    return tuple(text for text, wanted in asked if wanted)


def _reckoned(place: Place | None, design: Design | None, rule: Rule | None) -> tuple[str, ...]:
    """Of a coil whose own heat was left out; one that latches gets pulses, which do not warm it."""
    if place is None or not place.board.name or rule is None:
        return ()
    known = place.position.coil_rise_k is not None or rule.coil_kelvin_per_watt is not None
    pulsed = (CoilSystem.LATCHING_1_COIL, CoilSystem.LATCHING_2_COIL)
    latching = design is not None and design.relay.coil_system in pulsed
    return () if known or latching else (WARM_COIL,)


def _part(place: Place | None, design: Design | None) -> tuple[str, ...]:
    if design is None:
        return ()
    sealing = design.relay.sealing
    washed = place is not None and "wash" in place.board.process
    leaky = sealing is None or sealing.rank < Sealing.RT_III.rank
    asked = ((GUIDED, design.relay.guided not in (None, Guided.NO)), (UNSEALED, washed and leaky))
    return tuple(text for text, wanted in asked if wanted)
