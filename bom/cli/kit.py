"""`bom kit`: take a kit file, cost it, make it up, print its papers."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Db, Json, say, show

app = typer.Typer(help="Repair kits: cost, price, making up, papers.", no_args_is_help=True)
Name = Annotated[str, typer.Argument(help="A kit's name.")]
File = Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Write here instead of the screen.")]


@app.command()
def add(file: Annotated[Path, typer.Argument(help="A kit's TOML file.")], db: Db = None) -> None:
    """Take a kit file; a newer file of the same name replaces it.

    Example: bom kit add catalogs/demo/kits/os-3-valve-drive.toml
    """
    from bom.jobs.bench import bench
    from bom.jobs.kits import add_kit

    with bench(db) as session:
        for line in add_kit(session, file):
            say(line)


@app.command()
def cost(
    name: Annotated[str, typer.Argument(help="A kit's name; nothing = every kit.")] = "",
    batch: Annotated[int | None, typer.Option("--batch", min=1, help="Cost this many together.")] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """What a kit costs, line by line, what it sells for, and how many can be made up now.

    Example: bom kit cost "OS-3 valve drive kit"
    """
    from bom.jobs.bench import bench
    from bom.jobs.kits import cost_kits
    from bom.paper.answers import kits_table

    with bench(db) as session:
        answer = cost_kits(session, name, batch)
    show(answer, json, kits_table)


@app.command()
def make(
    name: Name,
    count: Annotated[int, typer.Argument(min=1, help="How many.")] = 1,
    dry: Annotated[bool, typer.Option("--dry", help="Only print the pick list.")] = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """Make up kits: pick lots oldest first, never held or reserved ones, and book them out. Exit status 1 where short.

    Example: bom kit make "OS-3 valve drive kit" 2 --dry
    """
    from bom.jobs.bench import bench
    from bom.jobs.kits import make_kits
    from bom.paper.answers import pick_table

    with bench(db) as session:
        answer = make_kits(session, name, count, dry)
    show(answer, json, pick_table)
    raise typer.Exit(1 if answer["missing"] else 0)


@app.command()
def sheet(name: Name, out: File = None, db: Db = None) -> None:
    """The sheet that goes into the bag: contents, steps to check first, cautions.

    Example: bom kit sheet "OS-3 valve drive kit" --out sheet.html
    """
    from bom.jobs.bench import bench
    from bom.jobs.kits import kit_sheet

    with bench(db) as session:
        page = kit_sheet(session, name)
    _write(page, out)


@app.command()
def label(
    name: Name, lot: Annotated[str, typer.Option("--lot", help="The kit's lot.")] = "", out: File = None, db: Db = None
) -> None:
    """A bag label, 62 x 29 mm, as SVG.

    Example: bom kit label "OS-3 valve drive kit" --lot 2026-001 --out label.svg
    """
    from bom.jobs.bench import bench
    from bom.jobs.kits import kit_label

    with bench(db) as session:
        drawing = kit_label(session, name, lot)
    _write(drawing, out)


def _write(text: str, out: Path | None) -> None:
    from bom.paper.whole_file import write_text

    if out is None:
        return typer.echo(text)
    write_text(out, text)
    return say(f"written: {out}")
