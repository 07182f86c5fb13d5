"""A part's stock over time as a picture, with the level that holds for it and what is on order."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from bom.paper.pictures.stock_picture import StockStory, daily, stock_picture
from bom.paper.writing import written_whole
from bom.shop.names import stocked_named
from bom.shop.shop import Shop
from bom.shop.standing import standings
from bom.stock.ledger import (
    MoveKind,
)
from bom.store.on_order import on_order
from bom.store.shelf import moves
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


ON_HAND = (MoveKind.IN, MoveKind.OUT, MoveKind.COUNT)


def draw_stock(session: Session, part: str, path: Path) -> None:
    """Write the picture of this part."""
    shop = Shop(session)
    drawn = stock_picture(story_of(shop, part))
    with written_whole(path) as draft:
        Path(draft).write_text(drawn, encoding="utf-8")


def story_of(shop: Shop, part: str) -> StockStory:
    """What there is to draw; refused for a part that was never in stock."""
    number = stocked_named(shop, part)
    changes = [m for m in moves(shop.session, number) if m.kind in ON_HAND]
    if not changes:
        raise Refused(f"{number} was never in stock")
    standing = next((s for s in standings(shop) if s.part == number), None)
    point, up_to = standing.level if standing else (0, 0)
    return StockStory(
        part=number,
        unit=shop.unit(number),
        today=date.today(),
        steps=daily((m.when.date(), float(m.quantity)) for m in changes),
        came=tuple(dict.fromkeys(m.when.date() for m in changes if m.kind is MoveKind.IN and m.counters is None)),
        point=float(point) or None,
        up_to=float(up_to) or None,
        level_by=standing.level_by if standing and up_to else "",
        per_day=standing.per_day if standing else 0.0,
        coming=tuple((o.due or date.today(), float(o.quantity)) for o in on_order(shop.session, number)),
    )
