"""Knows what is printed for kits, each as one self-contained HTML page for A4: the sheet that goes into the bag, and
the list by which it is picked.

Whoever opens the bag reads from above: on what the parts serve, what can hurt, what to check before the relay is
blamed, how it is changed, what is in the bag to tick off and where each pin goes; last the cautions in full.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from bom.answers.kits import InBag, KitLotMade, MadeKits, Pick
from bom.duty.before_parts import PRACTICE
from bom.duty.cautions import all_cautions
from bom.duty.changing_a_relay import ChangeStep
from bom.kits.kit import Proviso
from bom.paper.for_the_eye import number as digits
from bom.paper.pages.a4 import TICK, a4_page, boxed, cell, firm, items, number, picture, section, table, words
from bom.paper.pages.labels import Carried, code


@dataclass(frozen=True, slots=True)
class Item:
    """One thing in the bag; ``positions`` are where it goes on the board, none = nowhere."""

    part_number: str
    name: str
    quantity: Decimal
    unit: str = "piece"
    positions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KitSheet:
    """What the sheet says. ``live`` goes before the first checks, which are made under power; ``notes`` are of things
    in the bag: an alloy, a liquid. ``steps`` are the kit's own, ``changing`` the usual ones, each with its source;
    ``pictures`` are SVGs, one for each position, and ``whole_board`` is one of all its positions.

    Without a ``kit_lot`` the contents are what would be packed now, and the sheet says so.
    """

    name: str
    board: str
    repair: str
    items: tuple[Item, ...]
    first_check: tuple[str, ...] = ()
    live: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    changing: tuple[ChangeStep, ...] = ()
    provisos: tuple[Proviso, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    pictures: tuple[str, ...] = ()
    whole_board: str = ""
    kit_lot: str = ""
    made: date | None = None
    use_by: date | None = None


def sheet_page(sheet: KitSheet) -> str:
    """The page."""
    asked = [proviso.words for proviso in sheet.provisos]
    return a4_page(
        sheet.name,
        (
            _top(sheet),
            section("Fit only on these conditions", boxed(items(asked))),
            section("Take care", boxed(_two_columns(items(list(map(_in_few_words, sheet.cautions)))))),
            section("Check first, before the relay is blamed", _first_check(sheet)),
            section("Change the relay", items(sheet.steps, "ol") or _changing(sheet.changing)),
            section("In this bag", _bag(sheet)),
            section("Where it goes on the board", _pictures((sheet.whole_board,) if sheet.whole_board else ())),
            section("Where the pins go, up to twice their true size", _pictures(sheet.pictures)),
            section("The cautions in full", _two_columns(items(sheet.cautions), "full")),
            _foot(sheet),
        ),
    )


def _two_columns(html: str, more: str = "") -> str:
    return f'<div class="columns {more}">{html}</div>' if html else ""


def _in_few_words(caution: str) -> str:
    """A caution as it stands at the top; a board's own is short enough."""
    short = next((short for short, text in all_cautions() if text == caution), caution)
    return short[:1].upper() + short[1:]


def _bag(sheet: KitSheet) -> str:
    rows = table(("", "#quantity", "part", "what it is", "goes in at"), map(_row, sheet.items))
    return f'<div class="bag">{rows}</div><div class="fine">{items(sheet.notes)}</div>' if rows else ""


def _first_check(sheet: KitSheet) -> str:
    if not sheet.first_check:
        return ""
    return "".join(f"<p><b>{words(text)}</b></p>" for text in sheet.live) + items(sheet.first_check, "ol")


def _changing(steps: tuple[ChangeStep, ...]) -> str:
    rows = "".join(f"<li>{words(step.do)}{_source(step)}</li>" for step in steps)
    return f'{_two_columns(f"<ol>{rows}</ol>")}<p class="source">{words(_TRAINING)}</p>' if rows else ""


def _source(step: ChangeStep) -> str:
    return "" if step.source == PRACTICE else f' <span class="source">{words(step.source)}</span>'


_TRAINING = (
    "The steps follow published soldering and rework practice; they do not replace the training it asks for. "
    "Steps without a source are common practice; numbers stand in the list that bom explain sources prints."
)


def _top(sheet: KitSheet) -> str:
    purpose = ", ".join(filter(None, (sheet.board, sheet.repair)))
    lot = f"kit lot {sheet.kit_lot}" if sheet.kit_lot else "not packed yet: contents as they would be picked now"
    days = "".join(f"<br>{word} {day}" for word, day in (("made", sheet.made), ("use by", sheet.use_by)) if day)
    words_of_it = f"<div><h1>{words(sheet.name)}</h1><p>{words(f'For {purpose}') if purpose else ''}</p></div>"
    return (
        f'<div class="top">{words_of_it}<div class="top fine"><div>{words(lot)}{days}</div>{_code(sheet)}</div></div>'
    )


def _code(sheet: KitSheet) -> str:
    if not sheet.kit_lot:
        return ""
    drawn = code(Carried(sheet.name, "1", sheet.kit_lot, use_by=sheet.use_by), 0, 0, 20)
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">{drawn}</svg>'


def _row(item: Item) -> str:
    unit = "" if item.unit == "piece" else f" {item.unit}"
    quantity = f"{item.quantity.normalize():f}{unit}"
    return TICK + number(quantity) + firm(item.part_number) + cell(item.name) + cell(", ".join(item.positions))


def _pictures(pictures: tuple[str, ...]) -> str:
    figures = "".join(f"<figure>{picture(svg)}</figure>" for svg in pictures)
    return f'<div class="pictures">{figures}</div>' if figures else ""


def _foot(sheet: KitSheet) -> str:
    if not sheet.kit_lot:
        return ""
    return (
        f'<p class="fine">Keep this sheet: {words(sheet.kit_lot)} tells which parts, and of which lots, are in it.</p>'
    )


def pick_list(made: MadeKits, day: str, caution: str = "") -> str:
    """The page, with on what the parts in it serve, and its cautions in one line."""
    title = f"Pick list: {made.count} x {made.kit}"
    booked = made.where_booked("nothing is booked yet")
    picks = made.by_drawer
    more = [heading for heading, said in _MORE.items() if any(map(said, picks))]
    headings = ("", "drawer", "part", "what it is", "lot", "#take", "unit", *more)
    rows = [_pick_row(pick, more) for pick in picks]
    bags = [_bag_row(lot, content) for lot, content in made.differing]
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


def _pick_row(pick: Pick, more: Sequence[str]) -> str:
    texts = cell(pick.drawer or "-") + firm(pick.part_number) + cell(pick.name) + firm(pick.lot)
    said = "".join(firm(_MORE[heading](pick) or "") for heading in more)
    return TICK + texts + number(digits(pick.quantity)) + firm(pick.unit) + said


def _bag_row(lot: KitLotMade, content: InBag) -> str:
    there = cell(lot.kit_lot or "-") + number(lot.count) + cell(content.position or "-")
    return there + cell(content.part_number) + number(digits(content.quantity)) + cell(content.unit)
