"""Knows the sheet that goes into a kit's bag, as one self-contained HTML page for A4: what is in the bag to tick off,
what to check first, the steps, pins over holes at true size, cautions, and the kit lot with its 2-D code."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from bom.kits.provisos import Proviso
from bom.paper.pages.a4 import TICK, a4_page, boxed, cell, firm, items, number, picture, section, table, words
from bom.paper.pages.code_2d import Carried, code


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
    """What the sheet says. ``pictures`` are SVGs, one for each position; ``solder`` warns of the alloy.

    Without a ``kit_lot`` the contents are what would be packed now, and the sheet says so.
    """

    name: str
    board: str
    repair: str
    items: tuple[Item, ...]
    first_check: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    solder: tuple[str, ...] = ()
    pictures: tuple[str, ...] = ()
    kit_lot: str = ""
    made: date | None = None
    use_by: date | None = None
    provisos: tuple[Proviso, ...] = ()


def sheet_page(sheet: KitSheet) -> str:
    """The page."""
    return a4_page(
        sheet.name,
        (
            _top(sheet),
            section(
                "In this bag", table(("", "#quantity", "part", "what it is", "goes in at"), map(_row, sheet.items))
            ),
            section("Fit only on these conditions", _provisos(sheet.provisos)),
            *(f'<div class="box"><p><b>Solder.</b> {words(text)}</p></div>' for text in sheet.solder),
            section("Check first, before the relay is blamed", items(sheet.first_check, "ol")),
            section("Take care", boxed(items(sheet.cautions))),
            section("Steps", items(sheet.steps, "ol")),
            section("Where the pins go, twice their true size", _pictures(sheet.pictures)),
            _foot(sheet),
        ),
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


def _provisos(provisos: tuple[Proviso, ...]) -> str:
    """What each part asks where it goes in, the reason why it is no plain drop-in."""
    return boxed(items([proviso.words for proviso in provisos]))


def _pictures(pictures: tuple[str, ...]) -> str:
    figures = "".join(f"<figure>{picture(svg)}</figure>" for svg in pictures)
    return f'<div class="pictures">{figures}</div>' if figures else ""


def _foot(sheet: KitSheet) -> str:
    if not sheet.kit_lot:
        return ""
    return (
        f'<p class="fine">Keep this sheet: {words(sheet.kit_lot)} tells which parts, and of which lots, are in it.</p>'
    )
