"""Whole cases that a relay engineer answers without a calculator, each verdict worked out by hand before it was asked.

Every class of question has a case that is a drop-in and cases that only look like one. Where several answers would be
right, they all stand in the row. A world is one of ``worlds``, changed in the one thing that its row tells of: unless
it says otherwise 12 V nominal, 11.0 to 14.4 V, -20 to 60 °C, a coil of 250 Ω that operates at 7.1 V (240 Ω and 7.2 V
in the fitted part), a driver of 80 mA a channel that drops 0.9 V.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import pytest
import worlds as w
from worlds import AC, CANDIDATE, FITTED, World, line, load, serves

from bom.boards.board import Driver, HolePattern, Net, NetIs, NetLoad
from bom.duty import sources
from bom.duty.rules import rule_named
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import (
    CoilSystem,
    ContactPolarity,
    Guided,
    Insulation,
    Mains,
    Rating,
    Sealing,
    SupplyKind,
    Suppression,
)
from bom.relays.wiring import Element, Kind, Transfer
from bom.values.finding import Verdict

DROP_IN, CONDITIONAL, NO, UNKNOWN = Verdict.DROP_IN, Verdict.CONDITIONAL, Verdict.NO, Verdict.UNKNOWN
NOT_YET = (NO, UNKNOWN)
"""Refused by what is printed, or not known: either is right, where the sheet says so little."""

PRACTICE = "common practice, no source"

# ---- a world, changed in one thing -------------------------------------------------------------------------------


def sheets(world: World, fitted: Mapping[str, Any] | None = None, **candidate: Any) -> World:
    """The same with something else on the candidate's sheet, and on the fitted part's."""
    told = {CANDIDATE: candidate, FITTED: dict(fitted or {})}
    relays = tuple(replace(r, **told[r.part_number]) for r in world.catalogue.relays)
    return replace(world, catalogue=replace(world.catalogue, relays=relays))


def lines(world: World, *ratings: Rating, of: Iterable[str] = (CANDIDATE,)) -> World:
    """The same with other published lines for the candidate, or for the parts named."""
    others = tuple(r for r in world.catalogue.ratings if r.applies_to not in of)
    ours = tuple(replace(r, applies_to=number) for number in of for r in ratings)
    return replace(world, catalogue=replace(world.catalogue, ratings=others + ours))


def wired(world: World, change: Callable[[Element], Element | None], *besides: Element) -> World:
    """The same with the candidate's wiring changed element by element, None = left out."""
    elements = tuple(e for e in map(change, world.catalogue.wirings["new wiring"].elements) if e)
    made = replace(world.catalogue.wirings["new wiring"], elements=elements + besides)
    return replace(world, catalogue=replace(world.catalogue, wirings=world.catalogue.wirings | {"new wiring": made}))


def drawn(world: World, change: Callable[[Footprint], Footprint]) -> World:
    """The same with the candidate's drawing changed."""
    drawings = world.catalogue.footprints
    made = drawings | {"new pins": change(drawings["new pins"])}
    return replace(world, catalogue=replace(world.catalogue, footprints=made))


def position(world: World, **stated: Any) -> World:
    where = replace(world.board.positions[0], **stated)
    return replace(world, board=replace(world.board, positions=(where,)))


def driver(world: World, **stated: Any) -> World:
    return position(world, driver=replace(world.board.positions[0].driver or Driver(), **stated))


def supply(world: World, **stated: Any) -> World:
    return replace(world, board=replace(world.board, supply=replace(world.board.supply, **stated)))


def board(world: World, **stated: Any) -> World:
    return replace(world, board=replace(world.board, **stated))


def holes(world: World, **stated: Any) -> World:
    made = HolePattern("p", tuple(replace(h, **stated) for h in (world.board.patterns or {})["p"].holes))
    return board(world, patterns={"p": made})


def switching(world: World, **stated: Any) -> World:
    """The same with every load changed, on contacts and between nets."""
    functions = tuple(replace(f, load=replace(f.load, **stated)) for f in world.board.positions[0].functions)
    loads = tuple(replace(x, load=replace(x.load, **stated)) for x in world.board.loads)
    return board(position(world, functions=functions), loads=loads)


# ---- what is changed ---------------------------------------------------------------------------------------------

BOTH = (FITTED, CANDIDATE)


def ohmic(amps: float | None, volts: float = 14.0, contact: str = "make", **more: Any) -> Rating:
    return replace(line(contact, "resistive", volts, 20, **more), amps=amps)


def crossed(e: Element) -> Element:
    return replace(e, kind={Kind.MAKE: Kind.BREAK, Kind.BREAK: Kind.MAKE}.get(e.kind, e.kind))


def make_alone(e: Element) -> Element | None:
    return None if e.kind is Kind.BREAK else e


def renamed(e: Element) -> Element:
    return replace(e, unit={"A": "2", "B": "1"}[e.unit])


def made_first(e: Element) -> Element:
    return e if e.kind is Kind.COIL else replace(e, transfer=Transfer.MAKE_FIRST)


def one_coil(e: Element) -> Element | None:
    """Two poles on one coil."""
    if e.kind is Kind.COIL and e.unit == "B":
        return None
    return replace(e, unit="A", pole="1" if e.unit == "A" else "2")


def coil_turned(e: Element) -> Element:
    return replace(e, from_pin=e.to_pin, to_pin=e.from_pin) if e.kind is Kind.COIL else e


def not_polarised(e: Element) -> Element:
    return replace(e, polarised=False)


def mirrored(f: Footprint) -> Footprint:
    return replace(f, pins=tuple(replace(p, x_mm=-p.x_mm) for p in f.pins), body_mm=None)


def half_turned(f: Footprint) -> Footprint:
    return replace(f, pins=tuple(replace(p, x_mm=-p.x_mm, y_mm=-p.y_mm) for p in f.pins), body_mm=None)


def side_unknown(f: Footprint) -> Footprint:
    return replace(f, view=View.UNKNOWN)


def one_pin_off(f: Footprint) -> Footprint:
    """By 1.6 mm, where about 0.36 mm of play are left each way."""
    return replace(f, pins=tuple(replace(p, x_mm=p.x_mm + 1.6 * (p.name == "Am")) for p in f.pins))


def one_pin_more(f: Footprint) -> Footprint:
    return replace(f, pins=(*f.pins, Pin("z", 30.0, 5.0, 0.8, 0.3)))


NO_DIODE: dict[str, Any] = {"coil_suppression": Suppression.NONE, "suppression_volts": None}
COIL_24: dict[str, Any] = {"coil_volts": 24.0, "coil_ohms": 960.0, "operate_volts": 16.8, "coil_max_volts": 36.0}
MOTOR_MAKE, MOTOR_BREAK, _ = w.MOTOR_LINES


def feeding(*loads: NetLoad, breaks: float = 10.0, makes: float = 20.0) -> World:
    """One changeover whose common is on the supply, with what its two outputs feed."""
    nets = {"p": "VBAT", "c": "VBAT", "m": "OUT1", "b": "OUT2"}
    known = (Net("VBAT", NetIs.SUPPLY, 14.0), Net("GND", NetIs.GROUND))
    published = (ohmic(makes), ohmic(breaks, contact="break"))
    return w.world("fed", w.unit("A", nets=nets), w.changeover("A"), published, nets=known, loads=loads)


def heater(name: str, net: str, amps: float) -> NetLoad:
    return NetLoad(name, net, "GND", load("resistive", 14, amps))


def by_hand() -> World:
    """The reversing twin without nets: only the two make contacts are told of."""
    return board(w.reversing(), nets=(), loads=())


def bridge_at(volts: float, published: float) -> World:
    """The reversing twin with a drive of other volts on a supply that stays below 16 V for the coils."""
    world = switching(w.reversing(), volts=volts)
    ratings = tuple(replace(r, volts=published) for r in world.catalogue.ratings)
    nets = tuple(replace(n, volts=n.volts and volts) for n in world.board.nets)
    return board(replace(world, catalogue=replace(world.catalogue, ratings=ratings)), nets=nets)


def on_ac() -> World:
    """A coil for 230 V, 50 Hz on mains of 207 to 253 V."""
    sheet = {"coil_supply": AC, "coil_volts": 230.0, "coil_ohms": 24000.0, "operate_volts": 170.0}
    sheet |= {"coil_max_volts": 264.0, "release_volts": 34.0, "coil_hertz": Mains.HZ_50} | w.MAINS
    of = (serves(Kind.MAKE, load("resistive", 230, 4, supply=AC)),)
    mains = {"min_volts": 207.0, "nominal_volts": 230.0, "max_volts": 253.0, "code": "", "hertz": Mains.HZ_50}
    published = (line("both", "resistive", 250, 10, AC),)
    made = w.world("AC coil", w.SINGLE, w.changeover("A"), published, of, both=sheet, better=sheet, supply=mains)
    return driver(made, drop_volts=0.0, suppression="none")


def itself(world: World) -> World:
    """The candidate's sheet says what the fitted part's says."""
    fitted, ours = world.catalogue.relays
    same = replace(fitted, part_number=ours.part_number, footprint=ours.footprint, wiring=ours.wiring)
    return replace(world, catalogue=replace(world.catalogue, relays=(fitted, same)))


# ---- the cases ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Case:
    """A question with the verdicts that are right, why, and what the answer rests on."""

    kind: str
    source: str
    right: tuple[Verdict, ...]
    why: str
    world: World


Row = tuple[Verdict | tuple[Verdict, ...], str, World]


def cases(kind: str, source: str, *rows: Row) -> tuple[Case, ...]:
    return tuple(Case(kind, source, (right,) if isinstance(right, Verdict) else right, *rest) for right, *rest in rows)


CASES = (
    *cases(
        "blanks",
        PRACTICE,
        (UNKNOWN, "no rating is published at all", lines(w.resistive())),
        (UNKNOWN, "the side of the drawing is not known", drawn(w.resistive(), side_unknown)),
        (UNKNOWN, "only what is carried is published, and the contact switches", lines(w.resistive(), ohmic(None))),
        (UNKNOWN, "nobody says what the contacts switch", position(w.resistive(), functions=())),
        (UNKNOWN, "a contact's load is told without its amps", switching(w.resistive(), amps=None)),
        (
            CONDITIONAL,
            "no driver limit, but no more current than the fitted coil",
            driver(w.resistive(), channel_milliamps=None),
        ),
        (
            UNKNOWN,
            "no driver limit, and more current",
            driver(sheets(w.resistive(), coil_ohms=200.0), channel_milliamps=None),
        ),
    ),
    *cases(
        "reversing twins",
        f"the circuit itself; {sources.REVERSING_SHEET.cited}: motors brake through the break contact",
        (DROP_IN, "a twin that is better in everything", w.reversing()),
        (DROP_IN, "its halves are only named the other way", wired(w.reversing(), renamed)),
        (NO, "make and break are crossed", wired(w.reversing(), crossed)),
        (NO, "it has no break contacts, through which the motor returns", wired(w.reversing(), make_alone)),
        (NO, "two poles on one coil turn the motor neither way", wired(w.reversing(), one_coil)),
        (NO, "make before break joins + and - at each change", wired(w.reversing(), made_first)),
        (
            NO,
            "its commons are joined inside",
            wired(w.reversing(), lambda e: e, Element("", "", Kind.BRIDGE, "Ac", "Bc")),
        ),
        (UNKNOWN, "the drive's stall is not stated", switching(w.reversing(), stall_amps=None, stall_seconds=None)),
        (
            NO,
            "what flows back through the break contact, 2.5 A, is above its 1 A",
            lines(w.reversing(), MOTOR_MAKE, line("break", "motor", 16, 1)),
        ),
        (UNKNOWN, "told without nets, the break contacts are asked all the same", lines(by_hand(), MOTOR_MAKE)),
        (
            CONDITIONAL,
            "12 A of stall and 10 A of brake, made together on 20 A where nobody says that it waits",
            lines(switching(w.reversing(), pause_ms=None), replace(MOTOR_MAKE, inrush_amps=20), MOTOR_BREAK),
        ),
    ),
    *cases(
        "bridges above 30 V",
        f"{sources.ARC_PAGE.cited}: the arc dies within the transfer at 14 V, and at 42 V does not",
        (DROP_IN, "28 V on contacts for 30 V", bridge_at(28.0, 30.0)),
        (CONDITIONAL, "42 V on contacts for 60 V: the pause between directions must stay", bridge_at(42.0, 60.0)),
        (NOT_YET, "42 V on contacts for 30 V", bridge_at(42.0, 30.0)),
    ),
    *cases(
        "the circuit",
        "currents add where they meet (Kirchhoff)",
        (
            DROP_IN,
            "two heaters of 6 A on 20 A",
            feeding(heater("one", "OUT1", 6), heater("two", "OUT1", 6), heater("warm", "OUT2", 2)),
        ),
        (
            NO,
            "two heaters of 6 A on 10 A",
            lines(
                feeding(heater("one", "OUT1", 6), heater("two", "OUT1", 6), heater("warm", "OUT2", 2)),
                ohmic(10),
                ohmic(10, contact="break"),
            ),
        ),
        (
            NO,
            "15 A at rest through a break contact of 10 A",
            lines(
                feeding(heater("one", "OUT1", 6), heater("warm", "OUT2", 15), breaks=20),
                ohmic(20),
                ohmic(10, contact="break"),
            ),
        ),
        (NOT_YET, "nobody says what OUT2 feeds", feeding(heater("one", "OUT1", 6))),
    ),
    *cases(
        "lamps",
        f"{sources.LOAD_TYPES.cited}: a lamp starts at ten times its amps; a published lamp line takes its start in",
        (DROP_IN, "6 A, 70 A at the start, on 10 A of lamps that may start at 110 A", w.lamp()),
        (
            DROP_IN,
            "1.75 A times ten is within 20 A resistive",
            lines(switching(w.lamp(), amps=1.75, inrush_amps=None, life_years=None), ohmic(20)),
        ),
        (
            NO,
            "6.2 A times ten is above 20 A resistive",
            lines(switching(w.lamp(), amps=6.2, inrush_amps=None), ohmic(20)),
        ),
        (NO, "70 A are measured, 50 A are published", lines(w.lamp(), line("make", "lamp", 14, 10, inrush_amps=50))),
        (UNKNOWN, "24 V on a line for 14 V", switching(w.lamp(), volts=24.0)),
        (UNKNOWN, "a line for AC serves no DC", lines(w.lamp(), line("make", "lamp", 250, 10, AC, inrush_amps=110))),
    ),
    *cases(
        "solenoids",
        f"{sources.INDUCTIVE_ANSWER.cited}: 40 % of the resistive amps to L/R 7 ms; IEC 60947-5-1 for DC-13",
        (DROP_IN, "L/R 10 ms on a line tested with 40 ms", w.dc_inductive()),
        (
            DROP_IN,
            "2 A to 7 ms on 40 % of 16 A",
            replace(
                lines(switching(w.dc_inductive(), lr_ms=7.0, life_years=None), ohmic(16)),
                rule=rule_named("forty percent inductive"),
            ),
        ),
        (
            UNKNOWN,
            "the same rule says nothing of 10 ms",
            replace(lines(w.dc_inductive(), ohmic(16)), rule=rule_named("forty percent inductive")),
        ),
        (
            UNKNOWN,
            "tested with 7 ms, the load has 10 ms",
            lines(w.dc_inductive(), line("make", "inductive", 14, 5, lr_ms=7)),
        ),
        (UNKNOWN, "a resistive line and no rule that speaks of windings", lines(w.dc_inductive(), ohmic(16))),
        (DROP_IN, "pilot duty R300 gives 28 VA: 0.2 A at 24 V", w.pilot_duty()),
    ),
    *cases(
        "mains",
        "IEC 60664-1 and IEC 61810-1, insulation, from memory; IEC 60947-5-1, table A.1",
        (DROP_IN, "reinforced, 4000 V, on 230 V", w.mains_resistive()),
        (NO, "500 V between coil and contacts", sheets(w.mains_resistive(), coil_contact_volts=500.0)),
        (UNKNOWN, "what coil and contacts bear is not stated", sheets(w.mains_resistive(), coil_contact_volts=None)),
        (NO, "basic where the fitted part had reinforced", sheets(w.mains_resistive(), insulation=Insulation.BASIC)),
        (
            DROP_IN,
            "basic where the position states that basic will do",
            position(
                sheets(w.mains_resistive(), insulation=Insulation.BASIC, coil_contact_volts=2500.0),
                insulation=Insulation.BASIC,
            ),
        ),
        (UNKNOWN, "a DC line serves no AC", lines(w.mains_resistive(), ohmic(16, 30, "both"))),
        (
            DROP_IN,
            "AC-15 of 1.5 A on B300, whose 360 VA give 1.57 A at 230 V",
            lines(w.mains_category(), line("both", "B300", 300, 5, AC)),
        ),
        (UNKNOWN, "AC-15 on an AC-1 line", lines(w.mains_category(), line("both", "AC-1", 250, 10, AC))),
        (
            NO,
            "1000 V between a mains pole and one that people may touch",
            sheets(w.mains_and_low_volts(), between_poles_volts=1000.0),
        ),
    ),
    *cases(
        "the driver",
        f"Ohm's law at the coldest; {sources.SUPPRESSION_NOTE.cited}: what arises when a coil is cut off",
        (DROP_IN, "a diode inside, the right way round", w.coil_with_diode()),
        (NO, "a diode inside, the wrong way round", wired(w.coil_with_diode(), coil_turned)),
        (
            NOT_YET,
            "the old part's diode was all that there was, and the new one has none",
            wired(sheets(w.coil_with_diode(), **NO_DIODE), not_polarised),
        ),
        (
            DROP_IN,
            "no diode inside, but one on the board",
            driver(wired(sheets(w.coil_with_diode(), **NO_DIODE), not_polarised), suppression="diode"),
        ),
        (NO, "160 Ω take 119 mA at -20 °C from a channel of 80 mA", sheets(w.resistive(), coil_ohms=160.0)),
        (
            NO,
            "24.7 V of clamp beside 14.4 V on a switch for 30 V",
            driver(sheets(w.coil_with_diode(), {"suppression_volts": 12.0}), breakdown_volts=30.0),
        ),
        (NO, "a coil for 24 V in a 12 V box", sheets(w.resistive(), **COIL_24)),
    ),
    *cases(
        "hot restart",
        f"copper, R2/R1 = (234.5 + T2)/(234.5 + T1): {sources.COPPER_NOTE.cited}",
        (DROP_IN, "the maker's 30 K a watt leave enough", w.hot_restart()),
        (
            NO,
            "150 K a watt: 7.1 V become more than the 10.1 V there are",
            sheets(w.hot_restart(), coil_kelvin_per_watt=150.0),
        ),
        (NO, "8.4 V at 20 °C are 10.4 V at 80 °C", sheets(w.resistive(), operate_volts=8.4)),
    ),
    *cases(
        "cranking and load dump",
        "ISO 16750-2, the starting profile from memory; load dump as reprinted",
        (DROP_IN, "it holds at 4 V, and 6.1 V are left", w.supply_events()),
        (NO, "it holds at 6.5 V, and 6.1 V are left", sheets(w.supply_events(), hold_volts=6.5)),
        (DROP_IN, "it may drop out while the engine is cranked", w.may_drop_out()),
        (
            NO,
            "24 V of a boost start take 127 mA, the channel gives 100 mA",
            driver(sheets(w.boost_start(), {"coil_ohms": 360.0}), channel_milliamps=100.0),
        ),
    ),
    *cases(
        "mixed loads",
        f"every kind asked by itself; {sources.LOAD_TYPES.cited}",
        (DROP_IN, "a lamp of 1 A and a heater of 2 A, each with its line", w.mixed()),
        (
            UNKNOWN,
            "a winding among them, and no line or rule for it",
            lines(switching(w.mixed(), mixed=(("inductive", 1.0), ("resistive", 2.0))), ohmic(20)),
        ),
        (
            NO,
            "the lamps' 12 A are above their line's 10 A",
            lines(
                lines(
                    switching(w.mixed(), amps=13.0, mixed=(("lamp", 12.0), ("resistive", 1.0))),
                    line("make", "lamp", 14, 20, inrush_amps=250),
                    ohmic(40),
                    of=[FITTED],
                ),
                line("make", "lamp", 14, 10, inrush_amps=110),
                ohmic(20),
            ),
        ),
    ),
    *cases(
        "heat, and lines for both contacts",
        f"nothing is read above the hottest published line; {sources.DERATING_PAGE.cited}: stress ratio 0.50",
        (DROP_IN, "11.8 A at 60 °C, between 20 A at 25 °C and 6 A at 85 °C", w.hotter_line()),
        (NOT_YET, "12 A at 60 °C there", lines(switching(w.hotter_line(), amps=12.0), ohmic(20), of=[FITTED])),
        (
            UNKNOWN,
            "12 A at 60 °C on one line, taken at 25 °C",
            lines(switching(w.hotter_line(), amps=12.0), ohmic(20, temp_c=25.0)),
        ),
        (
            NO,
            "a line for both contacts of 30 A never overrules the make's own 20 A",
            lines(
                lines(switching(w.resistive(), amps=25.0), ohmic(40, contact="both"), of=[FITTED]),
                ohmic(20),
                ohmic(30, contact="both"),
            ),
        ),
    ),
    *cases(
        "starts and stalls",
        f"{sources.LOAD_TYPES.cited}: a motor starts at six times its amps; made, carried, broken: {PRACTICE}",
        (
            DROP_IN,
            "25 A for 2 s, carried to 35 A for 3 s",
            switching(w.motor_one_way(), stall_amps=25.0, stall_seconds=2.0),
        ),
        (NO, "25 A for 4 s, carried for 3 s", switching(w.motor_one_way(), stall_amps=25.0, stall_seconds=4.0)),
        (
            UNKNOWN,
            "an inrush of 30 A says nothing of 5 s",
            lines(
                switching(w.motor_one_way(), stall_amps=25.0, stall_seconds=5.0),
                line("make", "motor", 16, 14, inrush_amps=30),
            ),
        ),
        (
            UNKNOWN,
            "6 A times six is above 20 A resistive: measure the stall",
            lines(switching(w.motor_one_way(), amps=6.0, stall_amps=None, stall_seconds=None), ohmic(20)),
        ),
    ),
    *cases(
        "life",
        f"{sources.LIFE_TABLE.cited}; an overload test is 50 operations: {sources.PILOT_DUTY.cited}",
        (
            DROP_IN,
            "91 250 operations in five years on a line for 100 000",
            lines(
                switching(w.resistive(), amps=18.0, life_years=None), ohmic(20, contact="both", operations=1e5), of=BOTH
            ),
        ),
        (
            NO,
            "182 500 in ten years on that line, at nearly its amps",
            lines(switching(w.resistive(), amps=18.0), ohmic(20, contact="both", operations=1e5)),
        ),
        (NO, "its mechanism is for 100 000, and 182 500 are asked", sheets(w.resistive(), mechanical_ops=1e5)),
        (
            UNKNOWN,
            "a line for 50 operations is no working rating",
            lines(w.resistive(), ohmic(30, contact="both", operations=50)),
        ),
    ),
    *cases(
        "guided, sealed, one way only",
        "IEC 61810-1 and -3, from memory; magnets blow out one direction only, from memory",
        (DROP_IN, "guided contacts of type A for type A", w.guided()),
        (NO, "not guided", sheets(w.guided(), guided=Guided.NO)),
        (UNKNOWN, "guided or not is not stated", sheets(w.guided(), guided=None)),
        (NO, "flux-proof on a board that is washed", sheets(w.resistive(), sealing=Sealing.RT_II)),
        (
            UNKNOWN,
            "less tight, and nobody says what the board goes through",
            sheets(w.not_washed(), sealing=Sealing.RT_II),
        ),
        (
            NO,
            "magnets for common plus, and the common is at minus",
            sheets(switching(w.resistive(), common="minus"), contact_polarity=ContactPolarity.COMMON_PLUS),
        ),
    ),
    *cases(
        "holes, bodies and lids",
        "geometry; IPC-2222 and bodies' tolerances as printed or from memory",
        (DROP_IN, "drawn turned by 180°", drawn(w.resistive(), half_turned)),
        (DROP_IN, "blades in slots", w.blades_in_slots()),
        (NO, "blades of 2.0 x 0.8 mm in round holes of 1.4 mm", holes(w.blades_in_slots(), slot_mm=None)),
        (NO, "drawn mirrored", drawn(w.resistive(), mirrored)),
        (NO, "a pin that no hole takes", drawn(w.resistive(), one_pin_more)),
        (NO, "one pin far off", drawn(w.resistive(), one_pin_off)),
        ((CONDITIONAL, *NOT_YET), "holes of 3 mm about leads of 0.85 mm", holes(w.resistive(), drill_mm=3.0)),
        (NO, "15.9 mm on 0.3 mm under a lid at 16 mm", sheets(w.resistive(), body_height_mm=15.9)),
        (
            CONDITIONAL,
            "0.2 mm under the lid, and bodies are made to 0.3 mm",
            sheets(w.resistive(), body_height_mm=15.5),
        ),
        (
            NO,
            "it reaches the rib of the lid whichever way it lies",
            sheets(w.resistive(), body_length_mm=110.0, body_width_mm=100.0),
        ),
    ),
    *cases(
        "AC coils and latching",
        "MIL-PRF-6106, notes: three times the operate time; an AC coil's frequency: " + PRACTICE,
        (CONDITIONAL, "an AC coil of the same volts and ohms: its current is not its ohms alone", on_ac()),
        (NO, "a coil for 60 Hz on 50 Hz", sheets(on_ac(), coil_hertz=Mains.HZ_60)),
        (NO, "a DC coil there", sheets(on_ac(), coil_supply=SupplyKind.DC)),
        (DROP_IN, "two latching coils, pulsed for 50 ms", w.latching_two()),
        (NO, "it falls back when its coil is off", sheets(w.latching_two(), coil_system=CoilSystem.MONOSTABLE)),
        (NO, "it operates in 20 ms, and is pulsed for 50 ms, not 60", sheets(w.latching_two(), operate_ms=20.0)),
        (NO, "one coil that is driven one way only", driver(w.latching_one(), polarity="low side")),
    ),
    *cases(
        "part against part",
        "the two sheets, figure by figure",
        (DROP_IN, "a twin that is better in everything", w.like_dc()),
        (DROP_IN, "a part of which every figure is alike", itself(w.like_dc())),
        (DROP_IN, "cross-referenced", w.cross_dc()),
        (NO, "its break contact has half the amps", lines(w.like_dc(), w.LIKE_LINES[0], ohmic(5, contact="break"))),
        (UNKNOWN, "nothing is published of its break contact", lines(w.like_dc(), w.LIKE_LINES[0])),
        (NO, "its contacts are crossed", wired(w.like_dc(), crossed)),
        (NO, "half the insulation of a mains relay", sheets(w.like_mains(), coil_contact_volts=1500.0)),
        (NO, "for 60 Hz in place of 50 Hz", sheets(w.like_ac_coil(), coil_hertz=Mains.HZ_60)),
        (
            (NO, CONDITIONAL),
            "7.2 V at 20 °C in place of 7.2 V at 23 °C",
            sheets(w.like_dc(), {"coil_ref_temp_c": 23.0}, operate_volts=7.2),
        ),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.kind}: {case.why}")
def test_what_an_engineer_would_say(case: Case) -> None:
    assert case.world.verdict() in case.right, case.source


def test_every_kind_of_question_has_a_drop_in() -> None:
    """A tool that never says yes is of no use."""
    kinds = {case.kind for case in CASES} - {"blanks"}
    assert kinds == {case.kind for case in CASES if DROP_IN in case.right} - {"blanks"}


@pytest.mark.parametrize("world", w.all_worlds(), ids=lambda world: world.name)
def test_a_part_of_which_every_figure_is_alike_is_no_worse(world: World) -> None:
    """Conditional at most, where the board asks more than the part that has worked there gives."""
    assert itself(world).verdict() in (DROP_IN, CONDITIONAL)
