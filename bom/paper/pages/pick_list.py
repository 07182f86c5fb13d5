"""Knows the pick list on paper: what to take from which drawer, to tick off, and what goes into which bag where bags
differ; one self-contained HTML page for A4."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from bom.kits.provisos import Proviso
from bom.paper.pages.a4 import TICK, a4_page, boxed, cell, firm, items, number, section, table, words
from bom.paper.picks import by_drawer, differing

Answer = dict[str, Any]


def pick_list(answer: Answer, day: str, provisos: Sequence[Proviso] = (), caution: str = "") -> str:
    """The page, from the mapping that ``bom kit make --json`` prints, on what the parts in it serve, and its cautions
    in one line."""
    lots = answer["kit_lots"]
    title = f"Pick list: {answer['count']} x {answer['kit']}"
    picks = by_drawer(answer["picks"])
    more = [key for key in _MORE if any(pick[key] for pick in picks)]
    headings = ("", "drawer", "part", "what it is", "lot", "#take", "unit", *(_MORE[key] for key in more))
    rows = [_row(pick, more) for pick in picks]
    bags = [_bag(lot, content) for lot in lots for content in differing(lots, lot)]
    return a4_page(
        title,
        (
            f'<div class="top"><h1>{words(title)}</h1><p>{words(_state(answer))}<br>{words(day)}</p></div>',
            section("By drawer", table(headings, rows)),
            section("Fit only on these conditions", boxed(items([proviso.words for proviso in provisos]))),
            section(
                "The bags are not all alike", table(("kit lot", "#bags", "position", "part", "#in each", "unit"), bags)
            ),
            f"<p>{words(caution)}</p>" if caution else "",
            "<p><br>Picked by: ______________________ &nbsp; Checked by: ______________________</p>",
        ),
    )


def _state(answer: Answer) -> str:
    lots = ", ".join(lot["kit_lot"] for lot in answer["kit_lots"] if lot["kit_lot"])
    said = {"made up": f"kit lot {lots}", "reserved": f"promised to kit lot {lots}"}
    return said.get(answer["booked"] or "", "nothing is booked yet")


_MORE = {"date_code": "date code", "expires": "use by"}
"""Columns that stand only where a lot has something to say in them."""


def _row(pick: Answer, more: Sequence[str]) -> str:
    texts = cell(pick["drawer"] or "-") + firm(pick["part_number"]) + cell(pick["name"]) + firm(pick["lot"])
    said = "".join(firm(pick[key] or "") for key in more)
    return TICK + texts + number(_short(pick["quantity"])) + firm(pick["unit"]) + said


def _bag(lot: Answer, content: Answer) -> str:
    there = cell(lot["kit_lot"] or "-") + number(lot["count"]) + cell(content["position"] or "-")
    return there + cell(content["part_number"]) + number(_short(content["quantity"])) + cell(content["unit"])


def _short(quantity: Any) -> str:
    return f"{Decimal(str(quantity)).normalize():f}"
