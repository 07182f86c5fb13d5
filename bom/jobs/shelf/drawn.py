"""A part's stock over time as a picture, with the level that holds for it and what is on order."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from bom.shop.amounts import stocked_named
from bom.stock.ledger import MoveKind
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.paper.pictures.stock_picture import StockStory
    from bom.store.unit_of_work import Session

ON_HAND = (MoveKind.IN, MoveKind.OUT, MoveKind.COUNT)


def draw_stock(session: Session, part: str, path: Path) -> None:
    """Write the picture of this part."""
    from bom.paper.pictures.stock_picture import stock_picture
    from bom.paper.whole_file import written_whole

    drawn = stock_picture(story_of(session, part))
    with written_whole(path) as draft:
        Path(draft).write_text(drawn, encoding="utf-8")


def story_of(session: Session, part: str) -> StockStory:
    """What there is to draw; refused for a part that was never in stock."""
    from bom.paper.pictures.stock_picture import StockStory, daily
    from bom.shop.amounts import unit_of
    from bom.shop.standing import standings
    from bom.store.on_order import on_order
    from bom.store.shelf import moves

    number = stocked_named(session, part)
    changes = [m for m in moves(session, number) if m.kind in ON_HAND]
    if not changes:
        raise Refused(f"{number} was never in stock")
    standing = next((s for s in standings(session) if s.part == number), None)
    point, up_to = standing.level if standing else (0, 0)
    return StockStory(
        part=number,
        unit=unit_of(session, number),
        today=date.today(),
        steps=daily((m.when.date(), float(m.quantity)) for m in changes),
        came=tuple(dict.fromkeys(m.when.date() for m in changes if m.kind is MoveKind.IN and m.counters is None)),
        point=float(point) or None,
        up_to=float(up_to) or None,
        level_by=standing.level_by if standing and up_to else "",
        per_day=standing.per_day if standing else 0.0,
        coming=tuple((o.due or date.today(), float(o.quantity)) for o in on_order(session, number)),
    )
