"""Who the shop is, as it has said, and what was changed of it."""

from __future__ import annotations

from dataclasses import dataclass

from bom.values.column import stated, text, yes_or_no

UNSET_CURRENCY = "EUR"
"""What a shop counts in before anything says a currency: one must stand in sums of nothing. Own choice."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What the shop has said of itself; an empty text is *not said*."""

    name: str = stated(text("The shop's name, as it stands on kit sheets, labels and orders.", "Mill Lane Bench"))
    address: str = stated(text("Where it is, as it stands on orders and parcels.", "2 Mill Lane, Ashby"))
    contact: str = stated(text("How customers reach it: telephone, mail or page.", "bench@example.org"))
    currency: str = stated(text("The currency it counts in, a code of ISO 4217.", "GBP"))
    tax_registered: bool = stated(yes_or_no("Whether it gets the tax on its purchases back.", "yes"))
    tax_number: str = stated(text("Its tax number, where papers must show one.", "GB000000000"))
    warranty: str = stated(text("What it warrants, in its own words, for kit sheets.", "12 months on parts"))
    deliver_to: str = stated(text("Where orders are sent, where not to its address.", "Unit 3, Mill Lane, Ashby"))
    order_terms: str = stated(text("What stands on every order, in its own words.", "No part deliveries, please."))
    disposal: str = stated(text("How old parts are disposed of, in its own words.", "Hand old relays in as e-waste."))

    @property
    def counts_in(self) -> str:
        """The currency of every sum."""
        return self.currency or UNSET_CURRENCY


@dataclass(frozen=True, slots=True)
class Changed:
    """A setting as it was and as it is; empty = not said."""

    setting: str
    before: str
    after: str
