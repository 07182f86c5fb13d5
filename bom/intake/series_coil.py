"""Figures of a coil in the way that data sheets print them: volts as a percentage of the rated ones, and the power or
the current in the place of the ohms. They become volts and ohms to three figures, as data sheets print those too.

A coil's power or current says nothing of its ohms where it is fed with AC, as its inductance holds the current too.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Context, Decimal
from typing import NamedTuple

from bom.intake.rows import number_in
from bom.intake.sheet_rows import SheetCell, SheetCells
from bom.relays.in_a_line import figure
from bom.relays.relay import Relay, SupplyKind
from bom.values.column import described, keys, number
from bom.values.problem import Problem, Refused

COIL_COLUMNS = keys(
    coil_milliwatts=number("mW", "Rated power of a DC coil, where its ohms are not printed.", "400", above=0),
    coil_milliamps=number("mA", "Rated current of a DC coil, where its ohms are not printed.", "33.3", above=0),
)
PERCENT = {
    "operate_volts": number("%", "", "75", above=0, most=100),
    "release_volts": number("%", "", "10", above=0, most=100),
    "hold_volts": number("%", "", "40", above=0, most=100),
    "coil_max_volts": number("%", "", "130", least=100, most=1000),
}
"""The columns that may be a percentage of coil_volts, and what it may be."""
# Printed ohms, current and power are each rounded, and a sheet's power is often one figure for coils that differ a
# little; further apart than this one of them is a slip. Common practice, no source.
AGREE = Decimal("0.1")

_RELAY = described(Relay)
_PERCENTAGE = re.compile(r"(.+?)\s*%")
_THREE_FIGURES = Context(prec=3, rounding=ROUND_HALF_UP)


class Computed(NamedTuple):
    """A figure that the sheet does not print: its column, how it came about, and what it is."""

    column: str
    how: str
    value: str


def coil_figures(cells: SheetCells, problems: list[Problem]) -> tuple[SheetCells, list[Computed]]:
    """The cells of a part as columns of relays.csv, and what was computed for them."""
    told: list[Computed] = []
    answer = {column: cell for column, cell in cells.items() if column not in COIL_COLUMNS}
    for column in PERCENT:
        if column in cells and (share := _PERCENTAGE.fullmatch(cells[column].text)):
            answer[column] = _volts(column, share[1], cells, problems, told)
    if ohms := _ohms(cells, problems, told):
        answer["coil_ohms"] = ohms
    return answer, told


def _volts(column: str, share: str, cells: SheetCells, problems: list[Problem], told: list[Computed]) -> SheetCell:
    """A percentage of the rated volts in volts; blank where it cannot be told."""
    cell, rated = cells[column], _number(cells, "coil_volts")
    try:
        PERCENT[column].read(share)
        percent = number_in(share)
    except Refused as refused:
        problems.append(cell.place.tells(f"{str(refused).removesuffix(' %')} % of coil_volts", cell.text))
        return SheetCell("", cell.place)
    if percent is None or rated is None:
        if not _text(cells, "coil_volts"):
            problems.append(cell.place.tells("coil_volts beside it, of which it is a percentage", cell.text))
        return SheetCell("", cell.place)
    volts = three_figures(rated * percent / 100)
    told.append(Computed(column, f"{share} % of coil_volts", volts))
    return SheetCell(volts, cell.place)


def _ohms(cells: SheetCells, problems: list[Problem], told: list[Computed]) -> SheetCell | None:
    """The ohms that the current or the power give, where none are printed; all that are stated must agree."""
    given = [(column, cells[column]) for column in ("coil_milliamps", "coil_milliwatts") if _text(cells, column)]
    if not given:
        return None
    rated, printed = _number(cells, "coil_volts"), _number(cells, "coil_ohms")
    if rated is None or _text(cells, "coil_supply").casefold() != SupplyKind.DC:
        cell = given[0][1]
        problems.append(cell.place.tells('coil_volts and coil_supply = "dc" beside it, to give its ohms', cell.text))
        return None
    for column, cell in given:
        if (ohms := _worked_out(column, cell, rated, problems)) is None:
            continue
        if printed is None:
            printed = ohms
            told.append(Computed("coil_ohms", f"coil_volts and {column}", three_figures(ohms)))
        elif abs(ohms - printed) > AGREE * printed:
            makes = f"it would make {three_figures(ohms)} Ω"
            expected = f"what {three_figures(printed)} Ω at {rated:f} V take, within {AGREE * 100:.0f} % ({makes})"
            problems.append(cell.place.tells(expected, cell.text))
    made = next((one for one in told if one.column == "coil_ohms"), None)
    return None if made is None else SheetCell(made.value, given[0][1].place)


def _worked_out(column: str, cell: SheetCell, rated: Decimal, problems: list[Problem]) -> Decimal | None:
    try:
        thousandths = Decimal(str(COIL_COLUMNS[column].read(cell.text)))
    except Refused as refused:
        problems.append(cell.place.tells(str(refused), cell.text))
        return None
    return 1000 * rated / thousandths if column == "coil_milliamps" else 1000 * rated**2 / thousandths


def _text(cells: SheetCells, column: str) -> str:
    return cells[column].text if column in cells else ""


def _number(cells: SheetCells, column: str) -> Decimal | None:
    """A column's number as it stands; None where it is not stated or none, which is told where it is read."""
    try:
        value = _RELAY[column].read(_text(cells, column))
    except Refused:
        return None
    return None if value is None else Decimal(figure(value))


def three_figures(value: Decimal) -> str:
    """A number to three figures, without zeros that say nothing."""
    text = f"{_THREE_FIGURES.plus(value):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def in_words(told: Iterable[Computed]) -> list[str]:
    """A line for each way in which a column was computed, with its figures once each."""
    ways: dict[tuple[str, str], dict[str, None]] = {}
    for one in told:
        ways.setdefault((one.column, one.how), {})[one.value] = None
    return [
        f"{column} from {how}, to three figures: {_first_of(list(values))} {_RELAY[column].sign}"
        for (column, how), values in ways.items()
    ]


_FIRST = 8  # figures told of a column; the table beside shows them all


def _first_of(values: list[str]) -> str:
    return ", ".join(values[:_FIRST]) + (f" and {len(values) - _FIRST} more" if len(values) > _FIRST else "")
