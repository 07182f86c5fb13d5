"""Before parts: in which order a bench checks a function before it blames the relay, with what right looks like.

A function that will not stop is looked at before one that will not start; then comes what is reached without opening
the box, then what the board shows, and the relay last. The order is common practice, no source. Every figure is the
board file's or the data sheet's. A drop of volts is measured with the load running; without current there is none,
however bad the joint. How many volts may be lost, and where, is published, and sources differ: each limit names
its own.

A load on the mains is checked isolated and dead, and by no limit meant for vehicles. A function that safety rests on is
never fed past its box.
"""

from __future__ import annotations

from dataclasses import dataclass

from bom.boards.board import Board, Driver, Function, Load, Place, Position
from bom.duty.cautions import GUARDED, is_mains
from bom.duty.coil_drive import LATCHING
from bom.duty.coil_heat import ohms_at
from bom.duty.paired_contacts import is_guarded
from bom.duty.sources import AUTOMOTIVE_SHEETS, CAR_MANUAL
from bom.relays.relay import Design, Relay, SupplyKind
from bom.relays.wiring import Kind


@dataclass(frozen=True, slots=True)
class DropLimit:
    """The most volts over one stretch of the way from battery to load and back; ``by`` is the source in short."""

    stretch: str
    volts: float
    source: str
    by: str


FAA = "FAA AC 43.13-1B, table 11-6, continuous operation"
BOATS = "ABYC E-11, 11.14.2.6"
WORKSHOP = f"{CAR_MANUAL.cited}, which ascribes it to SAE"
SHEETS = f"{AUTOMOTIVE_SHEETS.cited}: 0.2 V at 10 A over the closed contact, when new"

_BY_MANUAL = "car manual"
SMALL_JOINT = DropLimit("a small wire connection", 0.0, WORKSHOP, _BY_MANUAL)
JOINT = DropLimit("a high-current connection", 0.1, WORKSHOP, _BY_MANUAL)
CONTACT = DropLimit("a switch's or solenoid's contacts", 0.3, WORKSHOP, _BY_MANUAL)
NEW_CONTACT = DropLimit("a new relay's closed contact at 10 A", 0.2, SHEETS, "relay sheets")
CIRCUIT = DropLimit("the whole circuit: above this there is a fault", 1.0, WORKSHOP, _BY_MANUAL)

_FEED = {12: 0.5, 24: 1.0, 115: 4.0, 200: 7.0}
"""Feed and return together by nominal volts; printed for 14, 28, 115 and 200 V systems: FAA AC 43.13-1B, as above."""

_SYSTEMS = ((9.0, 16.0, 12), (18.0, 32.0, 24), (100.0, 130.0, 115), (180.0, 220.0, 200))

BOAT_SHARES = {"critical": 3.0, "other": 10.0}
"""Percent of the nominal volts by which boats' conductors are sized: ABYC E-11, 11.14.2.6, 3 % for main feeders,
blowers, electronics and navigation lights, 10 % for other lighting and what is not critical."""


def feed_limits(nominal_volts: float) -> tuple[DropLimit, ...]:
    """The most the way to the box and back may lose, by each source that says so for these volts."""
    stretch = "from the battery to the box and back"
    system = next((s for low, high, s in _SYSTEMS if low <= nominal_volts <= high), None)
    printed = () if system is None else (DropLimit(stretch, _FEED[system], FAA, "FAA"),)
    shares = (
        DropLimit(stretch, share / 100 * nominal_volts, f"{BOATS}, {kind}", f"boats, {kind}")
        for kind, share in BOAT_SHARES.items()
    )
    return (*printed, *shares)


def words(limit: DropLimit) -> str:
    """The limit and who sets it, in short."""
    return f"{limit.volts:.2g} V ({limit.by})"


BOARD_FILE = "the board file"
BENCH_C = 20.0
PRACTICE = "common practice, no source"

NEW_CONTACT_MILLIOHMS = 100
CONTACT_SOURCE = f"{AUTOMOTIVE_SHEETS.cited}: 100 mΩ at 6 V, 1 A over the closed contact, when new"


@dataclass(frozen=True, slots=True)
class Step:
    """One check: what is looked at, what to do, what right looks like, and where its figures come from."""

    what: str
    do: str
    right: str
    source: str


@dataclass(frozen=True, slots=True)
class BeforeParts:
    """All checks for the functions of a position that switch alike, in their order; ``caution`` comes first of all."""

    position: str
    functions: tuple[str, ...]
    steps: tuple[Step, ...]
    caution: str = ""


LIVE_MAINS = "Mains: only for those licensed to work on it there. Isolate, lock off, prove dead; local codes decide."
LIVE = (
    "These checks are made on a live machine: keep people clear of what moves, fuse every test lead, "
    "and disconnect the battery before anything is unplugged."
)


def before_parts(place: Place, fitted: Design | None = None) -> tuple[BeforeParts, ...]:
    """The order of checks for every function of this position; functions of like contact and load share theirs."""
    relay = fitted.relay if fitted else None
    guarded = is_guarded(place, fitted)
    alike: dict[object, list[Function]] = {}
    for function in place.position.functions:
        alike.setdefault((function.contact, function.load), []).append(function)
    return tuple(_for_alike(place, functions, relay, guarded) for functions in alike.values())


def _for_alike(place: Place, functions: list[Function], relay: Relay | None, guarded: bool) -> BeforeParts:
    board, position, function = place.board, place.position, functions[0]
    load, mains = function.load, is_mains(function.load)
    ac_coil = relay is not None and relay.coil_supply is SupplyKind.AC
    steps = (
        _stuck_on(function, relay),
        *_own(board, position),
        _guarded_load(load) if guarded else _mains_load(load) if mains else _load(load),
        _mains_fuse(load) if mains else _fuse(load),
        _ac_supply(board) if ac_coil else _supply(board),
        _mains_joints() if mains else _joints(load),
        _driver(board, position),
        _coil(relay),
        _mains_contact(function) if mains else _contact(function),
        _halves(position),
    )
    names = tuple(f.name for f in functions)
    live = LIVE_MAINS if mains else LIVE
    caution = f"{GUARDED} {live}" if guarded else live
    return BeforeParts(position.ref, names, tuple(s for s in steps if s), caution)


def _stuck_on(function: Function, relay: Relay | None) -> Step:
    """A function that never stops is looked at first: it may be a welded contact or a driver that failed on.

    A relay that latches stays as it was without volts; what lets go of it is a pulse. A break contact carries its load
    while the coil rests.
    """
    left = (
        "" if relay is None or relay.release_volts is None else f", under the {relay.release_volts:g} V it releases at"
    )
    welded = f"the {function.contact} contact is closed: it is welded, so find what overloaded it"
    if relay is not None and relay.coil_system in LATCHING:
        do = "switch it off and watch the coil's volts meanwhile"
        right = f"one pulse that resets it, and the load off. No pulse: the driver or its command. One, yet {welded}"
        return Step("stuck on?", do, right, PRACTICE)
    if function.contact is Kind.BREAK:
        do = "switch it off, which drives its coil, and measure over that"
        right = f"the coil's volts, and the load off. None: the driver or its command. There, it clicks, yet {welded}"
        return Step("stuck on?", do, right, PRACTICE)
    do = "switch it off and measure over its coil"
    right = f"hardly any volts{left}, and the load off. Volts there: the driver stays on by itself. None, yet {welded}"
    return Step("stuck on?", do, right, PRACTICE)


def _own(board: Board, position: Position) -> tuple[Step, ...]:
    """What the board's own file says to check first, in its order."""
    lines = [line for repair in board.repairs if position.ref in repair.positions for line in repair.first_check]
    return tuple(
        Step("as the board says", line, "sound; the board file gives no figure", BOARD_FILE)
        for line in dict.fromkeys(lines)
    )


def _load(load: Load) -> Step:
    volts = "its own volts" if load.volts is None else f"{load.volts:g} V"
    do = f"feed the load straight from a fused lead at {volts}, past the box, and measure its current"
    return Step("load", do, _currents(load), BOARD_FILE if load.amps is not None else PRACTICE)


def _guarded_load(load: Load) -> Step:
    """A safety function is not fed past what guards it; what the load takes is still known."""
    do = "do not feed it past the box: let the maker of the machine or a licensed person test this load"
    return Step("load", do, _currents(load), BOARD_FILE if load.amps is not None else PRACTICE)


def _fuse(load: Load) -> Step:
    do = "measure volts to ground on both sides of the fuse, with the function switched on"
    blown = "blown: find the short or the stall first" if load.kind == "motor" else "blown: find the short first"
    right = f"the same on both sides, {words(JOINT)} apart at most; {blown}"
    return Step("fuse", do, right, JOINT.source)


def _supply(board: Board) -> Step:
    """The volts at the box with the load on, against the least the board works at, and what the way there may lose."""
    low, nominal = board.supply.min_volts, board.supply.nominal_volts
    least = "the least the box works at is not stated" if low is None else f"{low:g} V or more at the box"
    limits = feed_limits(nominal) if nominal else ()
    lost = ", ".join(map(words, limits)) or "not stated for these volts"
    do = "with the function switched on, measure at the box's plug, then from battery + to the box and box to battery -"
    right = f"{least}; lost on the way there and back at most {lost}; above {words(CIRCUIT)} there is a fault"
    sources = dict.fromkeys(limit.source for limit in (*limits, CIRCUIT))
    return Step("supply under load", do, right, "; ".join((BOARD_FILE, *sources)))


def _ac_supply(board: Board) -> Step:
    """An AC supply comes from no battery, and the limits of lost volts printed for vehicles do not speak of it."""
    low = board.supply.min_volts
    least = "the least the box works at is not stated" if low is None else f"{low:g} V AC or more"
    return Step("supply under load", "with the function switched on, measure at the box's plug", least, BOARD_FILE)


def _joints(load: Load) -> Step:
    limit = JOINT if load.amps is not None and load.amps >= 5 else SMALL_JOINT
    do = "the load running, measure over each plug contact, lug and soldered joint in its way; flex them meanwhile"
    most = f"{words(limit)} at most" if limit.volts else f"no drop worth measuring ({limit.by}: 0 V)"
    return Step("joints", do, f"{limit.stretch}: {most}, and steady", limit.source)


def _driver(board: Board, position: Position) -> Step:
    driver = position.driver or Driver()
    there = "the driver's output follows the command"
    if driver.drop_volts is not None and board.supply.min_volts is not None:
        least = board.supply.min_volts - driver.drop_volts
        there = f"{least:g} V or more over the coil at the lowest supply: the driver drops {driver.drop_volts:g} V"
    do = f"switch the function on and measure over the coil{_side(driver)}"
    return Step(
        "driver", do, f"{there}. Less: the driver, its feed or its command. Enough and no sound: the coil", BOARD_FILE
    )


def _side(driver: Driver) -> str:
    return f" (the board switches it {driver.polarity})" if driver.polarity else ""


def _coil(relay: Relay | None) -> Step:
    """The coil's ohms, battery off, within the data sheet's tolerance at the bench's temperature."""
    do = "supply off, measure the coil's ohms with the leads either way round; then switch it and listen"
    right = "it is heard to switch, which says nothing of its contact; a broken winding stays silent"
    if relay is None or not relay.coil_ohms or relay.coil_ref_temp_c is None:
        return Step("relay, coil", do, right, PRACTICE)
    spread = (relay.coil_ohms_tol_pct or 10.0) / 100
    ends = [ohms_at(relay.coil_ohms * (1 + s), relay.coil_ref_temp_c, BENCH_C) for s in (-spread, spread)]
    return Step(
        "relay, coil", do, f"{ends[0]:.0f} to {ends[1]:.0f} Ω at {BENCH_C:g} °C; {right}", relay.source or PRACTICE
    )


def _contact(function: Function) -> Step:
    load = function.load
    amps = "its current" if load.amps is None else f"{load.amps:g} A"
    do = f"with the {function.contact} contact closed on {amps}, measure over it at the relay's own pins"
    right = f"{words(CONTACT)} at most; {words(NEW_CONTACT)} when new. More: the contact is worn"
    return Step("relay, contact", do, right, f"{CONTACT.source}; {NEW_CONTACT.source}")


def _halves(position: Position) -> Step | None:
    """Units of one body fail independently: those beside it show what they share with this one."""
    by_unit = dict.fromkeys(f.unit for f in position.functions)
    if len(by_unit) < 2:
        return None
    right = "others work: look at this unit alone. None works: look at what they share, its feed, ground and command"
    return Step("the other units", "switch each function of this relay by itself", right, PRACTICE)


def _mains_load(load: Load) -> Step:
    do = "isolated: measure the load's ohms and its insulation to earth; trying it live is for those licensed"
    return Step("load", do, f"no path to earth; {_currents(load)}", PRACTICE)


def _mains_fuse(load: Load) -> Step:
    blown = "blown: find the short or the stall first" if load.kind == "motor" else "blown: find the short first"
    return Step("fuse", "isolated, take the fuse out and measure its ohms", f"under 1 Ω; {blown}", PRACTICE)


def _mains_joints() -> Step:
    do = (
        "isolated, look at each plug contact, lug and soldered joint in its way; measure its ohms, flexing it meanwhile"
    )
    return Step("joints", do, "not browned or cracked, no more ohms than the meter's own leads, and steady", PRACTICE)


def _mains_contact(function: Function) -> Step:
    do = (
        f"isolated, 1 A from a bench supply of 6 V through the closed {function.contact} contact: "
        "measure over it at the relay's own pins"
    )
    right = (
        f"{NEW_CONTACT_MILLIOHMS / 1000:g} V at most, which is {NEW_CONTACT_MILLIOHMS} mΩ; more: the contact is worn"
    )
    return Step("relay, contact", do, right, CONTACT_SOURCE)


def _currents(load: Load) -> str:
    """What the board file states of the load's currents."""
    if load.amps is None:
        return "it runs; its running amps are not stated, so note them down"
    said = f"it runs on about {load.amps:g} A"
    if load.stall_amps is not None:
        said += f", and stalled takes no more than {load.stall_amps:g} A"
    if load.inrush_amps is not None:
        said += f", after a start of no more than {load.inrush_amps:g} A"
    return said
