"""A board: its hole patterns, the positions relays sit in, what drives their coils and what their contacts switch.

None means *not stated*, and a check that needs the value then answers *unknown*.

Road-vehicle supplies go by a code letter: ISO 16750-2, supply voltage codes A to H (A, E, F and D's lower limit read
in reprints; B, C, G, H, D's upper limit and the boost start from memory). Z is as agreed, so the file states the
volts itself. The functional status classes A to E of ISO 16750-1 are something else.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum

from bom.relays.footprint import VIEW, View
from bom.relays.relay import LOADS, Insulation, Mains, SupplyKind, Suppression
from bom.relays.wiring import CONTACT_WORDS, Kind, Wiring
from bom.values.column import Words, given, number, stated, text
from bom.values.finding import Finding


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole: centre and finished drill in mm, and the net its pad belongs to (empty = joined to nothing).

    A slot is ``drill_mm`` wide and ``slot_mm`` long.
    """

    name: str = field(metadata=given(text("The hole's name, a label only.", "h1", needed=True, name="hole")))
    x_mm: float = field(metadata=given(number("mm", "Middle of the hole, to the right.", "0.00", needed=True)))
    y_mm: float = field(metadata=given(number("mm", "Middle of the hole, downwards.", "5.00", needed=True)))
    drill_mm: float | None = stated(number("mm", "Finished diameter of the hole.", "1.1", above=0))
    net: str = stated(text("The net that its pad belongs to; empty where it is joined to nothing.", "VBAT"))
    slot_mm: float | None = stated(
        number("mm", "Length of a slot, end to end, drill_mm being its width; a round hole has none.", "2.4", above=0)
    )
    slot_angle_deg: float | None = stated(
        number("deg", "How far the slot's long side is turned from the x axis.", "90", least=-360, most=360)
    )
    error_mm: float | None = stated(
        number("mm", "How far its middle may be off where it was measured; empty = as drawn.", "0.04", least=0, most=5)
    )


def _other_way(angle: float | None) -> float | None:
    return None if angle is None else -angle


@dataclass(frozen=True, slots=True)
class HolePattern:
    """A named set of holes in the view stated.

    ``of_part`` names the part whose own pins the holes are made for, where no board is known.
    """

    name: str = field(
        metadata=given(text("The pattern's name, which positions name.", "twin", needed=True, name="pattern"))
    )
    holes: tuple[Hole, ...]
    view: View = field(default=View.COMPONENT, metadata=given(VIEW))
    of_part: str = ""

    def from_component_side(self) -> HolePattern:
        """The holes as seen from the component side; an unknown view is kept as it is."""
        if self.view is not View.SOLDER:
            return self
        turned = tuple(replace(h, x_mm=0.0 - h.x_mm, slot_angle_deg=_other_way(h.slot_angle_deg)) for h in self.holes)
        return replace(self, holes=turned, view=View.COMPONENT)


@dataclass(frozen=True, slots=True)
class Supply:
    """The board's supply in volts; ``code`` is the road-vehicle code it came from, if any.

    ``jump_volts`` for ``jump_seconds`` is what a boost start puts on it, where that is to be allowed for. ``hertz`` is
    that of an AC supply; ``crank_volts`` what it dips to while the engine is cranked, ``dump_volts`` for ``dump_ms``
    what it rises to when the battery is cut off.
    """

    min_volts: float | None = None
    nominal_volts: float | None = None
    max_volts: float | None = None
    code: str = ""
    jump_volts: float | None = None
    jump_seconds: float | None = None
    hertz: Mains | None = None
    crank_volts: float | None = None
    dump_volts: float | None = None
    dump_ms: float | None = None


@dataclass(frozen=True, slots=True)
class Driver:
    """What drives the coils: limits in milliamps for one channel and the package, drop in volts, and suppression.

    ``polarity``: *low side* pulls the coil's - end, *high side* feeds the + end, *both ways*; empty = not stated.
    ``off_volts`` is what leakage leaves on a coil that is off; ``pulse_ms`` how long a latching coil is driven.
    ``breakdown_volts`` is what its switch bears while it is open, ``clamp_volts`` the most that the board's own
    suppression lets arise over the coil. An economiser leaves ``hold_volts`` on the coil after ``pull_in_ms``.
    """

    channel_milliamps: float | None = None
    package_milliamps: float | None = None
    drop_volts: float | None = None
    polarity: str = ""
    suppression: str = ""
    off_volts: float | None = None
    pulse_ms: float | None = None
    breakdown_volts: float | None = None
    clamp_volts: float | None = None
    hold_volts: float | None = None
    pull_in_ms: float | None = None


@dataclass(frozen=True, slots=True)
class Load:
    """What a contact switches: kind, volts and running amps, and how it starts, stalls and stops.

    ``mixed``: the kinds and running amps a *mixed* load is made of. ``in_parallel``: how many contacts share it,
    none of which counts for more than itself. ``brake_amps`` flow through the resting contact after switching off.
    ``life_years`` is how long the contact should last. ``stops_at_end``: it is switched off while it stalls.
    ``pause_ms`` is how long the electronics waits between the two directions of a reversing drive. ``common``: at which
    pole of the supply the contact's common lies, *plus*, *minus* or *both ways*; empty = not stated.
    """

    kind: str
    volts: float | None = None
    amps: float | None = None
    stall_amps: float | None = None
    stall_seconds: float | None = None
    inrush_amps: float | None = None
    lr_ms: float | None = None
    power_factor: float | None = None
    supply: SupplyKind = SupplyKind.DC
    temp_c: float | None = None
    operations_per_day: float | None = None
    reversing: bool = False
    suppression: str = ""
    brake_amps: float | None = None
    mixed: tuple[tuple[str, float], ...] = ()
    in_parallel: int | None = None
    life_years: float | None = None
    stops_at_end: bool = False
    pause_ms: float | None = None
    operations_per_minute: float | None = None
    common: str = ""


@dataclass(frozen=True, slots=True)
class ContactAmps:
    """What one contact bears on its board, in amps; None = not known, 0 = never.

    ``carries`` as long as it stays closed; ``makes`` in the moment of closing; ``breaks`` in that of opening;
    ``stalls`` for ``stall_seconds`` while the drive that it feeds is held.
    """

    carries: float | None = None
    makes: float | None = None
    breaks: float | None = None
    stalls: float | None = None
    stall_seconds: float | None = None


def duty_of(load: Load) -> ContactAmps:
    """What a contact bears that switches this load on and off: it makes the highest peak that is stated (a motor at
    rest starts with its stall current) and breaks what runs, or the stall of a drive that is switched off at its end.

    >>> duty_of(Load("motor", volts=14, amps=2.5, stall_amps=9))
    ContactAmps(carries=2.5, makes=9, breaks=2.5, stalls=9, stall_seconds=None)
    """
    peaks = [amps for amps in (load.inrush_amps, load.stall_amps) if amps is not None]
    breaks = load.stall_amps if load.stops_at_end else load.amps
    return ContactAmps(load.amps, max(peaks, default=None), breaks, load.stall_amps, load.stall_seconds)


@dataclass(frozen=True, slots=True)
class Function:
    """What one contact of one unit does on this board; ``pole`` empty = the unit's only pole.

    ``safety``: someone's safety rests on it. ``solved`` is what the contact bears where the board was solved as a
    circuit; None = what its load alone asks.
    """

    name: str
    unit: str
    contact: Kind
    load: Load
    pole: str = ""
    safety: bool = False
    solved: ContactAmps | None = None

    @property
    def duty(self) -> ContactAmps:
        return self.solved or duty_of(self.load)


@dataclass(frozen=True, slots=True)
class KeepOut:
    """A rectangle that the body must stay clear of: a neighbour, a rib of the lid, a hole; in the pattern's own mm.

    ``x_mm``, ``y_mm`` its middle; ``length_mm`` along x where ``angle_deg`` is zero; ``from_mm`` the height above the
    board where it begins (zero = on the board).
    """

    name: str
    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float
    angle_deg: float = 0.0
    from_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Position:
    """A place on the board by its reference; ``wiring`` names what the board expects, hole names standing for pins.

    ``coil_rise_k`` is how many kelvin a coil that stays on gets warmer than the ambient, as measured there.
    ``insulation`` and ``impulse_volts`` are what must keep its coil from its contacts; ``may_drop_out``: while the
    engine is cranked. ``x_mm``, ``y_mm`` are where the zero of its pattern lies on the board, from the component side,
    and ``turn_deg`` how far the pattern is turned about it, clockwise; None = not known.
    """

    ref: str
    pattern: str
    fitted: str = ""
    wiring: str = ""
    driver: Driver | None = None
    units_on_together: int | None = None
    functions: tuple[Function, ...] = ()
    coil_rise_k: float | None = None
    keep_outs: tuple[KeepOut, ...] = ()
    insulation: Insulation | None = None
    impulse_volts: float | None = None
    may_drop_out: bool = False
    x_mm: float | None = None
    y_mm: float | None = None
    turn_deg: float | None = None


class NetIs(StrEnum):
    """What holds a net at its volts, whatever the contacts do."""

    SUPPLY = "supply"
    GROUND = "ground"


@dataclass(frozen=True, slots=True)
class Net:
    """A net that is a supply or the ground; ``volts`` where a supply differs from the board's nominal one."""

    name: str
    is_: NetIs
    volts: float | None = None


@dataclass(frozen=True, slots=True)
class NetLoad:
    """A load between two nets. A current from ``plus`` to ``minus`` is *forward*.

    ``forward`` and ``reverse`` are what people call each way; empty = they have no word for it.
    """

    name: str
    plus: str
    minus: str
    load: Load
    forward: str = ""
    reverse: str = ""


@dataclass(frozen=True, slots=True)
class Repair:
    """A repair type: what a customer notices, which positions serve it, what to check before blaming the relay."""

    name: str
    symptoms: tuple[str, ...] = ()
    positions: tuple[str, ...] = ()
    first_check: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Board:
    """A board file and its holes. Temperatures in degrees Celsius, lengths in mm.

    ``hole_clearance`` (A, B or C) asks for the published room between lead and hole; ``hole_tolerances`` says how those
    of the drill and of the holes' positions add, *worst case* or *root-sum-square*; empty = not asked. ``process`` is
    what the finished board goes through, () nothing. ``safety``: someone's safety rests on every function of it.
    ``nets`` and ``loads`` are its circuit, where it is stated; each of ``never`` names units, as K1.A, that the
    electronics never has on together.
    """

    name: str
    title: str = ""
    supply: Supply = Supply()
    ambient_min_c: float | None = None
    ambient_max_c: float | None = None
    board_thickness_mm: float | None = None
    lid_clearance_mm: float | None = None
    process: tuple[str, ...] | None = None
    cautions: tuple[str, ...] = ()
    patterns: dict[str, HolePattern] | None = None
    positions: tuple[Position, ...] = ()
    repairs: tuple[Repair, ...] = ()
    hole_clearance: str = ""
    hole_tolerances: str = ""
    drill_tolerance_mm: float | None = None
    hole_position_tolerance_mm: float | None = None
    leg_dressing_mm: float = 0.0
    safety: bool = False
    nets: tuple[Net, ...] = ()
    loads: tuple[NetLoad, ...] = ()
    never: tuple[tuple[str, ...], ...] = ()

    def position(self, ref: str) -> Position | None:
        return next((p for p in self.positions if p.ref == ref), None)

    def pattern_of(self, position: Position) -> HolePattern | None:
        return (self.patterns or {}).get(position.pattern)


@dataclass(frozen=True, slots=True)
class Place:
    """One position with all that surrounds it: what match, fit and duty are asked about.

    ``wiring`` is the wiring the board expects, its pins being hole names; None = not known.
    ``original`` data that came from the fitted part travels in the requirement, not here. ``doubts`` are what the
    board's circuit leaves open there, whatever part stands in it; the position's functions are as the circuit tells.
    """

    board: Board
    position: Position
    pattern: HolePattern
    wiring: Wiring | None
    doubts: tuple[Finding, ...] = ()

    @property
    def states_safety(self) -> bool:
        """Whether the board, or a function there, says that someone's safety rests on it."""
        return self.board.safety or any(function.safety for function in self.position.functions)


_RANGES: dict[str, tuple[float | None, float | None, float | None]] = {
    "A": (6.0, 12.0, 16.0),
    "B": (8.0, 12.0, 16.0),
    "C": (9.0, 12.0, 16.0),
    "D": (10.5, 12.0, 16.0),
    "E": (10.0, 24.0, 32.0),
    "F": (16.0, 24.0, 32.0),
    "G": (22.0, 24.0, 32.0),
    "H": (18.0, 24.0, 32.0),
    "Z": (None, None, None),
}

JUMP_VOLTS, JUMP_SECONDS = 24.0, 60.0
"""A boost start of a 12 V vehicle from a 24 V one: ISO 16750-2, from memory. For 24 V none is printed."""


def supply_for(code: str) -> Supply | None:
    """The supply that a code letter stands for (volts), or None for a letter that is not one.

    >>> supply = supply_for("C")
    >>> supply.min_volts, supply.max_volts
    (9.0, 16.0)
    """
    if (limits := _RANGES.get(code.strip().upper())) is None:
        return None
    low, nominal, high = limits
    return Supply(low, nominal, high, code.strip().upper())


def usual_jump(supply: Supply) -> Supply:
    """The supply with the boost start that ISO 16750-2 tests; unchanged where it tests none."""
    if supply.nominal_volts != 12:
        return supply
    return replace(supply, jump_volts=JUMP_VOLTS, jump_seconds=JUMP_SECONDS)


LOAD_DUMPS = {
    ("suppressed", 12.0): (35.0, 400.0),
    ("suppressed", 24.0): (58.0, 350.0),
    ("unsuppressed", 12.0): (101.0, 400.0),
    ("unsuppressed", 24.0): (202.0, 350.0),
}
"""Volts and milliseconds of a load dump by the vehicle's nominal volts: ISO 16750-2, tests B and A, the hardest of each
as reprinted; 58 V is typical, as agreed with the customer."""


def usual_dump(supply: Supply, kind: str) -> Supply:
    """The supply with the load dump that ISO 16750-2 tests, suppressed or not; unchanged where it tests none."""
    volts, ms = LOAD_DUMPS.get((kind, supply.nominal_volts or 0.0), (None, None))
    return supply if volts is None else replace(supply, dump_volts=volts, dump_ms=ms)


def codes() -> tuple[str, ...]:
    return tuple(_RANGES)


BOARD_LOADS = replace(
    LOADS,
    words=(
        *LOADS.words,
        *("solenoid", "transformer", "mercury lamp", "sodium lamp", "led supply", "electromagnet", "mixed"),
    ),
    also={**LOADS.also, "led supply": ("led driver",), "solenoid": ("solenoid valve",)},
)
"""Also what a published inrush table tells apart, an electromagnet whose utilisation category follows from its size,
and a load of several kinds."""

CONTACTS = Words(("make", "break"), CONTACT_WORDS)

SUPPRESSIONS = Words(
    (*(word.value for word in Suppression), "zener", "TVS", "varistor", "RC"),
    {
        "none": ("no", "without", "unsuppressed"),
        "diode": ("freewheeling diode", "flyback diode"),
        "diode+zener": ("diode and zener", "zener and diode", "zener+diode"),
        "varistor": ("MOV", "VDR"),
        "RC": ("snubber", "RC snubber", "R+C"),
    },
    {"clamp": "a zener, a TVS or a diode+zener?"},
)
"""What may lie across a coil or a load."""

ONE_WAY_SUPPRESSIONS = ("diode", "zener")
"""Conduct freely one way round, so they short a load whose polarity is reversed."""

POLARITIES = Words(
    ("low side", "high side", "both ways"),
    {
        "low side": ("low", "low side switch", "sinking"),
        "high side": ("high", "high side switch", "sourcing"),
        "both ways": ("both", "bridge", "H bridge"),
    },
)

COMMONS = Words(
    ("plus", "minus", "both ways"),
    {"plus": ("+", "positive"), "minus": ("-", "negative"), "both ways": ("both", "either", "alternating")},
)
"""At which pole of the supply the common of a contact lies, and so which way its current flows."""

NET_WORDS = {
    "supply": ("+", "plus", "positive", "battery", "feed", "B+"),
    "ground": ("gnd", "earth", "minus", "negative", "0 V", "chassis", "return"),
}
"""The trade's other words for what holds a net at its volts."""

PROCESSES = Words(
    ("wash", "coating"),
    {"wash": ("washing", "washed"), "coating": ("conformal coating", "coated", "lacquer", "varnish")},
)
"""What the finished board may go through."""
