"""Knows in which order a bench takes what it picks, and what bags hold that others of the same picking do not; the
terminal and the printed pick list show both."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

Answer = dict[str, Any]


def by_drawer(picks: list[Answer]) -> list[Answer]:
    """What to take, by drawer; what goes into several kit lots from one lot is taken at once."""
    found: dict[tuple[str, str, str], Answer] = {}
    for pick in picks:
        key = (pick["drawer"], pick["part_number"], pick["lot"])
        before = _number(found[key]["quantity"]) if key in found else Decimal(0)
        found[key] = {**pick, "quantity": before + _number(pick["quantity"])}
    return [found[key] for key in sorted(found, key=lambda key: (not key[0], [*map(_natural, key)]))]


def _natural(text: str) -> list[tuple[bool, int, str]]:
    """A2 before A10, as drawers stand."""
    return [(part.isdecimal(), int(part) if part.isdecimal() else 0, part) for part in re.split(r"(\d+)", text)]


def differing(lots: list[Answer], lot: Answer) -> list[Answer]:
    """What this kit lot's bags hold that another's do not; for mixed bags, all they hold by position."""
    held = [{(c["position"], c["part_number"], _number(c["quantity"])) for c in one["contents"]} for one in lots]
    common = set.intersection(*held) if held else set()
    parts = {c["part_number"] for c in lot["contents"] if c["position"]}
    wanted = [c for c in lot["contents"] if (c["position"], c["part_number"], _number(c["quantity"])) not in common]
    return wanted or ([c for c in lot["contents"] if c["position"]] if len(parts) > 1 else [])


def _number(value: Any) -> Decimal:
    return Decimal(str(value))
