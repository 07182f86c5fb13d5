"""A kit file: what one repair takes, its packing and the market it is sold in."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from bom.intake.rows import Report, Taken
from bom.intake.tables import Table, read_toml
from bom.kits.kit import Kit, Line, Market, Packing
from bom.values.money import Money
from bom.values.problem import Refused
from bom.values.quantity import read_amount

FEE_ON = ("price", "price and postage")


def read_kit(path: Path) -> Kit:
    """The kit in this file; raises ``ProblemsFound`` with every problem in it."""
    return take_kit(path).value


def take_kit(path: Path) -> Taken[Kit]:
    """The kit, and notes on keys that nobody knows."""
    report = Report()
    if (outer := read_toml(path, report)) is None:
        return report.taken(Kit("", "XXX"))
    kit = _kit(outer)
    outer.leave()
    return report.taken(kit)


def _kit(outer: Table) -> Kit:
    table = outer.needed_table("kit")
    currency, board = table.currency(), table.text("board")
    return Kit(
        name=table.needed("name"),
        currency=currency,
        board=board,
        repair=table.text("repair"),
        batch=table.whole("batch", 1) or 1,
        attrition_pct=_percent(table, "attrition_pct") or Decimal(0),
        lines=tuple(_line(t, board) for t in outer.tables("line")),
        packing=_packing(outer.table("packing"), currency),
        market=_market(outer.table("market"), currency),
    )


def _percent(table: Table, key: str) -> Decimal | None:
    """A percentage from 0 to below 100."""
    found = table.at_least(key)
    if found is not None and found >= 100:
        table.wrong(key, "a percentage below 100", found)
    return found


def _line(table: Table, board: str) -> Line:
    position, part, kit = table.text("position"), table.text("part"), table.text("kit")
    if sum(map(bool, (position, part, kit))) != 1:
        table.wrong("", "exactly one of position, part, kit", ", ".join(filter(None, (position, part, kit))) or "none")
    if position and not board:
        table.wrong("position", "a board under [kit] for a line by position", position)
    quantity, unit = _quantity(table)
    return Line(position, part, kit, quantity, unit, table.texts("accept") or ("drop-in",))


def _quantity(table: Table) -> tuple[Decimal, str]:
    """A number is pieces, a text carries its unit; not stated is one piece."""
    if isinstance(table.get("quantity"), str):
        return _amount(table)
    return table.at_least("quantity", above=True) or Decimal(1), "piece"


def _amount(table: Table) -> tuple[Decimal, str]:
    try:
        amount, unit = read_amount(table.text("quantity"))
    except Refused:
        table.wrong("quantity", 'an amount with its unit such as "0.6 g"', table.text("quantity"))
        return Decimal(1), "piece"
    if amount <= 0:
        table.wrong("quantity", "an amount above 0", table.text("quantity"))
    return amount, unit


def _packing(table: Table | None, currency: str) -> Packing | None:
    if table is None:
        return None
    return Packing(
        cost=table.money("cost", currency) or Money.zero(currency),
        postage=table.money("postage", currency) or Money.zero(currency),
        minutes=table.at_least("minutes") or Decimal(0),
        hourly_rate=table.money("hourly_rate", currency),
    )


def _market(table: Table | None, currency: str) -> Market | None:
    if table is None:
        return None
    if "tax_registered" not in table:
        table.wrong("tax_registered", "true or false", "nothing")
    if "price" in table and "margin_pct" in table:
        table.wrong("margin_pct", "either price or margin_pct", "both")
    return Market(
        tax_registered=bool(table.flag("tax_registered")),
        tax_pct=table.at_least("tax_pct") or Decimal(0),
        fee_pct=_percent(table, "fee_pct") or Decimal(0),
        fee_fixed=table.money("fee_fixed", currency) or Money.zero(currency),
        fee_on=table.one_of("fee_on", FEE_ON, "price and postage"),
        price=table.money("price", currency),
        margin_pct=_percent(table, "margin_pct"),
    )
