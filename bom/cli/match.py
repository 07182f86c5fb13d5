"""`bom match`: what may replace a part, or sit at a position, or answer a spec."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bom.cli.options import Db, Json, show


def match(
    like: Annotated[str | None, typer.Option("--like", metavar="PART", help="In place of this part.")] = None,
    position: Annotated[str | None, typer.Option("--position", metavar="BOARD:REF", help="As in OS-3:K1.")] = None,
    spec: Annotated[Path | None, typer.Option("--spec", metavar="FILE", help="A TOML file of bounds.")] = None,
    rule: Annotated[str | None, typer.Option("--rule", help="A rule of thumb; see bom board check --rules.")] = None,
    limit: Annotated[int | None, typer.Option("--limit", min=1, help="At most this many candidates.")] = None,
    every: Annotated[bool, typer.Option("--all", help="Show every refused part too.")] = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """Ranked verdicts with their reasons, the one worst reason first.

    Example: bom match --position OS-3:K1
    """
    from bom.jobs.bench import bench
    from bom.jobs.matching import find_replacements
    from bom.paper.answers import match_table

    with bench(db) as session:
        answer = find_replacements(session, like_part=like, position=position, spec=spec, rule=rule)
    if limit:
        answer["candidates"] = answer["candidates"][:limit]
    show(answer, json, lambda a: match_table(a, every=every))
