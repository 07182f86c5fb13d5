"""`bom db` and `bom demo`: bring the database to this version, check it, keep a copy, put a copy back; fill one with
the demo shop."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Db, Json, Plain, measured, say, show

app = typer.Typer(cls=Plain, help="The database itself.", no_args_is_help=True)


@app.command()
def upgrade(db: Db = None) -> None:
    """Make the database, or bring it to this version.

    Example: bom db upgrade
    """
    from bom.jobs.bench import upgrade_database

    say(upgrade_database(db))


@app.command()
def check(
    rebuild: Annotated[
        bool, typer.Option("--rebuild", help="First work out afresh from the ledger what is kept beside it.")
    ] = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """Look for damage: the file, its links, its version, the ledger's sums. Exit status 1 where any is found.

    Beside the ledger's entries stands what they come to, so that no daily command reads them all; where the two differ,
    the entries are right.

    Example: bom db check

    Where figures differ: bom db check --rebuild
    """
    from bom.jobs.bench import check_database
    from bom.paper.terminal.catalogue import database_table

    with measured("reading the ledger") as told:
        answer = check_database(db, told, rebuild=rebuild)
    show(answer, json, database_table)
    raise typer.Exit(1 if answer.problems else 0)


@app.command()
def backup(file: Annotated[Path, typer.Argument(help="A file that does not exist yet.")], db: Db = None) -> None:
    """Keep a copy, safe while others work.

    Example: bom db backup bom-2026-11.db
    """
    from bom.jobs.bench import backup_database

    say(backup_database(db, file))


@app.command()
def restore(
    file: Annotated[Path, typer.Argument(help="A copy made by backup.")],
    yes: Annotated[bool, typer.Option("--yes", help="Replace what is there without asking.")] = False,
    db: Db = None,
) -> None:
    """Put a copy back in place of the database.

    Example: bom db restore bom-2026-11.db --yes
    """
    from bom.jobs.bench import restore_database

    if not yes and not typer.confirm("Replace the whole database by this copy?"):
        raise typer.Abort
    say(restore_database(db, file))


def demo(
    out: Annotated[Path, typer.Option("--out", metavar="FOLDER", help="Where the demo's files go.")] = Path("demo-out"),
    db: Annotated[
        str | None, typer.Option("--db", metavar="URL", help="Database; by default a new one in the folder.")
    ] = None,
) -> None:
    """Load the demo shop and run all three jobs on it.

    Example: bom demo --out demo-out
    """
    from bom.jobs.demo import run_demo

    run_demo(out, db, typer.echo)
