"""A board file: one TOML table of what the box is, its positions, functions and repairs, and the holes CSV
beside it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from bom.boards.board import Board, Driver, Function, HolePattern, Load, Position, Repair, Supply
from bom.boards.supply_codes import codes, supply_for, usual_jump
from bom.boards.words import BOARD_LOADS, CONTACTS, ONE_WAY_SUPPRESSIONS, POLARITIES, PROCESSES, SUPPRESSIONS
from bom.intake.drawings import patterns_in
from bom.intake.rows import Report, Taken, is_note
from bom.intake.surroundings import hole_options, keep_outs
from bom.intake.tables import Table, read_toml
from bom.relays.relay import SupplyKind, supply_of
from bom.relays.wiring import Kind


def take_board(path: Path) -> Taken[Board]:
    """The board, and notes."""
    report = Report()
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
    return Board(
        name=table.needed("name"),
        title=table.text("title"),
        supply=_supply(table.table("supply")),
        ambient_min_c=_ambient(table, "ambient_min_c"),
        ambient_max_c=_above(table, "ambient_min_c", "ambient_max_c"),
        board_thickness_mm=table.positive("board_thickness_mm"),
        lid_clearance_mm=table.positive("lid_clearance_mm"),
        process=table.words("process", PROCESSES),
        cautions=table.texts("cautions"),
        patterns=patterns,
        positions=positions,
        repairs=_repairs(outer, {p.ref for p in positions}),
        safety=bool(table.flag("safety")),
        **hole_options(table),
    )


def _patterns(table: Table, path: Path, report: Report) -> dict[str, HolePattern]:
    """The hole patterns of the file named under ``holes``, which lies beside the board file or below it."""
    name = table.text("holes")
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
    coded = _coded(table)
    supply = replace(
        coded,
        min_volts=table.positive("min_volts") or coded.min_volts,
        nominal_volts=table.positive("nominal_volts") or coded.nominal_volts,
        max_volts=table.positive("max_volts") or coded.max_volts,
    )
    _check_rising(table, (supply.min_volts, supply.nominal_volts, supply.max_volts))
    return _jumped(supply, table)


def _jumped(supply: Supply, table: Table) -> Supply:
    """The boost start that is to be allowed for: the usual one of a code, or as stated."""
    usual = usual_jump(supply) if table.flag("jump_start") else supply
    return replace(
        usual,
        jump_volts=table.positive("jump_volts") or usual.jump_volts,
        jump_seconds=table.positive("jump_seconds") or usual.jump_seconds,
    )


def _coded(table: Table) -> Supply:
    return supply_for(table.one_of("code", codes())) or Supply()


def _check_rising(table: Table, volts: Iterable[float | None]) -> None:
    stated = [v for v in volts if v is not None]
    if stated != sorted(stated):
        table.wrong("min_volts", "min_volts, nominal_volts and max_volts in rising order", stated)


def _above(table: Table, low: str, high: str) -> float | None:
    below, above = table.number(low), _ambient(table, high)
    if below is not None and above is not None and below > above:
        table.wrong(low, f"at most {high}, which is {above:g}", f"{below:g}")
    return above


def _ambient(table: Table, key: str) -> float | None:
    """Degrees Celsius that a machine may see: -100 to 300 leaves room for any."""
    if (found := table.number(key)) is not None and not -100 <= found <= 300:
        table.wrong(key, "degrees Celsius from -100 to 300", f"{found:g}")
        return None
    return found


def _position(table: Table, patterns: dict[str, HolePattern]) -> Position:
    pattern = table.needed("pattern")
    if pattern and pattern not in patterns:
        table.wrong("pattern", "a pattern in the holes file", pattern)
    return Position(
        ref=table.needed("ref"),
        pattern=pattern,
        fitted=table.text("fitted"),
        wiring=table.text("wiring"),
        driver=_driver(table.table("driver")),
        units_on_together=table.whole("units_on_together"),
        functions=tuple(map(_function, table.tables("function"))),
        coil_rise_k=table.not_negative("coil_rise_k"),
        keep_outs=keep_outs(table),
    )


def _driver(table: Table | None) -> Driver | None:
    if table is None:
        return None
    return Driver(
        channel_milliamps=table.positive("channel_milliamps"),
        package_milliamps=table.positive("package_milliamps"),
        drop_volts=table.not_negative("drop_volts"),
        polarity=table.one_of("polarity", POLARITIES),
        suppression=table.one_of("suppression", SUPPRESSIONS),
        off_volts=table.not_negative("off_volts"),
        pulse_ms=table.positive("pulse_ms"),
    )


def _function(table: Table) -> Function:
    contact = table.one_of("contact", CONTACTS)
    if "contact" not in table:
        table.wrong("contact", "make or break", "nothing")
    return Function(
        name=table.needed("name"),
        unit=table.text("unit"),
        contact=Kind(contact or "make"),
        load=_load(table.needed_table("load")),
        pole=table.text("pole"),
        safety=bool(table.flag("safety")),
    )


_LOAD_NUMBERS = (
    *("volts", "amps", "stall_amps", "stall_seconds", "inrush_amps", "lr_ms", "power_factor"),
    *("brake_amps", "life_years"),
)


def _load(table: Table) -> Load:
    table.needed("kind")
    kind = table.one_of("kind", BOARD_LOADS)
    shares = _shares(table, kind)
    numbers = {key: table.positive(key) for key in _LOAD_NUMBERS}
    if (numbers["power_factor"] or 0.0) > 1:
        table.wrong("power_factor", "a number up to 1", numbers["power_factor"])
    if shares and numbers["amps"] is None:
        numbers["amps"] = sum(amps for _, amps in shares)
    _check_stall(table, numbers["amps"], numbers["stall_amps"])
    return Load(
        kind=kind,
        supply=_load_supply(table, kind),
        temp_c=table.number("temp_c"),
        operations_per_day=table.not_negative("operations_per_day"),
        reversing=bool(table.flag("reversing")),
        suppression=_load_suppression(table),
        mixed=shares,
        in_parallel=table.whole("in_parallel", 1),
        **numbers,
    )


def _load_suppression(table: Table) -> str:
    """What lies across the load; what conducts one way round would short it when its polarity is reversed."""
    found = table.one_of("suppression", SUPPRESSIONS)
    if found in ONE_WAY_SUPPRESSIONS and table.flag("reversing"):
        table.wrong("suppression", f"none that a reversing load shorts through, as a {found} would be", found)
    return found


def _check_stall(table: Table, amps: float | None, stall: float | None) -> None:
    """A stalled motor makes no back-EMF, so it draws more than a running one."""
    if amps is not None and stall is not None and stall < amps:
        table.wrong("stall_amps", f"no less than the running amps, which are {amps:g}", f"{stall:g}")


def _load_supply(table: Table, kind: str) -> SupplyKind:
    """As stated, else as the load's category says, else DC; a category of the other supply is refused."""
    stated, named = table.choice("supply", SupplyKind), supply_of(kind)
    if stated is not None and named not in (None, stated):
        table.wrong("supply", f"{named}, which {kind} is for", stated.value)
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
    positions = table.texts("positions")
    if strangers := [p for p in positions if p not in refs]:
        table.wrong("positions", "positions of this board", ", ".join(strangers))
    return Repair(table.needed("name"), table.texts("symptoms"), positions, table.texts("first_check"))


def _each_once(tables: Iterable[Table], key: str) -> None:
    seen: set[str] = set()
    for table in tables:
        name = str(table.values.get(key, ""))
        if name and name in seen:
            table.wrong(key, f"each {key} once", name)
        seen.add(name)
