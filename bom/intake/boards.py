"""A board file: one TOML table of what the box is, its positions, functions and repairs, and the holes CSV
beside it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

from bom.boards.board import Board, Driver, Function, HolePattern, KeepOut, Load, Position, Repair, Supply
from bom.boards.supply_codes import supply_for, usual_jump
from bom.boards.words import BOARD_LOADS, ONE_WAY_SUPPRESSIONS
from bom.intake.board_keys import BOARD, DRIVER, FUNCTION, KEEP_OUT, LOAD, POSITION, REPAIR, SUPPLY
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
    _refuse_circuits(outer)
    values = table.values_of(BOARD, "holes")
    _check_rising(table, ("ambient_min_c", "ambient_max_c"), values)
    return Board(
        **values | {"leg_dressing_mm": values["leg_dressing_mm"] or 0.0},
        supply=_supply(table.table("supply")),
        patterns=patterns,
        positions=positions,
        repairs=_repairs(outer, {p.ref for p in positions}),
    )


def _refuse_circuits(outer: Table) -> None:
    """What the contract has for circuits is not read by this version, and is not to be passed over either."""
    for key in ("net", "load", "never"):
        if outer.get(key) is not None:
            outer.wrong(key, f"no [[{key}]]: this version does not read a board's circuit yet", key)


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
