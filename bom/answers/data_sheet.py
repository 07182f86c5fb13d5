"""What was read off the printed tables of a data sheet, beside the page's own words, to be checked by eye."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RowRead:
    """One row: its values by the table's columns ('' = the page states none, or it is doubtful), the page's cells, and
    the doubts, each with what it is about."""

    where: str
    values: tuple[str, ...]
    printed: tuple[str, ...]
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SharedRead:
    """What holds for all rows, and the words that say so."""

    column: str
    value: str
    printed: str


@dataclass(frozen=True, slots=True)
class TableRead:
    """A coil table or a contact table (``kind``: coils, ratings). ``unread`` are headings that nothing here means;
    ``notes`` are what the page says at its foot. ``read``, ``doubtful`` count figures."""

    kind: str
    where: str
    above: str
    columns: tuple[str, ...]
    rows: tuple[RowRead, ...]
    shared: tuple[SharedRead, ...]
    unread: tuple[str, ...]
    notes: tuple[str, ...]
    read: int
    doubtful: int


@dataclass(frozen=True, slots=True)
class DataSheetRead:
    """All that was read of one data sheet, and the tables that were not, as place and headings. ``maker``, ``series``
    and ``part_number`` are as a person states them; '' is still to be stated."""

    source: str
    maker: str
    series: str
    part_number: str
    tables: tuple[TableRead, ...]
    not_read: tuple[str, ...]
    written: str = ""

    @property
    def read(self) -> int:
        """How many figures were read without a doubt."""
        return sum(table.read for table in self.tables)

    @property
    def doubtful(self) -> int:
        """How many figures were left out for a doubt."""
        return sum(table.doubtful for table in self.tables)
