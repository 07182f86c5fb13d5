"""Knows how a series of relays looks as a series sheet, the TOML file that states it as a data sheet prints it.

Pins and units stand in a line each where a line can say them exactly, else as a table.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from enum import Enum
from typing import Any

from bom.paper.toml_out import key_text, literal
from bom.relays.as_series import PartedSeries, parted
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint, Pin
from bom.relays.in_a_line import figure, lead_in, lead_text, pins_in, pins_line, unit_lines
from bom.relays.relay import Rating, Relay
from bom.relays.wiring import Element, Wiring
from bom.values.column import described
from bom.values.problem import Problem


def series_text(relays: Sequence[Relay], catalogue: Catalogue) -> str:
    """The sheet of these relays, all of one maker's series, with their drawings and ratings out of the catalogue."""
    footprints = [f for name in _named(relays, "footprint") if (f := catalogue.footprints.get(name))]
    wirings = [w for name in _named(relays, "wiring") if (w := catalogue.wirings.get(name))]
    drawn = {"footprint": [f.name for f in footprints], "wiring": [w.name for w in wirings]}
    called = " ".join(filter(None, (relays[0].maker, relays[0].series)))
    usual = {
        c: names[0] if len(names) == 1 else called for c, names in drawn.items() if len(names) == 1 or called in names
    }
    sheet = parted(relays, usual)
    owners = {relays[0].series, *(r.part_number for r in relays)} - {""}
    ratings = [rating for rating in catalogue.ratings if rating.applies_to in owners]
    blocks = [
        *_head(relays[0], sheet),
        *_rated(ratings, relays[0].series, sheet.source),
        *(_footprint(f, len(footprints) > 1) for f in footprints),
        *(_wiring(w, len(wirings) > 1) for w in wirings),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _named(relays: Sequence[Relay], column: str) -> list[str]:
    return list(dict.fromkeys(getattr(r, column) for r in relays if getattr(r, column)))


def _head(first: Relay, sheet: PartedSeries) -> Iterator[list[str]]:
    """Everything but the ratings and the drawings."""
    head = {"maker": first.maker, "name": first.series, "source": sheet.source, "part_number": sheet.part_number}
    not_made = [f"not_made = {_value(list(sheet.not_made))}"] if sheet.not_made else []
    yield ["[series]", *_settings({key: value for key, value in head.items() if value}), *not_made]
    if sheet.shared:
        yield ["[shared]", *_settings(sheet.shared)]
    if sheet.coils:
        yield ["[coils]", *_coil_table(sheet)]
    if sheet.versions:
        yield ["[choices.version]", *(f"{key_text(code)} = {_inline(said)}" for code, said in sheet.versions.items())]
    if sheet.own:
        yield ["[parts]", *(f"{key_text(number)} = {_inline(said)}" for number, said in sheet.own.items())]


def _coil_table(sheet: PartedSeries) -> list[str]:
    """The coil table; its code is left out where the rated volts are written alike."""
    columns = [*(["code"] if sheet.coded else []), *sheet.coil_columns]
    rows = [{"code": code} | dict(said) for code, said in sheet.coils.items()]
    return _table(columns, [[row.get(column) for column in columns] for row in rows])


def _rated(ratings: Sequence[Rating], series: str, source: str) -> Iterator[list[str]]:
    """The contact table: what all lines have in common once, and a line for each rating."""
    if not ratings:
        return
    columns = {c: [getattr(r, c) for r in ratings] for c in described(Rating)}
    usual = {"applies_to": series, "source": source} | dict.fromkeys(columns.keys() - {"applies_to", "source"})
    told = {c: values for c, values in columns.items() if any(v != usual[c] for v in values)}
    listed = [c for c, values in told.items() if len(set(values)) > 1 or _of_some(c, ratings)]
    listed = listed or (["contact"] if len(ratings) > 1 else [])
    shared = {c: values[0] for c, values in told.items() if c not in listed}
    rows = [[getattr(r, c) for c in listed] for r in ratings]
    yield ["[ratings]", *_settings(shared), *(_table(listed, rows) if listed else [])]


def _of_some(column: str, ratings: Sequence[Rating]) -> bool:
    """Whether the column, said of all lines at once, would be only of those that carry a current for some time."""
    return column == "carry_seconds" and any(rating.carry_amps is None for rating in ratings)


def _footprint(footprint: Footprint, several: bool) -> list[str]:
    head: dict[str, object] = {"name": footprint.name, "view": footprint.view}
    if footprint.body_mm is not None:
        head |= dict(zip(("body_x_mm", "body_y_mm"), footprint.body_mm, strict=True))
    return [
        _heading("footprint", several),
        *_settings(head),
        *(_pins_in_a_line(footprint) or _rows(Pin, footprint.pins)),
    ]


def _pins_in_a_line(footprint: Footprint) -> list[str] | None:
    """The pins in a line, the lead that most have once; None where the line would not read back the same."""
    texts = {pin.name: lead_text(pin) for pin in footprint.pins}
    usual = Counter(texts.values()).most_common(1)[0][0] if texts else ""
    others: dict[str, list[str]] = {}
    for name, text in texts.items():
        if text != usual:
            others.setdefault(text, []).append(name)
    leads = {name: lead_in(text) or {} for name, text in texts.items()}
    problems: list[Problem] = []
    line = pins_line(footprint.pins)
    if pins_in(line, leads, problems) != footprint.pins or problems or any("," in name for name in texts):
        return None
    named = {", ".join(names): text for text, names in others.items()}
    return [
        f"pins = {_value(line)}",
        *([f"lead = {_value(usual)}"] if usual else []),
        *([f"leads = {_inline(named)}"] if named else []),
    ]


def _wiring(wiring: Wiring, several: bool) -> list[str]:
    lines = unit_lines(wiring)
    said = _rows(Element, wiring.elements) if lines is None else _units(lines)
    return [_heading("wiring", several), *_settings({"name": wiring.name}), *said]


def _units(lines: Mapping[str, str]) -> list[str]:
    return [f"unit.{key_text(unit)} = {_value(line)}" for unit, line in lines.items()]


def _heading(name: str, several: bool) -> str:
    return f"[[{name}]]" if several else f"[{name}]"


def _rows(kind: type, things: Sequence[Any]) -> list[str]:
    """Pins or elements as a table, with the columns that any of them states."""
    fields = {column.name: field for field, column in zip(kind.__slots__, described(kind).values(), strict=True)}  # type: ignore[attr-defined]
    kept = [c for c, field in fields.items() if any(_stated(getattr(thing, field)) for thing in things)]
    return _table(kept, [[getattr(thing, fields[c]) for c in kept] for thing in things])


def _stated(value: object) -> bool:
    return value is not None and value != "" and value is not False


def _table(columns: Sequence[str], rows: Sequence[Sequence[object]]) -> list[str]:
    return [f"columns = {_value(list(columns))}", "rows = [", *(f"  {_value(list(row))}," for row in rows), "]"]


def _settings(values: Mapping[str, object]) -> list[str]:
    return [f"{key_text(key)} = {_value(value)}" for key, value in values.items()]


def _inline(values: Mapping[str, object]) -> str:
    return f"{{ {', '.join(_settings(values))} }}" if values else "{}"


def _value(value: object) -> str:
    """A value as TOML; what is not stated is empty text."""
    if value is None:
        return '""'
    if isinstance(value, bool):
        return '"yes"' if value else '"no"'
    if isinstance(value, float):
        return figure(value)
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    text = str(value.value) if isinstance(value, Enum) else str(value)
    return literal(text)
