"""A kit file: what one repair takes, its packing and the market it is sold in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from bom.intake.kit_keys import JOINT, KIT, LINE, MARKET, PACKING, SOLDER
from bom.intake.rows import Report, Taken
from bom.intake.tables import Table, read_toml
from bom.kits.kit import Kit, Line, Market, Packing
from bom.kits.solder import FLUX_PCT, HAND_EXCESS, Joint, metal_grams, weighed_grams, wire_grams
from bom.values.column import LARGEST, SMALLEST, Words
from bom.values.money import Money
from bom.values.problem import Refused
from bom.values.quantity import read_amount

Values = Mapping[str, Any]


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
    currency = table.currency()
    values = table.amounts_of(KIT, currency, "currency")
    return Kit(
        **values
        | {
            "currency": currency,
            "batch": values["batch"] or 1,
            "attrition_pct": values["attrition_pct"] or Decimal(0),
            "cost_by": values["cost_by"] or "average",
        },
        lines=tuple(_line(t, values["board"], currency) for t in outer.tables("line")),
        packing=_packing(outer.table("packing"), currency),
        market=_market(outer.table("market"), currency),
    )


def _line(table: Table, board: str, currency: str) -> Line:
    values = table.amounts_of(LINE, currency, "quantity", "accept")
    named = [key for key in ("position", "part", "kit") if values[key]]
    if len(named) != 1:
        found = ", ".join(values[key] for key in named) or "none"
        table.wrong("", "exactly one of position, part, kit", found)
    if values["position"] and not board:
        table.wrong("position", "a board under [kit] for a line by position", values["position"])
    quantity, unit, how = _soldered(table) or (*_quantity(table), "")
    return Line(
        values["position"], values["part"], values["kit"], quantity, unit, _accepted(table) or ("drop-in",),
        values["cost"], how, _alloy(table),
    )  # fmt: skip


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
    return str(solder.read(SOLDER["alloy"])) if solder else ""


def _soldered(table: Table) -> tuple[Decimal, str, str] | None:
    """(grams, g, how) of a line whose quantity is found from its joints; None where it states its quantity."""
    if (solder := table.table("solder")) is None:
        return None
    if "quantity" in table:
        table.wrong("quantity", "either a quantity or the joints to find it from", "both")
    values, joints = solder.values_of(SOLDER), list(map(_one_kind, solder.tables("joints")))
    count = sum(joint["count"] or 1 for joint in joints)
    if not count:
        solder.wrong("joints", "at least one kind of joint, with its count", "none")
        return Decimal(1), "g", ""
    try:
        grams, how = _by_reel(values, count) if "reel_joints" in solder else _by_geometry(values, joints)
    except Refused as refused:
        solder.wrong("", str(refused), "")
        return Decimal(1), "g", ""
    return max(Decimal(f"{grams:.3f}"), Decimal("0.001")), "g", f"{count} joints {how}"


def _one_kind(joint: Table) -> Values:
    """A hole is plated through unless it says no."""
    return joint.values_of(JOINT, "plated") | {"plated": joint.flag("plated") is not False}


def _by_reel(solder: Values, count: int) -> tuple[float, str]:
    before, after = solder["reel_before_g"] or 0.0, solder["reel_after_g"] or 0.0
    each = weighed_grams(before, after, solder["reel_joints"] or 0)
    return each * count, f"of {each:.4f} g, by weighed reel"


def _by_geometry(solder: Values, joints: Sequence[Values]) -> tuple[float, str]:
    alloy = solder["alloy"]
    metal = sum((joint["count"] or 1) * metal_grams(_joint(joint), alloy) for joint in joints)
    excess, flux = solder["excess"], solder["flux_pct"]
    wire = wire_grams(metal, HAND_EXCESS if excess is None else excess, FLUX_PCT if flux is None else flux)
    return wire, f"by geometry, {alloy}"


def _joint(values: Values) -> Joint:
    hole, pin, pad, board = (values[key] or 0.0 for key in ("hole_mm", "pin_mm", "pad_mm", "board_mm"))
    return Joint(hole, pin, pad, board, values["plated"])


def _quantity(table: Table) -> tuple[Decimal, str]:
    """A number is pieces, a text carries its unit; not stated is one piece."""
    if isinstance(table.get("quantity"), str):
        return _amount(table)
    return _whole(table, table.at_least("quantity", above=True) or Decimal(1)), "piece"


def _amount(table: Table) -> tuple[Decimal, str]:
    try:
        amount, unit = read_amount(table.text("quantity"))
    except Refused:
        table.wrong("quantity", 'an amount with its unit such as "0.6 g"', table.text("quantity"))
        return Decimal(1), "piece"
    if not SMALLEST <= amount <= LARGEST:
        table.wrong("quantity", "an amount above 0 and of a likely size", table.text("quantity"))
    return (_whole(table, amount) if unit == "piece" else amount), unit


def _whole(table: Table, pieces: Decimal) -> Decimal:
    """Nobody puts half a piece into a bag."""
    if pieces != pieces.to_integral_value():
        table.wrong("quantity", "whole pieces; for a share of a pack its own unit, as in 0.6 g", f"{pieces:f}")
    return pieces


def _packing(table: Table | None, currency: str) -> Packing | None:
    if table is None:
        return None
    values, nothing = table.amounts_of(PACKING, currency), Money.zero(currency)
    defaults = {"cost": nothing, "postage": nothing, "minutes": Decimal(0)}
    return Packing(**_or_else(values, defaults))


def _market(table: Table | None, currency: str) -> Market | None:
    if table is None:
        return None
    if "tax_registered" not in table:
        table.wrong("tax_registered", "true or false: whether the shop, and so the price, is taxed", "not stated")
    if "price" in table and "margin_pct" in table:
        table.wrong("margin_pct", "either price or margin_pct", "both")
    values = table.amounts_of(MARKET, currency)
    none = dict.fromkeys(("tax_pct", "fee_pct", "payment_pct"), Decimal(0))
    words = {"fee_on": "price and postage", "rounding": "half up", "fee_fixed": Money.zero(currency)}
    return Market(**_or_else(values, none | words) | {"price_step": values["price_step"] or None})


def _or_else(values: Values, defaults: Values) -> dict[str, Any]:
    """The values with these in the place of those that are not stated."""
    return {key: defaults.get(key, value) if value in (None, "") else value for key, value in values.items()}
