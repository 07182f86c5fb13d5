"""`bom catalog`: take a folder of CSV into the database, check one, write the database out as one."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.cross_reference import xref
from bom.cli.explain import pointer
from bom.cli.options import (
    Db,
    Json,
    LeaveOut,
    Plain,
    Replace,
    bench,
    glance,
    glance_if_there,
    measured,
    say,
    say_replaced,
    show,
    taking,
)

app = typer.Typer(
    cls=Plain, help="Catalogue folders: relays, footprints, wirings, ratings, supplies.", no_args_is_help=True
)
Insist = Annotated[
    list[str] | None,
    typer.Option("--insist", metavar="PART", help="Its data sheet does say so: take it; again for another."),
]
Folder = Annotated[Path, typer.Argument(help="A folder with relays.csv and its sister files.")]


@app.command()
def add(
    folder: Folder,
    leave_out: LeaveOut = None,
    insist: Insist = None,
    replace: Replace = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """Take a catalogue folder: everything or nothing; again with the same files changes nothing.

    Relays may name footprints and wirings that are there already. What
    would change a drawing, a rating, a supply or a relay that others use
    is shown with whom it concerns, and needs --replace.

    Example: bom catalog add catalogs/demo
    """
    from bom.jobs.catalogue import add_catalogue
    from bom.paper.terminal.catalogue import taken_table
    from bom.values.difference import Replacing

    replacing = Replacing(replace)
    with taking(json), measured("taking the catalogue") as told, bench(db) as session:
        answer = add_catalogue(session, folder, told, leave_out or (), insist or (), replacing)
    say_replaced(replacing)
    for note in answer.notes:
        say(f"note: {note}")
    show(answer, json, taken_table)


@app.command()
def check(folder: Folder, leave_out: LeaveOut = None, insist: Insist = None, db: Db = None, json: Json = False) -> None:
    """Read a catalogue folder and report every problem; nothing is taken. Exit status 1 where there are problems.

    Relays may name footprints and wirings that the database has already.

    Example: bom catalog check catalogs/demo
    """
    from bom.jobs.catalogue import check_catalogue
    from bom.paper.terminal.catalogue import problems_table

    with glance_if_there(db) as session:
        answer = check_catalogue(folder, leave_out or (), insist or (), session)
    show(answer, json, problems_table)
    if where := pointer(answer.problems):
        say(where)
    raise typer.Exit(1 if answer.problems else 0)


@app.command()
def export(folder: Folder, db: Db = None) -> None:
    """Write the catalogue out as the same CSV files.

    Example: bom catalog export my-catalogue
    """
    from bom.jobs.catalogue import export_catalogue

    with glance(db) as session:
        count = export_catalogue(session, folder)
    say(f"{count} relays written to {folder}")


app.command("xref")(xref)
