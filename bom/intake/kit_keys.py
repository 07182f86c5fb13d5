"""The keys of a kit file: what each means, its unit, what it may hold and an example; they are read and explained by
these descriptions."""

from __future__ import annotations

from bom.kits.kit import BASES, MOST_KITS, ROUNDINGS
from bom.kits.solder import GRAMS_PER_CM3
from bom.values.column import called, keys, money, number, text, texts, under, whole, word, yes_or_no

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
