"""`bom catalog` and `bom explain`: take a folder of CSV, check one, write one out, prove every pair; what a column
means."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from bom.cli.data_sheet import datasheet
from bom.cli.options import (
    Db,
    HeadingRow,
    Json,
    LeaveOut,
    Plain,
    ReadBy,
    Replace,
    SheetName,
    WriteOver,
    a_new_file,
    a_part,
    bench,
    glance,
    glance_if_there,
    how_asked,
    measured,
    say,
    say_replaced,
    show,
    taking,
)
from bom.values.problem import Refused

app = typer.Typer(
    cls=Plain, help="Catalogue folders and series sheets: relays, their pins and ratings.", no_args_is_help=True
)
Insist = Annotated[
    list[str] | None,
    typer.Option("--insist", metavar="PART", help="Its data sheet does say so: take it; again for another."),
]
Folder = Annotated[
    Path,
    typer.Argument(help="A folder with relays.csv and its sisters, one spreadsheet of relays, or a series sheet."),
]


@app.command()
def add(
    folder: Folder,
    leave_out: LeaveOut = None,
    insist: Insist = None,
    reading: ReadBy = None,
    sheet: SheetName = "",
    heading_row: HeadingRow = 0,
    replace: Replace = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """Take a catalogue folder or a series sheet: everything or nothing; the same again changes nothing.

    Relays may name footprints and wirings that are there already. What
    would change a drawing, a rating, a supply or a relay that others use
    is shown with whom it concerns, and needs --replace.

    A series sheet is one TOML file that states a series as its data sheet
    prints it: bom explain series.

    Example: bom catalog add catalogs/demo

    Example: bom catalog add catalogs/demo/bench/tw2.toml
    """
    from bom.jobs.catalogue import add_catalogue
    from bom.paper.terminal.catalogue import taken_table
    from bom.values.difference import Replacing

    replacing = Replacing(replace)
    with taking(json), measured("taking the catalogue") as told, bench(db) as session:
        asked = how_asked(reading, sheet, heading_row)
        answer = add_catalogue(session, folder, told, leave_out or (), insist or (), replacing, asked)
    say_replaced(replacing)
    for note in answer.notes:
        say(f"note: {note}")
    show(answer, json, taken_table)


@app.command()
def check(
    folder: Folder,
    leave_out: LeaveOut = None,
    insist: Insist = None,
    reading: ReadBy = None,
    sheet: SheetName = "",
    heading_row: HeadingRow = 0,
    db: Db = None,
    json: Json = False,
) -> None:
    """Read a catalogue folder or a series sheet and report every problem; exit status 1 where there are any.

    Nothing is taken. Relays may name footprints and wirings that the database has already.
    Of a series sheet the part numbers are shown that it makes, and what is known otherwise.

    Example: bom catalog check catalogs/demo

    Example: bom catalog check catalogs/demo/bench/tw2.toml
    """
    from bom.jobs.catalogue import check_catalogue
    from bom.jobs.explaining import pointer
    from bom.paper.terminal.catalogue import problems_table

    with glance_if_there(db) as session:
        asked = how_asked(reading, sheet, heading_row)
        answer = check_catalogue(folder, leave_out or (), insist or (), session, asked)
    show(answer, json, problems_table)
    if where := pointer(answer.problems):
        say(where)
    raise typer.Exit(1 if answer.problems else 0)


@app.command()
def reading(
    file: Annotated[Path, typer.Argument(help="A spreadsheet of your own: .xlsx, .xls, .ods, .csv, .tsv.")],
    of: Annotated[str, typer.Option("--of", metavar="LIST", help="What its rows are: relays, stock, usage, …")] = "",
    out: Annotated[Path | None, typer.Option("--out", metavar="TOML", help="Else beside the file.")] = None,
    sheet: SheetName = "",
    heading_row: HeadingRow = 0,
    json: Json = False,
) -> None:
    """Propose what the headings of your own spreadsheet mean, and write it down to be looked through.

    What is in doubt begins with ? in the file; it is read once you have
    taken the marks away, and remembered for the next sheet with these headings.

    Example: bom catalog reading catalogs/demo/bench/goods-in.csv --of stock --out goods-in.toml
    """
    from bom.jobs.readings import propose_reading
    from bom.paper.terminal.catalogue import reading_table

    show(propose_reading(file, of, sheet, heading_row, out), json, reading_table)


@app.command()
def readings(
    forget: Annotated[
        str, typer.Option("--forget", metavar="LIST", help="Forget those of this kind of list, such as stock.")
    ] = "",
    heading: Annotated[str, typer.Option("--heading", metavar="TEXT", help="Only those with this heading.")] = "",
    db: Db = None,
    json: Json = False,
) -> None:
    """What is remembered of your own spreadsheets' headings.

    Example: bom catalog readings
    """
    from bom.jobs.readings import forget_readings, list_readings
    from bom.paper.terminal.catalogue import readings_table

    if forget:
        with bench(db) as session:
            say(forget_readings(session, forget, heading))
        return
    with glance(db) as session:
        show(list_readings(session), json, readings_table)


@app.command()
def export(
    out: Annotated[Path, typer.Argument(metavar="FOLDER", help="A folder; of one series also a .toml file.")],
    series: Annotated[
        list[str] | None,
        typer.Option("--series", metavar="NAME", help="A series sheet of this series, or of each of a maker's."),
    ] = None,
    db: Db = None,
) -> None:
    """Write the catalogue out as the same CSV files, or some of its series as series sheets.

    Example: bom catalog export my-catalogue

    Example: bom catalog export tw2.toml --series TW2

    Example: bom catalog export my-catalogue --series Ostrel
    """
    from bom.jobs.catalogue import export_catalogue, export_series

    with glance(db) as session:
        if series:
            for written in export_series(session, series, out):
                say(f"written: {written}")
            return
        count = export_catalogue(session, out)
    say(f"{count} relays written to {out}")


def xref(
    part: Annotated[
        str, typer.Option("--part", metavar="PART", autocompletion=a_part, help="Only this part, both ways.")
    ] = "",
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="All of it, as .csv or .xlsx.")] = None,
    write_over: WriteOver = False,
    every: Annotated[bool, typer.Option("--all", help="Refused pairs too, each with its reason.")] = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """Which design may be replaced by which, each pair proved one way; and who has one source or none active left.

    Example: bom catalog xref --out xref.xlsx
    """
    from bom.jobs.replacing.cross_reference import catalogue_cross_reference, checked_ending, write_cross_reference
    from bom.paper.terminal.matches import cross_reference_table

    ending = checked_ending(out) if out else ""
    a_new_file(out, write_over)
    with _counting("proving every pair") as told, glance(db) as session:
        answer = catalogue_cross_reference(session, part=part, refused=every, told=told)
    if out:
        for written in write_cross_reference(out, ending, answer):
            say(f"written: {written}")
    show(answer, json, cross_reference_table)


@contextmanager
def _counting(what: str) -> Iterator[Callable[[int, int], None] | None]:
    """A bar that fills as designs are done, when a person is watching."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(what, total=None)
        yield lambda done, of: progress.update(task, completed=done, total=of)


def explain(
    topic: Annotated[str, typer.Argument(help="A file as in relays.csv, or a guide; nothing = list them.")] = "",
    column: Annotated[str, typer.Argument(help="One of its columns or keys.")] = "",
    json: Json = False,
) -> None:
    """What each column or key of a file means, and guides through a job; without a name all are listed.

    Example: bom explain your-own-shop

    Example: bom explain relays.csv

    Example: bom explain ratings.csv load
    """
    from bom.jobs.explaining import explain as explained
    from bom.jobs.explaining import explain_column, guide_called, topics
    from bom.paper.terminal.catalogue import topic_table, topics_table
    from bom.paper.terminal.guide import guide_text

    if not topic:
        show(topics(), json, topics_table)
        return
    if (guide := guide_called(topic)) is not None:
        if column:
            raise Refused(f"{guide.name} is a guide, which has no columns, found {column!r}")
        show(guide, json, guide_text)
        return
    found = explain_column(topic, column) if column else explained(topic)
    show(found, json, topic_table)


app.command("xref")(xref)
app.command("datasheet")(datasheet)
