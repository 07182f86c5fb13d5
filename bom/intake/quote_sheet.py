"""The spreadsheet a supplier filled in, read back: from whom it is, until when it holds, and the offers in its lines.

Numbers may be typed as text, in another currency, in weeks, with a lower price from more. A cell that could be two
numbers is reported, and so is every other wrong cell. Lines without a price are no offer, and are told; so is
whatever differs from what was asked.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Any, NamedTuple

from bom.buying.offer import Break, Offer, Supplier
from bom.intake.filled_sheet import FOR, HEADINGS, UNTIL, FilledSheet, as_typed, beside, day_in, opened_sheet
from bom.intake.price_lists.amounts import (
    MarksShown,
    NumberMarks,
    Prices,
    bare,
    evident,
    is_on_request,
    pieces_in,
    without_per,
)
from bom.intake.price_lists.counts import (
    TOTALS,
    Count,
    CountMarks,
    CountsShown,
    LeadTimes,
    days_in,
    pieces_in_pack,
    start_in,
)
from bom.values.money import KNOWN, meant
from bom.values.part_number import damage, normal
from bom.values.problem import ProblemsFound


class QuoteTaken(NamedTuple):
    """What came back: who it was made for and until when it holds (empty, None where the sheet does not say)."""

    made_for: str
    until: date | None
    offers: tuple[Offer, ...]
    notes: tuple[str, ...]


def read_quote(
    path: Path,
    supplier: Supplier | Callable[[str], Supplier],
    today: date,
    *,
    day_told: bool = True,
    leave_out: Sequence[str] = (),
) -> QuoteTaken:
    """The offers in a quote that came back; ``supplier`` may be chosen by the name the sheet was made for.

    Raises ProblemsFound with every wrong cell, and with the missing last day unless that was told (``day_told``) or is
    all that is wrong; nothing is taken then. ``valid_until`` is set by whoever takes them. ``leave_out`` names columns
    that the sender added.
    """
    sheet = opened_sheet(path, leave_out)
    made_for = str(beside(sheet, FOR) or "").strip()
    chosen = supplier(made_for) if callable(supplier) else supplier
    until = day_in(sheet, beside(sheet, UNTIL))
    offers = QuoteLines(sheet, chosen, today).offers()
    if not sheet.problems and not offers:
        sheet.wrong(0, "Unit price", "at least one price")
    if sheet.problems:
        if until is None and not day_told and not any(p.column == UNTIL for p in sheet.problems):
            sheet.wrong(0, UNTIL, "a date such as 2026-12-31, there or with --until", "nothing")
        raise ProblemsFound(sheet.problems)
    return QuoteTaken(made_for, until, offers, tuple(sheet.notes))


_NEGATIVE = re.compile(r"[^\d.,]*[-\u2212]\s*\d")
_WHOLE = CountMarks("thousands", "thousands")


class QuoteLines:
    """Makes offers of a sheet's lines. The prices typed as text tell together which decimal sign is meant."""

    def __init__(self, sheet: FilledSheet, supplier: Supplier, today: date) -> None:
        self.sheet, self.supplier, self.today = sheet, supplier, today
        self.lines = range(sheet.first, len(sheet.rows) + 1)
        self.shown, self.counts = MarksShown(), CountsShown()
        self.unpriced: list[str] = []
        for row in self.lines:
            for word in ("price", "lower_price"):
                self._look(row, sheet.cell(row, word))
            for word in ("moq", "multiple", "per", "lower_from"):
                if isinstance(value := sheet.cell(row, word), str):
                    self.counts.look(value)

    def _look(self, row: int, value: Any) -> None:
        if isinstance(value, str) and (parted := without_per(value.strip())):
            self.shown.look(row, bare(parted[0], self.supplier.currency))

    def offers(self) -> tuple[Offer, ...]:
        made: dict[tuple[str, str], list[Offer]] = {}
        for row in self.lines:
            if (offer := self._offer(row)) is not None:
                made.setdefault((normal(offer.part_number), offer.supplier_code), []).append(offer)
        if self.unpriced:
            self.sheet.notes.append(f"no price, so no offer, for {', '.join(self.unpriced)}")
        return tuple(offer for same in made.values() if (offer := self._together(same)))

    def _offer(self, row: int) -> Offer | None:
        part = self.sheet.text(row, "part_number")
        if not part:
            if self.sheet.cell(row, "price") is not None and not self._is_total(row):
                self.sheet.wrong(row, "Part number", "a part number beside the price")
            return None
        if what := damage(part):
            self.sheet.wrong(row, "Part number", f"a part number (a spreadsheet program turned it into {what})", part)
            return None
        before = len(self.sheet.problems)
        breaks = self._breaks(row, part)
        if not breaks and len(self.sheet.problems) == before:
            return None
        moq, multiple = (self._pieces(row, word) for word in ("moq", "multiple"))
        days = self._days(row)
        if not breaks:
            return None
        return self._noted(
            row,
            Offer(
                self.supplier.name,
                part,
                breaks,
                maker=self.sheet.text(row, "maker"),
                supplier_code=self.sheet.text(row, "supplier_code"),
                moq=moq or 1,
                multiple=multiple or 1,
                lead_days=days,
                file=self.sheet.file,
                line=row,
            ),
        )

    def _is_total(self, row: int) -> bool:
        words = (as_typed(cell).casefold().rstrip(": ") for cell in self.sheet.rows[row - 1])
        return any(word in TOTALS for word in words)

    def _breaks(self, row: int, part: str) -> tuple[Break, ...]:
        """The unit price, and the lower one from more pieces on; empty, with a note, where none is given."""
        before = len(self.sheet.problems)
        first = self._price(row, "price", 1)
        if first is None and len(self.sheet.problems) == before:
            self.unpriced.append(part)
            return ()
        start, lower = self._from(row), self._price(row, "lower_price", 1)
        missing = [word for word in ("lower_from", "lower_price") if self.sheet.cell(row, word) is None]
        if len(missing) == 1:
            self.sheet.wrong(row, HEADINGS[missing[0]], "both the lower price and from how many pieces, or neither")
            return ()
        if first is None:
            return ()
        if start is None or lower is None:
            return (first,)
        if lower.price >= first.price:
            self.sheet.notes.append(f"line {row}: {part}: the lower price is not lower; taken as it stands")
        return (first, Break(start, lower.price))

    def _from(self, row: int) -> int | None:
        """From how many pieces the lower price holds: 50, 50+, 50-99."""
        if not (text := self.sheet.text(row, "lower_from")):
            return None
        if (start := start_in(text, self.counts.marks(""))) is None:
            self.sheet.wrong(row, HEADINGS["lower_from"], "a whole number of pieces above 0", text)
        return start

    def _price(self, row: int, word: str, start: int) -> Break | None:
        value, name = self.sheet.cell(row, word), HEADINGS[word]
        if isinstance(value, bool | date):
            self.sheet.wrong(row, name, "a price", str(value))
            return None
        text = as_typed(value)
        if (len(text) == 1 and text.isalpha()) or (word == "lower_price" and _is_none(text)):
            self.sheet.wrong(row, name, "a price; 'no bid' as the unit price where there is none", text)
            return None
        if _NEGATIVE.match(text):
            self.sheet.wrong(row, name, "a price above 0", text)
            return None
        marks = self._marks(text) if isinstance(value, str) else NumberMarks(".", True)
        if marks is None:
            self.sheet.wrong(row, name, "a price whose decimal sign is certain, as 1,20 or 1250.00 is", text)
            return None
        prices = Prices(self.supplier.currency, marks, 0, self.shown)
        found = prices.at(text, start, self._per(row), self._currency(row))
        if isinstance(found, str):
            self.sheet.wrong(row, name, found, text)
        elif found is None and word == "price" and text and not is_on_request(text):
            self.sheet.notes.append(f"line {row}: a price of {text} is taken as none")
        return found if isinstance(found, Break) else None

    def _per(self, row: int) -> str:
        """For how many pieces the line's prices are, as it says; a word that is no number is that cell's fault, not
        the price's."""
        text = self.sheet.text(row, "per")
        if not text or pieces_in(text) is not None:
            return text
        self._once(row, HEADINGS["per"], "a number of pieces that the price is for, such as 1 or 100", text)
        return ""

    def _once(self, row: int, column: str, expected: str, found: str) -> None:
        """Both prices of a line lean on the same cell, which is wrong only once."""
        if not any((p.line, p.column) == (row, column) for p in self.sheet.problems):
            self.sheet.wrong(row, column, expected, found)

    def _marks(self, text: str) -> NumberMarks | None:
        """What the cell shows itself, else what the sheet's others show; None where it could be two amounts."""
        parted = without_per(text)
        amount = re.sub(r"[^\d.,]", "", parted[0] if parted else text)
        if own := evident(amount):
            return NumberMarks(own, True)
        if not any(mark in amount for mark in ".,"):
            return NumberMarks(".")
        return NumberMarks(self.shown.mostly, True) if self.shown.mostly else None

    def _currency(self, row: int) -> str:
        """The currency's code where the line names another than the supplier's; a sign stands for its code."""
        typed = self.sheet.text(row, "currency").upper()
        code = {"€": "EUR", "£": "GBP", "US$": "USD", "EURO": "EUR", "EUROS": "EUR"}.get(typed, typed)
        if not code or code == self.supplier.currency:
            return ""
        if code not in KNOWN:
            near = meant(code)
            hint = f" (is {near} meant?)" if near else ""
            self._once(row, HEADINGS["currency"], f"an ISO 4217 currency code such as EUR{hint}", typed)
            return ""
        return code

    def _pieces(self, row: int, word: str) -> int | None:
        text = self.sheet.text(row, word)
        return self._count(row, word, text, pieces_in_pack(text, self.counts.marks(""), {}))

    def _days(self, row: int) -> int | None:
        """Days, weeks, a range (the longest counts), or the day itself."""
        value = self.sheet.cell(row, "lead_days")
        if isinstance(value, date):
            day = value.date() if isinstance(value, datetime) else value
            return max(0, (day - self.today).days)
        text = as_typed(value)
        return self._count(row, "lead_days", text, days_in(text, _WHOLE, LeadTimes(today=self.today)))

    def _count(self, row: int, word: str, text: str, count: Count) -> int | None:
        if count.expected:
            expected = count.expected.partition(", or a code that")[0]  # which a price list's settings would explain
            self.sheet.wrong(row, HEADINGS[word], expected, text)
        elif count.note:
            self.sheet.notes.append(f"line {row}: {HEADINGS[word]} {text!r} {count.note}")
        return count.number

    def _noted(self, row: int, offer: Offer) -> Offer:
        """The offer, with a note on whatever differs from what was asked or is unusual."""
        asked, part, currency = self.sheet.asked, offer.part_number, offer.breaks[0].price.currency
        quantity = asked.get(normal(part))
        said = [f"{part} was not asked for; is it meant in the place of another?"] if asked and not quantity else []
        if quantity and offer.moq > quantity:
            said.append(f"{part}: at least {offer.moq}, where {quantity} were asked for")
        if currency != self.supplier.currency:
            said.append(f"{part} is quoted in {currency}; {self.supplier.name} sells in {self.supplier.currency}")
        if remark := self.sheet.text(row, "remark"):
            said.append(f"{part}: they remark {remark[:200]!r}")
        self.sheet.notes += [f"line {row}: {text}" for text in said]
        return offer

    def _together(self, same: list[Offer]) -> Offer | None:
        """Several lines for one part are its price breaks, each from its own minimum on."""
        if len(same) == 1:
            return replace(same[0], breaks=tuple(sorted(same[0].breaks, key=lambda b: b.from_quantity)))
        starts = [offer.moq for offer in same]
        if len(set(starts)) < len(starts) or any(len(o.breaks) > 1 for o in same):
            expected = f"{same[0].part_number} once, or in lines that each have their own minimum quantity"
            self.sheet.wrong(same[1].line, "Part number", expected, same[1].part_number)
            return None
        least = min(same, key=lambda o: o.moq)
        steps = sorted((Break(o.moq, o.breaks[0].price) for o in same), key=lambda b: b.from_quantity)
        return replace(least, breaks=tuple(steps))


def _is_none(text: str) -> bool:
    """Words where a price is due; a lower price from so many on that is none would be left out unseen."""
    return is_on_request(text) or text == "0"
