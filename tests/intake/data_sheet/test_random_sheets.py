"""Random tables are printed as PDFs and read back: each figure as it was, or left out as doubtful; never another."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest
from printed_sheets import HEADINGS, Sheet, draw

from bom.intake.data_sheet.pages import pages_here
from bom.intake.data_sheet.reading import ReadRow
from bom.jobs.replacing.data_sheet import best_of


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


CONTACT_HEADINGS: dict[str, list[tuple[str, ...]]] = {
    "contact": [("Contact",), ("Contact", "form")],
    "load": [("Load",), ("Type", "of load")],
    "volts": [("Voltage (VDC)",), ("Switching", "voltage (VDC)")],
    "amps": [("Current (A)",), ("Switching", "current, A")],
    "operations": [("Number of", "operations"), ("Electrical life",)],
    "temp_c": [("Ambient", "temperature (°C)"), ("Ambient (°C)",)],
}


def contacts(seed: int) -> Printed:
    """One random table of ratings; its rows are known by their amps, each of which comes once."""
    roll = random.Random(seed)
    columns = [c for c in CONTACT_HEADINGS if c in ("contact", "load", "volts", "amps") or roll.random() < 0.7]
    comma = roll.random() < 0.3
    states, rows = {}, []
    for amps in roll.sample([0.5, 1, 2, 3.5, 5, 8, 10, 16, 20, 40], roll.randint(2, 6)):
        said = {
            "contact": roll.choice(["make", "break"]),
            "load": roll.choice(["resistive", "motor", "lamp"]),
            "volts": roll.choice(["14", "28", "13.5"]),
            "amps": f"{amps:g}",
            "operations": roll.choice(["100000", "50000", "1000000"]),
            "temp_c": roll.choice(["85", "-40", "20"]),
        }
        states[said["amps"]] = said
        rows.append([_contact_cell(said[c], c, comma, roll) for c in columns])
    headings = [roll.choice(CONTACT_HEADINGS[column]) for column in columns]
    look = {"ruled": roll.random() < 0.5, "right": roll.random() < 0.3, "gap": roll.choice([6.0, 14.0, 20.0])}
    return Printed(Sheet(headings, rows, caption="Contact data", size=roll.choice([6.0, 8.0]), **look), states)


def _contact_cell(value: str, column: str, comma: bool, roll: random.Random) -> str:
    if column == "contact":
        return {"make": roll.choice(["NO", "make", "form A"]), "break": roll.choice(["NC", "break"])}[value]
    if column == "operations":
        return roll.choice([value, f"{int(value):,}", f"{int(value):.0e}".replace("e+0", "×10^")])
    value = f"{value} V DC" if column == "volts" and roll.random() < 0.2 else value
    return value.replace(".", ",") if comma else value


def compared(one: Printed, file: Path, count: Count) -> None:
    """A table by itself, of coils or of contacts."""
    draw(file, one.sheet)
    read = best_of(next(iter(pages_here(str(file), ()))))
    rows = [row for table in (*read.coils, *read.contacts) for row in table.rows]
    key = "code" if one.sheet.headings[0] in HEADINGS["code"] else "amps"
    _count(one, {row.figures[key].value: row for row in rows if key in row.figures}, file.name, count)


def _count(one: Printed, rows: dict[str, ReadRow], name: str, count: Count) -> None:
    for key, said in one.states.items():
        for column, cell in _cells_of(one, key):
            figure = rows[key].figures.get(column) if key in rows else None
            blank = cell in ("–", "-", "on request")
            if figure is None or (not figure.value and not figure.doubt):
                count.right += blank
                count.missed += not blank
            elif figure.doubt:
                count.doubtful += 1
            elif blank or not _same(figure.value, said[column]):
                count.wrong.append(f"{name}: {key} {column}: printed {cell!r}, read {figure.value!r}")
            else:
                count.right += 1
    count.wrong += [f"{name}: no row {key!r} was printed" for key in set(rows) - set(one.states) - {""}]


def _same(one: str, other: str) -> bool:
    return one == other or (bool(re.match(r"-?[\d.]", one)) and float(one) == float(other))


def _cells_of(one: Printed, key: str) -> Iterator[tuple[str, str]]:
    known = {head: column for of in (HEADINGS, CONTACT_HEADINGS) for column, heads in of.items() for head in heads}
    heads = [known[tuple(heading)] for heading in one.sheet.headings]
    row = one.sheet.rows[list(one.states).index(key)]
    return ((column, cell) for column, cell in zip(heads, row, strict=True) if column not in ("code", "weight"))


@pytest.mark.parametrize("kind", [printed, contacts], ids=["coils", "contacts"])
@pytest.mark.parametrize("half", range(2))
def test_a_figure_is_read_as_it_was_printed_or_left_out(
    tmp_path: Path, kind: Callable[[int], Printed], half: int
) -> None:
    count = Count()
    for seed in range(half * 10, half * 10 + 10):
        compared(kind(seed), tmp_path / f"sheet-{seed}.pdf", count)
    assert not count.wrong
    assert count.right > 0.95 * (count.right + count.doubtful + count.missed)


def test_two_tables_side_by_side_are_never_one(tmp_path: Path) -> None:
    count = Count()
    for seed in range(10):
        side_by_side(seed, tmp_path / f"page-{seed}.pdf", count)
    assert not count.wrong
    assert count.right > 0.9 * (count.right + count.doubtful + count.missed)


def side_by_side(seed: int, file: Path, count: Count) -> None:
    """Two narrow tables of coils, each in its half of the page."""
    left, right = (_narrow(printed(2 * seed + n), "LR"[n]) for n in (0, 1))
    draw(file, replace(left.sheet, neighbour=right.sheet))
    read = best_of(next(iter(pages_here(str(file), ()))))
    rows = [row for table in read.coils for row in table.rows if "code" in row.figures]
    for one, side in ((left, "L"), (right, "R")):
        own = {r.figures["code"].value: r for r in rows if r.figures["code"].value.startswith(side)}
        _count(one, own, file.name, count)


def _narrow(one: Printed, side: str) -> Printed:
    """Its codes, volts and ohms alone, upright, each code with a letter of its own before it."""
    places = [n for n, h in enumerate(one.sheet.headings) if h in (*HEADINGS["coil_volts"], *HEADINGS["coil_ohms"])]
    rows = [[side + row[0], *(row[n] for n in places)] for row in one.sheet.rows]
    headings = [one.sheet.headings[n] for n in (0, *places)]
    sheet = replace(one.sheet, headings=headings, rows=rows, size=6.0, gap=8.0, beside=False, turned=0, merged=())
    return Printed(replace(sheet, footnotes=()), {side + code: said for code, said in one.states.items()})
