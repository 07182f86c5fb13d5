"""How a paper to a supplier begins, in a spreadsheet and in a mail: who we are, and who we are to them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Letterhead:
    """Who sends a paper; an empty text is *not said* and stands nowhere. ``customer_number`` is ours there."""

    name: str = ""
    address: str = ""
    contact: str = ""
    tax_number: str = ""
    customer_number: str = ""

    def lines(self) -> tuple[tuple[str, str], ...]:
        """(label, text) of everything that is said."""
        named = (
            ("From", self.name),
            ("Address", self.address),
            ("Contact", self.contact),
            ("Tax number", self.tax_number),
            ("Our customer number", self.customer_number),
        )
        return tuple((label, text) for label, text in named if text)


NOBODY = Letterhead()
"""The head of a paper whose sender has said nothing."""
