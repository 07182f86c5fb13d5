"""What to add at an inductive load: a diode, a diode with a zener, or an RC, in the sizes that parts are made in.

Each brings what it must bear, the highest volts the opening contact then sees, and the energy of one switching off.
The energy is ½ L I², L from the load's L/R, its volts and its amps. What a charged capacitor drives through the closing
contact is kept within what the contact may make. Preferred values: IEC 60063, series E3 to E24 (two
figures in each decade). Values are for a bench to check, not an order.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import floor, log10

from bom.boards.board import Function, Load
from bom.duty.cautions import is_dangerous
from bom.duty.margins import known
from bom.duty.published_ratings import kind_of, load_lr_ms, making_amps, usable
from bom.duty.release import DIODE_VOLTS, stored_joules
from bom.duty.sources import BOARD_MANUAL, DRIVE_MANUAL, METER_MANUAL, PUMP_MANUAL, SAFETY_UNIT_MANUAL, SUPPRESSION_NOTE
from bom.relays.relay import Design, SupplyKind

MAKES_A_PEAK = ("motor", "inductive", "solenoid", "transformer", "electromagnet", "AC-14", "AC-15", "DC-13", "DC-14")

REVERSE_TIMES = 10.0
"""Reverse volts of a diode over those of the circuit: source 26, appendix A; source 27 (2 to 3 times are tolerated
in electronic circuits, the same)."""

CAPACITOR_TIMES = 2.0
"""Volts a snubber's parts withstand over those of the circuit: source 27, page 55."""

MOST_SWING_VOLTS = 300.0
"""The peak a contact and its capacitor are kept under: source 29, page 322."""

OTHERS = ", ".join(str(s.number) for s in (SAFETY_UNIT_MANUAL, BOARD_MANUAL, DRIVE_MANUAL))
"""The numbers of the other guides that print an RC."""

LEAST_MICROFARADS = 0.001
"""The floor of Bates' capacitor in its reprints, from memory."""


@dataclass(frozen=True, slots=True)
class Protection:
    """One way: the parts with their values, the peak over the opening contact, what it costs, where it is published.

    ``peak_volts`` None = not known without the load's inductance.
    """

    name: str
    parts: str
    peak_volts: float | None
    remark: str
    source: str


@dataclass(frozen=True, slots=True)
class LoadProtection:
    """The ways that serve one load, quickest opening last; ``joules`` None = the load's L/R is not stated."""

    function: str
    amps: float
    volts: float
    henries: float | None
    joules: float | None
    ways: tuple[Protection, ...]
    remark: str = ""


def protection_for(function: Function, design: Design | None = None) -> LoadProtection | None:
    """What to add at this function's load; None where it is not inductive, is suppressed, or states too little.

    ``design`` is the part whose contact it is; without it the contact is taken to make no more than the load's amps.
    """
    load = function.load
    if kind_of(load) not in MAKES_A_PEAK or load.suppression not in ("", "none") or not load.volts or not load.amps:
        return None
    cut = load.amps if load.stall_amps is None else max(load.amps, load.stall_amps)
    henries = load_henries(load)
    joules = None if henries is None else stored_joules(henries, cut)
    rc = _rc(load, _may_make(function, design), henries)
    mains = load.supply is SupplyKind.AC and is_dangerous(load.volts, load.supply)
    ways = (*_dc_ways(load, cut), _for_mains(rc) if mains else rc)
    return LoadProtection(function.name, cut, load.volts, henries, joules, ways, _missing(henries))


def _missing(henries: float | None) -> str:
    return "" if henries is not None else "the load's L/R is not stated: energy and undamped peak are unknown"


def load_henries(load: Load) -> float | None:
    """L = L/R · V/I; None where the L/R is not stated and no category implies it."""
    lr_ms = load_lr_ms(load)
    return None if lr_ms is None or not load.volts or not load.amps else lr_ms / 1000 * load.volts / load.amps


def _dc_ways(load: Load, cut: float) -> tuple[Protection, ...]:
    """Diodes know one direction only: not for AC, and not for a motor that is reversed."""
    if load.supply is SupplyKind.AC or load.reversing or not load.volts:
        return ()
    return (_diode(load.volts, cut), _diode_zener(load.volts, cut))


def _diode(volts: float, cut: float) -> Protection:
    parts = f"a diode across the load, cathode to +: {REVERSE_TIMES * volts:.0f} V reverse, {cut:.3g} A or more"
    remark = "the load lets go slowest"
    source = f"diode: {BOARD_MANUAL.cited}, appendix A; {DRIVE_MANUAL.cited}, page 55"
    return Protection("diode", parts, volts + DIODE_VOLTS, remark, source)


def _diode_zener(volts: float, cut: float) -> Protection:
    zener = at_least(volts, 24)
    parts = f"a diode and a {zener:g} V zener in series across the load, {cut:.3g} A peak or more"
    remark = "the load lets go quickly"
    source = f"zener about equal to the supply: {BOARD_MANUAL.cited}; {SUPPRESSION_NOTE.cited}; E24: IEC 60063"
    return Protection("diode and zener", parts, volts + zener + DIODE_VOLTS, remark, source)


def _may_make(function: Function, design: Design | None) -> float:
    """The amps that the contact may make: published, else no more than those of its load."""
    load = function.load
    published = making_amps(usable(design.ratings, function), load) if design is not None else 0.0
    return published or known(load.amps)


def discharge_ohms(volts: float, supply: SupplyKind, makes: float) -> float:
    """The least ohms through which the charged capacitor drives no more than the contact may make: V / I, source 29,
    page 322; on AC V is the peak, √2 times the volts."""
    return volts * (2**0.5 if supply is SupplyKind.AC else 1.0) / makes


def _rc(load: Load, makes: float, henries: float | None) -> Protection:
    """Bates' values for the running current, the ohms no fewer than the contact's make asks, raised to the next of E6,
    beside the range the other guides print."""
    volts, amps = known(load.volts), known(load.amps)
    bates, (least, most) = bates_snubber(volts, amps), guide_snubber(volts, amps)
    farads = at_least(max(bates.microfarads, LEAST_MICROFARADS), 6)
    ohms = at_least(max(bates.ohms, discharge_ohms(volts, load.supply, makes)), 6)
    parts = f"{farads:g} µF and {ohms:g} Ω in series across the contact, {CAPACITOR_TIMES * volts:.0f} V or more"
    spread = f"{least.microfarads:.3g} to {most.microfarads:.3g} µF and {least.ohms:.3g} to {most.ohms:.3g} Ω"
    remark = f"other guides [{OTHERS}] print {spread}; never a capacitor alone"
    peak = None if henries is None else rc_peak_volts(volts, amps, ohms, henries, farads)
    if peak is not None and henries is not None and peak > MOST_SWING_VOLTS:
        enough = at_least(least_microfarads(amps, henries), 6)
        remark = f"too little for this load, {enough:g} µF would keep it under {MOST_SWING_VOLTS:g} V; {remark}"
    source = f"C. C. Bates' formula, {PUMP_MANUAL.cited}; least ohms and swing: {METER_MANUAL.cited}, page 322; "
    source += "E6: IEC 60063"
    return Protection("RC", parts, peak, remark, source)


def _for_mains(way: Protection) -> Protection:
    remark = f"on mains a capacitor of class X2 (IEC 60384-14, from memory), fitted by those licensed; {way.remark}"
    return replace(way, remark=remark)


def rc_peak_volts(volts: float, amps: float, ohms: float, henries: float, microfarads: float) -> float:
    """The most over the opening contact: at once I R, then the supply and the swing of L into C, I √(L/C).

    The swing leaves out what R and the winding take, so the true peak is lower. Energy of ½ L I² = ½ C V², as in the
    least capacitor of source 29, page 322: C = (I / 300)² L.
    """
    swing: float = (henries / (microfarads * 1e-6)) ** 0.5 * amps
    return max(amps * ohms, volts + swing)


def least_microfarads(amps: float, henries: float, most_volts: float = MOST_SWING_VOLTS) -> float:
    """The capacitor that keeps the swing to ``most_volts``: C = (I / V)² L, source 29, page 322."""
    return 1e6 * (amps / most_volts) ** 2 * henries


@dataclass(frozen=True, slots=True)
class Snubber:
    """A resistor and a capacitor in series across a contact."""

    microfarads: float
    ohms: float


def bates_snubber(volts: float, amps: float) -> Snubber:
    """C = I²/10 microfarads and R = E / (10 I (1 + 50/E)) ohms; ValueError unless both are above zero.

    Source: C. C. Bates' formula, as reprinted in source 28. Other guides (sources 26 and
    27) print 0.5 to 1 microfarad per amp and 0.5 to 1 ohm per volt: see ``guide_snubber``.

    >>> snubber = bates_snubber(24, 2)
    >>> snubber.microfarads, round(snubber.ohms, 2)
    (0.4, 0.39)
    """
    if volts <= 0 or amps <= 0:
        raise ValueError("a snubber is for volts and amps above zero")
    return Snubber(amps**2 / 10, volts / (10 * amps * (1 + 50 / volts)))


def guide_snubber(volts: float, amps: float) -> tuple[Snubber, Snubber]:
    """The least and most of the other printed rule: 0.5 to 1 microfarad per amp, 0.5 to 1 ohm per volt.

    Source: source 26, appendix A; source 27. It disagrees with Bates by 5 to 10 times in C.
    """
    return Snubber(0.5 * amps, 0.5 * volts), Snubber(1.0 * amps, 1.0 * volts)


_E24 = (
    *(1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0),
    *(3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1),
)


SERIES = {24: _E24, 12: _E24[::2], 6: _E24[::4], 3: _E24[::8]}
"""Each series holds every second value of the next finer one."""


_ROUNDING = 1e-9  # no test can tell its size; a value already preferred, but a rounding above it, stays where it is


def at_least(value: float, series: int = 12) -> float:
    """The smallest preferred value of E3, E6, E12 or E24 that is not below ``value``, in the same unit.

    ValueError for a value that is not above zero, KeyError for a series that is not one.

    >>> at_least(7.56, 6), at_least(75.6, 6)
    (10.0, 100.0)
    """
    steps = SERIES[series]
    if value <= 0:
        raise ValueError("a preferred value is above zero")
    decade = 10.0 ** floor(log10(value))
    found = next((s for s in steps if s * decade >= value * (1 - _ROUNDING)), 10.0)
    return float(f"{found * decade:.3g}")
