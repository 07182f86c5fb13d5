"""A kit file: what one repair takes, its packing and the market it is sold in.

Each key is described once, with what it means, its unit, what it may hold and an example; it is read and explained by
that description.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from bom.intake.rows import Report, Taken, is_note
from bom.intake.tables import Table, read_toml
from bom.kits.kit import BASES, MOST_KITS, ROUNDINGS, Kit, Line, Market, Packing
from bom.kits.solder import FLUX_PCT, GRAMS_PER_CM3, HAND_EXCESS, Joint, metal_grams, weighed_grams, wire_grams
from bom.values.column import (
    LARGEST,
    SMALLEST,
    Words,
    called,
    keys,
    money,
    number,
    text,
    texts,
    under,
    whole,
    word,
    yes_or_no,
)
from bom.values.money import Money
from bom.values.problem import Refused
from bom.values.quantity import read_amount

FEE_ON = ("price", "price and postage")

KIT = keys(
    name=called("The kit's name.", "OS-3 valve drive kit", needed=True),
    currency=text("The currency of every amount in this file, an ISO 4217 code.", "GBP", needed=True),
    board=text("The board that it repairs, for lines by position.", "OS-3"),
    repair=text("The repair of that board.", "valve drive"),
    batch=whole("How many kits it is costed for.", "10", least=1, most=MOST_KITS),
    attrition_pct=number("%", "What is lost in making up.", "2", least=0, most=99.99),
    cost_by=word(BASES, "What a part's cost is: average on hand, landed, or fixed.", "average"),
    steps=texts("What the customer does, step by step.", '["Take the board out."]'),
)
LINE = keys(
    position=text("A relay by its position on the board.", "K1"),
    part=text("A part or a consumable by its number.", "SAC305-1.0"),
    kit=text("A kit inside this kit.", "bench consumables"),
    quantity=text("How much for one kit: pieces, or an amount with its unit in quotes; else one piece.", '"0.6 g"'),
    accept=texts("Which relays may serve: drop-in, conditional, or part numbers.", '["drop-in"]'),
    cost=money("A fixed cost of one unit.", "0.25"),
    how=text("How the quantity was found, where it is stated here.", "96 joints, by weighed reel"),
)
SOLDER = keys(
    alloy=word(tuple(GRAMS_PER_CM3), "What the solder is made of.", "SAC305"),
    excess=number("", "How much more is used than the joints hold, as a factor.", "1.1", least=1, most=10),
    flux_pct=number("%", "How much of the wire is flux.", "2.2", least=0, most=50),
    reel_before_g=number("g", "What the reel weighed before.", "250", above=0),
    reel_after_g=number("g", "What it weighed after reel_joints.", "241.6", above=0),
    reel_joints=whole("How many joints were made of it.", "96", least=1),
)
JOINT = keys(
    count=whole("How many joints of this kind.", "8", least=1),
    hole_mm=number("mm", "Diameter of the hole.", "1.5", above=0),
    pin_mm=number("mm", "Diameter of the pin.", "1.0", above=0),
    pad_mm=number("mm", "Diameter of the pad.", "3.0", above=0),
    board_mm=number("mm", "How thick the board is.", "1.6", above=0),
    plated=yes_or_no("Whether the hole is plated through; it is unless this says no.", "true"),
)
PACKING = keys(
    cost=money("What packing costs.", "0.45"),
    postage=money("What posting costs.", "3.35"),
    minutes=number("", "Minutes that packing takes.", "6", least=0),
    hourly_rate=money("What an hour of it costs.", "18"),
)
MARKET = keys(
    tax_registered=yes_or_no("Whether the shop, and so the price, is taxed.", "true"),
    tax_pct=number("%", "Tax on the sale.", "20", least=0, most=100),
    fee_pct=number("%", "The marketplace's share.", "12.8", least=0, most=99.99),
    fee_fixed=money("What the marketplace takes besides.", "0.30"),
    fee_on=word(FEE_ON, "What the share is of.", "price and postage"),
    price=money("What it sells for; or margin_pct.", "14.90"),
    margin_pct=number("%", "The margin that a price is found for; or price.", "25", least=0, most=99.99),
    postage_charged=money("What the buyer pays for postage; else it is post-free.", "3.35"),
    payment_pct=number("%", "What taking the money costs, of price and postage.", "2.9", least=0, most=99.99),
    payment_fixed=money("What taking the money costs besides.", "0.30"),
    rounding=word(ROUNDINGS, "How amounts are rounded.", "half up"),
    price_step=money("A price found from a margin goes up to a whole one of these.", "0.05"),
)
KIT_KEYS = {
    **under("kit", KIT),
    **under("line[]", LINE),
    **under("line[].solder", SOLDER),
    **under("line[].solder.joints[]", JOINT),
    **under("packing", PACKING),
    **under("market", MARKET),
}
"""Every key of a kit file by its path."""


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
    quantity, unit, how = _soldered(table) or (*_quantity(table), values["how"])
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
    """(grams, g, how) of a line whose quantity is found from its joints; None where it states its quantity, beside
    which a solder may say its alloy alone."""
    if (solder := table.table("solder")) is None:
        return None
    if "quantity" in table and [key for key in solder.values if not is_note(key)] == ["alloy"]:
        return None
    for key in (key for key in ("quantity", "how") if key in table):
        table.wrong(key, f"either {'a quantity' if key == 'quantity' else 'how'} or the joints to find it from", "both")
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
