"""`bom stock`: goods in, out and counted; held, promised and undone; what is there; where a lot came from and went."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli import stock_shown
from bom.cli.options import Db, HeadingRow, LeaveOut, Plain, ReadBy, SheetName, a_part, bench, how_asked, say

app = typer.Typer(cls=Plain, help="The shelf: lots and moves; nothing is ever overwritten.", no_args_is_help=True)
COMES, APART, THERE = "What comes and goes", "What is set apart", "What is there"
ORDERING = "When to order, and what is on its way"
Part = Annotated[str, typer.Argument(autocompletion=a_part, help="A part number.")]
Lot = Annotated[str, typer.Argument(help="A lot's number.")]
Quantity = Annotated[str, typer.Argument(help="How many, as in 20 or '250 g'.")]
Some = Annotated[str, typer.Argument(help="How many of it; nothing = all.")]
Why = Annotated[str, typer.Option("--why", help="Said in the ledger.")]
Job = Annotated[str, typer.Option("--for", help="Which job it is for.")]
Again = Annotated[bool, typer.Option("--again", help="Book a file once more that was booked before.")]
At = Annotated[str, typer.Option("--at", help="How warm the sample was when it was measured.")]


@app.command("in", rich_help_panel=COMES)
def in_(
    part: Annotated[
        str, typer.Argument(autocompletion=a_part, help="A part number; nothing where a label or a file says it.")
    ] = "",
    quantity: Annotated[str, typer.Argument(help="How many, as in 20 or '250 g'.")] = "",
    cost: Annotated[
        str, typer.Option("--cost", metavar="'2.10 GBP'", help="What one cost; also '92 GBP/kg' or '46 GBP in all'.")
    ] = "",
    lot: Annotated[str, typer.Option("--lot", help="Our number for the lot; made up where not given.")] = "",
    drawer: Annotated[str, typer.Option("--drawer", help="Where it is kept.")] = "",
    supplier: Annotated[str, typer.Option("--supplier", help="Who sent it; settles what is on order there.")] = "",
    date_code: Annotated[str, typer.Option("--date-code", help="As printed on the part.")] = "",
    maker_lot: Annotated[str, typer.Option("--maker-lot", help="The maker's lot or trace code.")] = "",
    expires: Annotated[str, typer.Option("--expires", metavar="2027-12-31", help="Its last day.")] = "",
    order: Annotated[str, typer.Option("--order", help="The order it came on, where not the oldest open one.")] = "",
    ohms: Annotated[
        str, typer.Option("--ohms", metavar="'238 241'", help="A sample's coil readings; outside the limits: held.")
    ] = "",
    at: At = "20 °C",
    label: Annotated[
        str, typer.Option("--label", metavar="FILE", help="A scanned bag label (MH10.8.2); - reads the scanner.")
    ] = "",
    file: Annotated[Path | None, typer.Option("--file", help="Many lots at once, from a spreadsheet or CSV.")] = None,
    leave_out: LeaveOut = None,
    reading: ReadBy = None,
    sheet: SheetName = "",
    heading_row: HeadingRow = 0,
    again: Again = False,
    hold: Annotated[bool, typer.Option("--hold", help="Quarantine it: it is on hand and never picked.")] = False,
    db: Db = None,
) -> None:
    """Goods in: a new lot, typed or scanned, or every lot of a file.

    Example: bom stock in TW2-12S 20 --cost "2.10 GBP" --drawer B3 --supplier Osmere --ohms "238 241 239" --at "22 °C"

    A file has the columns part_number and quantity, and may have maker, drawer, lot, date_code, supplier, unit_cost,
    currency, date, maker_lot, expires. Example: bom stock in --file stock.csv
    """
    from bom.jobs.shelf.files import goods_in_file
    from bom.jobs.shelf.goods_in import GoodsIn, goods_in

    asked = GoodsIn(
        part, quantity, cost, lot, drawer, supplier, date_code, hold, maker_lot, expires, ohms, at,
        _scanned(label) if label else "", order,
    )  # fmt: skip
    how = how_asked(reading, sheet, heading_row)
    with bench(db) as session:
        _said(goods_in(session, asked) if file is None else goods_in_file(session, file, leave_out or (), again, how))


def _scanned(label: str) -> str:
    if label == "-":
        return typer.get_text_stream("stdin").read()
    return Path(label).read_text(encoding="utf-8")


def _said(lines: list[str]) -> None:
    for line in lines:
        say(line)


@app.command(rich_help_panel=COMES)
def out(
    part: Annotated[str, typer.Argument(autocompletion=a_part, help="A part number, or a kit's name.")] = "",
    quantity: Annotated[str, typer.Argument(help="How many, as in 20 or '250 g'.")] = "",
    reason: Annotated[str, typer.Option("--for", help="Which job it went to.")] = "",
    customer: Annotated[str, typer.Option("--customer", help="Whom it went to.")] = "",
    lot: Annotated[str, typer.Option("--lot", help="From this lot; by default the first to expire, then oldest.")] = "",
    file: Annotated[Path | None, typer.Option("--file", help="What was used when, from a spreadsheet or CSV.")] = None,
    again: Again = False,
    leave_out: LeaveOut = None,
    reading: ReadBy = None,
    sheet: SheetName = "",
    heading_row: HeadingRow = 0,
    db: Db = None,
) -> None:
    """Take pieces out, the lot that goes first first; what was reserved for the job is used up with them.

    Example: bom stock out TW2-12S 1 --for "job 481" --customer "Grove Farm"

    A file has the columns date, part_number, quantity, and may have reason. Example: bom stock out --file usage.csv
    """
    from bom.jobs.shelf.day import goods_out
    from bom.jobs.shelf.files import goods_out_file

    if file is None and not (part and quantity and reason):
        raise typer.BadParameter("expected PART, QUANTITY and --for JOB, or --file FILE")
    with bench(db) as session:
        _said(
            goods_out(session, part, quantity, reason, lot, customer)
            if file is None
            else goods_out_file(session, file, leave_out or (), again, how_asked(reading, sheet, heading_row))
        )


@app.command(rich_help_panel=COMES)
def count(
    lot: Annotated[str, typer.Argument(help="A lot's number; nothing with --file.")] = "",
    quantity: Annotated[str, typer.Argument(help="What is really there.")] = "",
    reason: Annotated[str, typer.Option("--why", help="Why it differs.")] = "counted",
    weighs: Annotated[str, typer.Option("--weighs", metavar="'254.3 g'", help="What all of it weighs.")] = "",
    sample: Annotated[
        str, typer.Option("--sample", metavar="'10=103 g'", help="So many counted pieces weigh this.")
    ] = "",
    tare: Annotated[str, typer.Option("--tare", help="What its box, bag or reel weighs.")] = "0 g",
    step: Annotated[str, typer.Option("--step", help="The scale's smallest step.")] = "0.1 g",
    file: Annotated[Path | None, typer.Option("--file", help="Many counts at once, from a spreadsheet or CSV.")] = None,
    again: Again = False,
    leave_out: LeaveOut = None,
    reading: ReadBy = None,
    sheet: SheetName = "",
    heading_row: HeadingRow = 0,
    db: Db = None,
) -> None:
    """Enter what a count found, by the piece or by weight; the difference is one more entry.

    Example: bom stock count L0007 18 --why "two lost"

    By weight: bom stock count L0007 --weighs "254.3 g" --tare "48.3 g" --sample "10=103 g"

    A file has the column quantity beside lot, or beside part_number and where it lies in several lots, drawer.
    Example: bom stock count --file count.xlsx
    """
    from bom.jobs.shelf.counting import counts_file
    from bom.jobs.shelf.day import count_by_weight, enter_count

    if file is not None:
        with bench(db) as session:
            _said(counts_file(session, file, leave_out or (), again, how_asked(reading, sheet, heading_row)))
        return
    if not lot:
        raise typer.BadParameter("expected LOT with how many are there, or --file FILE")
    if bool(quantity) == bool(weighs):
        raise typer.BadParameter("expected either how many are there or what they weigh (--weighs)")
    with bench(db) as session:
        say(
            count_by_weight(session, lot, weighs, sample, tare, step)
            if weighs
            else enter_count(session, lot, quantity, reason)
        )


@app.command(rich_help_panel=COMES)
def move(lot: Lot, drawer: Annotated[str, typer.Argument(help="Where it lies now.")], db: Db = None) -> None:
    """Put a lot into another drawer.

    Example: bom stock move L0007 B4
    """
    from bom.jobs.shelf.day import put_elsewhere

    with bench(db) as session:
        say(put_elsewhere(session, lot, drawer))


@app.command(rich_help_panel=APART)
def hold(lot: Lot, quantity: Some = "", reason: Why = "held", db: Db = None) -> None:
    """Quarantine a lot, or some of it: it stays on hand and is never picked.

    Example: bom stock hold L0007 --why "two failed on the bench"
    """
    from bom.jobs.shelf.day import hold_lot

    with bench(db) as session:
        say(hold_lot(session, lot, quantity, reason))


@app.command(rich_help_panel=APART)
def release(lot: Lot, quantity: Some = "", reason: Why = "inspected", db: Db = None) -> None:
    """Let a held lot go, or some of it.

    Example: bom stock release L0007 --why "all measured"
    """
    from bom.jobs.shelf.day import release_lot

    with bench(db) as session:
        say(release_lot(session, lot, quantity, reason))


@app.command(rich_help_panel=APART)
def inspect(
    lot: Lot,
    ohms: Annotated[str, typer.Option("--ohms", metavar="'238 241'", help="A sample's coil readings.")],
    at: At = "20 °C",
    db: Db = None,
) -> None:
    """Measure a sample of a lot: readings outside the data sheet's limits hold it.

    Example: bom stock inspect L0007 --ohms "238 241 239" --at "22 °C"
    """
    from bom.jobs.shelf.goods_in import inspect_lot

    with bench(db) as session:
        _said(inspect_lot(session, lot, ohms, at))


@app.command(rich_help_panel=APART)
def reserve(
    part: Part,
    quantity: Quantity,
    job: Job,
    lot: Annotated[str, typer.Option("--lot", help="Of this lot; by default of any.")] = "",
    db: Db = None,
) -> None:
    """Promise pieces to a job: nobody else gets them. Taking them out for the job uses the promise up.

    Example: bom stock reserve TW2-12S 2 --for "job 481"
    """
    from bom.jobs.shelf.day import reserve as promise

    with bench(db) as session:
        say(promise(session, part, quantity, job, lot))


@app.command(rich_help_panel=APART)
def unreserve(part: Part, job: Job, quantity: Some = "", db: Db = None) -> None:
    """Let go what was promised to a job.

    Example: bom stock unreserve TW2-12S --for "job 481"
    """
    from bom.jobs.shelf.day import unreserve as let_go

    with bench(db) as session:
        say(let_go(session, part, quantity, job))


@app.command(rich_help_panel=COMES)
def undo(
    entry: Annotated[int | None, typer.Argument(help="The entry's number, as bom stock trace shows it.")] = None,
    file: Annotated[
        str, typer.Option("--file", metavar="NAME", help="All that a file booked: its name, or its mark.")
    ] = "",
    reason: Why = "",
    db: Db = None,
) -> None:
    """Undo one entry, or all that one file booked, by counter-entries; both stay in the ledger.

    Example: bom stock undo 214 --why "typed twice"

    A whole file: bom stock undo --file stock.csv
    """
    from bom.jobs.shelf.day import undo as counter
    from bom.jobs.shelf.files import undo_file

    if (entry is None) == (not file):
        raise typer.BadParameter("expected an entry's number, or --file NAME")
    with bench(db) as session:
        _said([counter(session, entry, reason)] if entry is not None else undo_file(session, file, reason))


app.command("show", rich_help_panel=THERE)(stock_shown.show_)
app.command("trace", rich_help_panel=THERE)(stock_shown.trace)
app.command("worth", rich_help_panel=THERE)(stock_shown.worth)
app.command("journal", rich_help_panel=THERE)(stock_shown.journal)
app.command("idle", rich_help_panel=THERE)(stock_shown.idle)
app.command("level", rich_help_panel=ORDERING)(stock_shown.level)
app.command("usage", rich_help_panel=ORDERING)(stock_shown.usage)
app.command("order", rich_help_panel=ORDERING)(stock_shown.order)
app.command("ordered", rich_help_panel=ORDERING)(stock_shown.ordered)
app.command("prices", rich_help_panel=ORDERING)(stock_shown.prices)
app.command("late", rich_help_panel=ORDERING)(stock_shown.late)
app.command("order-sheet", rich_help_panel=ORDERING)(stock_shown.order_sheet)
app.command("call-off", rich_help_panel=ORDERING)(stock_shown.call_off)
app.command("label", rich_help_panel=THERE)(stock_shown.label)
