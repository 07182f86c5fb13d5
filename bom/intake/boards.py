"""A board file: one TOML table of what the box is, its positions, functions and repairs, the nets and loads of its
circuit, and the holes CSV beside it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

from bom.boards.board import (
    BOARD_LOADS,
    ONE_WAY_SUPPRESSIONS,
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
    supply_for,
    usual_jump,
)
from bom.intake.board_keys import (
    BOARD,
    DRIVER,
    ENDS,
    FUNCTION,
    KEEP_OUT,
    LOAD,
    NET,
    NEVER,
    POSITION,
    REPAIR,
    SUPPLY,
)
from bom.intake.drawings import patterns_in
from bom.intake.rows import Report, Taken, is_it, is_note
from bom.intake.tables import Table, read_toml
from bom.relays.relay import SupplyKind, supply_of
from bom.relays.wiring import Kind


def take_board(path: Path, leave_out: Sequence[str] = ()) -> Taken[Board]:
    """The board, and notes. ``leave_out`` names keys and columns of one's own, in the file or that of its holes."""
    report = Report().leave_out(leave_out)
    if (outer := read_toml(path, report)) is None:
        return report.taken(Board(""))
    board = _board(outer, path, report)
    outer.leave()
    return report.taken(board)


def _board(outer: Table, path: Path, report: Report) -> Board:
    table = outer.needed_table("board")
    patterns = _patterns(table, path, report)
    positions = tuple(_position(t, patterns) for t in outer.tables("position"))
    _each_once(outer.tables("position"), "ref")
    values = table.values_of(BOARD, "holes")
    _check_rising(table, ("ambient_min_c", "ambient_max_c"), values)
    return Board(
        **values | {"leg_dressing_mm": values["leg_dressing_mm"] or 0.0},
        supply=_supply(table.table("supply")),
        patterns=patterns,
        positions=positions,
        repairs=_repairs(outer, {p.ref for p in positions}),
        **_circuit(outer, patterns, {p.ref for p in positions}),
    )


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
    return _jumped(replace(coded, **stated), values)


_VOLTS = ("min_volts", "nominal_volts", "max_volts")


def _jumped(supply: Supply, values: Mapping[str, Any]) -> Supply:
    """The boost start that is to be allowed for: the usual one of a code, or as stated."""
    usual = usual_jump(supply) if values["jump_start"] else supply
    return replace(
        usual,
        jump_volts=values["jump_volts"] or usual.jump_volts,
        jump_seconds=values["jump_seconds"] or usual.jump_seconds,
    )


def _check_rising(table: Table, keys: Sequence[str], values: Mapping[str, float | None]) -> None:
    """Each of these values is no less than the one before it."""
    stated = [(key, value) for key in keys if (value := values[key]) is not None]
    for (low, below), (high, above) in pairwise(stated):
        if below > above:
            table.wrong(low, f"at most {high}, which is {above:g}", f"{below:g}")


def _position(table: Table, patterns: dict[str, HolePattern]) -> Position:
    values = table.values_of(POSITION)
    if values["pattern"] and values["pattern"] not in patterns:
        near = is_it(values["pattern"], patterns)
        table.wrong("pattern", f"a pattern in the holes file{near}", values["pattern"])
    return Position(
        **values,
        driver=_driver(table.table("driver")),
        functions=tuple(map(_function, table.tables("function"))),
        keep_outs=tuple(map(_keep_out, table.tables("keep_out"))),
    )


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
    _each_once(nets, "name")
    _each_once(loads, "name")
    holes = [hole.net for pattern in patterns.values() for hole in pattern.holes if hole.net]
    _check_nets(nets, loads, holes)
    _check_ends(nets, loads, holes)
    _check_functions(loads)
    if loads:
        _check_held(outer, nets)
    return {
        "nets": tuple(filter(None, map(_net, nets))),
        "loads": tuple(map(_net_load, loads)),
        "never": tuple(_never(t, refs) for t in outer.tables("never")),
    }


def _net(table: Table) -> Net | None:
    values = table.values_of(NET)
    if values["volts"] is not None and values["is"] is NetIs.GROUND:
        table.wrong("volts", "none, since a ground is at 0 V", f"{values['volts']:g}")
    return None if values["is"] is None else Net(values["name"], values["is"], values["volts"])


def _net_load(table: Table) -> NetLoad:
    ends = table.values_of(ENDS)
    stops = ends.pop("stops_at_end")
    return NetLoad(**ends, load=replace(_load(table), stops_at_end=bool(stops)))


def _check_nets(nets: Iterable[Table], loads: Iterable[Table], holes: Sequence[str]) -> None:
    """A net that no hole and no load names is a slip of the pen."""
    known = {*holes, *(end for load in loads for end in (load.text("plus"), load.text("minus")))}
    for table in nets:
        if (name := table.text("name")) and name not in known:
            table.wrong("name", f"a net that a hole or a load names{is_it(name, known)}", name)


def _check_ends(nets: Iterable[Table], loads: Sequence[Table], holes: Sequence[str]) -> None:
    """Each end of a load is on a net that something else names too, and they are two nets."""
    ends = [end for load in loads for end in (load.text("plus"), load.text("minus"))]
    named = {*holes, *(net.text("name") for net in nets)}
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
    for table in tables:
        name = str(table.values.get(key, "")).casefold()
        if name and name in seen:
            table.wrong(key, f"each {key} once", table.values[key])
        seen.add(name)
