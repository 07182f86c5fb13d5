"""`bom fit`: one pin drawing in one hole pattern, without a database."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Json, LeaveOut, show
from bom.values.finding import Outcome


def fit(
    pins: Annotated[Path, typer.Option("--pins", metavar="CSV", help="Pins, as in footprints.csv.")],
    holes: Annotated[Path, typer.Option("--holes", metavar="CSV", help="Holes, as in a board's holes file.")],
    wirings: Annotated[Path | None, typer.Option("--wirings", metavar="CSV", help="To prove the nets too.")] = None,
    candidate: Annotated[str | None, typer.Option("--candidate", help="The pins' wiring.")] = None,
    original: Annotated[str | None, typer.Option("--original", help="The board's wiring.")] = None,
    pattern: Annotated[
        str | None, typer.Option("--pattern", metavar="NAME", help="Which pattern, where the holes file has several.")
    ] = None,
    clearance: Annotated[
        str | None, typer.Option("--clearance", metavar="LEVEL", help="Ask holes to be wider than leads: A, B or C.")
    ] = None,
    tolerance: Annotated[
        str | None,
        typer.Option("--tolerance", metavar="HOW", help='Count board tolerances: "worst case" or "root-sum-square".'),
    ] = None,
    dress: Annotated[float, typer.Option("--dress", metavar="MM", min=0.0, help="Legs may be bent this far.")] = 0.0,
    svg: Annotated[Path | None, typer.Option("--svg", metavar="FILE", help="Draw it at true size.")] = None,
    leave_out: LeaveOut = None,
    json: Json = False,
) -> None:
    """Do these pins go into these holes, and, with wirings, do they connect alike? Exit status 1 for no and unknown.

    Example: bom fit --pins pins.csv --holes holes.csv --json
    """
    from bom.jobs.replacing.fitting import DrawingFiles, Tightness, fit_files
    from bom.paper.terminal.matches import fit_table

    drawings = DrawingFiles(pins, holes, wirings, candidate, original, pattern, tuple(leave_out or ()))
    answer = fit_files(drawings, svg, Tightness(clearance, tolerance, dress))
    show(answer, json, fit_table)
    raise typer.Exit(0 if answer.outcome in (Outcome.PASS, Outcome.CONDITION) else 1)
