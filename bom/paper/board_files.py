"""Knows how a board and a kit are written as the files they are read from: every value that is stated, and no other.

What is read from these files again is the same board and the same kit, but for a kit's terms of trade, which
``kit_text`` leaves out on wish.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields
from enum import Enum
from typing import Any

from bom.boards.board import Board, KeepOut, Load, Net, NetLoad, Position, Supply
from bom.kits.kit import Kit, Line
from bom.paper.toml_out import literal
from bom.relays.relay import Mains
from bom.values.money import Money

Table = dict[str, Any]

_HERTZ = {Mains.HZ_50: 50, Mains.HZ_60: 60}


def board_text(board: Board, holes: str) -> str:
    """The board's TOML; ``holes`` names the file that its holes are in (``bom.paper.csv_out.holes_text``)."""
    tables = [("[board]", _board(board, holes)), ("[board.supply]", _supply(board.supply))]
    for position in board.positions:
        tables += _position(position)
    tables += [("[[net]]", _net(net)) for net in board.nets]
    tables += [("[[load]]", _net_load(load)) for load in board.loads]
    tables += [("[[never]]", {"together": list(units)}) for units in board.never]
    tables += [("[[repair]]", _stated(repair)) for repair in board.repairs]
    return _written(tables)


def kit_text(kit: Kit, *, terms: bool = True) -> str:
    """The kit's TOML; without its ``terms`` no price, cost, fee or packing is in it."""
    own = _stated(kit, "lines", "packing", "market", *(() if terms else ("cost_by",)))
    tables = [("[kit]", own), *(("[[line]]", _line(line, terms)) for line in kit.lines)]
    if terms and kit.packing is not None:
        tables.append(("[packing]", _stated(kit.packing)))
    if terms and kit.market is not None:
        tables.append(("[market]", _stated(kit.market) | {"tax_registered": kit.market.tax_registered}))
    return _written(tables)


def _written(tables: Iterable[tuple[str, Table]]) -> str:
    return "\n".join(
        "\n".join((heading, *(f"{key} = {literal(value)}" for key, value in table.items()), ""))
        for heading, table in tables
        if table or heading.startswith(("[[", "[position"))
    )


def _board(board: Board, holes: str) -> Table:
    kept = ("supply", "patterns", "positions", "repairs", "nets", "loads", "never", "process", "leg_dressing_mm")
    stated = _stated(board, *kept)
    stated |= {"holes": holes} if board.patterns else {}
    stated |= {"leg_dressing_mm": board.leg_dressing_mm} if board.leg_dressing_mm else {}
    return stated | ({} if board.process is None else {"process": list(board.process)})


def _supply(supply: Supply) -> Table:
    hertz = {} if supply.hertz is None else {"hertz": _HERTZ[supply.hertz]}
    return _stated(supply, "hertz") | hertz


def _position(position: Position) -> Iterator[tuple[str, Table]]:
    yield "[[position]]", _stated(position, "driver", "functions", "keep_outs")
    if position.driver is not None:
        yield "[position.driver]", _stated(position.driver)
    for keep_out in position.keep_outs:
        yield "[[position.keep_out]]", {f.name: getattr(keep_out, f.name) for f in fields(KeepOut)}
    for function in position.functions:
        own = _stated(function, "load", "solved")
        yield "[[position.function]]", own | {"contact": str(function.contact)}
        yield "[position.function.load]", _load(function.load)


def _load(load: Load) -> Table:
    mixed = {"mixed": dict(load.mixed)} if load.mixed else {}
    return _stated(load, "mixed", "stops_at_end") | mixed


def _net(net: Net) -> Table:
    return {"name": net.name, "is": str(net.is_)} | ({} if net.volts is None else {"volts": net.volts})


def _net_load(load: NetLoad) -> Table:
    return _stated(load, "load") | _load(load.load) | ({"stops_at_end": True} if load.load.stops_at_end else {})


def _line(line: Line, terms: bool) -> Table:
    stated = _stated(line, "each", "alloy", "unit", "quantity")
    stated["quantity"] = f"{line.quantity:f} {line.unit}"
    stated |= {"cost": line.each.amount} if terms and line.each is not None else {}
    return stated | ({"solder": {"alloy": line.alloy}} if line.alloy else {})


_NOT_STATED: tuple[object, ...] = (None, "", (), False)


def _stated(thing: Any, *but: str) -> Table:
    """The fields that state something, as TOML holds them, but these."""
    values = ((f.name, getattr(thing, f.name)) for f in fields(thing) if f.name not in but)
    return {name: _plain(value) for name, value in values if not any(value is n or value == n for n in _NOT_STATED)}


def _plain(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Money):
        return value.amount
    return dict(value) if isinstance(value, Mapping) else value
