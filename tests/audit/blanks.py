"""Blanking one stated value at a time: every value of a world that a file may leave empty, left empty.

An empty cell or an absent key means what the reader makes of it: nothing known, or the value that stands for not
stated. A value that a file must have is never blanked; whole lines and parts (a rating, a contact, the driver) are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import MISSING, Field, dataclass, fields, is_dataclass, replace
from typing import Any

from worlds import CANDIDATE, FITTED, Ask, World

from bom.boards.board import (
    Board,
    Driver,
    Function,
    Hole,
    HolePattern,
    KeepOut,
    Load,
    Net,
    NetLoad,
    Position,
    Repair,
    Supply,
)
from bom.intake import board_file
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Pin, View
from bom.relays.relay import SupplyKind, supply_of
from bom.relays.wiring import Element, Wiring
from bom.values.column import Column, described

LEFT_OUT = "left out"
KEYS: Mapping[type, Mapping[str, Column]] = {
    Board: board_file.BOARD,
    Supply: board_file.SUPPLY,
    Driver: board_file.DRIVER,
    Load: board_file.LOAD,
    Function: board_file.FUNCTION,
    KeepOut: board_file.KEEP_OUT,
    Position: board_file.POSITION,
    Net: board_file.NET,
    NetLoad: board_file.ENDS,
    Repair: board_file.REPAIR,
}
"""The keys of a board file that fill each of these; what fills the others rides on their fields."""
_NAMES = {
    ("Footprint", "name"),
    ("Wiring", "name"),
    ("HolePattern", "name"),
    ("HolePattern", "of_part"),
    ("Position", "pattern"),
}
"""What things are filed under, and what the program itself fills in: no cell of their own states it."""
_STAY = (Pin, Hole, Position, Repair, HolePattern)
"""What is not left out as a whole: a drawing without a pin is another drawing."""


@dataclass(frozen=True)
class Blank:
    """The world with one value left empty: ``field`` of ``where``, both as the reviewed table names them."""

    where: str
    field: str
    world: World


@dataclass(frozen=True)
class Left:
    """A part of a world with one value left empty."""

    where: str
    field: str
    whole: Any


Named = Callable[[Any], str]


def blanks(world: World) -> Iterator[Blank]:
    """Every value of the world, blanked by itself."""
    for number, whose in ((CANDIDATE, "candidate"), (FITTED, "fitted part")):
        if number == CANDIDATE or _asks_the_fitted(world):
            for left in _of_part(world.catalogue, number, whose):
                yield Blank(left.where, left.field, replace(world, catalogue=left.whole))
    if world.ask is Ask.AT_POSITION:
        for left in _of_wiring(world.catalogue, "board", "board's wiring"):
            yield Blank(left.where, left.field, replace(world, catalogue=left.whole))
        for left in emptied(world.board, _of_board(world.catalogue.wirings["board"])):
            yield Blank(left.where, left.field, replace(world, board=left.whole))


def _asks_the_fitted(world: World) -> bool:
    return world.ask is not Ask.AT_POSITION or bool(world.board.positions[0].fitted)


def _of_part(catalogue: Catalogue, number: str, whose: str) -> Iterator[Left]:
    """The catalogue with each value of one part's sheet, lines, drawing and wiring left empty in turn."""
    own = "old" if number == FITTED else "new"
    for place, relay in enumerate(catalogue.relays):
        if relay.part_number == number:
            yield from _put(emptied(relay, lambda _: whose), catalogue, "relays", place)
    for place, rating in enumerate(catalogue.ratings):
        if rating.applies_to == number:
            where = f"{whose}'s rating: {rating.contact} {rating.load}"
            yield from _put(emptied(rating, lambda _, where=where: where), catalogue, "ratings", place)
            yield Left(where, LEFT_OUT, replace(catalogue, ratings=_without(catalogue.ratings, place)))
    drawn = f"{own} pins"
    said: Named = lambda whole: f"{whose}'s pins" if isinstance(whole, Pin) else f"{whose}'s drawing"  # noqa: E731
    for left in emptied(catalogue.footprints[drawn], said):
        footprints = catalogue.footprints | {drawn: left.whole}
        yield replace(left, whole=replace(catalogue, footprints=footprints))
    yield from _of_wiring(catalogue, f"{own} wiring", f"{whose}'s wiring")


def _of_wiring(catalogue: Catalogue, name: str, whose: str) -> Iterator[Left]:
    said: Named = lambda whole: f"{whose}: {whole.kind}" if isinstance(whole, Element) else whose  # noqa: E731
    for left in emptied(catalogue.wirings[name], said):
        yield replace(left, whole=replace(catalogue, wirings=catalogue.wirings | {name: left.whole}))


def _put(lefts: Iterator[Left], whole: Any, field: str, place: int) -> Iterator[Left]:
    for left in lefts:
        yield replace(left, whole=replace(whole, **{field: _swapped(getattr(whole, field), place, left.whole)}))


def _of_board(wiring: Wiring) -> Named:
    """What each part of a board is called in the table; a hole by what the board's wiring joins it to."""
    role = _roles(wiring)
    words: dict[type, Named] = {
        Hole: lambda hole: f"hole of {role.get(hole.name, 'no element')}",
        Load: lambda load: f"load: {load.kind}",
        KeepOut: lambda _: "keep-out",
        HolePattern: lambda _: "holes",
        NetLoad: lambda _: "load between nets",
    }
    return lambda whole: words.get(type(whole), lambda w: type(w).__name__.lower())(whole)


def _roles(wiring: Wiring) -> dict[str, str]:
    """Hole to what it is to the board's wiring: a coil's, a common, a make, a break, or only a second pin."""
    said: dict[str, str] = {}
    for element in wiring.elements:
        for pin in element.pins:
            said.setdefault(pin, f"a {element.kind}")
    shared = (pin for pin in said if sum(pin in e.pins for e in wiring.contacts) > 1)
    return said | dict.fromkeys(shared, "a common")


def emptied(whole: Any, named: Named) -> Iterator[Left]:
    """The dataclass with each stated value, its own and those of what it holds, left empty in turn."""
    for f in fields(whole):
        value = getattr(whole, f.name)
        for where, field, left in _of_field(whole, f, value, named):
            yield Left(where, field, replace(whole, **{f.name: left}))


def _of_field(whole: Any, f: Field[Any], value: Any, named: Named) -> Iterator[tuple[str, str, Any]]:
    if is_dataclass(value):
        inner = _between_nets(named) if isinstance(whole, NetLoad) else named
        yield from ((left.where, left.field, left.whole) for left in emptied(value, inner))
        if f.default is None:
            yield named(value), LEFT_OUT, None
    elif isinstance(value, dict):
        for key, item in value.items():
            yield from ((left.where, left.field, value | {key: left.whole}) for left in emptied(item, named))
    elif isinstance(value, tuple) and value and is_dataclass(value[0]):
        yield from _of_items(value, named)
    elif (empty := empty_of(whole, f)) is not MISSING and value != empty:
        yield named(whole), f.name, empty


def _between_nets(named: Named) -> Named:
    return lambda whole: f"{named(whole)}, between nets"


def _of_items(items: tuple[Any, ...], named: Named) -> Iterator[tuple[str, str, Any]]:
    for place, item in enumerate(items):
        yield from ((left.where, left.field, _swapped(items, place, left.whole)) for left in emptied(item, named))
        if not isinstance(item, _STAY):
            yield named(item), LEFT_OUT, _without(items, place)


def empty_of(whole: Any, f: Field[Any]) -> Any:
    """What the field holds where its cell is empty or its key absent; MISSING where it may not be."""
    kind: Any = type(whole)
    column = (KEYS.get(kind) or described(kind)).get(f.name)
    if (column is not None and column.needed and f.name != "view") or (kind.__name__, f.name) in _NAMES:
        return MISSING
    if f.name == "supply" and kind is Load:
        return supply_of(whole.kind) or SupplyKind.DC
    if f.name == "view":
        return View.UNKNOWN
    if f.default is not MISSING or column is None:
        return f.default
    return column.empty


def _swapped(items: tuple[Any, ...], place: int, item: Any) -> tuple[Any, ...]:
    return (*items[:place], item, *items[place + 1 :])


def _without(items: tuple[Any, ...], place: int) -> tuple[Any, ...]:
    return (*items[:place], *items[place + 1 :])
