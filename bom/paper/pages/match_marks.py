"""Knows the marks of the match page: safe text, the sign and word of an outcome, lists, margins, names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape
from typing import Any

from bom.paper.readable import one_line
from bom.values.finding import Outcome, badness

Finding = Mapping[str, Any]
Candidate = Mapping[str, Any]
Pairs = tuple[tuple[str, str], ...]

OUTCOMES = ("fail", "unknown", "condition", "pass")
WORDS = {"drop_in": "drop-in", "conditional": "conditional", "unknown": "unknown", "no": "no"}
WORDS |= {"pass": "pass", "condition": "condition", "fail": "fail"}


def bullets(heading: str, texts: tuple[str, ...], kind: str) -> str:
    """A heading and a list under it; nothing where there is nothing to list."""
    return f'<div class="{kind}"><h3>{safe(heading)}</h3><ul>{items(texts)}</ul></div>' if texts else ""


def items(texts: Iterable[str]) -> str:
    """The items of a list."""
    return "".join(f"<li>{safe(text)}</li>" for text in texts)


def facts_list(facts: Pairs) -> str:
    """Names and values; those without a value are left out."""
    pairs = "".join(f"<div><dt>{safe(name)}</dt><dd>{safe(value)}</dd></div>" for name, value in facts if value)
    return f"<dl>{pairs}</dl>" if pairs else ""


def badge(verdict: str) -> str:
    """A verdict: its shape and its word."""
    return f'<span class="badge {safe(verdict)}">{sign(verdict)}{safe(WORDS[verdict])}</span>'


_SIGN_OF = {"drop_in": "pass", "conditional": "condition", "no": "fail"}


def sign(kind: str) -> str:
    """The shape that stands for an outcome or a verdict."""
    name = safe(_SIGN_OF.get(kind, kind))
    return f'<svg class="sign {name}" viewBox="0 0 20 20" aria-hidden="true"><use href="#sign-{name}"/></svg>'


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """The same findings, the one worst reason first."""
    return sorted(findings, key=lambda f: badness(Outcome(f["outcome"]), f["check"], f["margin"]))


def room(margin: float) -> str:
    """A margin in per cent, with its sign."""
    share = f"{margin:+.0%}"
    return ("0%" if share in ("+0%", "-0%") else share).replace("-", "−").replace("%", " %")


def part_name(candidate: Candidate) -> str:
    """Maker and part number."""
    return f"{candidate['maker']} {candidate['part_number']}"


def safe(text: object) -> str:
    """Text made safe, on one line; a number keeps its per cent sign."""
    return escape(one_line(text)).replace(" %", "&nbsp;%")
