"""`bom quote`: ask suppliers by spreadsheet, take their answers back, plan the cheapest order."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Db, Json, say, show, working

app = typer.Typer(help="Quotes and the cheapest plan.", no_args_is_help=True)


@app.command()
def ask(
    out: Annotated[Path, typer.Option("--out", metavar="FOLDER", help="One spreadsheet a supplier goes here.")],
    part: Annotated[list[str] | None, typer.Option("--part", metavar="PART=QTY", help="May be repeated.")] = None,
    db: Db = None,
) -> None:
    """Write a spreadsheet per supplier to send out; by default for everything that is due.

    Example: bom quote ask --part K2R-12S=20 --out quotes
    """
    from bom.jobs.bench import bench
    from bom.jobs.quotes import ask_quotes

    with bench(db) as session:
        for path in ask_quotes(session, part or [], out):
            say(f"written: {path}")


@app.command()
def take(
    file: Annotated[Path, typer.Argument(help="A spreadsheet that came back filled in.")],
    supplier: Annotated[str, typer.Option("--supplier", help="Who sent it.")],
    until: Annotated[str, typer.Option("--until", metavar="DATE", help="Valid until, as in 2026-12-31.")],
    db: Db = None,
    json: Json = False,
) -> None:
    """Read a quote back; every problem is reported, and all of it is taken or nothing.

    Example: bom quote take osmere.xlsx --supplier "Osmere Components" --until 2026-12-31
    """
    from bom.jobs.bench import bench
    from bom.jobs.quotes import take_quote
    from bom.paper.answers import facts_table

    with bench(db) as session:
        answer = take_quote(session, file, supplier, until)
    show(answer, json, facts_table)


@app.command()
def plan(
    problem: Annotated[Path | None, typer.Option("--problem", metavar="JSON", help="A stand-alone problem.")] = None,
    part: Annotated[list[str] | None, typer.Option("--part", metavar="PART=QTY", help="May be repeated.")] = None,
    most: Annotated[int | None, typer.Option("--most", min=1, help="At most this many suppliers.")] = None,
    seconds: Annotated[float, typer.Option("--seconds", min=0.1, help="Stop looking after this long.")] = 60.0,
    db: Db = None,
    json: Json = False,
) -> None:
    """The cheapest order over all suppliers, with what it proves. Exit status 1 where no order can serve.

    Example: bom quote plan --part K2R-12S=20
    """
    from bom.jobs.planning import plan_file, plan_parts
    from bom.paper.answers import plan_table

    if problem is not None:
        answer = plan_file(problem, seconds)
    else:
        from bom.jobs.bench import bench

        with working("planning"), bench(db) as session:
            answer = plan_parts(session, part or [], most, seconds)
    show(answer, json, plan_table)
    raise typer.Exit(1 if answer["status"] == "infeasible" else 0)
