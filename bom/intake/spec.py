"""A spec file: what was measured on the bench, as bounds that a replacement must keep.

Keys are any column of relays.csv (equal), one of its numbers with ``min_`` or ``max_`` before it, and the shape
bounds ``units``, ``pins``, ``contacts``, ``load``, ``load_volts``, ``load_supply``, ``min_make_amps``,
``min_break_amps``, ``max_height_mm``, ``sealing_at_least``, ``pin_pitch_mm``, ``pins_long_mm``, ``pins_wide_mm`` and
``pitch_tolerance_mm``.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from pathlib import Path

from bom.intake.relay_rows import CHOICES, RELAY_COLUMNS, TEXTS
from bom.intake.rows import Report, is_it, is_note
from bom.intake.tables import Table, read_toml
from bom.relays.relay import LOADS, Sealing, SupplyKind
from bom.values.problem import Refused
from bom.values.quantity import read

# Endings of number keys and the unit each is kept in.
_UNITS = {
    "milliamps": "mA",
    "milliwatts": "mW",
    "amps": "A",
    "volts": "V",
    "ohms": "ohm",
    "mm": "mm",
    "ms": "ms",
    "c": "degC",
}
NUMBERS = tuple(c for c in RELAY_COLUMNS if c not in {"maker", "part_number", *CHOICES, *TEXTS})
CONTACTS = ("make", "break", "changeover")
_SHAPE_AMPS = ("min_make_amps", "min_break_amps", "load_volts", "max_height_mm")
_GRID = ("pin_pitch_mm", "pins_long_mm", "pins_wide_mm", "pitch_tolerance_mm")


def read_spec(path: Path) -> dict[str, object]:
    """Key to typed value, from the table [spec]; raises ``ProblemsFound``, also for a key that is no bound.

    Numbers may carry a unit in quotes (``coil_volts = "12 V"``) and come back in the key's own unit.
    """
    report = Report()
    outer = read_toml(path, report)
    table = outer.needed_table("spec") if outer else None
    bounds = {key: _value(table, key) for key in table.values if not is_note(key)} if table else {}
    if outer:
        outer.leave()
    if not bounds and not report.problems:
        report.wrong(path.name, 0, "spec", "at least one bound", "none")
    return report.taken(bounds).value


def _value(table: Table, key: str) -> object:
    reader = _READERS.get(key)
    if reader is None:
        hint = is_it(key, _READERS)
        table.wrong(key, f"a column of relays.csv, min_ or max_ of one, or a shape bound{hint}", key)
        return None
    return reader(table, key)


def _number(table: Table, key: str) -> float | None:
    """A number, or a quantity in quotes with its unit."""
    if not isinstance(table.get(key), str):
        return table.number(key)
    try:
        return read(table.text(key), _UNITS.get(key.rsplit("_", 1)[-1], "piece"))
    except Refused as error:
        table.wrong(key, str(error).removeprefix("expected ").split(", found")[0], table.text(key))
        return None


def _whole(table: Table, key: str) -> int | None:
    return table.whole(key, 1)


def _text(table: Table, key: str) -> str:
    return table.needed(key)


def _load(table: Table, key: str) -> str:
    table.needed(key)
    return table.one_of(key, LOADS)


def _contacts(table: Table, key: str) -> str:
    return table.one_of(key, CONTACTS)


def _choice(kind: type[StrEnum]) -> Callable[[Table, str], object]:
    return lambda table, key: table.choice(key, kind)


_READERS: dict[str, Callable[[Table, str], object]] = {
    **dict.fromkeys((f"{edge}_{column}" for edge in ("min", "max") for column in NUMBERS), _number),
    **dict.fromkeys((*NUMBERS, *_SHAPE_AMPS, *_GRID), _number),
    **dict.fromkeys(("maker", "part_number", *TEXTS), _text),
    **{column: _choice(kind) for column, kind in CHOICES.items()},
    "units": _whole,
    "pins": _whole,
    "contacts": _contacts,
    "load": _load,
    "load_supply": _choice(SupplyKind),
    "sealing_at_least": _choice(Sealing),
}
