"""`bom stock`: goods in, out and counted; what is there; where a lot came from and went."""

from __future__ import annotations

from typing import Annotated

import typer

from bom.cli.options import Db, Json, say, show

app = typer.Typer(help="The shelf: lots and moves; nothing is ever overwritten.", no_args_is_help=True)
Part = Annotated[str, typer.Argument(help="A part number.")]
Quantity = Annotated[str, typer.Argument(help="How many, as in 20 or '250 g'.")]


@app.command("in")
def in_(
    part: Part,
    quantity: Quantity,
    cost: Annotated[str, typer.Option("--cost", metavar="'2.10 GBP'", help="What one cost, with its currency.")],
    lot: Annotated[str, typer.Option("--lot", help="The lot's own number; made up where not given.")] = "",
    drawer: Annotated[str, typer.Option("--drawer", help="Where it is kept.")] = "",
    supplier: Annotated[str, typer.Option("--supplier", help="Who sent it.")] = "",
    date_code: Annotated[str, typer.Option("--date-code", help="As printed on the part.")] = "",
    hold: Annotated[bool, typer.Option("--hold", help="Quarantine it: it is on hand and never picked.")] = False,
    db: Db = None,
) -> None:
    """Goods in: a new lot.

    Example: bom stock in TW2-12S 20 --cost "2.10 GBP" --drawer B3 --supplier "Osmere Components"
    """
    from bom.jobs.bench import bench
    from bom.jobs.shelf import goods_in

    with bench(db) as session:
        say(goods_in(session, part, quantity, cost, lot, drawer, supplier, date_code, hold))


@app.command()
def out(
    part: Part,
    quantity: Quantity,
    reason: Annotated[str, typer.Option("--for", help="Which job or customer it went to.")],
    lot: Annotated[str, typer.Option("--lot", help="From this lot; by default the oldest.")] = "",
    db: Db = None,
) -> None:
    """Take pieces out, oldest lot first.

    Example: bom stock out TW2-12S 1 --for "job 481"
    """
    from bom.jobs.bench import bench
    from bom.jobs.shelf import goods_out

    with bench(db) as session:
        for line in goods_out(session, part, quantity, reason, lot):
            say(line)


@app.command()
def count(
    lot: Annotated[str, typer.Argument(help="A lot's number.")],
    quantity: Annotated[str, typer.Argument(help="What is really there.")],
    reason: Annotated[str, typer.Option("--why", help="Why it differs.")] = "counted",
    db: Db = None,
) -> None:
    """Enter what a count found; the difference is one more move.

    Example: bom stock count L-0007 18 --why "two lost"
    """
    from bom.jobs.bench import bench
    from bom.jobs.shelf import enter_count

    with bench(db) as session:
        say(enter_count(session, lot, quantity, reason))


@app.command("show")
def show_(
    part: Annotated[str, typer.Argument(help="A part number; nothing = all.")] = "", db: Db = None, json: Json = False
) -> None:
    """On hand, reserved, held and available, with the average cost.

    Example: bom stock show
    """
    from bom.jobs.bench import bench
    from bom.jobs.shelf import show_stock
    from bom.paper.tables import stock_table

    with bench(db) as session:
        answer = show_stock(session, part)
    show(answer, json, stock_table)


@app.command()
def trace(lot: Annotated[str, typer.Argument(help="A lot's number.")], db: Db = None, json: Json = False) -> None:
    """Where a lot came from, and every move since.

    Example: bom stock trace L-0007
    """
    from bom.jobs.bench import bench
    from bom.jobs.shelf import trace_lot
    from bom.paper.answers import trace_table

    with bench(db) as session:
        answer = trace_lot(session, lot)
    show(answer, json, trace_table)
