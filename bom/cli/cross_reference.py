"""`bom catalog xref`: which part may be replaced by which, over the whole catalogue."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Db, Json, a_part, glance, say, show


def xref(
    part: Annotated[
        str, typer.Option("--part", metavar="PART", autocompletion=a_part, help="Only this part, both ways.")
    ] = "",
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="All of it, as .csv or .xlsx.")] = None,
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
