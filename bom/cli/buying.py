"""`bom quote` and `bom reorder`: ask suppliers by spreadsheet, take their answers back, plan the cheapest order, and
what is to be ordered today; a person waiting sees the plan get better until Ctrl-C."""

from __future__ import annotations

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bom.cli.options import Db, Json, LeaveOut, Plain, WriteOver, a_new_file, a_part, bench, glance, say, show
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.answers.buying import ShopPlan
    from bom.jobs.buying.planning import Watcher


app = typer.Typer(cls=Plain, help="Quotes and the cheapest plan.", no_args_is_help=True)


@app.command()
def ask(
    out: Annotated[Path, typer.Option("--out", metavar="FOLDER", help="One spreadsheet a supplier goes here.")],
    part: Annotated[list[str] | None, typer.Option("--part", metavar="PART=QTY", help="May be repeated.")] = None,
    supplier: Annotated[
        list[str] | None, typer.Option("--supplier", metavar="NAME", help="Only this one; may be repeated.")
    ] = None,
    by: Annotated[str, typer.Option("--by", metavar="DATE", help="The day it is wanted, as in 2026-12-31.")] = "",
    db: Db = None,
) -> None:
    """Write a spreadsheet per supplier to send out, and the same as a mail's text; by default for all that is due.

    Your name, address and customer number stand in it as bom shop set and the
    supplier's file say them. Nothing is written over.

    Example: bom quote ask --part K2R-12S=20 --supplier Osmere --by 2026-12-31 --out quotes
    """
    from bom.jobs.buying.quotes import ask_quotes

    with glance(db) as session:
        files, caution = ask_quotes(session, part or [], out, by, supplier or ())
    for path in files:
        say(f"written: {path}, and as a mail's text {path.with_suffix('.txt').name}")
    if caution:
        say(caution)


@app.command("list")
def list_(
    supplier: Annotated[str, typer.Argument(help="Whose quotes; nothing = everybody's.")] = "",
    part: Annotated[
        list[str] | None, typer.Option("--part", autocompletion=a_part, help="Only for this part; may be repeated.")
    ] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """The quotes that are kept: what each asks, and until when it holds.

    Example: bom quote list Osmere

    To take one back: bom quote forget Osmere K2R-12S
    """
    from bom.jobs.buying.quotes import list_quotes
    from bom.paper.terminal.buying import quotes_table

    with glance(db) as session:
        answer = list_quotes(session, supplier, part or ())
    show(answer, json, quotes_table)


@app.command()
def forget(
    supplier: Annotated[str, typer.Argument(help="Whose quotes.")],
    parts: Annotated[
        list[str] | None, typer.Argument(metavar="[PART]...", autocompletion=a_part, help="Only for these parts.")
    ] = None,
    db: Db = None,
) -> None:
    """Take out quotes that were taken by mistake; refused while an order placed on one is still to come.

    Example: bom quote forget Osmere K2R-12S
    """
    from bom.jobs.buying.quotes import forget_quotes

    with bench(db) as session:
        for line in forget_quotes(session, supplier, parts or []):
            say(line)


@app.command()
def take(
    file: Annotated[Path, typer.Argument(help="A spreadsheet that came back filled in.")],
    supplier: Annotated[
        str, typer.Option("--supplier", metavar="NAME", help="Who sent it, where the sheet does not say.")
    ] = "",
    until: Annotated[
        str,
        typer.Option("--until", metavar="DATE", help="Valid until, as in 2026-12-31, if the sheet does not say."),
    ] = "",
    leave_out: LeaveOut = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """Read a quote back; every problem is reported, and all of it is taken or nothing.

    Numbers may be typed as text and with either decimal sign. Once its day is over a quote is shown and not ranked.

    Example: bom quote take osmere.xlsx --supplier Osmere --until 2026-12-31
    """
    from bom.jobs.buying.quotes import take_quote
    from bom.paper.terminal.buying import quote_table

    with bench(db) as session:
        answer = take_quote(session, file, supplier, until, leave_out or ())
    show(answer, json, quote_table)


@app.command()
def plan(
    problem: Annotated[Path | None, typer.Option("--problem", metavar="JSON", help="A stand-alone problem.")] = None,
    part: Annotated[list[str] | None, typer.Option("--part", metavar="PART=QTY", help="May be repeated.")] = None,
    kit: Annotated[
        list[str] | None, typer.Option("--kit", metavar="KIT=N", help="What lacks to make up so many; may be repeated.")
    ] = None,
    substitutes: Annotated[
        str,
        typer.Option("--substitutes", metavar="VERDICT", help="May serve in place of a part: drop-in or conditional."),
    ] = "none",
    by: Annotated[
        str, typer.Option("--by", metavar="DATE", help="Everything here by then, by stated lead times.")
    ] = "",
    most: Annotated[int | None, typer.Option("--most", min=1, help="At most this many suppliers.")] = None,
    avoid: Annotated[
        list[str] | None,
        typer.Option("--avoid", metavar="NAME[=SAVING]", help="Never order there, or only where it saves so much."),
    ] = None,
    prefer: Annotated[
        list[str] | None,
        typer.Option("--prefer", metavar="NAME=SAVING", help="Any other supplier must save so much to be chosen."),
    ] = None,
    surplus: Annotated[
        float, typer.Option("--surplus", metavar="PCT", help="What pieces left over are worth, of their lowest price.")
    ] = 0.0,
    gap: Annotated[float, typer.Option("--gap", metavar="PCT", min=0, help="Stop when proved as near the best.")] = 0.0,
    seconds: Annotated[float, typer.Option("--seconds", min=0.1, help="Stop looking after this long.")] = 60.0,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="FILE", help="Also write the plan as .xlsx here.")
    ] = None,
    write_over: WriteOver = False,
    picture: Annotated[
        Path | None, typer.Option("--picture", metavar="FILE", help="Also draw plan and habits as .svg here.")
    ] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """The cheapest order over all suppliers, with what it proves; exit status 1 where something cannot be had.

    While it looks, a terminal shows the best order's cost and how near the cheapest it is; Ctrl-C takes that order.

    Example: bom quote plan --part K2R-12S=20 --substitutes drop-in --by 2026-12-31 --out plan.xlsx
    """
    from bom.jobs.buying.planning import PlanAsked, plan_asked, plan_file
    from bom.paper.terminal.buying import plan_table

    a_new_file(out, write_over, ".xlsx")
    if problem is not None:
        if any((part, kit, by, most, avoid, prefer, surplus, substitutes != "none", out, picture)):
            raise Refused("a problem file holds all that is wished; only --gap, --seconds and --json go with --problem")
        with waiting_for_plan() as watcher:
            answer = plan_file(problem, seconds, gap, watcher)
        is_whole = answer.status != "infeasible"
    else:
        asked = PlanAsked(
            part or (), kit or (), most, by, avoid or (), prefer or (), surplus, substitutes, seconds, gap
        )
        with waiting_for_plan() as watcher, glance(db) as session:
            answer = planned = plan_asked(session, asked, watcher)
        _written(planned, out, picture)
        is_whole = planned.is_whole
    show(answer, json, plan_table)
    raise typer.Exit(0 if is_whole else 1)


def _written(answer: ShopPlan, out: Path | None, picture: Path | None) -> None:
    """The plan as a spreadsheet and as a picture, where they are wanted and there is one to show."""
    from bom.jobs.buying.planning import write_plan_book, write_plan_picture

    for path, write in ((out, write_plan_book), (picture, write_plan_picture)):
        if path is not None:
            write(path, answer)
            say(f"written: {path}")


def reorder(
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Write reorder.xlsx here.")] = None,
    write_over: WriteOver = False,
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
    from bom.paper.terminal.buying import levels_table, reorder_table

    a_new_file(out, write_over, ".xlsx")
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


@contextmanager
def waiting_for_plan() -> Iterator[Watcher | None]:
    """Who hears of the plan as it gets better, when a person is watching; None when nobody is.

    The first Ctrl-C takes the best order found so far, a second one ends the command.
    """
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    from bom.jobs.buying.planning import watcher

    columns = (SpinnerColumn(), TimeElapsedColumn(), TextColumn("{task.description}"))
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("planning; Ctrl-C takes the best order found so far", total=None)
        heard = watcher(lambda words: progress.update(task, description=f"best so far {words}; Ctrl-C takes it"))
        with _taken_at_ctrl_c(heard):
            yield heard


@contextmanager
def _taken_at_ctrl_c(heard: Watcher) -> Iterator[None]:
    def taken(*_: object) -> None:
        if heard.enough:
            raise KeyboardInterrupt
        heard.enough = True

    before = signal.signal(signal.SIGINT, taken)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
