"""Marks on a picture as they are typed, a name and its pixels a line, and what tells its scale and its perspective."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Any

from bom.intake.measured_spans import BETWEEN_SIDES, LENGTH, Of, TypedSpan, entries, wrong_at
from bom.intake.rows import is_it
from bom.intake.tables import Table
from bom.measure.picture import Lens, Mark, Pictured, Taken, lens_of
from bom.measure.spans import Measured, Span
from bom.values.column import keys, number, text, word
from bom.values.problem import Refused

PICTURE_KEYS = keys(
    taken=word(Taken, "Of a picture: how it was taken.", "photo"),
    marks=text("Of a picture: a name and its pixels a line, to the right and down.", "h1 512 310"),
    error_px=number("", "Of a picture: how far off a mark may be, in pixels.", "2", above=0, most=200),
    picture=text("Of a photo with lens_mm: the size of the whole picture in pixels.", "4000 x 3000"),
    lens_mm=number("", "Of a photo: the lens, as on 35 mm film (the picture's own notes tell it).", "26", above=0),
    card=text(
        "Of a picture: four marks round a rectangle that lies in the board's plane, and its two sides in mm.",
        "p q r s 85.60 x 53.98",
    ),
    card_error_mm=number("mm", "How far off the rectangle's sides may be.", "0.1", above=0, most=2),
)
_NEEDED = ("taken", "marks", "error_px")
_PIXEL = number("", "", "512", least=0, most=1e6)


@dataclass(frozen=True, slots=True)
class Card:
    """A rectangle of known sides: its corners, which are no part of the pattern, and its sides and diagonals."""

    corners: tuple[str, ...] = ()
    spans: tuple[Span, ...] = ()


def is_picture(table: Table) -> bool:
    return any(key in table for key in _NEEDED)


def marks_in(table: Table, value: str) -> Iterator[Mark]:
    """Every mark that can be read; what is wrong with the others is told."""
    there: dict[str, tuple[float, float]] = {}
    for line, entry in entries(table, "marks", value, ";"):
        if (mark := _mark(entry)) is None:
            wrong_at(table, line, "marks", "a name and its pixels to the right and down, as in h1 512 310", entry)
        elif mark.name in there:
            wrong_at(table, line, "marks", "each once", entry)
        elif (place := (mark.x_px, mark.y_px)) in there.values():
            wrong_at(table, line, "marks", "each at a place of its own", entry)
        else:
            there[mark.name] = place
            yield mark


def _mark(entry: str) -> Mark | None:
    try:
        name, *pixels = re.split(r"[\s,]+", entry)
        x, y = (float(_PIXEL.read(pixel)) for pixel in pixels)
    except (Refused, ValueError):
        return None
    return Mark(name, x, y)


def card_in(table: Table, stated: Mapping[str, Any], marks: Sequence[Mark]) -> Card:
    """The rectangle beside the pattern; nothing where there is none, or what is wrong with it was told."""
    said, error = stated["card"], stated["card_error_mm"]
    if not said:
        if error is not None:
            table.wrong("card", "the rectangle that card_error_mm is about", "nothing")
        return Card()
    words = said.split(None, 4)
    try:
        long, short = (float(LENGTH.read(side)) for side in re.split(BETWEEN_SIDES, "".join(words[4:]).strip()))
    except (Refused, ValueError):
        table.wrong("card", "four marks round and two sides, as in p q r s 85.60 x 53.98", said)
        return Card()
    corners = tuple(words[:4])
    unmarked = [c for c in corners if c not in {m.name for m in marks}]
    if error is None:
        table.wrong("card_error_mm", "how far off the card's sides may be, as in 0.1", "nothing")
    if unmarked or len(set(corners)) < len(corners):
        table.wrong("card", "four different marks", " ".join(unmarked) or said)
        return Card()
    return Card(corners, tuple(_sides(corners, long, short, error or 1.0)))


def _sides(corners: Sequence[str], long: float, short: float, error: float) -> Iterator[Span]:
    """A rectangle is six spans: its sides and its diagonals."""
    p, q, r, s = corners
    across = hypot(long, short)
    for a, b, mm in ((p, q, long), (q, r, short), (r, s, long), (s, p, short), (p, r, across), (q, s, across)):
        yield Span(a, b, mm, error)


def no_picture(table: Table) -> None:
    """What only a picture has stands there without one."""
    for key in PICTURE_KEYS:
        if key in table and key not in _NEEDED:
            table.wrong(key, "marks on a picture beside it", table.get(key))


def picture_of(
    table: Table,
    stated: Mapping[str, Any],
    marks: Sequence[Mark],
    typed: Sequence[TypedSpan],
    measured: Measured,
    card: Card,
    of: Of,
) -> Pictured:
    """The picture with all that was measured; what it lacks is told."""
    for key in _NEEDED:
        if not stated[key]:
            meaning = PICTURE_KEYS[key].meaning
            table.wrong(key, f"{meaning[0].lower()}{meaning[1:]}".rstrip("."), "nothing")
    if "turn" in table:
        table.wrong("turn", "no turn: a picture shows which way round it goes", table.get("turn"))
    _all_marked(table, marks, typed, of)
    taken = stated["taken"] or Taken.PHOTO
    lens = _lens(table, stated, taken)
    return Pictured(tuple(marks), stated["error_px"] or 1.0, measured, taken, lens, frozenset(card.corners))


def _all_marked(table: Table, marks: Sequence[Mark], typed: Sequence[TypedSpan], of: Of) -> None:
    marked = {m.name for m in marks}
    for span in typed:
        if lost := [end for end in (span.a, span.b) if end not in marked]:
            wrong_at(table, span.line, "spans", f"{of} that are marked{is_it(lost[0], marked)}", lost[0])


def _lens(table: Table, stated: Mapping[str, Any], taken: Taken) -> Lens | None:
    """The lens of a photo by its length and the picture's size, which go together."""
    there = [key for key in ("picture", "lens_mm") if key in table]
    if taken is not Taken.PHOTO:
        for key in there:
            table.wrong(key, 'taken = "photo" beside it', table.get(key))
        return None
    if len(there) == 1:
        lacking = "picture" if there == ["lens_mm"] else "lens_mm"
        table.wrong(lacking, f"{lacking} too: a lens tells its angle by both", "nothing")
    sides = re.split(BETWEEN_SIDES, stated["picture"].strip()) if stated["picture"] else []
    if sides and (len(sides) != 2 or not all(re.fullmatch(r"\d+", side) and int(side) for side in sides)):
        table.wrong("picture", "its width and height in pixels, as in 4000 x 3000", stated["picture"])
        return None
    return lens_of(stated["lens_mm"], float(sides[0]), float(sides[1])) if sides and stated["lens_mm"] else None
