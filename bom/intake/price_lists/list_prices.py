"""Knows how one price cell of a list is understood: amount, currency, for how many pieces; or why it is not."""

from __future__ import annotations

import re
from decimal import Decimal

from bom.buying.offer import Break
from bom.intake.price_lists.amounts import (
    Marks,
    Shown,
    amount_in,
    bare,
    is_on_request,
    other_currency,
    pieces_in,
    without_per,
)
from bom.values.money import Money
from bom.values.problem import Refused

_REMEMBERED = 50_000  # how many different cells are remembered with what they mean
# Digits, and up to six after a mark: what Money can hold without rounding.
PLAIN_PRICE = re.compile(r"(\d{1,9})(?:([.,])(\d{1,6}))?", re.ASCII)


class Prices:
    """Reads price cells of one list; equal cells are understood once. ``per`` 0 = the list says it itself, or 1."""

    def __init__(self, currency: str, marks: Marks, per: int, shown: Shown) -> None:
        self.currency, self.marks, self.per, self.shown = currency, marks, per, shown
        self.known: dict[tuple[str, int] | tuple[str, int, str, str], Break | str | None] = {}

    def at(self, text: str, start: int, per: str = "", currency: str = "") -> Break | str | None:
        """The break that begins at ``start``; None without a price; a text says what was expected instead.

        ``per`` and ``currency`` are the cells that say for how many pieces and in what currency, where there are such.
        """
        key = (text, start, per, currency) if per or currency else (text, start)
        if key not in self.known:
            plain = None if per or currency else self._plain(text)
            found = plain or self._price(text, per, currency)
            if len(self.known) >= _REMEMBERED:
                self.known.clear()
            self.known[key] = Break(start, found) if isinstance(found, Money) else found
        return self.known[key]

    def _plain(self, text: str) -> Money | None:
        """A plain price such as 12,50 for one piece, which most are, without further ado."""
        plain = PLAIN_PRICE.fullmatch(text)
        if not plain or self.per > 1 or plain[2] not in (None, self.marks.decimal):
            return None
        return Money(int(plain[1] + (plain[3] or "").ljust(6, "0")), self.currency) or None

    def _price(self, text: str, per: str, currency: str) -> Money | str | None:
        """A price above 0; None where there is none, or it is on request (0 is how some lists say that)."""
        if not text or is_on_request(text):
            return None
        own = currency or self.currency
        if other := other_currency(text, own):
            return f"a price in {own} (this is {other})"
        amount, pieces = self._amount(text, own), self._pieces(text, per)
        if amount is None:
            return self._expected(text)
        if isinstance(pieces, str):
            return pieces
        try:
            found = Money.of(amount / pieces, own)
        except Refused:
            return f"a price in a currency such as {self.currency}"
        return found or (f"a price of 0.000001 {own} or more" if amount else None)

    def _amount(self, text: str, currency: str) -> Decimal | None:
        parted = without_per(text)
        return None if parted is None else amount_in(bare(parted[0], currency), self.marks)

    def _pieces(self, text: str, per: str) -> int | str:
        """For how many pieces this price is: what its cell, its row or the whole list says; they may not disagree."""
        parted, stated = without_per(text), pieces_in(per) if per else self.per
        if stated is None:
            return f"a number of pieces that the price is for (1, 100), where there is {per!r}"
        own = parted[1] if parted else 1
        if own > 1 and stated > 1 and own != stated:
            return f"a price for {stated} pieces, as the list says elsewhere"
        return max(own, stated or 1)

    def _expected(self, text: str) -> str:
        words = f"a price with decimal sign {self.marks.decimal!r}"
        if self.marks.thousands in text and not self.marks.sure:
            return f"{words} (no cell shows whether {self.marks.thousands!r} marks thousands or decimals)"
        same = self.shown.counted[self.marks.decimal]
        others = "another cell has it" if same == 1 else f"{same} other cells have it"
        return f"{words}, as {others}" if same else words
