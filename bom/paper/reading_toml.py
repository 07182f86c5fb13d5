"""Knows how a reading is written as TOML: as it is kept, and as it is proposed, with a remark beside each heading."""

from __future__ import annotations

from collections.abc import Mapping

from bom.paper.toml_out import literal
from bom.values.reading import Reading, nothing


def reading_toml(reading: Reading, remarks: Mapping[str, str] = nothing(), above: str = "") -> str:
    """The file: ``remarks`` by heading (or by column, for what every row states) stand behind their lines, ``above``
    before all."""
    lines = [*(f"# {line}" if line else "#" for line in above.splitlines()), *([""] if above else [])]
    lines += ["[reading]", f"of = {literal(reading.of)}"]
    lines += [f"sheet = {literal(reading.sheet)}"] if reading.sheet else []
    lines += [f"heading_row = {reading.heading_row}"] if reading.heading_row else []
    for key, value in (("decimal", reading.decimal), ("days", reading.days), ("sections", reading.sections)):
        lines += [f"{key} = {literal(value)}"] if value else []
    for key, table in (("columns", reading.columns), ("units", reading.units), ("every_row", reading.every_row)):
        if table:
            lines += ["", f"[reading.{key}]", *_table(table, remarks)]
    return "\n".join(lines) + "\n"


def _table(table: Mapping[str, str], remarks: Mapping[str, str]) -> list[str]:
    """Keys and texts in two columns, each with its remark."""
    settings = {key: f"{literal(key)} = {literal(value)}" for key, value in table.items()}
    width = min(max(map(len, settings.values())), 48)
    return [f"{line:{width}}  # {remarks[key]}" if remarks.get(key) else line for key, line in settings.items()]
