"""Random tables are printed as PDFs and read back: each figure as it was, or left out as doubtful; never another."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from printed_sheets import HEADINGS, Sheet, draw

from bom.intake.data_sheet.pages import _pages
from bom.jobs.replacing.data_sheet import _best_of

SHEETS = 30


@dataclass(frozen=True)
class Printed:
    """A sheet and what it states: code to column to value, as a series sheet has it."""

    sheet: Sheet
    states: dict[str, dict[str, str]]


@dataclass
class Count:
    right: int = 0
    doubtful: int = 0
    missed: int = 0
    wrong: list[str] = field(default_factory=list)


def printed(seed: int) -> Printed:
    """One random table of coils."""
    roll = random.Random(seed)
    columns = [c for c in HEADINGS if c in ("code", "coil_volts", "coil_ohms") or roll.random() < 0.7]
    first, rest = columns[:1], columns[1:]
    if roll.random() < 0.4:
        roll.shuffle(rest)
    columns = first + rest
    comma, watts = roll.random() < 0.35, roll.choice([0.36, 0.4, 0.53, 0.8])
    states = {str(100 + nth * 7): _coil(volts, watts) for nth, volts in enumerate(_volts(roll))}
    headings = [roll.choice(HEADINGS[column]) for column in columns]
    rows = [
        [code if column == "code" else _shown(said.get(column, "3"), column, comma, roll) for column in columns]
        for code, said in states.items()
    ]
    if roll.random() < 0.3:
        row, column = roll.randrange(len(rows)), roll.randrange(1, len(columns))
        rows[row][column] += roll.choice(["^1", " *1", "^*"])
    if roll.random() < 0.2:
        row, column = roll.randrange(len(rows)), roll.randrange(2, len(columns))
        rows[row][column] = roll.choice(["–", "-", "on request"])
    ruled, merged = roll.random() < 0.5, list[tuple[int, int, int]]()
    if ruled and "coil_milliwatts" in columns and roll.random() < 0.5:
        merged = [(columns.index("coil_milliwatts"), 0, len(rows) - 1)]
        for row in rows:
            row[merged[0][0]] = rows[0][merged[0][0]]
    sheet = Sheet(
        headings,
        rows,
        ruled=ruled,
        merged=merged,
        gap=roll.choice([6.0, 8.0, 14.0, 20.0]),
        font=roll.choice(["Helvetica", "Times-Roman", "Courier"]),
        right=roll.random() < 0.3,
        size=roll.choice([5.0, 6.0, 7.0]),
        footnotes=["*1 measured at 23 °C"] if roll.random() < 0.5 else [],
        beside=roll.random() < 0.3 and len(columns) < 6,
        turned=roll.choice([0, 0, 0, 90, 270]),
    )
    return Printed(sheet, states)


def _volts(roll: random.Random) -> list[float]:
    return sorted(roll.sample([3, 4.5, 5, 6, 9, 12, 18, 24, 48, 110], roll.randint(2, 7)))


def _coil(volts: float, watts: float) -> dict[str, str]:
    figures = {
        "coil_volts": volts,
        "coil_ohms": round(volts**2 / watts, 1 if volts < 12 else 0),
        "operate_volts": round(0.75 * volts, 2),
        "release_volts": round(0.1 * volts, 2),
        "coil_max_volts": round(1.3 * volts, 1),
        "coil_milliwatts": round(watts * 1000),
    }
    return {column: f"{value:.10g}" for column, value in figures.items()}


def _shown(value: str, column: str, comma: bool, roll: random.Random) -> str:
    if roll.random() < 0.05 and column != "coil_milliwatts":
        value += {"coil_ohms": " ohm"}.get(column, " V")
    whole = re.fullmatch(r"\d{4,}", value)
    if whole and roll.random() < 0.5:
        value = f"{int(value):,}"
        return value.replace(",", ".") if comma else value
    return value.replace(".", ",") if comma else value


def compared(one: Printed, file: Path, count: Count) -> None:
    draw(file, one.sheet)
    read = _best_of(next(iter(_pages(str(file), ()))))
    rows = {row.figures["code"].value: row for table in read.coils for row in table.rows if "code" in row.figures}
    for code, said in one.states.items():
        for column, cell in _cells_of(one, code):
            figure = rows[code].figures.get(column) if code in rows else None
            blank = cell in ("–", "-", "on request")
            if figure is None or (not figure.value and not figure.doubt):
                count.right += blank
                count.missed += not blank
            elif figure.doubt:
                count.doubtful += 1
            elif blank or float(figure.value) != float(said[column]):
                count.wrong.append(f"{file.name}: {code} {column}: printed {cell!r}, read {figure.value!r}")
            else:
                count.right += 1
    strangers = set(rows) - set(one.states) - {""}
    count.wrong += [f"{file.name}: no row {code!r} was printed" for code in strangers]


def _cells_of(one: Printed, code: str) -> Iterator[tuple[str, str]]:
    heads = [next(c for c, known in HEADINGS.items() if h in known) for h in one.sheet.headings]
    row = next(row for row in one.sheet.rows if row[0] == code)
    return ((column, cell) for column, cell in zip(heads, row, strict=True) if column not in ("code", "weight"))


@pytest.mark.parametrize("tenth", range(3))
def test_a_figure_is_read_as_it_was_printed_or_left_out(tmp_path: Path, tenth: int) -> None:
    count = Count()
    for seed in range(tenth * 10, tenth * 10 + 10):
        compared(printed(seed), tmp_path / f"sheet-{seed}.pdf", count)
    assert not count.wrong
    assert count.right > 0.7 * (count.right + count.doubtful + count.missed)
