"""`bom stock show`, `trace` and `worth`: what is there, where it came from and went, what it is worth."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Db, Json, a_part, glance, say, show


def show_(
    part: Annotated[str, typer.Argument(autocompletion=a_part, help="A part number; nothing = all.")] = "",
    svg: Annotated[
        Path | None, typer.Option("--svg", metavar="FILE", help="Draw the part's stock over time, with its level.")
    ] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """On hand, reserved, held, available and on order, with the average cost.

    Example: bom stock show

    As a picture: bom stock show K2R-12S --svg k2r-12s.svg
    """
    from bom.jobs.shelf.shown import draw_stock, show_stock
    from bom.paper.terminal.stock_tables import stock_table

    if svg is not None and not part:
        raise typer.BadParameter("expected the part to draw")
    with glance(db) as session:
        answer = show_stock(session, part)
        if svg is not None:
            draw_stock(session, part, svg)
            say(f"written: {svg}")
    show(answer, json, stock_table)


def trace(
    what: Annotated[str, typer.Argument(help="A lot or kit lot, a maker's lot code, a job, or a customer.")],
    db: Db = None,
    json: Json = False,
) -> None:
    """Where a lot came from and went: every entry, through kit lots to jobs and customers, and back to suppliers.

    Example: bom stock trace L0007

    The other way round: bom stock trace "job 481" or bom stock trace "Grove Farm"
    """
    from bom.jobs.shelf.shown import trace_lot
    from bom.paper.terminal.stock_tables import trace_table

    with glance(db) as session:
        answer = trace_lot(session, what)
    show(answer, json, trace_table)


def worth(
    part: Annotated[str, typer.Argument(autocompletion=a_part, help="A part number; nothing = all.")] = "",
    method: Annotated[str, typer.Option("--by", help="average (moving) or fifo (first in, first out).")] = "average",
    db: Db = None,
    json: Json = False,
) -> None:
    """What the stock is worth, and what went out cost; together they are what came in.

    Example: bom stock worth --by fifo
    """
    from bom.jobs.shelf.shown import worth as valued
    from bom.paper.terminal.stock_tables import worth_table

    with glance(db) as session:
        answer = valued(session, method, part)
    show(answer, json, worth_table)
