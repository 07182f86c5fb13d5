"""How the shop's settings look in a terminal."""

from __future__ import annotations

from dataclasses import fields

from bom.answers.settings import Settings
from bom.paper.terminal.tables import simple_table


def shop_table(answer: Settings) -> str:
    """Each setting with what it is; what was not said, and how to say it."""
    said = {f.name: getattr(answer, f.name) for f in fields(answer)}
    unsaid = [name for name, value in said.items() if value == ""]
    tail = f"Not said: {', '.join(unsaid)}. bom shop set NAME VALUE says it.\n" if unsaid else ""
    return simple_table("", ["", ""], [(name.replace("_", " "), value) for name, value in said.items()]) + tail
