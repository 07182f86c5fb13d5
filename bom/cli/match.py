"""`bom match`: what may replace a part, or sit at a position, or answer a spec."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

import typer

from bom.cli.options import Db, Json, a_part, say, show
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
    from bom.jobs.bench import glance

    asked: dict[str, Any] = {"like_part": like, "position": position, "spec": spec, "rule": rule}
    with glance(db) as session:
        if why:
            from bom.paper.terminal.why import why_table

            answer = _why(session, why, asked)
            if html:
                _page(session, html, asked, limit, answer)
            show(answer, json, why_table)
        elif position and ":" not in position:
            from bom.paper.terminal.why import glance_table

            show(_board(session, html, asked, limit), json, glance_table)
        else:
            show(_list(session, html, asked, limit), json, _table(every))


def _table(every: bool) -> Callable[[Any], str]:
    def table(answer: Any) -> str:
        from bom.paper.terminal.answers import match_table

        return match_table(answer, every=every)

    return table


def _list(session: Any, html: Path | None, asked: dict[str, Any], limit: int | None) -> dict[str, Any]:
    from bom.jobs.replacing.matching import find_replacements

    answer = find_replacements(session, **asked, limit=limit)
    if html:
        _page(session, html, asked, limit, answer)
    return answer


def _page(
    session: Any, file: Path, asked: dict[str, Any], limit: int | None, answer: dict[str, Any] | None = None
) -> Any:
    """Writes the page, from an answer where there is one already."""
    from bom.jobs.replacing.match_pages import Asked, page_for, write_page

    page = page_for(session, Asked(**asked, shown=limit), answer)
    write_page(file, page)
    say(f"written: {file}")
    return page


def _board(session: Any, file: Path | None, asked: dict[str, Any], limit: int | None) -> dict[str, Any]:
    """A whole board goes on a page; the terminal gets it at a glance."""
    from bom.jobs.replacing.match_pages import at_a_glance

    if file is None:
        where = asked["position"]
        raise Refused(f"expected BOARD:REF, as in OS-3:K1, found {where!r}; for all of a board add --html FILE")
    return at_a_glance(_page(session, file, asked, limit))


def _why(session: Any, part: str, asked: dict[str, Any]) -> dict[str, Any]:
    from bom.jobs.replacing.why import why_part

    return why_part(session, part, **asked)
