"""Knows what is in the bags of a kit lot. All bags of a kit lot are alike, so the lot says what is in each of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Content:
    """``quantity`` of a part in each bag, in ``unit`` (piece, g, mm, ml).

    ``position`` is where it goes on the board, empty where it goes nowhere; ``inside`` the kit inside the kit that
    asks for it.
    """

    part_number: str
    quantity: Decimal
    unit: str = "piece"
    position: str = ""
    inside: str = ""


@dataclass(frozen=True, slots=True)
class MadeUp:
    """A kit lot: ``count`` bags of a kit, made up (or promised) together."""

    number: str
    kit: str
    count: int
    contents: tuple[Content, ...]
    when: datetime | None = None
