"""`bom demo`: the three jobs on invented data, in front of a newcomer."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


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
