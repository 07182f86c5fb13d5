"""A board file: a TOML table of the box, its positions, functions, repairs and circuit; beside it the holes as CSV.

Each key is described once, with what it means, its unit, what it may hold and an example; it is read and explained by
that description.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

from bom.boards.board import (
    BOARD_LOADS,
    COMMONS,
    CONTACTS,
    NET_WORDS,
    ONE_WAY_SUPPRESSIONS,
    POLARITIES,
    PROCESSES,
    SUPPRESSIONS,
    Board,
    Driver,
    Function,
    HolePattern,
    KeepOut,
    Load,
    Net,
    NetIs,
    NetLoad,
    Position,
    Repair,
    Supply,
    codes,
    supply_for,
    usual_dump,
    usual_jump,
)
from bom.boards.layout import laid_out, over_each_other
from bom.fit.hole_clearance import LEVELS, Stacking
from bom.intake.board_holes import DRILLS, HOLES, MadeHoles, PinsOf, holes_for, made_for_a_part, nobody
from bom.intake.drawings import patterns_in
from bom.intake.rows import Report, Taken, is_it, is_note
from bom.intake.tables import Table, read_toml
from bom.relays.relay import Insulation, Mains, SupplyKind, supply_of
from bom.relays.wiring import Kind
from bom.values.column import called, keys, number, table, text, texts, under, whole, word, yes_or_no

BOARD = keys(
    name=called("The board's name, by which its positions are asked for, as in OS-3:K1.", "OS-3", needed=True),
    title=text("What the box is.", "Orchard sprayer valve box"),
    ambient_min_c=number("degC", "The coldest it gets round the relays.", "-20", least=-100, most=300),
    ambient_max_c=number("degC", "The hottest it gets round the relays.", "70", least=-100, most=300),
    board_thickness_mm=number("mm", "How thick the board is.", "1.6", above=0),
    lid_clearance_mm=number("mm", "From the board's surface to the lid.", "14.8", above=0),
    holes=text("The CSV of its holes, beside this file.", "os-3-holes.csv"),
    process=texts("What the finished board goes through; [] where nothing.", '["wash"]', PROCESSES),
    cautions=texts("What to mind at this box.", '["Keep clear of the boom."]'),
    hole_clearance=word(tuple(LEVELS), "How much wider than its lead a hole must be, as a published level.", "B"),
    hole_tolerances=word(tuple(s.value for s in Stacking), "How the tolerances of its holes add.", "worst case"),
    drill_tolerance_mm=number("mm", "How far a drill may be off its diameter.", "0.05", least=0),
    hole_position_tolerance_mm=number("mm", "How far a hole may be off its place.", "0.05", least=0),
    leg_dressing_mm=number("mm", "How far legs may be bent to go in.", "0.2", least=0),
    safety=yes_or_no("Whether someone's safety rests on every function of the box.", "false"),
    drills=DRILLS,
)
SUPPLY = keys(
    code=word(codes(), "The supply code of a road vehicle (ISO 16750-2), in the place of volts.", "C"),
    min_volts=number("V", "The lowest supply.", "9", above=0),
    nominal_volts=number("V", "The usual supply.", "12", above=0),
    max_volts=number("V", "The highest supply.", "16", above=0),
    hertz=number("Hz", "The frequency of an AC supply, 50 or 60; a DC supply has none.", "50", above=0),
    jump_start=yes_or_no("Whether a boost start from 24 V is to be allowed for.", "true"),
    jump_volts=number("V", "What a boost start puts on it.", "24", above=0),
    jump_seconds=number("s", "How long a boost start lasts.", "60", above=0),
    crank_volts=number("V", "What it dips to while the engine is cranked.", "6", above=0),
    load_dump=word(("suppressed", "unsuppressed"), "The load dump that is to be allowed for.", "suppressed"),
    dump_volts=number("V", "What a load dump puts on it.", "35", above=0),
    dump_ms=number("ms", "How long a load dump lasts.", "400", above=0),
)
POSITION = keys(
    ref=called("The position as it is printed on the board.", "K1", needed=True),
    pattern=text("Its hole pattern, in the holes file; else its holes are made for a part.", "twin-10"),
    **HOLES,
    like=called(
        "A position further up: what is not stated here is as there, each pin's net too, but not functions.", "K1"
    ),
    fitted=text("The part fitted at the factory.", "TW2-12S"),
    wiring=text("What the board expects, hole names standing for pins; else the fitted part's.", "board-twin"),
    units_on_together=whole("How many units of it are on at once.", "1"),
    coil_rise_k=number("", "How many kelvin a coil that stays on gets warmer than the ambient.", "35", least=0),
    insulation=word(
        Insulation, "What must keep its coil from its contacts.", "reinforced", also={"reinforced": ("double",)}
    ),
    may_drop_out=yes_or_no("Whether it may drop out while the engine is cranked.", "false"),
    x_mm=number("mm", "Where the zero of its holes lies on the board, to the right, from the component side.", "42.5"),
    y_mm=number("mm", "Where the zero of its holes lies on the board, downwards.", "8"),
    turn_deg=number("deg", "How far its holes are turned about that zero, clockwise.", "90", least=-360, most=360),
    impulse_volts=number("V", "The impulse that may come between its coil and its contacts.", "4000", above=0),
)
_OF_A_PLACE = {"ref", "like", "nets", "x_mm", "y_mm", "turn_deg"}
"""What no other position can say for one; nets are taken pin by pin."""
DRIVER = keys(
    channel_milliamps=number("mA", "The most that one coil may draw.", "80", above=0),
    package_milliamps=number("mA", "The most that the driver's coils may draw together.", "350", above=0),
    drop_volts=number("V", "What the driver keeps of the supply.", "0.9", least=0),
    polarity=word(POLARITIES, "Which end of the coil it switches.", "low side"),
    suppression=word(SUPPRESSIONS, "What lies across the coil on the board.", "diode"),
    off_volts=number("V", "What its leakage leaves on a coil that is off.", "0.3", least=0),
    pulse_ms=number("ms", "How long it drives a latching coil.", "50", above=0),
    breakdown_volts=number("V", "The most that its switch bears while it is open.", "60", above=0),
    hold_volts=number("V", "The least that it leaves on a coil once that has pulled in.", "6", above=0),
    pull_in_ms=number("ms", "How long it gives full volts before it lowers them.", "100", above=0),
    clamp_volts=number("V", "The most that the board's own suppression lets arise over the coil.", "24", above=0),
)
KEEP_OUT = keys(
    name=text("What stands there.", "rib of the lid", needed=True),
    x_mm=number("mm", "Its middle, in the hole pattern's own mm, to the right.", "4", needed=True),
    y_mm=number("mm", "Its middle, in the hole pattern's own mm, downwards.", "-2", needed=True),
    length_mm=number("mm", "How long it is, along x unless it is turned.", "10", above=0, needed=True),
    width_mm=number("mm", "How wide it is.", "1.5", above=0, needed=True),
    angle_deg=number("deg", "How far it is turned.", "0", least=-360, most=360),
    from_mm=number("mm", "How high above the board it begins.", "12", least=0),
)
FUNCTION = keys(
    name=text("What this contact does.", "left boom valve, open", needed=True),
    unit=text("Which independent relay inside the body.", "A"),
    pole=text("Which pole of that unit, where it has several.", "1"),
    contact=word(CONTACTS, "Which of its contacts.", "make", needed=True),
    safety=yes_or_no("Whether someone's safety rests on it.", "false"),
)
LOAD = keys(
    kind=word(BOARD_LOADS, "What kind of load it is.", "motor", needed=True),
    volts=number("V", "Voltage of the load.", "14", above=0),
    amps=number("A", "Running current.", "2.1", above=0),
    stall_amps=number("A", "Current of a motor that is held.", "9", above=0),
    stall_seconds=number("s", "How long a stall lasts.", "0.4", above=0),
    inrush_amps=number("A", "Current at switching on.", "15", above=0),
    lr_ms=number("ms", "Time constant L/R of the load.", "7", above=0),
    power_factor=number("", "Power factor (cos φ) of the load.", "0.4", above=0, most=1),
    supply=word(SupplyKind, "What the load is fed by; else as its kind says, else dc.", "dc"),
    temp_c=number("degC", "The ambient at the contact, where it differs from the board's.", "85", least=-100, most=300),
    operations_per_day=number("ops", "How often it is switched in a day.", "120", least=0),
    reversing=yes_or_no("Whether its polarity is reversed to turn it round.", "true"),
    suppression=word(SUPPRESSIONS, "What lies across the load.", "none"),
    brake_amps=number("A", "What flows through the resting contact after switching off.", "6", above=0),
    mixed=table("The running amps of each kind that a mixed load is made of.", "{ lamp = 2, resistive = 8 }"),
    in_parallel=whole("How many contacts share it; none counts for more than itself.", "2", least=1),
    life_years=number("", "How many years the contact should last.", "10", above=0),
    pause_ms=number("ms", "How long the electronics waits between the directions; 0 = not at all.", "600", least=0),
    operations_per_minute=number("ops", "How often it is switched in its busiest minute.", "6", above=0),
    common=word(COMMONS, "At which pole of the supply the contact's common lies.", "plus"),
)
NET = keys(
    name=text("The net, as the holes and the loads name it.", "VBAT", needed=True),
    **{
        "is": word(
            NetIs, "What holds it at its volts; every other net is found.", "supply", also=NET_WORDS, needed=True
        )
    },
    volts=number("V", "Its volts, where a supply differs from the board's nominal one.", "14", above=0),
    also=texts("More nets that are held alike.", '["GND_L", "GND_R"]'),
)
ENDS = keys(
    name=called("The load.", "left boom valve", needed=True),
    plus=text("The net of its one end; a current from there to minus is forward.", "MOT_LP", needed=True),
    minus=text("The net of its other end.", "MOT_LN", needed=True),
    forward=called("What people call what it does with the current forward.", "left boom valve opens"),
    reverse=called("What people call what it does with the current reversed.", "left boom valve closes"),
    stops_at_end=yes_or_no("Whether it is switched off while it stalls at its end.", "true"),
    like=called("A load further up, whose figures this one has too but for those that it states.", "left boom valve"),
)
"""Of a load between nets, beside the keys that every load has."""
NEVER = keys(
    together=texts("Units that the electronics never has on at the same time.", '["K1.A", "K1.B"]'),
)
REPAIR = keys(
    name=called("The repair, which a kit is made for.", "valve drive", needed=True),
    symptoms=texts("What a customer notices.", '["valve runs on"]'),
    positions=texts("The positions that serve it.", '["K1"]'),
    first_check=texts("What to check before blaming the relay.", '["fuse"]'),
)
BOARD_KEYS = {
    **under("board", BOARD),
    **under("board.supply", SUPPLY),
    **under(
        "board.driver",
        {
            key: replace(column, meaning=f"{column.meaning} Of every position that states no driver.")
            for key, column in DRIVER.items()
        },
    ),
    **under("position[]", POSITION),
    **under("position[].driver", DRIVER),
    **under("position[].keep_out[]", KEEP_OUT),
    **under("position[].function[]", FUNCTION),
    **under("position[].function[].load", LOAD),
    **under("net[]", NET),
    **under("load[]", {**ENDS, **LOAD}),
    **under("never[]", NEVER),
    **under("repair[]", REPAIR),
}
"""Every key of a board file by its path."""


def take_board(path: Path, leave_out: Sequence[str] = (), pins_of: PinsOf = nobody) -> Taken[Board]:
    """The board, and notes. ``leave_out`` names keys and columns of one's own, in the file or that of its holes;
    ``pins_of`` knows the parts that holes may be made for."""
    report = Report().leave_out(leave_out)
    if (outer := read_toml(path, report)) is None:
        return report.taken(Board(""))
    board = _board(outer, path, report, pins_of)
    outer.leave()
    return report.taken(board)


def _board(outer: Table, path: Path, report: Report, pins_of: PinsOf) -> Board:
    table = outer.needed_table("board")
    made = _made_holes(outer.tables("position"), table, pins_of)
    patterns = _patterns(table, path, report) | {ref: one.pattern for ref, one in made.items()}
    driver = _driver(table.table("driver"))
    positions = tuple(_position(t, patterns, made.get(t.text("ref")), driver) for t in outer.tables("position"))
    _each_once(outer.tables("position"), "ref")
    _check_places(outer.tables("position"), positions, patterns)
    values = table.values_of(BOARD, "holes", "drills")
    table.get("drills")
    _check_rising(table, ("ambient_min_c", "ambient_max_c"), values)
    return Board(
        **values | {"leg_dressing_mm": values["leg_dressing_mm"] or 0.0, "process": _process(table, values)},
        supply=_supply(table.table("supply")),
        patterns=patterns,
        positions=positions,
        repairs=_repairs(outer, {p.ref for p in positions}),
        **_circuit(outer, patterns, {p.ref for p in positions}),
    )


def _made_holes(tables: Sequence[Table], board: Table, pins_of: PinsOf) -> dict[str, MadeHoles]:
    """The holes of each position that are made for a part, by its reference."""
    like, made = _fill_in_like(tables, "ref", (*POSITION.keys() - _OF_A_PLACE, "driver")), dict[str, MadeHoles]()
    for position in filter(made_for_a_part, tables):
        ref = position.text("ref")
        other = made.get(like[ref].text("ref")) if ref in like else None
        made[ref] = holes_for(position, board, pins_of, other.nets if other else {})
    return made


def _process(table: Table, values: Mapping[str, Any]) -> tuple[str, ...] | None:
    """An empty list says that the board goes through nothing; without the key nobody says what."""
    return tuple(values["process"]) if "process" in table else None


def _patterns(table: Table, path: Path, report: Report) -> dict[str, HolePattern]:
    """The hole patterns of the file named under ``holes``, which lies beside the board file or below it."""
    name = table.read(BOARD["holes"])
    if not name:
        return {}
    if Path(name).is_absolute() or ".." in Path(name).parts:
        table.wrong("holes", "the name of a file beside the board file", name)
        return {}
    return patterns_in(path.parent / name, report)


def _supply(table: Table | None) -> Supply:
    """The supply that a code stands for, with any volts that are stated in its place."""
    if table is None:
        return Supply()
    values = table.values_of(SUPPLY)
    coded = supply_for(values["code"]) or Supply()
    stated = {key: values[key] or getattr(coded, key) for key in _VOLTS}
    _check_rising(table, _VOLTS, stated)
    supply = _jumped(replace(coded, **stated, hertz=_frequency(table, values["hertz"])), values)
    events = {"crank_volts": supply.crank_volts, "dump_volts": supply.dump_volts}
    _check_rising(table, ("crank_volts", "min_volts", "max_volts", "dump_volts"), stated | events)
    if values["load_dump"] and supply.dump_volts is None:
        table.wrong("load_dump", "nominal_volts of 12 or 24, or dump_volts beside it", values["load_dump"])
    return supply


_VOLTS = ("min_volts", "nominal_volts", "max_volts")


def _jumped(supply: Supply, values: Mapping[str, Any]) -> Supply:
    """The boost start and the load dump that are to be allowed for: the usual ones of a vehicle, or as stated."""
    usual = usual_jump(supply) if values["jump_start"] else supply
    usual = usual_dump(usual, values["load_dump"] or "")
    return replace(usual, **{key: values[key] or getattr(usual, key) for key in _EVENTS})


_EVENTS = ("jump_volts", "jump_seconds", "crank_volts", "dump_volts", "dump_ms")


def _frequency(table: Table, hertz: float | None) -> Mains | None:
    if hertz is None:
        return None
    known = {50.0: Mains.HZ_50, 60.0: Mains.HZ_60}
    if hertz not in known:
        table.wrong("hertz", "50 or 60", f"{hertz:g}")
    return known.get(hertz)


def _check_rising(table: Table, keys: Sequence[str], values: Mapping[str, float | None]) -> None:
    """Each of these values is no less than the one before it."""
    stated = [(key, value) for key in keys if (value := values[key]) is not None]
    for (low, below), (high, above) in pairwise(stated):
        if below > above:
            table.wrong(low, f"at most {high}, which is {above:g}", f"{below:g}")


def _position(
    table: Table, patterns: dict[str, HolePattern], made: MadeHoles | None, driver: Driver | None
) -> Position:
    """The position; holes that are ``made`` for a part bring its wiring, unless another is stated, and ``driver`` is
    the board's."""
    values = table.values_of(POSITION, *HOLES, "like")
    for key in HOLES:
        table.get(key)
    if made is not None:
        values |= {"pattern": made.pattern.name, "wiring": values["wiring"] or made.wiring}
    elif not values["pattern"]:
        table.wrong("pattern", "a pattern in the holes file, or nets beside a part whose pins are known", "nothing")
    elif values["pattern"] not in patterns:
        near = is_it(values["pattern"], patterns)
        table.wrong("pattern", f"a pattern in the holes file{near}", values["pattern"])
    return Position(
        **values,
        driver=_driver(table.table("driver")) or driver,
        functions=tuple(map(_function, table.tables("function"))),
        keep_outs=tuple(map(_keep_out, table.tables("keep_out"))),
    )


def _check_places(tables: Sequence[Table], positions: Sequence[Position], patterns: dict[str, HolePattern]) -> None:
    """A place is told by both its numbers, and no hole of one position lies over a hole of another."""
    by_ref = {position.ref: its for position, its in zip(positions, tables, strict=True)}
    for its in tables:
        missing = [key for key in ("x_mm", "y_mm") if key not in its]
        if len(missing) == 1:
            its.wrong(missing[0], "both of x_mm and y_mm", "one")
        elif missing and "turn_deg" in its:
            its.wrong("turn_deg", "x_mm and y_mm beside it", "neither")
    for one, other in over_each_other(laid_out(Board("", patterns=patterns, positions=tuple(positions)))):
        if one.position.x_mm is not None and other.position.x_mm is not None:
            expected = f"a place where no hole lies over one of {one.position.ref}"
            by_ref[other.position.ref].wrong("x_mm", expected, f"{other.position.x_mm:g}, {other.position.y_mm:g}")


def _driver(table: Table | None) -> Driver | None:
    return None if table is None else Driver(**table.values_of(DRIVER))


def _keep_out(table: Table) -> KeepOut:
    stated: dict[str, Any] = {key: value for key, value in table.values_of(KEEP_OUT).items() if value is not None}
    return KeepOut(**dict.fromkeys(("x_mm", "y_mm", "length_mm", "width_mm"), 0.0) | stated)


def _function(table: Table) -> Function:
    values = table.values_of(FUNCTION)
    contact = Kind(values["contact"] or "make")
    return Function(**values | {"contact": contact}, load=_load(table.needed_table("load")))


def _load(table: Table) -> Load:
    values = table.values_of(LOAD, "mixed")
    shares = _shares(table, values["kind"])
    if shares and values["amps"] is None:
        values["amps"] = sum(amps for _, amps in shares)
    _check_currents(table, values)
    if values["suppression"] in ONE_WAY_SUPPRESSIONS and values["reversing"]:
        expected = f"none that a reversing load shorts through, as a {values['suppression']} would be"
        table.wrong("suppression", expected, values["suppression"])
    return Load(**values | {"supply": _load_supply(table, values)}, mixed=shares)


def _check_currents(table: Table, values: Mapping[str, Any]) -> None:
    """A stalled motor makes no back-EMF, so it draws more than a running one; and nothing starts on less."""
    amps = values["amps"]
    for key in ("stall_amps", "inrush_amps"):
        if amps is not None and values[key] is not None and values[key] < amps:
            table.wrong(key, f"no less than the running amps, which are {amps:g}", f"{values[key]:g}")


def _load_supply(table: Table, values: Mapping[str, Any]) -> SupplyKind:
    """As stated, else as the load's category says, else DC; a category of the other supply is refused."""
    stated, named = values["supply"], supply_of(values["kind"])
    if stated is not None and named not in (None, stated):
        table.wrong("supply", f"{named}, which {values['kind']} is for", stated.value)
    return stated or named or SupplyKind.DC


def _shares(table: Table, kind: str) -> tuple[tuple[str, float], ...]:
    """The running amps of each kind that a mixed load is made of, as in ``mixed = { lamp = 2, resistive = 8 }``."""
    inner = table.table("mixed")
    if inner is None:
        if kind == "mixed":
            table.wrong("mixed", "the amps of each kind, as in { lamp = 2, resistive = 8 }", "nothing")
        return ()
    if kind != "mixed":
        table.wrong("mixed", 'kind = "mixed" beside it', kind)
    kinds = {key: BOARD_LOADS.meant(key) for key in inner.values if not is_note(key)}
    for key in (key for key, known in kinds.items() if known in (None, "mixed")):
        inner.wrong(key, BOARD_LOADS.expected(key), key)
    return tuple((share, amps) for key, share in kinds.items() if (amps := inner.positive(key)) and share)


def _circuit(outer: Table, patterns: Mapping[str, HolePattern], refs: Iterable[str]) -> dict[str, Any]:
    """The board's nets, loads between nets, and the states that never are."""
    nets, loads = outer.tables("net"), outer.tables("load")
    _fill_in_like(loads, "name", LOAD)
    _each_once(loads, "name")
    holes = [hole.net for pattern in patterns.values() for hole in pattern.holes if hole.net]
    _check_nets(nets, loads, holes)
    _check_ends(nets, loads, holes)
    _check_functions(loads)
    if loads:
        _check_held(outer, nets)
    return {
        "nets": tuple(net for table in nets for net in _nets(table)),
        "loads": tuple(map(_net_load, loads)),
        "never": tuple(_never(t, refs) for t in outer.tables("never")),
    }


def _fill_in_like(tables: Sequence[Table], name: str, keys: Iterable[str]) -> dict[str, Table]:
    """What is like one further up states whatever that one states under these keys and it does not itself; each that
    is like another, with that one, by its name."""
    above, answer = dict[str, Table](), dict[str, Table]()
    for each in tables:
        if wanted := each.text("like"):
            if (other := above.get(wanted)) is None:
                each.wrong("like", f"a {each.heading} further up{is_it(wanted, above)}", wanted)
            else:
                each.take_from(other, keys)
                answer[each.text(name)] = other
        above.setdefault(each.text(name), each)
    return answer


def _nets(table: Table) -> Iterator[Net]:
    """The net of this table, and those that are held alike."""
    values = table.values_of(NET)
    if values["volts"] is not None and values["is"] is NetIs.GROUND:
        table.wrong("volts", "none, since a ground is at 0 V", f"{values['volts']:g}")
    if values["is"] is not None:
        yield from (Net(name, values["is"], values["volts"]) for name in (values["name"], *values["also"]))


def _named(nets: Iterable[Table]) -> Iterator[tuple[Table, str, str]]:
    """Every net that is held at its volts, with its table and the key that names it."""
    for net in nets:
        yield net, "name", net.text("name")
        yield from ((net, "also", name) for name in net.texts("also"))


def _net_load(table: Table) -> NetLoad:
    ends = table.values_of(ENDS, "like")
    stops = ends.pop("stops_at_end")
    return NetLoad(**ends, load=replace(_load(table), stops_at_end=bool(stops)))


def _check_nets(nets: Iterable[Table], loads: Iterable[Table], holes: Sequence[str]) -> None:
    """A net that no hole and no load names, or that comes twice, is a slip of the pen."""
    known, seen = {*holes, *(end for load in loads for end in (load.text("plus"), load.text("minus")))}, set[str]()
    for net, key, name in _named(nets):
        if name and name not in known:
            net.wrong(key, f"a net that a hole or a load names{is_it(name, known)}", name)
        if name.casefold() in seen:
            net.wrong(key, "each name once", name)
        seen.add(name.casefold())


def _check_ends(nets: Iterable[Table], loads: Sequence[Table], holes: Sequence[str]) -> None:
    """Each end of a load is on a net that something else names too, and they are two nets."""
    ends = [end for load in loads for end in (load.text("plus"), load.text("minus"))]
    named = {*holes, *(name for _, _, name in _named(nets))}
    for load in loads:
        plus, minus = load.text("plus"), load.text("minus")
        if plus and plus == minus:
            load.wrong("minus", "another net than plus", minus)
        for key, end in (("plus", plus), ("minus", minus)):
            if end and end not in named and ends.count(end) == 1:
                load.wrong(
                    key, f"a net of a hole, of a [[net]] or of another load{is_it(end, {*named, *ends} - {end})}", end
                )


def _check_functions(loads: Iterable[Table]) -> None:
    """Every way that a load goes has a name of its own, since faults are told by it."""
    seen: set[str] = set()
    for load in loads:
        for key in ("forward", "reverse"):
            if (name := load.text(key)) and name.casefold() in seen:
                load.wrong(key, "a name that no other way of a load has", name)
            seen.add(name.casefold())


def _check_held(outer: Table, nets: Iterable[Table]) -> None:
    """Loads need a supply and a ground; without both nothing could flow, and nothing would be asked."""
    held = {NET["is"].words.meant(net.text("is")) for net in nets}
    for wanted in NetIs:
        if wanted.value not in held and None not in held:
            outer.wrong("load", f'a [[net]] with is = "{wanted}" beside the loads', "none")


def _never(table: Table, refs: Iterable[str]) -> tuple[str, ...]:
    """Units by REF.UNIT; whether a position has such a unit is known by its wiring, so later."""
    units = table.values_of(NEVER)["together"]
    if len(set(units)) < 2:
        table.wrong("together", 'two units or more, as in ["K1.A", "K1.B"]', ", ".join(units) or "none")
    for unit in units:
        ref, dot, name = unit.rpartition(".")
        if not (dot and name and ref in refs):
            table.wrong(
                "together", f"a unit as POSITION.UNIT, its position being one of {', '.join(sorted(refs))}", unit
            )
    return tuple(dict.fromkeys(units))


def _repairs(outer: Table, refs: set[str]) -> tuple[Repair, ...]:
    tables = outer.tables("repair")
    _each_once(tables, "name")
    return tuple(_repair(t, refs) for t in tables)


def _repair(table: Table, refs: set[str]) -> Repair:
    """A position is named as it is printed, whatever its capitals here."""
    values = table.values_of(REPAIR)
    by_fold = {ref.casefold(): ref for ref in refs}
    named = {text: by_fold.get(text.casefold(), "") for text in values["positions"]}
    if strangers := [text for text, ref in named.items() if not ref]:
        table.wrong("positions", "positions of this board: " + ", ".join(sorted(refs)), ", ".join(strangers))
    return Repair(**values | {"positions": tuple(filter(None, named.values()))})


def _each_once(tables: Iterable[Table], key: str) -> None:
    """Each name once; capitals make no second one."""
    seen: set[str] = set()
    for each in tables:
        name = str(each.values.get(key, "")).casefold()
        if name and name in seen:
            each.wrong(key, f"each {key} once", each.values[key])
        seen.add(name)
