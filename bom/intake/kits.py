"""A kit file: what one repair takes, its packing and the market it is sold in."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from bom.intake.rows import Report, Taken
from bom.intake.tables import Table, read_toml
from bom.kits.kit import BASES, ROUNDINGS, Kit, Line, Market, Packing
from bom.kits.solder import FLUX_PCT, GRAMS_PER_CM3, HAND_EXCESS, Joint, metal_grams, weighed_grams, wire_grams
from bom.values.column import Words
from bom.values.money import Money
from bom.values.problem import Refused
from bom.values.quantity import read_amount

FEE_ON = ("price", "price and postage")


def take_kit(path: Path) -> Taken[Kit]:
    """The kit, and notes."""
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
        lines=tuple(_line(t, board, currency) for t in outer.tables("line")),
        packing=_packing(outer.table("packing"), currency),
        market=_market(outer.table("market"), currency),
        cost_by=table.one_of("cost_by", BASES, "average"),
        steps=table.texts("steps"),
    )


def _percent(table: Table, key: str) -> Decimal | None:
    """A percentage from 0 to below 100."""
    found = table.at_least(key)
    if found is not None and found >= 100:
        table.wrong(key, "a percentage below 100", found)
    return found


def _line(table: Table, board: str, currency: str) -> Line:
    position, part, kit = table.text("position"), table.text("part"), table.text("kit")
    if sum(map(bool, (position, part, kit))) != 1:
        table.wrong("", "exactly one of position, part, kit", ", ".join(filter(None, (position, part, kit))) or "none")
    if position and not board:
        table.wrong("position", "a board under [kit] for a line by position", position)
    quantity, unit, how = _soldered(table) or (*_quantity(table), "")
    accept, each = _accepted(table) or ("drop-in",), table.money("cost", currency)
    return Line(position, part, kit, quantity, unit, accept, each, how, _alloy(table))


VERDICTS = Words(("drop-in", "conditional"), {"conditional": ("condition",)})


def _accepted(table: Table) -> tuple[str, ...]:
    """Verdict words and part numbers; a word without a digit is no part number, so it must be a verdict."""
    return tuple(filter(None, (_acceptable(table, text.strip()) for text in table.texts("accept"))))


def _acceptable(table: Table, text: str) -> str:
    verdict = VERDICTS.meant(text)
    if verdict is None and not any(c.isdigit() for c in text):
        table.wrong("accept", f"{VERDICTS.expected(text)}, or a part number", text)
    return verdict or text


def _alloy(table: Table) -> str:
    solder = table.table("solder")
    return solder.text("alloy") if solder else ""


def _soldered(table: Table) -> tuple[Decimal, str, str] | None:
    """(grams, g, how) of a line whose quantity is reckoned from its joints; None where it states its quantity."""
    if (solder := table.table("solder")) is None:
        return None
    if "quantity" in table:
        table.wrong("quantity", "either a quantity or the joints to reckon it from", "both")
    joints = solder.tables("joints")
    count = sum(j.whole("count", 1) or 1 for j in joints)
    if not count:
        solder.wrong("joints", "at least one kind of joint, with its count", "none")
        return Decimal(1), "g", ""
    try:
        grams, how = _by_reel(solder, count) if "reel_joints" in solder else _by_geometry(solder, joints)
    except Refused as refused:
        solder.wrong("", str(refused), "")
        return Decimal(1), "g", ""
    return max(Decimal(f"{grams:.3f}"), Decimal("0.001")), "g", f"{count} joints {how}"


def _by_reel(solder: Table, count: int) -> tuple[float, str]:
    before, after = solder.not_negative("reel_before_g"), solder.not_negative("reel_after_g")
    each = weighed_grams(before or 0.0, after or 0.0, solder.whole("reel_joints", 1) or 0)
    return each * count, f"of {each:.4f} g, by weighed reel"


def _by_geometry(solder: Table, joints: tuple[Table, ...]) -> tuple[float, str]:
    alloy = solder.one_of("alloy", tuple(GRAMS_PER_CM3))
    metal = sum((j.whole("count", 1) or 1) * metal_grams(_joint(j), alloy) for j in joints)
    excess, flux = solder.number("excess"), solder.number("flux_pct")
    wire = wire_grams(metal, HAND_EXCESS if excess is None else excess, FLUX_PCT if flux is None else flux)
    return wire, f"by geometry, {alloy}"


def _joint(table: Table) -> Joint:
    sizes = [table.positive(key) for key in ("hole_mm", "pin_mm", "pad_mm", "board_mm")]
    hole, pin, pad, board = (size or 0.0 for size in sizes)
    return Joint(hole, pin, pad, board, table.flag("plated") is not False)


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
        table.wrong("tax_registered", "true or false: whether the shop, and so the price, is taxed", "not stated")
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
        postage_charged=table.money("postage_charged", currency),
        payment_pct=_percent(table, "payment_pct") or Decimal(0),
        payment_fixed=table.money("payment_fixed", currency),
        rounding=table.one_of("rounding", ROUNDINGS, "half up"),
        price_step=table.money("price_step", currency) or None,
    )
