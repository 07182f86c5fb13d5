"""A file of dated exchange rates: what one unit of each currency is worth in the base currency on a day."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

from bom.buying.offer import Rates
from bom.intake.rows import Report, is_note
from bom.intake.supplier_keys import RATES
from bom.intake.tables import Table, currency_words, read_toml
from bom.values.money import KNOWN


def read_dated_rates(path: Path) -> tuple[Rates, ...]:
    """All rates in this file, oldest first.

    Keys *base*, *date*, *rates* and *source*, at the top or under each [[rate]].
    """
    report = Report()
    outer = read_toml(path, report)
    tables = () if outer is None else outer.tables("rate") or (outer,)
    found = [_rates(t) for t in tables]
    if outer is not None:
        outer.leave()
    return tuple(sorted(report.taken(found).value, key=lambda r: r.day))


def _rates(table: Table) -> Rates:
    table.knows(RATES)
    base, day = table.currency("base"), table.read(RATES["date"])
    if day is not None and day > date.today():
        table.wrong("date", "a day that has come, because rates are dated when they were published", str(day))
    return Rates(base, day or date.min, _worth(table.needed_table("rates")), table.read(RATES["source"]))


def _worth(table: Table) -> tuple[tuple[str, Decimal], ...]:
    found = ((code, _rate(table, code)) for code in table.values if not is_note(code))
    return tuple((code, worth) for code, worth in found if worth is not None)


def _rate(table: Table, code: str) -> Decimal | None:
    if code not in KNOWN:
        table.wrong(code, currency_words(code), code)
    return table.at_least(code, above=True)
