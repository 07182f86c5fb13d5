"""A spec file: what was measured on the bench, as bounds that a replacement must keep.

Its keys, and what each may hold, are those of ``bom.match.spec_bounds.spec_keys``.
"""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from bom.intake.rows import Report, is_it, is_note
from bom.intake.tables import Table, read_toml
from bom.match.spec_bounds import spec_keys
from bom.values.column import Column, Holds, closed
from bom.values.problem import Refused


def read_spec(path: Path) -> dict[str, object]:
    """Key to typed value, from the table [spec]; raises ``ProblemsFound``, also for a key that is no bound.

    Numbers may carry a unit in quotes (``coil_volts = "12 V"``) and come back in the key's own unit.
    """
    report = Report()
    outer = read_toml(path, report)
    table = outer.needed_table("spec") if outer else None
    bounds = dict(_bound(table, key) for key in table.values if not is_note(key)) if table else {}
    if outer:
        outer.leave()
    if not bounds and not report.problems:
        report.wrong(path.name, 0, "spec", "at least one bound", "none")
    return report.taken(bounds).value


def _bound(table: Table, written: str) -> tuple[str, object]:
    """The key as it is spelt here, and what it holds."""
    keys = spec_keys()
    if (key := closed(keys).meant(written)) is None:
        table.get(written)
        expected = f"a column of relays.csv, min_ or max_ of one, or a shape bound{is_it(written, keys)}"
        table.wrong(written, f"{expected}; bom explain spec.toml lists them", written)
        return written, None
    return key, _value(table, written, keys[key])


def _value(table: Table, key: str, column: Column) -> object:
    value = table.get(key)
    in_quotes = isinstance(value, str)
    is_number = isinstance(value, int | Decimal) and not isinstance(value, bool)
    if not in_quotes and not (is_number and column.holds in (Holds.NUMBER, Holds.WHOLE)):
        table.wrong(key, column.allowed if is_number else f"{column.allowed}, as in {column.example}", value)
        return None
    if not str(value).strip():
        table.wrong(key, column.allowed, "empty text")
        return None
    try:
        return column.read(str(value).strip())
    except Refused as refused:
        table.wrong(key, str(refused), value)
        return None
