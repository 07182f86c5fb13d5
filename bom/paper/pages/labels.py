"""Knows the labels for bags, drawers and boxes: words for people and a 2-D code for scanners, at true size in mm.

One label is an SVG; several are one HTML page whose sheets have the label's own size, as a label printer wants them.
Everything from outside is escaped; neither refers to anything over a network.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from html import escape

from bom.paper.pages.code_2d import Carried, code, good_size
from bom.paper.readable import one_line

_LETTER = 0.58  # width of a letter over its height in a plain sans-serif, generously; measured on a common one
_BOLD = 0.64
_LEADING = 1.3
_MARGIN = 2.0
_STYLE = "text{font-family:sans-serif;fill:#000}.b{font-weight:bold}.code{fill:#000}"


@dataclass(frozen=True, slots=True)
class Label:
    """``title`` in bold over ``lines``, the code beside them, everything within ``width`` × ``height`` mm."""

    width: float
    height: float
    title: str
    lines: tuple[str, ...]
    carried: Carried
    big: float = 5.0


@dataclass(frozen=True, slots=True)
class Packed:
    """What a bag or a box of kits says of itself; empty and None = not known."""

    kit: str
    board: str = ""
    repair: str = ""
    kit_lot: str = ""
    made: date | None = None
    use_by: date | None = None


def bag_label(packed: Packed) -> Label:
    """For one kit's bag, 62 × 29 mm."""
    return Label(62, 29, packed.kit, _about(packed), _carried(packed, 1), 4.6)


def box_label(packed: Packed, count: int, contents: Sequence[str] = ()) -> Label:
    """For a box of bags, 100 × 62 mm: how many, and what is in each."""
    bags = "1 bag" if count == 1 else f"{count} bags"
    lines = (bags, *_about(packed), *(("In each: " + ", ".join(contents),) if contents else ()))
    return Label(100, 62, packed.kit, lines, _carried(packed, count), 8.0)


def drawer_label(drawer: str, part_number: str, name: str, unit: str) -> Label:
    """For a drawer of the shelf, 62 × 19 mm."""
    lines = (part_number, name, "" if unit == "piece" else f"counted in {unit}")
    return Label(62, 19, drawer or "no drawer", lines, Carried(part_number), 5.0)


def _about(packed: Packed) -> tuple[str, ...]:
    purpose = " ".join(filter(None, (f"for {packed.board}:" if packed.board else "", packed.repair)))
    dates = ", ".join(_day(word, day) for word, day in (("made", packed.made), ("use by", packed.use_by)) if day)
    return purpose.removesuffix(":"), f"kit lot {packed.kit_lot}" if packed.kit_lot else "", dates


def _day(word: str, day: date) -> str:
    return f"{word} {day.isoformat()}"


def _carried(packed: Packed, count: int) -> Carried:
    return Carried(packed.kit, str(count), packed.kit_lot, use_by=packed.use_by)


def label_drawing(label: Label) -> str:
    """The label as an SVG of its true size."""
    w, h = label.width, label.height
    size = f'width="{w:g}mm" height="{h:g}mm" viewBox="0 0 {w:g} {h:g}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img"><title>{escape(one_line(label.title))}</title>'
        f'<style>{_STYLE}</style><rect width="{w:g}" height="{h:g}" fill="#fff"/>{_inside(label)}</svg>\n'
    )


def _inside(label: Label) -> str:
    """The words to the left, set closer where they are many; the code to the right, as large as is of use."""
    side = min(label.height - 1.0, max(good_size(label.carried), label.width * 0.3))
    words = _words(label, label.width - side - _MARGIN)
    closer = min(1.0, (label.height - 2 * _MARGIN) / (_LEADING * sum(size for _, size, _ in words)))
    y, drawn = _MARGIN, ""
    for text, size, style in words:
        y += size * _LEADING * closer
        shown = size * min(1.0, closer * 1.15)
        drawn += f'<text x="{_MARGIN:g}" y="{y - size * 0.25:.2f}" font-size="{shown:.2f}"{style}>{escape(text)}</text>'
    return drawn + code(label.carried, label.width - side, (label.height - side) / 2, side)


def _words(label: Label, width: float) -> list[tuple[str, float, str]]:
    """Every line as (text, letter height in mm, style), wrapped and shrunk so that it stays within the width."""
    small = label.big * 0.62
    words = [(text, size, ' class="b"') for text, size in _fitted(label.title, label.big, width, _BOLD)]
    for line in filter(None, label.lines):
        words += [(text, size, "") for text, size in _fitted(line, small, width, _LETTER)]
    return words


def _fitted(text: str, size: float, width: float, letter: float) -> list[tuple[str, float]]:
    """The text in lines that fit, smaller where a single word would not."""
    letters = int(width / (size * letter))
    lines = _wrapped(one_line(text), letters)
    longest = max(map(len, lines), default=1)
    size = min(size, width / (longest * letter))
    return [(line, size) for line in lines]


def _wrapped(text: str, letters: int) -> list[str]:
    from textwrap import wrap

    return wrap(text, max(letters, 1), break_long_words=False, break_on_hyphens=False) or [""]


def label_pages(labels: Iterable[Label]) -> str:
    """The labels one to a page, each page as large as its label."""
    found = list(labels)
    first = found[0]
    page = f"@page{{size:{first.width:g}mm {first.height:g}mm;margin:0}}"
    style = f"{page}body{{margin:0}}svg{{display:block;break-after:page}}svg:last-child{{break-after:auto}}"
    drawings = "".join(map(label_drawing, found))
    head = f'<meta charset="utf-8"><title>{escape(one_line(first.title))}</title><style>{style}</style>'
    return f'<!doctype html><html lang="en"><head>{head}</head><body>{drawings}</body></html>\n'
