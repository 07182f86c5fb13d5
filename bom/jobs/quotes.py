"""Quotes: a spreadsheet for each supplier to fill in, and its answer taken back, all of it or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def ask_quotes(session: Session, wanted: Sequence[str], folder: Path) -> list[Path]:
    """One spreadsheet a supplier, for the parts named or for all that is due; the files written."""
    from bom.jobs.planning import need_of
    from bom.jobs.reordering import describe, due_needs
    from bom.paper.quote_sheet import AskedLine, write_request
    from bom.store.suppliers import offers, suppliers

    needs = [need_of(session, word) for word in wanted] or due_needs(session)
    if not needs:
        raise Refused("nothing is due; name parts with --part PART=QTY")
    codes = {(o.supplier, o.part_number): (o.supplier_code, o.maker) for o in offers(session)}
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for supplier in suppliers(session):
        lines = tuple(
            AskedLine(*codes.get((supplier.name, n.part), ("", ""))[:1], n.part, describe(session, n.part), n.quantity)
            for n in needs
        )
        path = folder / f"{_file_name(supplier.name)}.xlsx"
        write_request(path, supplier.name, supplier.currency, lines)
        written.append(path)
    return written


def _file_name(name: str) -> str:
    return "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())


def take_quote(session: Session, file: Path, name: str, until: str) -> dict[str, Any]:
    """Read a quote back. Raises ProblemsFound with every cell that is wrong; Refused for a date that is over."""
    from bom.intake.quote_sheet import read_quote
    from bom.store.suppliers import suppliers, take_quotes

    try:
        last_day = date.fromisoformat(until)
    except ValueError as error:
        raise Refused(f"expected a date such as 2026-12-31, found {until!r}") from error
    if last_day < date.today():
        raise Refused(f"the quote was valid until {last_day}, which is over")
    supplier = next((s for s in suppliers(session) if s.name.casefold() == name.casefold()), None)
    if supplier is None:
        raise Refused(f"no supplier {name}")
    quoted = read_quote(file, supplier, last_day)
    count = take_quotes(session, supplier.name, quoted, datetime.now(UTC))
    return {"supplier": supplier.name, "quotes": count, "valid_until": last_day}
