"""`bom supplier`: take a supplier's file, read its price list anew."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Db, Json, say, show, working

app = typer.Typer(help="Suppliers and their price lists.", no_args_is_help=True)


@app.command()
def add(file: Annotated[Path, typer.Argument(help="A supplier's TOML file.")], db: Db = None) -> None:
    """Take a supplier; its price list is read only by refresh.

    Example: bom supplier add catalogs/demo/suppliers/osmere.toml
    """
    from bom.jobs.bench import bench
    from bom.jobs.suppliers import add_supplier

    with bench(db) as session:
        for line in add_supplier(session, file):
            say(line)


@app.command()
def refresh(
    name: Annotated[str, typer.Argument(help="A supplier's name; nothing = every one with a list.")] = "",
    db: Db = None,
    json: Json = False,
) -> None:
    """Read price lists from their configured file or address; one that fails leaves the last good offers in place.

    Example: bom supplier refresh "Osmere Components"
    """
    from bom.jobs.bench import bench
    from bom.jobs.suppliers import refresh_suppliers
    from bom.paper.answers import refreshed_table

    with working("reading price lists"), bench(db) as session:
        answer = refresh_suppliers(session, name)
    show(answer, json, refreshed_table)
    raise typer.Exit(1 if any(a["failed"] for a in answer) else 0)
