"""Whole worlds in which the candidate is a drop-in: two invented parts, a board, and how the question is asked.

Each states nearly all that its kind of world can state, so that the audit of absence has every field to blank, and the
candidate is at least as good as the fitted part in everything. Volts, amps, ohms, millimetres and degrees Celsius.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from bom.boards.board import (
    Board,
    Driver,
    Function,
    Hole,
    HolePattern,
    KeepOut,
    Load,
    Net,
    NetIs,
    NetLoad,
    Position,
    Repair,
    Supply,
)
from bom.duty.rules import DEFAULT, Rule
from bom.match.cross_reference import cross_reference
from bom.match.match import judge
from bom.match.requirement import like
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import (
    CoilSystem,
    ContactPolarity,
    Design,
    Guided,
    Insulation,
    Mains,
    Rating,
    Relay,
    Sealing,
    Status,
    SupplyKind,
    Suppression,
)
from bom.relays.wiring import Element, Kind, Transfer, Wiring
from bom.shop.places import requirement_at
from bom.values.finding import Finding, Verdict, verdict_of

FITTED, CANDIDATE = "OST-1", "KIT-1"


class Ask(StrEnum):
    """The three ways in which a replacement is asked for and may be a drop-in."""

    AT_POSITION = "at a position"
    LIKE = "like a part"
    CROSS = "cross-reference"


@dataclass(frozen=True)
class World:
    """The fitted part and the candidate in a catalogue, a board with the position K1, and the question."""

    name: str
    catalogue: Catalogue
    board: Board
    ask: Ask = Ask.AT_POSITION
    rule: Rule = DEFAULT

    @property
    def candidate(self) -> Design:
        return self.catalogue.design(_only(self.catalogue, CANDIDATE))

    def verdict(self) -> Verdict:
        """The candidate's verdict, by the way in which this world asks."""
        if self.ask is Ask.CROSS:
            pairs = cross_reference(self.catalogue.designs(), refused=True).replacements
            ours = (p for p in pairs if (p.old.name, p.new.name) == (FITTED, CANDIDATE))
            return next((p.verdict for p in ours), Verdict.DROP_IN)  # one design in all facts: the same part
        return verdict_of(self.findings())

    def findings(self) -> tuple[Finding, ...]:
        """Every finding about the candidate, where it is not a whole cross-reference that is asked for."""
        return judge(self._requirement, self.candidate, self.rule).findings

    @property
    def _requirement(self) -> Any:
        if self.ask is Ask.AT_POSITION:
            return requirement_at(self.catalogue, {self.board.name: self.board}, f"{self.board.name}:K1")
        return like(self.catalogue.design(_only(self.catalogue, FITTED)))


def _only(catalogue: Catalogue, number: str) -> Relay:
    return next(r for r in catalogue.relays if r.part_number == number)


# ---- the parts -----------------------------------------------------------------------------------------------------

SHEET: dict[str, Any] = {
    "series": "invented",
    "status": Status.ACTIVE,
    "coil_system": CoilSystem.MONOSTABLE,
    "coil_supply": SupplyKind.DC,
    "coil_volts": 12.0,
    "coil_ohms": 240.0,
    "coil_ohms_tol_pct": 10.0,
    "operate_volts": 7.2,
    "release_volts": 1.2,
    "coil_max_volts": 20.0,
    "coil_ref_temp_c": 20.0,
    "coil_suppression": Suppression.NONE,
    "coil_henries": 1.0,
    "contact_material": "AgSnO2",
    "min_load_volts": 5.0,
    "min_load_milliamps": 100.0,
    "min_load_milliwatts": 500.0,
    "contact_polarity": ContactPolarity.EITHER,
    "most_per_minute": 20.0,
    "together_amps": 20.0,
    "dielectric_volts": 1000.0,
    "temp_min_c": -40.0,
    "temp_max_c": 85.0,
    "sealing": Sealing.RT_III,
    "guided": Guided.NO,
    "body_height_mm": 14.0,
    "standoff_mm": 0.3,
    "pin_length_mm": 3.5,
    "operate_ms": 7.0,
    "release_ms": 3.0,
    "mechanical_ops": 1e7,
    "source": "invented sheet",
}
# What the candidate's sheet has a little better than the fitted part's.
BETTER: dict[str, Any] = {"coil_ohms": 250.0, "operate_volts": 7.1, "release_volts": 1.3, "body_height_mm": 13.5}
BETTER |= {"temp_max_c": 105.0, "min_load_milliamps": 90.0, "operate_ms": 6.0}


def relay(number: str, wired: str, drawn: str, **stated: Any) -> Relay:
    """A part whose sheet states everything."""
    maker = "Ostrel" if number == FITTED else "Kithmar"
    return Relay(maker, number, **SHEET | {"footprint": drawn, "wiring": wired} | stated)


def body(slots: Iterable[Slot]) -> dict[str, float]:
    """A body that covers its pins with 4 mm to spare all round."""
    xs, ys = [s.x_mm for s in slots], [s.y_mm for s in slots]
    sides = sorted((max(xs) - min(xs) + 8.0, max(ys) - min(ys) + 8.0))
    return {"body_length_mm": sides[1], "body_width_mm": sides[0]}


def line(contact: str, load: str, volts: float, amps: float, supply: SupplyKind = SupplyKind.DC, **more: Any) -> Rating:
    """A published line with its conditions."""
    stated = {"temp_c": 85.0, "operations": 3e5, "source": "invented sheet"} | more
    return Rating("", contact, load, supply, volts, amps, **stated)


# Where the pins of one unit lie: coil +, coil -, common, make, break; the second unit lies 20 mm below, a second pole
# 10 mm to the right.
PLACES = {"p": (0.0, 0.0), "n": (0.0, 10.0), "c": (7.5, 5.0), "m": (17.5, 0.0), "b": (17.5, 10.0)}
RESET = {"q": (2.5, 12.5), "r": (10.0, 12.5)}


@dataclass(frozen=True)
class Slot:
    """One pin's place: its name on the sheets and the board, and the net that its hole belongs to."""

    name: str
    x_mm: float
    y_mm: float
    net: str


def unit(name: str, roles: str = "pncmb", dy: float = 0.0, nets: Mapping[str, str] | None = None) -> tuple[Slot, ...]:
    """The slots of one unit; each a net of its own unless stated."""
    places, known = PLACES | RESET, nets or {}
    return tuple(
        Slot(f"{name}{r}", places[r][0], places[r][1] + dy, known.get(r, f"NET_{name}{r}".upper())) for r in roles
    )


def drawing(name: str, slots: Iterable[Slot], **more: Any) -> Footprint:
    """Flat leads of 0.8 x 0.3 mm, and where the body's middle lies over them."""
    pins = tuple(Pin(s.name, s.x_mm, s.y_mm, 0.8, 0.3, 90.0) for s in slots)
    xs, ys = [p.x_mm for p in pins], [p.y_mm for p in pins]
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    return Footprint(name, pins, body_mm=middle, **more)


def holes(slots: Iterable[Slot]) -> HolePattern:
    return HolePattern("p", tuple(Hole(s.name, s.x_mm, s.y_mm, 1.3, s.net) for s in slots))


def coil(name: str, ends: str = "pn", polarised: bool = False) -> Element:
    return Element(name, "", Kind.COIL, name + ends[0], name + ends[1], polarised)


def contact(kind: Kind, name: str, pole: str = "1") -> Element:
    """A contact of this unit between its common and its make or break pin, which breaks before it makes."""
    end = "m" if kind is Kind.MAKE else "b"
    suffix = "" if pole == "1" else pole
    return Element(name, pole, kind, f"{name}c{suffix}", f"{name}{end}{suffix}", transfer=Transfer.BREAK_FIRST)


def changeover(name: str, *, polarised: bool = False) -> tuple[Element, ...]:
    return (coil(name, polarised=polarised), contact(Kind.MAKE, name), contact(Kind.BREAK, name))


# ---- the board -----------------------------------------------------------------------------------------------------

DRIVER = Driver(80.0, 350.0, 0.9, "low side", "diode", off_volts=0.2)
KEEP_OUT = KeepOut("rib of the lid", 60.0, 40.0, 10.0, 2.0, 5.0, 6.0)


def board(slots: Iterable[Slot], functions: Iterable[Function], **stated: Any) -> Board:
    """A board with the position K1 that states all that a board can, but what only some worlds have.

    ``position`` and ``supply`` hold what differs there; any other key is the board's own.
    """
    there = {"driver": DRIVER, "units_on_together": 1, "coil_rise_k": 20.0, "keep_outs": (KEEP_OUT,)}
    there |= {"x_mm": 12.0, "y_mm": 8.0, "turn_deg": 90.0}
    there |= {"fitted": FITTED, "wiring": "board"} | stated.pop("position", {})
    supply = Supply(11.0, 12.0, 14.4, "C")
    own: dict[str, Any] = {
        "title": "invented box",
        "supply": replace(supply, **stated.pop("supply", {})),
        "ambient_min_c": -20.0,
        "ambient_max_c": 60.0,
        "board_thickness_mm": 1.6,
        "lid_clearance_mm": 16.0,
        "process": ("wash", "coating"),
        "cautions": ("mind the spring",),
        "hole_clearance": "B",
        "hole_tolerances": "worst case",
        "drill_tolerance_mm": 0.05,
        "hole_position_tolerance_mm": 0.05,
        "leg_dressing_mm": 0.1,
        "repairs": (Repair("drive", ("it does not move",), ("K1",), ("fuse",)),),
    }
    position = Position("K1", "p", functions=tuple(functions), **there)
    return Board("B", patterns={"p": holes(slots)}, positions=(position,), **own | stated)


USE: dict[str, Any] = {"operations_per_day": 50.0, "life_years": 10.0, "temp_c": 60.0, "suppression": "none"}
USE |= {"operations_per_minute": 6.0, "common": "plus"}


def load(kind: str, volts: float, amps: float, **more: Any) -> Load:
    return Load(kind, volts, amps, **USE | more)


def serves(contact_kind: Kind, of: Load, name: str = "A", pole: str = "1", **more: Any) -> Function:
    return Function(f"{name}{pole} {contact_kind}", name, contact_kind, of, pole, **more)


# ---- putting a world together ---------------------------------------------------------------------------------------


def world(
    name: str,
    slots: tuple[Slot, ...],
    elements: tuple[Element, ...],
    ratings: tuple[Rating, ...],
    functions: Iterable[Function] = (),
    *,
    ask: Ask = Ask.AT_POSITION,
    both: Mapping[str, Any] | None = None,
    better: Mapping[str, Any] | None = None,
    drawn: Callable[[str, tuple[Slot, ...]], Footprint] = drawing,
    **stated: Any,
) -> World:
    """``both`` is what the two sheets state otherwise than ``SHEET``, ``better`` what only the candidate's does.

    What else is ``stated`` is the board's, whose wiring is that of the parts with hole names for pins.
    """
    sheet = body(slots) | dict(both or {})
    ours = BETTER | sheet | dict(better or {})
    parts = (relay(FITTED, "old wiring", "old pins", **sheet), relay(CANDIDATE, "new wiring", "new pins", **ours))
    drawings = {n: drawn(n, slots) for n in ("old pins", "new pins")}
    wirings = {n: Wiring(n, elements) for n in ("old wiring", "new wiring", "board")}
    lines = tuple(replace(r, applies_to=number) for number in (FITTED, CANDIDATE) for r in ratings)
    return World(name, Catalogue(parts, drawings, wirings, lines), board(slots, functions, **stated), ask)


SINGLE, TWIN = unit("A"), (*unit("A"), *unit("B", dy=20.0))
AC = SupplyKind.AC


def resistive() -> World:
    heats, warns = load("resistive", 14, 8), load("resistive", 14, 2)
    lines = (line("make", "resistive", 14, 20), line("break", "resistive", 14, 10))
    uses = (serves(Kind.MAKE, heats), serves(Kind.BREAK, warns))
    return world("heater on a changeover", SINGLE, changeover("A"), lines, uses)


MOTOR_LINES = (
    line("make", "motor", 16, 14, inrush_amps=30, carry_amps=35, carry_seconds=3),
    line("break", "motor", 16, 14, inrush_amps=30, carry_amps=35, carry_seconds=3),
    line("both", "resistive", 16, 20),
)


def reversing() -> World:
    bridge = {"c": "", "m": "VBAT", "b": "GND", "p": "VBAT"}
    slots = (*unit("A", nets=bridge | {"c": "LEG_A"}), *unit("B", dy=20.0, nets=bridge | {"c": "LEG_B"}))
    peaks = {"stall_amps": 12.0, "stall_seconds": 0.5, "brake_amps": 10.0, "inrush_amps": 12.0}
    drive = load("motor", 14, 2.5, reversing=True, pause_ms=600.0, **peaks)
    uses = tuple(serves(Kind.MAKE, drive, name) for name in "AB")
    circuit = {
        "nets": (Net("VBAT", NetIs.SUPPLY, 14.0), Net("GND", NetIs.GROUND)),
        "loads": (NetLoad("valve", "LEG_A", "LEG_B", replace(drive, stops_at_end=True), "opens", "closes"),),
        "never": (("K1.A", "K1.B"),),
    }
    return world("reversing twin", slots, (*changeover("A"), *changeover("B")), MOTOR_LINES, uses, **circuit)


def lamp() -> World:
    lines = (line("make", "lamp", 14, 10, inrush_amps=110), line("make", "resistive", 14, 20))
    of = load("lamp", 14, 6, inrush_amps=70)
    slots = unit("A", "pncm")
    return world("lamps with an inrush", slots, (coil("A"), contact(Kind.MAKE, "A")), lines, (serves(Kind.MAKE, of),))


def motor_one_way() -> World:
    of = load("motor", 14, 3, stall_amps=14, stall_seconds=0.5)
    slots = unit("A", "pncm")
    elements = (coil("A"), contact(Kind.MAKE, "A"))
    return world("pump motor", slots, elements, MOTOR_LINES, (serves(Kind.MAKE, of),))


MAINS: dict[str, Any] = {"dielectric_volts": 1000.0, "coil_contact_volts": 4000.0, "between_poles_volts": 3000.0}
MAINS |= {"insulation": Insulation.REINFORCED, "impulse_volts": 6000.0}


def mains_resistive() -> World:
    lines = (line("make", "resistive", 250, 16, AC, power_factor=1.0), line("break", "resistive", 250, 10, AC))
    of = load("resistive", 230, 8, supply=AC)
    return world("mains heater", SINGLE, changeover("A"), lines, (serves(Kind.MAKE, of),), both=MAINS)


def mains_inductive() -> World:
    lines = (
        line("make", "inductive", 250, 6, AC, power_factor=0.4, inrush_amps=40),
        line("make", "resistive", 250, 16, AC, power_factor=1.0),
    )
    of = load("inductive", 230, 3, supply=AC, power_factor=0.5, inrush_amps=20, suppression="RC")
    return world("mains solenoid valve", SINGLE, changeover("A"), lines, (serves(Kind.MAKE, of),), both=MAINS)


def mains_and_low_volts() -> World:
    """A pole on mains beside one that people may touch, and a board that says what must keep them apart."""
    slots = (*SINGLE, *(replace(s, name=f"{s.name}2", y_mm=s.y_mm + 20, net=f"{s.net}2") for s in SINGLE[2:]))
    elements = (coil("A"), *(contact(k, "A", pole) for pole in "12" for k in (Kind.MAKE, Kind.BREAK)))
    lines = (line("both", "resistive", 250, 10, AC), line("both", "resistive", 30, 10))
    uses = (
        serves(Kind.MAKE, load("resistive", 230, 4, supply=AC)),
        serves(Kind.MAKE, load("resistive", 14, 2), pole="2"),
    )
    position = {"insulation": Insulation.REINFORCED, "impulse_volts": 4000.0}
    return world("mains beside low volts", slots, elements, lines, uses, both=MAINS, position=position)


def dc_inductive() -> World:
    of = load("inductive", 14, 2, lr_ms=10)
    lines = (line("make", "inductive", 14, 5, lr_ms=40), line("make", "resistive", 14, 16))
    return world("winding on DC", SINGLE, changeover("A"), lines, (serves(Kind.MAKE, of),))


def not_washed() -> World:
    """A tight part was fitted, and the board file does not say what the board goes through."""
    lines = (line("both", "resistive", 14, 16),)
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    return world("tight part, process not stated", SINGLE, changeover("A"), lines, uses, process=None)


def mains_category() -> World:
    lines = (line("both", "AC-15", 250, 3, AC), line("both", "AC-1", 250, 10, AC))
    of = load("AC-15", 230, 1.5, supply=AC, suppression="RC")
    return world("mains contactor coil", SINGLE, changeover("A"), lines, (serves(Kind.MAKE, of),), both=MAINS)


def guided() -> World:
    slots = (*SINGLE, *(replace(s, name=f"{s.name}2", y_mm=s.y_mm + 20, net=f"{s.net}2") for s in SINGLE[2:]))
    elements = (coil("A"), *(contact(k, "A", pole) for pole in "12" for k in (Kind.MAKE, Kind.BREAK)))
    of = load("resistive", 24, 2)
    uses = (serves(Kind.MAKE, of, safety=True), serves(Kind.BREAK, of, pole="2", safety=True))
    lines = (line("both", "resistive", 30, 6),)
    return world("guided pair", slots, elements, lines, uses, both={"guided": Guided.A}, safety=True)


def latching_two() -> World:
    slots = unit("A", "pnqrcmb")
    elements = (coil("A"), coil("A", "qr"), contact(Kind.MAKE, "A"), contact(Kind.BREAK, "A"))
    lines = (line("both", "resistive", 14, 16),)
    sheet = {"coil_system": CoilSystem.LATCHING_2_COIL}
    position = {"driver": replace(DRIVER, pulse_ms=50.0)}
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    return world("latching with two coils", slots, elements, lines, uses, both=sheet, position=position)


def latching_one() -> World:
    elements = changeover("A", polarised=True)
    lines = (line("both", "resistive", 14, 16),)
    sheet = {"coil_system": CoilSystem.LATCHING_1_COIL}
    position = {"driver": replace(DRIVER, pulse_ms=50.0, polarity="both ways")}
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    return world("latching with one coil", SINGLE, elements, lines, uses, both=sheet, position=position)


def half_a_twin() -> World:
    idle = unit("B", dy=20.0, nets=dict.fromkeys("cmb", ""))
    slots = (
        *unit("A"),
        *(replace(s, net="SPARE_P" if s.name == "Bp" else "SPARE_N" if s.name == "Bn" else "") for s in idle),
    )
    lines = (line("both", "resistive", 14, 16),)
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    return world("twin with one half used", slots, (*changeover("A"), *changeover("B")), lines, uses)


def coil_with_diode() -> World:
    sheet = {"coil_suppression": Suppression.DIODE_ZENER, "suppression_volts": 24.0}
    position = {"driver": replace(DRIVER, suppression="none")}
    lines = (line("both", "resistive", 14, 16),)
    elements = changeover("A", polarised=True)
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    return world("coil with a diode and zener", SINGLE, elements, lines, uses, both=sheet, position=position)


def coil_with_resistor() -> World:
    sheet = {"coil_suppression": Suppression.RESISTOR, "suppression_ohms": 4700.0}
    position = {"driver": replace(DRIVER, suppression="none")}
    of = load("solenoid", 14, 2, lr_ms=10)
    lines = (line("make", "inductive", 14, 5, lr_ms=40), line("make", "resistive", 14, 16))
    uses = (serves(Kind.MAKE, of),)
    return world("coil with a resistor", SINGLE, changeover("A"), lines, uses, both=sheet, position=position)


def hot_restart() -> World:
    """How warm the coil gets is told by the maker's figures."""
    sheet = {"coil_kelvin_per_watt": 30.0, "contact_rise_k": 8.0, "contact_rise_amps": 16.0, "hold_volts": 5.0}
    lines = (line("both", "resistive", 14, 16),)
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    position = {"coil_rise_k": None}
    return world("hot restart", SINGLE, changeover("A"), lines, uses, both=sheet, position=position)


def clamped_driver() -> World:
    """What the driver bears while it is open is stated, and where the board's own clamp conducts."""
    position = {"driver": replace(DRIVER, suppression="TVS", clamp_volts=30.0, breakdown_volts=60.0)}
    lines = (line("both", "resistive", 14, 16),)
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    return world("driver with a clamp", SINGLE, changeover("A"), lines, uses, position=position)


def doubled_pins() -> World:
    twice = (Slot("Ac2", 10.0, 5.0, "NET_AC"), Slot("Am2", 20.0, 0.0, "NET_AM"))
    slots = (*unit("A", "pncm"), *twice)
    elements = (coil("A"), contact(Kind.MAKE, "A"), *(Element("", "", Kind.BRIDGE, a, f"{a}2") for a in ("Ac", "Am")))
    lines = (line("make", "resistive", 14, 40, carry_amps=60, carry_seconds=10),)
    of = load("resistive", 14, 30, in_parallel=1)
    return world("high current, doubled pins", slots, elements, lines, (serves(Kind.MAKE, of),))


def signal() -> World:
    sheet = {"min_load_volts": 0.1, "min_load_milliamps": 1.0, "min_load_milliwatts": 0.1}
    lines = (line("both", "resistive", 30, 1),)
    uses = (serves(Kind.MAKE, load("resistive", 5, 0.01)),)
    sheet |= {"contact_material": "AgNi, gold plated"}
    return world("signal level", SINGLE, changeover("A"), lines, uses, both=sheet, better={"min_load_milliamps": 1.0})


def mixed() -> World:
    of = load("mixed", 14, 3, mixed=(("lamp", 1.0), ("resistive", 2.0)), in_parallel=2)
    lines = (line("make", "lamp", 14, 10, inrush_amps=110), line("make", "resistive", 14, 20))
    return world("lamps and a heater", SINGLE, changeover("A"), lines, (serves(Kind.MAKE, of),))


def hotter_line() -> World:
    """The lines for two temperatures, the hotter one of less than the load: what they give lies between them."""
    lines = (line("make", "resistive", 14, 20, temp_c=25.0), line("make", "resistive", 14, 6, temp_c=85.0))
    uses = (serves(Kind.MAKE, load("resistive", 14, 8)),)
    return world("a line for each temperature", SINGLE, changeover("A"), lines, uses)


def pilot_duty() -> World:
    of = load("electromagnet", 24, 0.2, lr_ms=30, suppression="diode")
    lines = (line("both", "R300", 250, 1), line("both", "resistive", 30, 6))
    return world("pilot duty on DC", SINGLE, changeover("A"), lines, (serves(Kind.MAKE, of),))


def supply_events() -> World:
    """A supply that dips and rises, and a driver with an economiser; how warm the coil gets is told."""
    sheet = {"coil_max_volts": 40.0, "hold_volts": 4.0}
    supply = {"crank_volts": 7.0, "dump_volts": 35.0, "dump_ms": 400.0}
    position = {"driver": replace(DRIVER, hold_volts=6.0, pull_in_ms=100.0)}
    lines = (line("both", "resistive", 30, 10),)
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    return world("supply events", SINGLE, changeover("A"), lines, uses, both=sheet, supply=supply, position=position)


def may_drop_out() -> World:
    """The engine is cranked below what any coil holds, and the board lets the relay drop out meanwhile."""
    supply = {"crank_volts": 1.0}
    lines = (line("both", "resistive", 30, 10),)
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    position = {"may_drop_out": True}
    return world("may drop out", SINGLE, changeover("A"), lines, uses, supply=supply, position=position)


def boost_start() -> World:
    sheet = {"coil_max_volts": 26.0}
    supply = {"jump_volts": 24.0, "jump_seconds": 60.0}
    position = {"driver": replace(DRIVER, channel_milliamps=140.0)}
    lines = (line("both", "resistive", 30, 10),)
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    return world("boost start", SINGLE, changeover("A"), lines, uses, both=sheet, supply=supply, position=position)


def board_alone() -> World:
    lines = (line("both", "resistive", 30, 10),)
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    sheet = {"coil_ref_temp_c": 60.0, "coil_ohms": 280.0, "operate_volts": 7.9}
    better = {"coil_ref_temp_c": 60.0, "coil_ohms": 280.0, "operate_volts": 7.9}
    position = {"fitted": ""}
    return world(
        "fitted part not known", SINGLE, changeover("A"), lines, uses, both=sheet, better=better, position=position
    )


def drawn_from_below() -> World:
    """Both drawings from the solder side."""

    def below(name: str, slots: tuple[Slot, ...]) -> Footprint:
        return drawing(name, slots, view=View.SOLDER)

    lines = (line("both", "resistive", 30, 10),)
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    made = world(
        "drawn from the solder side",
        SINGLE,
        changeover("A"),
        lines,
        uses,
        drawn=below,
    )
    pattern = replace(holes(SINGLE), view=View.SOLDER)
    return replace(made, board=replace(made.board, patterns={"p": pattern}))


def blades_in_slots() -> World:
    """Flat leads of 2.0 x 0.8 mm in slots of 2.6 x 1.4 mm, which no round hole as wide would take."""

    def blades(name: str, slots: tuple[Slot, ...]) -> Footprint:
        drawn = drawing(name, slots)
        return replace(drawn, pins=tuple(replace(p, lead_mm=2.0, lead_width_mm=0.8) for p in drawn.pins))

    lines = (line("both", "resistive", 30, 10),)
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    made = world("blades in slots", SINGLE, changeover("A"), lines, uses, drawn=blades)
    slotted = tuple(replace(h, drill_mm=1.4, slot_mm=2.6, slot_angle_deg=90.0) for h in holes(SINGLE).holes)
    return replace(made, board=replace(made.board, patterns={"p": HolePattern("p", slotted)}))


def measured_places() -> World:
    """Pins and holes that were measured with callipers, closely enough for the room there is."""

    def measured(name: str, slots: tuple[Slot, ...]) -> Footprint:
        drawn = drawing(name, slots)
        return replace(drawn, pins=tuple(replace(p, error_mm=0.05) for p in drawn.pins))

    lines = (line("both", "resistive", 30, 10),)
    uses = (serves(Kind.MAKE, load("resistive", 14, 5)),)
    made = world("measured with callipers", SINGLE, changeover("A"), lines, uses, drawn=measured)
    known = tuple(replace(h, error_mm=0.04) for h in holes(SINGLE).holes)
    return replace(made, board=replace(made.board, patterns={"p": HolePattern("p", known)}))


LIKE_LINES = (
    line("make", "motor", 14, 8, inrush_amps=30, carry_amps=35, carry_seconds=3, lr_ms=5),
    line("break", "resistive", 14, 10),
)
LIKE_MAINS = (line("both", "inductive", 250, 4, AC, power_factor=0.4), line("both", "resistive", 250, 10, AC))


def like_dc() -> World:
    return world("like a motor relay", TWIN, (*changeover("A"), *changeover("B")), LIKE_LINES, ask=Ask.LIKE)


def like_mains() -> World:
    return world("like a mains relay", SINGLE, changeover("A"), LIKE_MAINS, ask=Ask.LIKE, both=MAINS)


def like_ac_coil() -> World:
    sheet = {"coil_supply": AC, "coil_volts": 230.0, "coil_ohms": 24000.0, "operate_volts": 184.0}
    sheet |= {"coil_max_volts": 253.0, "release_volts": 34.0, "coil_hertz": Mains.HZ_50} | MAINS
    better = {"coil_ohms": 24000.0, "operate_volts": 180.0, "release_volts": 36.0}
    return world(
        "like a relay with an AC coil", SINGLE, changeover("A"), LIKE_MAINS, ask=Ask.LIKE, both=sheet, better=better
    )


def like_diode() -> World:
    sheet = {"coil_suppression": Suppression.DIODE}
    elements = changeover("A", polarised=True)
    return world("like a relay with a diode", SINGLE, elements, LIKE_LINES, ask=Ask.LIKE, both=sheet)


def cross_dc() -> World:
    return world("cross-reference of twins", TWIN, (*changeover("A"), *changeover("B")), LIKE_LINES, ask=Ask.CROSS)


def cross_guided() -> World:
    return world(
        "cross-reference of guided relays",
        SINGLE,
        changeover("A"),
        LIKE_MAINS,
        ask=Ask.CROSS,
        both=MAINS | {"guided": Guided.B},
    )


def all_worlds() -> tuple[World, ...]:
    """Every world, those at a position first."""
    return (
        resistive(),
        reversing(),
        lamp(),
        motor_one_way(),
        mains_resistive(),
        mains_inductive(),
        mains_category(),
        mains_and_low_volts(),
        dc_inductive(),
        not_washed(),
        guided(),
        latching_two(),
        latching_one(),
        half_a_twin(),
        coil_with_diode(),
        coil_with_resistor(),
        hot_restart(),
        clamped_driver(),
        doubled_pins(),
        signal(),
        mixed(),
        hotter_line(),
        pilot_duty(),
        boost_start(),
        supply_events(),
        may_drop_out(),
        board_alone(),
        drawn_from_below(),
        blades_in_slots(),
        measured_places(),
        like_dc(),
        like_mains(),
        like_ac_coil(),
        like_diode(),
        cross_dc(),
        cross_guided(),
    )
