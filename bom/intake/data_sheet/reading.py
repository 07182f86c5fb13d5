"""What the printed tables of a data sheet state, of coils and of contacts, figure by figure as the page has them.

A table is taken for one or the other by its headings. Figures that a sheet states twice over are held against each
other: the power and the current of a DC coil against its volts and ohms, a percentage of the rated volts against the
volts beside it. Where two disagree both are left out and told, since nobody knows which is the slip.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from itertools import pairwise

from bom.intake.data_sheet.figures import OF_RATED, Figure, Marks, figure_in, marks_in, without_notes
from bom.intake.data_sheet.headings import COIL_WORDS, CONTACT_WORDS, Heading, heading_of, known_in
from bom.intake.data_sheet.printed import PrintedRow, PrintedTable
from bom.intake.series_coil import AGREE, COIL_COLUMNS
from bom.relays.relay import Rating, Relay
from bom.values.column import Column, Holds, described, text
from bom.values.part_number import damage

COILS: Mapping[str, Column] = {
    **{name: column for name, column in described(Relay).items() if name in COIL_WORDS},
    **COIL_COLUMNS,
    "code": text("", name="code"),
}
CONTACTS: Mapping[str, Column] = {n: c for n, c in described(Rating).items() if n in CONTACT_WORDS}
_COIL_SIGNS = {"coil_ohms", "operate_volts", "release_volts", "coil_milliwatts", "coil_milliamps", "hold_volts"}
_CONTACT_SIGNS = {"contact", "load", "inrush_amps", "operations", "power_factor", "lr_ms", "carry_amps"}
"""What only a table of this kind has."""
RISING = ("release_volts", "hold_volts", "operate_volts", "coil_volts", "coil_max_volts")
"""By what they mean none of these is above the next."""


@dataclass(frozen=True, slots=True)
class ReadRow:
    """A row: its figures by column, what the page says of it, and where it stands on the page."""

    where: str
    printed: tuple[str, ...]
    figures: Mapping[str, Figure]

    @property
    def doubts(self) -> tuple[str, ...]:
        """Column, the page's words and the reason, of every figure that was left out."""
        return tuple(f"{name} {f.printed!r}: {f.doubt}" for name, f in self.figures.items() if f.doubt)


@dataclass(frozen=True, slots=True)
class ReadTable:
    """A table that was read. ``shared`` holds for all its rows, by column; ``unread`` are headings that mean nothing
    here, and ``told`` is what a person should know of the table."""

    where: str
    above: str
    columns: tuple[str, ...]
    headings: tuple[str, ...]
    rows: tuple[ReadRow, ...]
    shared: Mapping[str, Figure] = field(default_factory=dict)
    unread: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    told: tuple[str, ...] = ()

    @property
    def read(self) -> int:
        """How many figures were read without a doubt."""
        return sum(bool(f.value) for row in self.rows for f in row.figures.values())

    @property
    def doubtful(self) -> int:
        """How many figures were left out for a doubt."""
        return sum(bool(f.doubt) for row in self.rows for f in row.figures.values())


@dataclass(frozen=True, slots=True)
class SheetRead:
    """All that was read: coil tables, contact tables, and the tables that are neither, as their place and headings."""

    coils: tuple[ReadTable, ...] = ()
    contacts: tuple[ReadTable, ...] = ()
    neither: tuple[str, ...] = ()

    @property
    def read(self) -> int:
        """How many figures were read without a doubt."""
        return sum(table.read for table in (*self.coils, *self.contacts))


def read_tables(tables: Sequence[PrintedTable]) -> SheetRead:
    """What these tables state; those that are neither a coil table nor a contact table are named."""
    coils, contacts, neither = [], [], []
    for printed in tables:
        table = _as_headed(printed)
        kind = kind_of(table.headings)
        if kind == "coils":
            coils.append(_coil_table(table))
        elif kind == "contacts":
            contacts.append(_contact_table(table))
        else:
            neither.append(f"{table.where}: {' | '.join(h or '-' for h in table.headings)}")
    return SheetRead(tuple(coils), tuple(contacts), tuple(neither))


def kind_of(headings: Sequence[str]) -> str:
    """*coils*, *contacts*, or nothing where the headings are of neither, or as much of one as of the other."""
    coil = {heading_of(h, COIL_WORDS).column for h in headings}
    contact = {heading_of(h, CONTACT_WORDS).column for h in headings}
    if "coil_volts" in coil and coil & _COIL_SIGNS and not contact & _CONTACT_SIGNS:
        return "coils"
    if {"volts", "amps"} <= contact and contact & _CONTACT_SIGNS and not coil & _COIL_SIGNS - {"coil_milliamps"}:
        return "contacts"
    return ""


def _as_headed(table: PrintedTable) -> PrintedTable:
    """The table with its headings on top; one whose headings stand at its side is turned."""
    if kind_of(table.headings):
        return table
    side = [row.cells[0] for row in table.rows if row.cells]
    heads = [table.headings[0] if table.headings else "", *side]
    known = max(known_in(heads, words) for words in (COIL_WORDS, CONTACT_WORDS))
    if known < 2 or any(row.doubt for row in table.rows):
        return table
    columns = list(zip(table.headings, *(row.cells for row in table.rows), strict=True))
    turned = tuple(PrintedRow(n, cells) for n, cells in enumerate(columns[1:], 1))
    return replace(table, headings=tuple(heads), rows=turned) if kind_of(heads) else table


def _coil_table(table: PrintedTable) -> ReadTable:
    heads = _once([heading_of(h, COIL_WORDS) for h in table.headings])
    rows = [_row(table, row, heads, COILS) for row in table.rows]
    supply = _supply(table, heads, rows)
    dc = supply == "dc" or (not supply and _seem_dc(rows))
    rows = [replace(row, figures=_checked(row.figures, heads, dc)) for row in rows]
    shared = _shared_of(table, heads, rows)
    rows = [replace(row, figures=_with_tolerance(row.figures, shared)) for row in rows]
    if supply:
        shared["coil_supply"] = Figure(table.above, supply)
    return _made(table, heads, rows, shared)


def _contact_table(table: PrintedTable) -> ReadTable:
    heads = _once([heading_of(h, CONTACT_WORDS) for h in table.headings])
    rows = [_row(table, row, heads, CONTACTS) for row in table.rows]
    rows = [replace(row, figures=_with_supply(row.figures, heads)) for row in rows]
    return _made(table, heads, rows, {})


def _made(
    table: PrintedTable, heads: Sequence[Heading], rows: Sequence[ReadRow], shared: Mapping[str, Figure]
) -> ReadTable:
    own = dict.fromkeys(name for row in rows for name, f in row.figures.items() if f.printed or f.value)
    unread = tuple(h.printed for h in heads if h.printed and not h.column)
    marks = {mark for h in heads for mark in h.notes} | {
        m for row in rows for f in row.figures.values() for m in f.notes
    }
    notes = table.notes if marks else ()
    return ReadTable(table.where, table.above, tuple(own), table.headings, tuple(rows), shared, unread, notes)


def _once(heads: Sequence[Heading]) -> list[Heading]:
    """A column that two headings mean is known by neither."""
    named = [h.column for h in heads if h.column]
    return [replace(h, column="") if named.count(h.column) > 1 else h for h in heads]


def _row(table: PrintedTable, row: PrintedRow, heads: Sequence[Heading], columns: Mapping[str, Column]) -> ReadRow:
    marks = marks_in(cell for r in table.rows for cell in r.cells)
    pairs = [(h, cell) for h, cell in zip(heads, row.cells, strict=True) if h.column]
    figures = {h.column: _cell(h, cell, columns[h.column], marks) for h, cell in pairs}
    if row.doubt:
        figures = {name: f.doubted(row.doubt) if f.printed else f for name, f in figures.items()}
    return ReadRow(f"{table.where}, row {row.number}", row.cells, figures)


def _cell(head: Heading, cell: str, column: Column, marks: Marks) -> Figure:
    if column.holds is Holds.WORD:
        return _word(cell, column)
    if column.name == "code":
        code, notes = without_notes(" ".join(cell.split()))
        why = f"a spreadsheet program turned it into {what}" if (what := damage(code)) else ""
        return Figure(cell, "" if why else code, why, notes=notes)
    found = figure_in(cell, column, head.unit, marks)
    return found if found.value or not (head.share and found.doubt) else _in_volts(found, cell, column, marks)


def _in_volts(found: Figure, cell: str, column: Column, marks: Marks) -> Figure:
    """Under *75 % of nominal* a bare figure is volts where it comes to that percentage; ``_checked`` sees to it."""
    return figure_in(cell, column, column.sign, marks)


def _word(cell: str, column: Column) -> Figure:
    said, notes = without_notes(" ".join(cell.split()))
    if not said:
        return Figure(cell)
    meant = column.words.meant(said)
    return Figure(cell, str(meant or ""), "" if meant else "no word that is known here", notes=notes)


# ---- what is stated twice over -------------------------------------------------------------------------------------


def _supply(table: PrintedTable, heads: Sequence[Heading], rows: Sequence[ReadRow]) -> str:
    """What all that the table says of it agrees on: *dc*, *ac*, or nothing."""
    said = {h.supply for h in heads if h.column == "coil_volts"}
    said |= {row.figures["coil_volts"].supply for row in rows if "coil_volts" in row.figures}
    said |= {m[1].lower() for m in re.finditer(r"(?<![A-Za-z])(AC|DC)(?![A-Za-z])", table.above)}
    return only.pop() if len(only := said - {""}) == 1 else ""


def _checked(figures: Mapping[str, Figure], heads: Sequence[Heading], dc: bool) -> dict[str, Figure]:
    answer = dict(figures)
    shares = {h.column: h.share for h in heads if h.share}
    for column in OF_RATED & answer.keys():
        _hold_share(answer, column, shares.get(column, ""))
    if dc:
        _hold_power(answer)
    _hold_order(answer)
    return answer


def _hold_share(figures: dict[str, Figure], column: str, share: str) -> None:
    """A percentage in the heading stands for a blank; beside volts it must come to them."""
    found = figures[column]
    if not share or found.doubt:
        return
    if not found.value:
        figures[column] = replace(found, value=f"{share} %")
        return
    rated = figures.get("coil_volts", Figure()).value
    if found.value.endswith("%") or not rated:
        return
    wanted = Decimal(rated) * Decimal(share) / 100
    if abs(Decimal(found.value) - wanted) > _rounding(found.value):
        figures[column] = found.doubted(f"{share} % of {rated} V would be {wanted.normalize():f} V")


def _rounding(value: str) -> Decimal:
    """What the last digit that is printed may hide."""
    return Decimal(1).scaleb(-len(value.partition(".")[2])) * Decimal("0.51")


def _hold_power(figures: dict[str, Figure]) -> None:
    """Volts, ohms, and the power or current that they come to."""
    for column, unit, comes_to, printed in _stated_twice(figures):
        if abs(printed - comes_to) > AGREE * comes_to:
            volts, ohms = _decimal(figures, "coil_volts"), _decimal(figures, "coil_ohms")
            why = f"{volts} V and {ohms} Ω take {comes_to:.4g} {unit}, and the page has {printed} {unit}"
            for name in ("coil_ohms", column):
                figures[name] = figures[name].doubted(why)
            return


def _stated_twice(figures: Mapping[str, Figure]) -> Iterator[tuple[str, str, Decimal, Decimal]]:
    """Column, unit, what volts and ohms come to, and what is printed: of the power and of the current."""
    volts, ohms = _decimal(figures, "coil_volts"), _decimal(figures, "coil_ohms")
    if volts is None or not ohms:
        return
    for column, unit, comes_to in (
        ("coil_milliwatts", "mW", volts**2 / ohms * 1000),
        ("coil_milliamps", "mA", volts / ohms * 1000),
    ):
        if (printed := _decimal(figures, column)) is not None:
            yield column, unit, comes_to, printed


def _seem_dc(rows: Sequence[ReadRow]) -> bool:
    """Whether most rows agree with a DC coil's power or current, though the page does not call it DC."""
    held = [abs(printed - to) <= AGREE * to for row in rows for _, _, to, printed in _stated_twice(row.figures)]
    return bool(held) and 2 * sum(held) > len(held)


def _hold_order(figures: dict[str, Figure]) -> None:
    """Release is not above operate, operate not above the rated volts, and those not above the most."""
    stated = [(name, value) for name in RISING if (value := _decimal(figures, name)) is not None]
    for (low, below), (high, above) in pairwise(stated):
        if below > above:
            why = f"{low.replace('_', ' ')} {below} V above {high.replace('_', ' ')} {above} V"
            for name in (low, high):
                figures[name] = figures[name].doubted(why)


def _decimal(figures: Mapping[str, Figure], column: str) -> Decimal | None:
    value = figures.get(column, Figure()).value
    return Decimal(value) if value and not value.endswith("%") else None


def _shared_of(table: PrintedTable, heads: Sequence[Heading], rows: Sequence[ReadRow]) -> dict[str, Figure]:
    """What a heading says for all rows: the ohms' tolerance, and the temperature that the figures hold at."""
    answer: dict[str, Figure] = {}
    tolerances = {h.tolerance for h in heads if h.column == "coil_ohms"} - {""}
    if len(tolerances) == 1 and not any(f.tolerance for row in rows for f in row.figures.values()):
        printed = next(h.printed for h in heads if h.tolerance)
        answer["coil_ohms_tol_pct"] = Figure(printed, tolerances.pop())
    above = heading_of(table.above, COIL_WORDS)
    degrees = {h.at_c: h.printed for h in (*heads, above) if h.at_c}
    if len(degrees) == 1:
        at_c, printed = degrees.popitem()
        answer["coil_ref_temp_c"] = Figure(printed, at_c)
    return answer


def _with_tolerance(figures: Mapping[str, Figure], shared: Mapping[str, Figure]) -> dict[str, Figure]:
    """The ± beside a row's ohms as its own column, where the heading does not say it for all."""
    ohms = figures.get("coil_ohms", Figure())
    if not ohms.tolerance or "coil_ohms_tol_pct" in shared or "coil_ohms_tol_pct" in figures:
        return dict(figures)
    return {**figures, "coil_ohms_tol_pct": Figure(ohms.printed, ohms.tolerance)}


def _with_supply(figures: Mapping[str, Figure], heads: Sequence[Heading]) -> dict[str, Figure]:
    """What a line's volts say of its supply: *14 VDC*, or a heading of *VDC*."""
    if figures.get("supply", Figure()).printed:
        return dict(figures)
    volts = figures.get("volts", Figure())
    of_head = next((h.supply for h in heads if h.column == "volts"), "")
    said = {volts.supply, of_head} - {""}
    if len(said) > 1:
        return {**figures, "supply": Figure(volts.printed, "", "the heading says otherwise")}
    return {**figures, "supply": Figure(volts.printed, said.pop())} if said else dict(figures)
