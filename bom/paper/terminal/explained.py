"""How a file's columns and keys are explained in a terminal: name and unit, what it means, what may stand there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bom.paper.terminal.tables import simple_table
from bom.values.column import Column, Topic


def topic_table(topic: Topic) -> str:
    """A topic's columns or entries, a row each, and its notes beneath."""
    head = f"{topic.name}: {topic.about}"
    called = "column" if topic.name.endswith((".csv", ".xlsx")) else "key"
    rows = [(column.name or name, _in(column), column.example, _text(column)) for name, column in topic.columns.items()]
    body = simple_table(head, [called, "in", "as in", "text"], rows) if rows else ""
    listed = simple_table(head, ["", ""], topic.entries) if topic.entries else ""
    return body + listed + "".join(f"{note}\n" for note in topic.notes)


def _in(column: Column) -> str:
    """The unit of a number, of anything else what it is."""
    return column.sign or column.holds.value


def _text(column: Column) -> str:
    needed = " It must be there." if column.needed else ""
    return f"{column.meaning}{needed}{_words(column)}{_bounds(column)}"


def _words(column: Column) -> str:
    """The allowed words, each with the other words that are read as it."""
    if not column.words.words:
        return ""
    words, also = column.words, column.words.also
    listed = [f"{w} ({', '.join(also[w])})" if also.get(w) else w for w in words.words]
    return f" One of: {' | '.join(listed)}{f', or {words.besides_words}' if words.besides_words else ''}."


def _bounds(column: Column) -> str:
    said = column.bounds
    return f" {said[:1].upper()}{said[1:]}." if said else ""


def topics_table(topics: Mapping[str, str]) -> str:
    """Every topic and what it is."""
    return simple_table("bom explain TOPIC", ["", ""], topics.items())


def topic_facts(topic: Topic) -> dict[str, Any]:
    """A topic as ``--json`` prints it."""
    return {
        "topic": topic.name,
        "about": topic.about,
        "columns": [_facts(name, column) for name, column in topic.columns.items()],
        "entries": [{"name": name, "text": text} for name, text in topic.entries],
        "notes": list(topic.notes),
    }


def _facts(name: str, column: Column) -> dict[str, Any]:
    words = {w: list(column.words.also.get(w, ())) for w in column.words.words}
    return {
        "name": column.name or name,
        "meaning": column.meaning,
        "holds": column.holds,
        "unit": column.sign,
        "allowed": column.allowed,
        "words": words,
        "example": column.example,
        "needed": column.needed,
    }
