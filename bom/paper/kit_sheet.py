"""What goes into and onto a kit's bag: a sheet as one self-contained HTML page for A4, and a label as SVG.

Everything from outside is escaped; neither refers to anything over a network.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from html import escape

_STYLE = """
@page { size: A4; margin: 18mm }
body { font: 11pt/1.45 sans-serif; color: #000; max-width: 174mm; margin: 8mm auto }
h1 { font-size: 20pt; margin: 0 } h2 { font-size: 12pt; margin: 7mm 0 2mm; border-bottom: 0.3mm solid }
table { border-collapse: collapse; width: 100% } td { padding: 1.2mm 2mm; border-bottom: 0.1mm solid #999 }
td.box { width: 5mm } td.box::before { content: "☐"; font-size: 13pt } td.number { text-align: right }
.cautions { border: 0.5mm solid; padding: 1mm 4mm }
"""


@dataclass(frozen=True, slots=True)
class KitSheet:
    """What the sheet says: contents as (part number, unit, quantity), what to check first, cautions."""

    name: str
    board: str
    repair: str
    contents: tuple[tuple[str, str, Decimal], ...]
    first_check: tuple[str, ...]
    cautions: tuple[str, ...]


def sheet_page(sheet: KitSheet) -> str:
    """The page."""
    rows = "".join(map(_content_row, sheet.contents))
    about = escape(f"For {sheet.board}, {sheet.repair}") if sheet.board else ""
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        f"<title>{escape(sheet.name)}</title><style>{_STYLE}</style></head><body>"
        f"<h1>{escape(sheet.name)}</h1><p>{about}</p>"
        f"<h2>In this bag</h2><table>{rows}</table>"
        f"{_list('Check first, before the relay is blamed', sheet.first_check, 'ol')}"
        f"{_list('Take care', sheet.cautions, 'ul', 'cautions')}"
        "</body></html>\n"
    )


def _content_row(content: tuple[str, str, Decimal]) -> str:
    part, unit, quantity = content
    amount = f"{quantity.normalize():f} {unit if unit != 'piece' else '×'}"
    return f'<tr><td class="box"></td><td class="number">{escape(amount)}</td><td>{escape(part)}</td></tr>'


def _list(heading: str, items: tuple[str, ...], tag: str, style: str = "") -> str:
    if not items:
        return ""
    rows = "".join(f"<li>{escape(item)}</li>" for item in items)
    return f'<h2>{heading}</h2><div class="{style}"><{tag}>{rows}</{tag}></div>'


def label_drawing(name: str, board: str, lot: str) -> str:
    """A bag label of 62 × 29 mm, true size."""
    lines = (
        (9, 5, "bold", name),
        (17, 4, "normal", f"for {board}" if board else ""),
        (25, 4, "normal", lot and f"lot {lot}"),
    )
    texts = "".join(
        f'<text x="3" y="{y}" font-size="{size}" font-weight="{weight}">{escape(text)}</text>'
        for y, size, weight, text in lines
        if text
    )
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="62mm" height="29mm" viewBox="0 0 62 29" '
        'font-family="sans-serif"><rect x="0.25" y="0.25" width="61.5" height="28.5" rx="2" fill="#fff" '
        f'stroke="#000" stroke-width="0.3"/>{texts}</svg>\n'
    )
