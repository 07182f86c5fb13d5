"""`bom explain`: what each column of a file and each key means, and what may stand there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated

import typer

from bom.cli.options import Json, show
from bom.values.problem import Problem


def explain(
    topic: Annotated[str, typer.Argument(help="A file as in relays.csv; without it the topics are listed.")] = "",
    column: Annotated[str, typer.Argument(help="One of its columns or keys.")] = "",
    json: Json = False,
) -> None:
    """What each column or key of a file means: its unit, the words it may hold and an example.

    Example: bom explain relays.csv

    Example: bom explain ratings.csv load
    """
    from bom.jobs.explaining import explain as explained
    from bom.jobs.explaining import explain_column, topics
    from bom.paper.terminal.catalogue import topic_table, topics_table

    if not topic:
        show(topics(), json, topics_table)
        return
    found = explain_column(topic, column) if column else explained(topic)
    show(found, json, topic_table)


def pointer(problems: Iterable[Problem]) -> str:
    """The commands that explain the files of these problems, to end their list with; nothing where none does."""
    from bom.jobs.explaining import topic_of

    known = [f"bom explain {name}" for name in dict.fromkeys(map(topic_of, problems)) if name]
    return f"What may stand there: {', '.join(known)}" if known else ""
