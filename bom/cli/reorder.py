"""`bom reorder`: what to order, where, today, as a spreadsheet that recalculates."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Db, Json, say, show, working


def reorder(
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Write reorder.xlsx here.")] = None,
    most: Annotated[int | None, typer.Option("--most", min=1, help="At most this many suppliers.")] = None,
    seconds: Annotated[float, typer.Option("--seconds", min=0.1, help="Stop looking after this long.")] = 60.0,
    db: Db = None,
    json: Json = False,
) -> None:
    """Everything below its reorder point, planned over the suppliers at the lowest landed cost.

    Example: bom reorder --out reorder.xlsx
    """
    from bom.jobs.bench import bench
    from bom.jobs.reordering import plan_reorder, write_reorder_book
    from bom.paper.answers import plan_table

    with working("planning"), bench(db) as session:
        answer, book = plan_reorder(session, most, seconds)
        if out is not None:
            write_reorder_book(out, book)
    if out is not None:
        say(f"written: {out}")
    show(answer, json, plan_table)
