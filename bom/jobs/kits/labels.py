"""Labels for a kit's bags and boxes and for the shelf's drawers, on A4 sheets or one to a page of any size."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bom.jobs.kits.papers import Wrapped, items_in, made_on, opened, wrapped
from bom.paper.pages.labels import (
    BAG,
    BOX,
    DRAWER,
    Grid,
    Packed,
    Size,
    bag_label,
    box_label,
    drawer_label,
    label_drawing,
    label_pages,
    label_sheets,
)
from bom.shop.care import as_picked_now, fitted, provisos_of
from bom.shop.shop import Shop
from bom.shop.sourcing import Sourcing
from bom.store.running_figures import lots_there, parts_ever_there
from bom.store.shelf import drawers_in_use, lying
from bom.values.part_number import same
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.paper.pages.labels import Label
    from bom.store.shelf import Lying
    from bom.store.unit_of_work import Session


@dataclass(frozen=True, slots=True)
class LabelPaper:
    """What labels are printed on, as typed: ``size`` in mm, one to a page; or ``sheet``, a grid on A4 with ``edge`` mm
    left white, of which ``skip`` labels are used already. Nothing typed = the usual grid."""

    size: str = ""
    sheet: str = ""
    edge: float | None = None
    skip: int = 0


@dataclass(frozen=True, slots=True)
class LabelAsked:
    """Which labels: *bag* (one for each bag of the lot unless ``copies`` says otherwise) or *box*."""

    name: str
    lot: str = ""
    kind: str = "bag"
    copies: int | None = None
    paper: LabelPaper = LabelPaper()


def kit_label(session: Session, asked: LabelAsked, *, pages: bool) -> str:
    """A kit's label as SVG, or as a page with every copy."""
    shop = Shop(session)
    if asked.kind not in ("bag", "box"):
        raise Refused(f"expected a label for a bag or a box, found {asked.kind!r}")
    found = wrapped(shop, asked.name, asked.lot)
    count = found.made.count if found.made else 1
    size, laid_out = _laid_out(asked.paper, BAG if asked.kind == "bag" else BOX)
    label = _kit_label(shop, found, asked.kind, count, size)
    copies = asked.copies or (count if asked.kind == "bag" else 1)
    return laid_out([label] * copies) if pages else label_drawing(label)


def _laid_out(paper: LabelPaper, usual: Grid) -> tuple[Size, Callable[[Sequence[Label]], str]]:
    """The size of each label, and how several make a page."""
    if paper.size and (paper.sheet or paper.skip or paper.edge is not None):
        raise Refused("expected a size, one label to a page, or a sheet of A4, found both")
    if paper.size:
        return _size(paper.size), label_pages
    grid = _grid(paper, usual)
    full = grid.across * grid.down
    if not 0 <= paper.skip < full:
        raise Refused(f"expected to skip fewer than the {full} labels of a sheet, found {paper.skip}")
    return grid.cell, lambda labels: label_sheets(labels, grid, paper.skip)


def _grid(paper: LabelPaper, usual: Grid) -> Grid:
    edge = usual.edge if paper.edge is None else paper.edge
    if not 0 <= edge <= MOST_EDGE:
        raise Refused(f"expected an edge from 0 to {MOST_EDGE:g} mm, found {edge:g}")
    if not paper.sheet:
        return Grid(usual.across, usual.down, edge)
    expected = "a sheet as whole labels across and down, such as 3x8"
    across, down = _two(paper.sheet, expected)
    if int(across) != across or int(down) != down or not (across and down):
        raise Refused(f"expected {expected}, found {paper.sheet!r}")
    return Grid(int(across), int(down), edge)


MOST_EDGE = 40.0
"""A wider white edge, in mm, leaves no sheet worth the name. Own choice."""


def _size(text: str) -> Size:
    width, height = _two(text, "a size as width and height in mm, such as 60x40")
    if not (10 <= width <= 300 and 10 <= height <= 300):
        raise Refused(f"expected a label from 10 to 300 mm wide and high, found {text!r}")
    return Size(width, height)


def _two(text: str, expected: str) -> tuple[float, float]:
    """Both numbers of WIDTHxHEIGHT."""
    found = re.fullmatch(r"\s*(\d{1,4}(?:\.\d{1,3})?)\s*[x×]\s*(\d{1,4}(?:\.\d{1,3})?)\s*(?:mm)?\s*", text, re.I | re.A)
    if found is None:
        raise Refused(f"expected {expected}, found {text!r}")
    return float(found[1]), float(found[2])


def _kit_label(shop: Shop, found: Wrapped, kind: str, count: int, size: Size) -> Label:
    sourcing = Sourcing(shop)
    contents = tuple(opened(shop, found.made)) if found.made else ()
    use_by = found.lot.expires if found.lot else None
    packed = Packed(found.kit.name, found.kit.board, found.kit.repair, found.number, made_on(found), use_by)
    asked = provisos_of(fitted(sourcing, found.kit, contents or as_picked_now(found.kit, sourcing)))
    aside = "Read the sheet first: conditions and cautions" if asked else "Read the sheet first: cautions"
    if kind == "bag":
        return bag_label(packed, size, aside)
    listed = items_in(sourcing, contents)
    whole = [f"{i.quantity.normalize():f}×{i.part_number}" for i in listed if i.unit == "piece"]
    return box_label(packed, count, whole, size, aside)


def drawer_labels(session: Session, wanted: Sequence[str], paper: LabelPaper = LabelPaper()) -> tuple[str, int]:
    """(a page of labels, how many): one for every part in each drawer named, or for the drawers of each part named;
    nothing named = all."""
    shop = Shop(session)
    sourcing = Sourcing(shop)
    size, laid_out = _laid_out(paper, DRAWER)
    found = sorted(_in_drawers(shop, wanted))
    if not found:
        raise Refused("nothing lies in a drawer yet: bom stock in PART QUANTITY --drawer A1")
    shop.look_up(part for _, part in found)
    labels = [drawer_label(d, part, sourcing.describe(part), sourcing.unit(part), size) for d, part in found]
    return laid_out(labels), len(labels)


def _in_drawers(shop: Shop, wanted: Sequence[str]) -> set[tuple[str, str]]:
    """Each (drawer, part) that is meant; refused for a word that means none."""
    if not wanted:
        return {(one.drawer, one.part_number) for one in lots_there(shop.session) if one.drawer}
    found = set[tuple[str, str]]()
    for word in wanted:
        meant = _lying(shop, word)
        if not meant:
            raise Refused(f"{word} is no drawer with stock, and no part that lies in one")
        found |= {(one.drawer, one.lot.part_number) for one in meant}
    return found


def _lying(shop: Shop, word: str) -> list[Lying]:
    """What lies in the drawer, or of the part, with its maker or without, that a word typed is."""
    drawers = [d for d in drawers_in_use(shop.session) if d.casefold() == word.casefold()]
    parts = {shop.names.name(number, maker) for number, maker in shop.called(word)}
    parts |= {part for part in parts_ever_there(shop.session) if same(word, part)}
    inside = lying(shop.session, drawers=drawers) if drawers else ()
    return [one for one in (*inside, *lying(shop.session, parts)) if one.drawer]
