"""`bom fit`: one pin drawing in one hole pattern, without a database."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Json, show


def fit(
    pins: Annotated[Path, typer.Option("--pins", metavar="CSV", help="Pins, as in footprints.csv.")],
    holes: Annotated[Path, typer.Option("--holes", metavar="CSV", help="Holes, as in a board's holes file.")],
    wirings: Annotated[Path | None, typer.Option("--wirings", metavar="CSV", help="To prove the nets too.")] = None,
    candidate: Annotated[str | None, typer.Option("--candidate", help="The pins' wiring.")] = None,
    original: Annotated[str | None, typer.Option("--original", help="The board's wiring.")] = None,
    svg: Annotated[Path | None, typer.Option("--svg", metavar="FILE", help="Draw it at true size.")] = None,
    json: Json = False,
) -> None:
    """Do these pins go into these holes, and, with wirings, do they connect alike? Exit status 1 for no.

    Example: bom fit --pins pins.csv --holes holes.csv --json
    """
    from bom.jobs.fitting import fit_files
    from bom.paper.answers import fit_table

    answer = fit_files(pins, holes, wirings, candidate, original, svg)
    show(answer, json, fit_table)
    raise typer.Exit(0 if answer["outcome"] in ("pass", "condition") else 1)
