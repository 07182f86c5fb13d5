"""`bom stock label`: labels for the shelf's drawers."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Db, LabelEdge, LabelSheet, LabelSize, LabelSkip, a_part, glance, say


def label(
    wanted: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[PART|DRAWER]...", autocompletion=a_part, help="Parts or drawers; nothing = every drawer."
        ),
    ] = None,
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="An HTML file.")] = Path("drawers.html"),
    size: LabelSize = "",
    sheet: LabelSheet = "",
    edge: LabelEdge = None,
    skip: LabelSkip = 0,
    db: Db = None,
) -> None:
    """Drawer labels on A4, or of any size, with the part as words and as a 2-D code that goods-in can read.

    Example: bom stock label A1 TW2-12S --out drawers.html
    """
    from bom.jobs.kits.labels import LabelPaper, drawer_labels
    from bom.paper.whole_file import write_text
    from bom.values.problem import Refused

    if out.suffix.casefold() != ".html":
        raise Refused(f"expected a file that ends in .html, found {out}")
    with glance(db) as session:
        page, count = drawer_labels(session, wanted or [], LabelPaper(size, sheet, edge, skip))
    write_text(out, page)
    say(f"written: {out}, {count} labels")
