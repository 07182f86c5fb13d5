"""`bom stock label`: labels for the shelf's drawers."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Db, say


def label(
    wanted: Annotated[
        list[str] | None, typer.Argument(metavar="[PART|DRAWER]...", help="Parts or drawers; nothing = every drawer.")
    ] = None,
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="An HTML file, a label to a page.")] = Path(
        "drawers.html"
    ),
    db: Db = None,
) -> None:
    """Drawer labels, 62 x 19 mm, with the part as words and as a 2-D code that goods-in can read.

    Example: bom stock label A1 TW2-12S --out drawers.html
    """
    from bom.jobs.bench import glance
    from bom.jobs.kits.papers import drawer_labels
    from bom.paper.pages.labels import label_pages
    from bom.paper.whole_file import write_text
    from bom.values.problem import Refused

    if out.suffix.casefold() != ".html":
        raise Refused(f"expected a file that ends in .html, found {out}")
    with glance(db) as session:
        labels = drawer_labels(session, wanted or [])
    write_text(out, label_pages(labels))
    say(f"written: {out}, {len(labels)} labels")
