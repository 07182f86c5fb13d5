"""`bom match`, `bom fit` and `bom measure`: what may replace a part, sit at a position, answer a spec; whether pins go
into holes; and where holes or pins lie by what was measured of them."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import (
    Db,
    HeadingRow,
    Json,
    LeaveOut,
    ReadBy,
    SheetName,
    a_part,
    glance,
    how_asked,
    say,
    show,
)
from bom.values.finding import Outcome
from bom.values.problem import Refused


def match(
    like: Annotated[
        str | None, typer.Option("--like", metavar="PART", autocompletion=a_part, help="In place of this part.")
    ] = None,
    position: Annotated[str | None, typer.Option("--position", metavar="BOARD:REF", help="As in OS-3:K1.")] = None,
    spec: Annotated[Path | None, typer.Option("--spec", metavar="FILE", help="A TOML file of bounds.")] = None,
    rule: Annotated[
        str | None,
        typer.Option("--rule", help="A rule of thumb by name, or your own .toml; see bom board check --rules."),
    ] = None,
    limit: Annotated[int | None, typer.Option("--limit", min=1, help="At most this many candidates.")] = None,
    every: Annotated[bool, typer.Option("--all", help="Show every refused part too.")] = False,
    why: Annotated[
        str | None,
        typer.Option("--why", metavar="PART", autocompletion=a_part, help="Why this part is (not) in the list."),
    ] = None,
    html: Annotated[
        Path | None,
        typer.Option("--html", metavar="FILE", help="Write a page to print; a board alone as --position: all of it."),
    ] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """Ranked verdicts with their reasons, the one worst reason first.

    Example: bom match --position OS-3:K1

    Example: bom match --position OS-3:K1 --why DUO-12B

    Example: bom match --position OS-3 --html os-3.html
    """
    from bom.jobs.replacing.matching import find_replacements, why_part
    from bom.paper.terminal.matches import glance_table, match_table, why_table

    whole = bool(position) and ":" not in (position or "") and not why
    if whole and html is None:
        raise Refused(f"expected BOARD:REF, as in OS-3:K1, found {position!r}; for all of a board add --html FILE")
    with glance(db) as session:
        found = None
        if why:
            found = why_part(session, why, like_part=like, position=position, spec=spec, rule=rule)
        elif not whole:
            found = find_replacements(session, like_part=like, position=position, spec=spec, rule=rule, limit=limit)
        if html is not None:
            from bom.jobs.replacing.match_pages import Asked, at_a_glance, page_for, write_page

            page = page_for(session, Asked(like, position, spec, rule, limit), found)
            write_page(html, page)
            say(f"written: {html}")
    if found is None:
        show(at_a_glance(page), json, glance_table)
    else:
        show(found, json, why_table if why else partial(match_table, every=every))


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
    reading: ReadBy = None,
    sheet: SheetName = "",
    heading_row: HeadingRow = 0,
    json: Json = False,
) -> None:
    """Do these pins go into these holes, and, with wirings, do they connect alike? Exit status 1 for no and unknown.

    Example: bom fit --pins pins.csv --holes holes.csv --json
    """
    from bom.jobs.replacing.fitting import DrawingFiles, Tightness, fit_files
    from bom.paper.terminal.matches import fit_table

    asked = how_asked(reading, sheet, heading_row)
    drawings = DrawingFiles(pins, holes, wirings, candidate, original, pattern, tuple(leave_out or ()), asked)
    answer = fit_files(drawings, svg, Tightness(clearance, tolerance, dress))
    show(answer, json, fit_table)
    raise typer.Exit(0 if answer.outcome in (Outcome.PASS, Outcome.CONDITION) else 1)


def measure(
    file: Annotated[Path, typer.Argument(help="A TOML file of spans, or of marks on a picture.")],
    out: Annotated[
        Path | None, typer.Option("--out", metavar="CSV", help="Write the holes, or the pins, for fit and board files.")
    ] = None,
    svg: Annotated[Path | None, typer.Option("--svg", metavar="FILE", help="Draw it at true size.")] = None,
    json: Json = False,
) -> None:
    """Where holes or pins lie, by callipers or a picture, and how surely. Exit status 1 while more must be measured.

    Example: bom measure catalogs/demo/bench/spans.toml --out holes.csv --svg holes.svg

    Example: bom measure catalogs/demo/bench/scan.toml

    What the file may hold: bom explain measured.toml
    """
    from bom.jobs.replacing.measuring import measure as measured
    from bom.paper.terminal.measured import measured_table

    answer = measured(file, out, svg)
    show(answer, json, measured_table)
    raise typer.Exit(0 if answer.found else 1)
