"""Knows the pick list on paper: what to take from which drawer, to tick off, and what goes into which bag where bags
differ; one self-contained HTML page for A4."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from bom.answers.kits import InBag, KitLotMade, MadeKits, Pick
from bom.paper.for_the_eye import number as digits
from bom.paper.pages.a4 import TICK, a4_page, boxed, cell, firm, items, number, section, table, words
from bom.paper.picks import by_drawer, differing, where_booked


def pick_list(made: MadeKits, day: str, caution: str = "") -> str:
    """The page, with on what the parts in it serve, and its cautions in one line."""
    lots = made.kit_lots
    title = f"Pick list: {made.count} x {made.kit}"
    booked = where_booked(made, "nothing is booked yet")
    picks = by_drawer(made.picks)
    more = [heading for heading, said in _MORE.items() if any(map(said, picks))]
    headings = ("", "drawer", "part", "what it is", "lot", "#take", "unit", *more)
    rows = [_row(pick, more) for pick in picks]
    bags = [_bag(lot, content) for lot in lots for content in differing(lots, lot)]
    return a4_page(
        title,
        (
            f'<div class="top"><h1>{words(title)}</h1><p>{words(booked)}<br>{words(day)}</p></div>',
            section("By drawer", table(headings, rows)),
            section("Fit only on these conditions", boxed(items([proviso.words for proviso in made.conditions]))),
            section(
                "The bags are not all alike", table(("kit lot", "#bags", "position", "part", "#in each", "unit"), bags)
            ),
            f"<p>{words(caution)}</p>" if caution else "",
            "<p><br>Picked by: ______________________ &nbsp; Checked by: ______________________</p>",
        ),
    )


_MORE: dict[str, Callable[[Pick], str | date | None]] = {
    "date code": lambda pick: pick.date_code,
    "use by": lambda pick: pick.expires,
}
"""Columns that stand only where a lot has something to say in them."""


def _row(pick: Pick, more: Sequence[str]) -> str:
    texts = cell(pick.drawer or "-") + firm(pick.part_number) + cell(pick.name) + firm(pick.lot)
    said = "".join(firm(_MORE[heading](pick) or "") for heading in more)
    return TICK + texts + number(digits(pick.quantity)) + firm(pick.unit) + said


def _bag(lot: KitLotMade, content: InBag) -> str:
    there = cell(lot.kit_lot or "-") + number(lot.count) + cell(content.position or "-")
    return there + cell(content.part_number) + number(digits(content.quantity)) + cell(content.unit)
