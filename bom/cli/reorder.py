"""`bom reorder`: what to order, where, today, as a spreadsheet that recalculates."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Db, Json, glance, say, show
from bom.cli.waiting import waiting_for_plan


def reorder(
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Write reorder.xlsx here.")] = None,
    levels: Annotated[bool, typer.Option("--levels", help="Only show every part's level and its reasons.")] = False,
    service: Annotated[
        float, typer.Option("--service", min=50, max=99.99, help="Percent of lead times without running out.")
    ] = 95.0,
    review: Annotated[float, typer.Option("--review-days", min=0, help="Days until somebody looks again.")] = 7.0,
    cover: Annotated[float, typer.Option("--cover-days", min=1, help="Days that an order is to last.")] = 60.0,
    order_cost: Annotated[
        float | None,
        typer.Option("--order-cost", min=0, help="What an order line costs you: lots by cost instead of by days."),
    ] = None,
    holding: Annotated[float, typer.Option("--holding-pct", min=1, help="What a year on the shelf costs.")] = 25.0,
    stand_ins: Annotated[
        bool, typer.Option("--stand-ins/--no-stand-ins", help="Whether what drop-ins have to spare counts.")
    ] = True,
    most: Annotated[int | None, typer.Option("--most", min=1, help="At most this many suppliers.")] = None,
    seconds: Annotated[float, typer.Option("--seconds", min=0.1, help="Stop looking after this long.")] = 60.0,
    db: Db = None,
    json: Json = False,
) -> None:
    """Everything below its reorder point, planned over the suppliers at the lowest landed cost.

    A level set by bom stock level holds; any other is worked out from what was used: Poisson for slow parts, normal for
    fast ones, Croston (SBA, TSB) for those used now and then. What is on order and planned for kits is counted.

    Example: bom reorder --out reorder.xlsx

    When it is sent: bom stock order --file reorder.xlsx
    """
    from bom.jobs.buying.reordering import Wish, level_rows, plan_reorder, write_reorder_book
    from bom.paper.terminal.reorder_tables import levels_table, reorder_table

    if out is not None and out.suffix.casefold() != ".xlsx":
        raise typer.BadParameter(f"{out}: expected a name that ends in .xlsx")
    wish = Wish(service / 100, review, cover, order_cost, holding)
    if levels:
        with glance(db) as session:
            rows = level_rows(session, wish)
        show(rows, json, levels_table)
        return
    with waiting_for_plan() as watcher, glance(db) as session:
        answer, book = plan_reorder(session, most, seconds, wish, stand_ins, watcher)
        if out is not None:
            write_reorder_book(out, book)
    if out is not None:
        say(f"written: {out}")
    show(answer, json, reorder_table)
    raise typer.Exit(1 if answer.status == "infeasible" else 0)
