"""Conditions on single facts, which a database can ask: one of these words, at least or at most this much.

What a sheet does not state meets every condition: *unknown* is for the proof to say.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from bom.values.finding import Verdict


class Margin(StrEnum):
    """How the room left follows from a fact v and its basis b, as the rooms do."""

    NEED = "b / v - 1"
    SHARE = "(v - b) / |b|"
    REST = "(b - v) / |b|"


@dataclass(frozen=True, slots=True)
class OneOf:
    """The fact, where stated, is one of these."""

    column: str
    values: frozenset[str]

    def holds(self, facts: Mapping[str, Any]) -> bool:
        value = facts[self.column]
        return value is None or value == "" or value in self.values


@dataclass(frozen=True, slots=True)
class Limit:
    """The fact, where stated, is at least (``least``) or at most the limit.

    ``margin`` and ``basis`` say what room it leaves, where the rooms state one. ``asked``: a relay that does not state
    the fact is *unknown* at best.
    """

    column: str
    limit: float
    least: bool
    margin: Margin | None = None
    basis: float = 0.0
    asked: bool = True

    def holds(self, facts: Mapping[str, Any]) -> bool:
        value = facts[self.column]
        if value is None:
            return True
        return bool(value >= self.limit if self.least else value <= self.limit)

    def room(self, value: float) -> float:
        """The margin at this value; endless where the rooms state none."""
        if self.margin is None or (self.margin is Margin.NEED and value <= 0):
            return float("inf")
        if self.margin is Margin.NEED:
            return self.basis / value - 1.0
        sign = 1 if self.margin is Margin.SHARE else -1
        return sign * (value - self.basis) / abs(self.basis)


Condition = OneOf | Limit


@dataclass(frozen=True, slots=True)
class Promise:
    """The best a relay can come to by its facts alone: its verdict and its narrowest margin are no better."""

    verdict: Verdict
    margin: float
