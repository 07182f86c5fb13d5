"""`bom stock show`, `trace`, `worth`, `prices`, `journal`, `idle`, `level`, `usage`, `order`, `ordered`, `late`,
`order-sheet`, `call-off` and `label`: what is there, what it is worth, what came and went, when more is ordered, what
is to come."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import (
    Db,
    HeadingRow,
    Json,
    LabelEdge,
    LabelSheet,
    LabelSize,
    LabelSkip,
    LeaveOut,
    ReadBy,
    SheetName,
    a_part,
    bench,
    glance,
    how_asked,
    say,
    show,
)


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
    from bom.jobs.shelf.shown import show_stock
    from bom.paper.terminal.shelf import stock_table

    if svg is not None and not part:
        raise typer.BadParameter("expected the part to draw")
    with glance(db) as session:
        answer = show_stock(session, part)
        if svg is not None:
            from bom.jobs.shelf.stock_picture import draw_stock

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
    from bom.paper.terminal.shelf import trace_table

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
    from bom.paper.terminal.shelf import worth_table

    with glance(db) as session:
        answer = valued(session, method, part)
    show(answer, json, worth_table)


def journal(
    by: Annotated[str, typer.Option("--by", help="kind, part, supplier, kit or customer.")] = "kind",
    period: Annotated[str, typer.Option("--period", help="day, month, quarter, year, or all as one.")] = "month",
    first: Annotated[
        str | None,
        typer.Option("--from", metavar="2026-11", help="First day, month, quarter or year; else a year ago."),
    ] = None,
    last: Annotated[str | None, typer.Option("--to", metavar="2026-11", help="The last one; else today.")] = None,
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Write it as .csv or .xlsx.")] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """What was spent, made, used, sold, lost and found, each at what its lot cost. What was undone counts nowhere.

    Used went to jobs and into kits, sold to a customer; lost and found are what counts showed.

    Example: bom stock journal --from 2026-01

    By part, as a spreadsheet: bom stock journal --by part --period year --out journal.xlsx
    """
    from bom.jobs.shelf.journal import JournalAsked, checked_ending, show_journal, write_journal
    from bom.paper.terminal.shelf import journal_table

    if out is not None:
        checked_ending(out)
    with glance(db) as session:
        answer = show_journal(session, JournalAsked(period, by, first, last))
    if out is not None:
        write_journal(out, answer)
        if not json:
            say(f"written: {out}, {len(answer.rows)} rows")
            return
    show(answer, json, journal_table)


def idle(
    months: Annotated[int, typer.Option("--months", help="Not used for so many.")] = 12,
    db: Db = None,
    json: Json = False,
) -> None:
    """What lies there and was not used for a year, with what it is worth, the dearest first.

    Example: bom stock idle --months 6
    """
    from bom.jobs.shelf.journal import idle_stock
    from bom.paper.terminal.shelf import idle_table

    with glance(db) as session:
        answer = idle_stock(session, months)
    show(answer, json, idle_table)


def prices(
    part: Annotated[str, typer.Argument(autocompletion=a_part, help="A part number.")],
    quantity: Annotated[int, typer.Option("--quantity", help="Asked for so many, ordered alone.")] = 1,
    svg: Annotated[Path | None, typer.Option("--svg", metavar="FILE", help="Draw what was paid and is asked.")] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """What each supplier asks for a part today, landed, side by side, and what was paid for it lot by lot.

    Example: bom stock prices K2R-12S --quantity 20

    As a picture: bom stock prices K2R-12S --svg k2r-12s-prices.svg
    """
    from bom.jobs.shelf.part_prices import draw_prices, part_prices
    from bom.paper.terminal.shelf import prices_table

    with glance(db) as session:
        answer = part_prices(session, part, quantity)
    if svg is not None:
        draw_prices(answer, svg)
        if not json:
            say(f"written: {svg}")
    show(answer, json, prices_table)


def late(db: Db = None, json: Json = False) -> None:
    """How late each supplier was against the days that it promised, and what is late now.

    Example: bom stock late
    """
    from bom.jobs.shelf.journal import how_late
    from bom.paper.terminal.shelf import late_table

    with glance(db) as session:
        answer = how_late(session)
    show(answer, json, late_table)


File = Annotated[Path | None, typer.Option("--file", help="Many at once, from a file.")]


def level(
    part: Annotated[str, typer.Argument(autocompletion=a_part, help="A part number; nothing with --file.")] = "",
    point: Annotated[str, typer.Option("--point", help="Order at this many or fewer.")] = "",
    up_to: Annotated[str, typer.Option("--up-to", help="Order up to this many.")] = "",
    none: Annotated[bool, typer.Option("--none", help="Forget the level set by hand: it is worked out again.")] = False,
    file: File = None,
    leave_out: LeaveOut = None,
    reading: ReadBy = None,
    sheet: SheetName = "",
    heading_row: HeadingRow = 0,
    db: Db = None,
) -> None:
    """Set when a part is ordered and how much: at the point or below it, up to the level. Without, it is worked out.

    Example: bom stock level TW2-12S --point 6 --up-to 20

    A file has the columns part_number, reorder_point, order_up_to. Example: bom stock level --file levels.csv
    """
    from bom.jobs.shelf.day import forget_level, set_levels
    from bom.jobs.shelf.files import levels_file

    if file is None and not (part and (none or (point and up_to))):
        raise typer.BadParameter("expected PART with --point and --up-to or with --none, or --file FILE")
    with bench(db) as session:
        if file is not None:
            said = levels_file(session, file, leave_out or (), how_asked(reading, sheet, heading_row))
        else:
            said = [forget_level(session, part) if none else set_levels(session, part, point, up_to)]
    for line in said:
        say(line)


def usage(
    file: Annotated[Path, typer.Argument(help="A spreadsheet or CSV with the columns date, part_number, quantity.")],
    again: Annotated[bool, typer.Option("--again", help="Also where a file of another name says the same.")] = False,
    leave_out: LeaveOut = None,
    reading: ReadBy = None,
    sheet: SheetName = "",
    heading_row: HeadingRow = 0,
    db: Db = None,
) -> None:
    """Take what was used before this ledger began: levels are worked out from it, and nothing is booked out.

    The same file again takes the place of what it said before. What was used since is booked by bom stock out.

    Example: bom stock usage past-years.csv
    """
    from bom.jobs.shelf.files import past_usage_file

    how = how_asked(reading, sheet, heading_row)
    with bench(db) as session:
        for line in past_usage_file(session, file, leave_out or (), again, how):
            say(line)


def order(
    part: Annotated[str, typer.Argument(autocompletion=a_part, help="A part number; nothing with --file.")] = "",
    quantity: Annotated[str, typer.Argument(help="How many, as in 20 or '250 g'.")] = "",
    supplier: Annotated[str, typer.Option("--supplier", help="Whom it was ordered from.")] = "",
    due: Annotated[str, typer.Option("--due", metavar="2026-12-31", help="When it should come.")] = "",
    file: Annotated[
        Path | None, typer.Option("--file", help="A reorder.xlsx, as edited: all of it is ordered.")
    ] = None,
    again: Annotated[bool, typer.Option("--again", help="Order a book once more that was ordered before.")] = False,
    leave_out: LeaveOut = None,
    db: Db = None,
) -> None:
    """Enter what was ordered: it counts as on order until it comes in or is called off.

    Example: bom stock order --file reorder.xlsx

    By hand: bom stock order TW2-12S 20 --supplier Osmere --due 2026-12-31
    """
    from bom.jobs.shelf.ordering import order_part, take_reorder

    if file is None and not (part and quantity):
        raise typer.BadParameter("expected PART and QUANTITY with --supplier, or --file reorder.xlsx")
    with bench(db) as session:
        said = (
            order_part(session, part, quantity, supplier, due)
            if file is None
            else take_reorder(session, file, again, leave_out or ())
        )
    for line in said:
        say(line)


def ordered(
    part: Annotated[str, typer.Argument(autocompletion=a_part, help="A part number; nothing = all.")] = "",
    db: Db = None,
    json: Json = False,
) -> None:
    """What was ordered and has not come.

    Example: bom stock ordered
    """
    from bom.jobs.shelf.ordering import list_ordered
    from bom.paper.terminal.shelf import ordered_table

    with bench(db) as session:
        answer = list_ordered(session, part)
    show(answer, json, ordered_table)


def order_sheet(
    out: Annotated[Path, typer.Option("--out", metavar="FOLDER", help="A spreadsheet and a text an order go here.")],
    numbers: Annotated[
        list[str] | None, typer.Argument(metavar="[NUMBER]...", help="Orders; nothing = all that are to come.")
    ] = None,
    db: Db = None,
) -> None:
    """Write orders to send: for each a spreadsheet, and the same as a mail's text.

    What an order has still to bring, in its supplier's currency, with your
    name, address and terms (bom shop set) and those of the supplier's file.
    Nothing of other suppliers or of your stock is in it, and nothing is
    written over.

    Example: bom stock order-sheet O00003 --out orders
    """
    from bom.jobs.buying.order_papers import write_order_papers

    with glance(db) as session:
        files, notes = write_order_papers(session, numbers or (), out)
    for path in files:
        say(f"written: {path}")
    for note in notes:
        say(f"note: {note}")


def call_off(
    number: Annotated[str, typer.Argument(help="An order's number.")],
    part: Annotated[str, typer.Argument(autocompletion=a_part, help="Only this part of it.")] = "",
    db: Db = None,
) -> None:
    """What the order still has to bring will not come.

    Example: bom stock call-off O00003
    """
    from bom.jobs.shelf.ordering import call_off as off

    with bench(db) as session:
        for line in off(session, number, part):
            say(line)


def label(
    wanted: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[PART|DRAWER]...", autocompletion=a_part, help="Parts or drawers; nothing = every drawer."
        ),
    ] = None,
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="An HTML file.")] = Path("drawers.html"),
    size: LabelSize = "",
    sheet: LabelSheet = "",
    edge: LabelEdge = None,
    skip: LabelSkip = 0,
    db: Db = None,
) -> None:
    """Drawer labels on A4, or of any size, with the part as words and as a 2-D code that goods-in can read.

    Example: bom stock label A1 TW2-12S --out drawers.html
    """
    from bom.jobs.kits.labels import LabelPaper, drawer_labels
    from bom.paper.writing import write_text
    from bom.values.problem import Refused

    if out.suffix.casefold() != ".html":
        raise Refused(f"expected a file that ends in .html, found {out}")
    with glance(db) as session:
        page, count = drawer_labels(session, wanted or [], LabelPaper(size, sheet, edge, skip))
    write_text(out, page)
    say(f"written: {out}, {count} labels")
