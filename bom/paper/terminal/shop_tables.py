"""How the shop's settings look in a terminal."""

from __future__ import annotations

from typing import Any

from bom.paper.terminal.tables import simple_table


def shop_table(answer: Any) -> str:
    """Each setting with what it is; what was not said, and how to say it."""
    rows = [(name.replace("_", " "), _said(value)) for name, value in answer.items()]
    unsaid = [name for name, value in answer.items() if value == ""]
    tail = f"Not said: {', '.join(unsaid)}. bom shop set NAME VALUE says it.\n" if unsaid else ""
    return simple_table("", ["", ""], rows) + tail


def _said(value: Any) -> Any:
    return value if value != "" else "–"
