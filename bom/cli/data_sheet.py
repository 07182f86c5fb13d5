"""`bom catalog datasheet`: tables off a PDF's page or pasted text, into a series sheet to check by eye."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Json, say, show


def datasheet(
    file: Annotated[Path, typer.Argument(help="A data sheet's PDF, or a text file; - for text that is pasted in.")],
    page: Annotated[str, typer.Option("--page", metavar="3", help="The page of its tables; also 2-4 or 1,3.")] = "",
    out: Annotated[
        Path | None, typer.Option("--out", metavar="FILE", help="The series sheet to write, as .toml.")
    ] = None,
    maker: Annotated[str, typer.Option("--maker", help="Who makes it.")] = "",
    series: Annotated[str, typer.Option("--series", help="The series.")] = "",
    part_number: Annotated[
        str, typer.Option("--part-number", metavar="TW2-{coil}", help="How a number is made of the coil's code.")
    ] = "",
    source: Annotated[str, typer.Option("--source", help="What its figures are said to come from.")] = "",
    json: Json = False,
) -> None:
    """Read coil and contact tables off a data sheet into a series sheet, which you then check against the page.

    Each row stands beside the page's words. What may mean two things is
    marked doubtful and left blank. Nothing is taken into the catalogue.

    Example: bom catalog datasheet catalogs/demo/bench/hm1.txt --out hm1.toml --maker Hollowmere

    Example: bom catalog datasheet hm1.pdf --page 3 --series HM1 --part-number "HM1-{coil}"
    """
    from bom.jobs.replacing.data_sheet import Stated, draft_of, read_pdf, read_text, read_text_file, write_draft
    from bom.paper.terminal.data_sheet import data_sheet_table

    stated = Stated(maker, series, part_number, source)
    if str(file) == "-":
        if sys.stdin.isatty():
            say("Paste the table, then Ctrl-D on a line of its own.")
        answer = read_text(sys.stdin.read(), "pasted text", stated)
    elif file.suffix.lower() in (".txt", ".tsv", ".csv", ".md"):
        answer = read_text_file(file, stated)
    else:
        answer = read_pdf(file, page, stated)
    if out is not None:
        answer = write_draft(answer, out)
        return show(answer, json, data_sheet_table)
    if json:
        return show(answer, True, str)
    say(data_sheet_table(answer).rstrip())
    return typer.echo(draft_of(answer))
