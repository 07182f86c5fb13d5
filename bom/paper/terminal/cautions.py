"""Knows how cautions stand beside a verdict on a screen: what is grave and what the board says in full, the rest in a
few words each, and the command that prints all of them in full."""

from __future__ import annotations

from collections.abc import Sequence

from bom.duty.cautions import GUARDED, GUIDED, MAINS, RATED_FOR_MAINS, all_cautions, one_line
from bom.paper.terminal.tables import simple_table

_IN_SHORT = {text: short for short, text in all_cautions()}
_GRAVE = (GUARDED, GUIDED, MAINS, RATED_FOR_MAINS)
IN_FULL = "bom explain cautions"


def take_care(cautions: Sequence[str]) -> str:
    """The cautions, the gravest first as they come, a line each where that is enough; nothing where there are none."""
    if not cautions:
        return ""
    rows = [("⚠", text if text in _GRAVE else _sentence(_IN_SHORT.get(text, text))) for text in cautions]
    return f"{simple_table('Take care', ['', ''], rows)}In full: {IN_FULL}\n"


def _sentence(text: str) -> str:
    """Beside a board's own cautions, which are sentences."""
    return text[:1].upper() + text[1:].rstrip(".") + "."


def in_a_line(cautions: Sequence[str], more: str = IN_FULL) -> str:
    """The gravest alone, for a screen that shows many verdicts; ``more`` is the command that prints the rest."""
    return f"{one_line(cautions, more)}\n" if cautions else ""


def in_few_words(cautions: Sequence[str]) -> str:
    """All of them in one cell of a table."""
    return "; ".join(_IN_SHORT.get(text, text) for text in cautions)
