"""Knows what pages for people to print on A4 have in common: one self-contained HTML file, black on white."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Sequence
from html import escape

from bom.paper.writing import one_line

_STYLE = """
@page { size: A4; margin: 12mm 16mm }
* { box-sizing: border-box }
body { font: 10.5pt/1.4 sans-serif; color: #000; max-width: 178mm; margin: 0 auto }
h1 { font-size: 18pt; margin: 0 } h2 { font-size: 12pt; margin: 4mm 0 1mm; border-bottom: 0.3mm solid }
h2, tr, li, figure, .box { break-inside: avoid } h2 { break-after: avoid }
table { border-collapse: collapse; width: 100% }
th { text-align: left; font-size: 9pt; border-bottom: 0.3mm solid } thead { display: table-header-group }
th, td { padding: 1mm 2mm; vertical-align: top } td { border-bottom: 0.1mm solid #999 }
.number { text-align: right } .number, .firm { white-space: nowrap } .tick { width: 7mm }
.tick i { display: inline-block; width: 3.6mm; height: 3.6mm; border: 0.3mm solid; margin-top: 0.6mm }
.top { display: flex; justify-content: space-between; gap: 6mm; align-items: flex-start } p { margin: 1mm 0 }
.box { border: 0.5mm solid; padding: 1mm 4mm; margin: 3mm 0 } ol, ul { margin: 1mm 0; padding-left: 6mm }
.fine { font-size: 9pt } .source { font-size: 8pt; color: #444 } figure { margin: 0 }
.columns { font-size: 9pt; line-height: 1.3; columns: 2; column-gap: 6mm } .columns > * { margin: 0 }
.bag td { font-size: 9.5pt; padding: 0.6mm 2mm } .pictures { display: flex; flex-wrap: wrap; gap: 3mm }
.full { font-size: 8pt } img { max-width: 100% }
@media screen { body { padding: 10mm } }
"""

TICK = '<td class="tick"><i></i></td>'


def a4_page(title: str, parts: Iterable[str]) -> str:
    """The page; ``parts`` are HTML already."""
    head = f'<meta charset="utf-8"><title>{words(title)}</title><style>{_STYLE}</style>'
    return f'<!doctype html><html lang="en"><head>{head}</head><body>{"".join(parts)}</body></html>\n'


def words(text: object) -> str:
    """Text from anywhere, safe to stand in the page."""
    return escape(one_line(text))


def section(heading: str, body: str) -> str:
    """A heading and what it heads; nothing where there is nothing."""
    return f"<h2>{words(heading)}</h2>{body}" if body else ""


def items(texts: Sequence[str], tag: str = "ul") -> str:
    """A list; nothing where there is nothing to list."""
    rows = "".join(f"<li>{words(text)}</li>" for text in texts)
    return f"<{tag}>{rows}</{tag}>" if rows else ""


def boxed(html: str) -> str:
    """What nobody may overlook, in a frame; nothing where there is nothing."""
    return f'<div class="box">{html}</div>' if html else ""


def table(headings: Sequence[str], rows: Iterable[str]) -> str:
    """Rows are HTML already; headings that start with # stand over numbers."""
    cells = "".join(
        f'<th class="number">{words(h[1:])}</th>' if h[:1] == "#" else f"<th>{words(h)}</th>" for h in headings
    )
    body = "".join(f"<tr>{row}</tr>" for row in rows)
    return f"<table><thead><tr>{cells}</tr></thead><tbody>{body}</tbody></table>" if body else ""


def picture(svg: str) -> str:
    """A drawing within the page, its styles kept to itself; it has the size that it states."""
    inside = b64encode(svg.encode()).decode()
    return f'<img alt="" src="data:image/svg+xml;base64,{inside}">'


def cell(text: object) -> str:
    return f"<td>{words(text)}</td>"


def firm(text: object) -> str:
    """A cell that keeps to one line, as part numbers must."""
    return f'<td class="firm">{words(text)}</td>'


def number(text: object) -> str:
    return f'<td class="number">{words(text)}</td>'
