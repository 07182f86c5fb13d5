"""Counting by weight: the number, and when a scale cannot tell."""

from __future__ import annotations

from decimal import Decimal

import pytest

from bom.stock.samples import Weighed, pieces
from bom.values.problem import Refused


def weighed(gross: str, sample: int, grams: str, tare: str = "0", step: str = "0.1") -> Weighed:
    return Weighed(Decimal(gross), sample, Decimal(grams), Decimal(tare), Decimal(step))


@pytest.mark.parametrize(
    ("heap", "count"),
    [
        (weighed("206", 10, "103"), 20),
        (weighed("254.3", 10, "103", tare="48.3"), 20),
        (weighed("48.3", 10, "103", tare="48.3"), 0),
        (weighed("10.3", 1, "10.3"), 1),
    ],
)
def test_a_heap_is_counted_by_a_sample(heap: Weighed, count: int) -> None:
    assert pieces(heap) == count


def test_a_sample_too_small_says_how_large_it_must_be_and_that_one_is_enough() -> None:
    with pytest.raises(Refused, match="weigh a sample of 9 pieces or more"):
        pieces(weighed("80", 1, "1.0"))
    assert pieces(weighed("80", 9, "9.0")) == 80


def test_pieces_lighter_than_the_scales_step_are_not_counted() -> None:
    with pytest.raises(Refused, match="too light"):
        pieces(weighed("50", 1, "0.1"))


def test_a_weight_between_two_counts_is_asked_about() -> None:
    with pytest.raises(Refused, match="between two counts"):
        pieces(weighed("15.5", 10, "10.0"))


@pytest.mark.parametrize("heap", [weighed("5", 0, "1"), weighed("5", 1, "0"), weighed("5", 1, "1", tare="6")])
def test_what_cannot_be_weighed_is_refused(heap: Weighed) -> None:
    with pytest.raises(Refused):
        pieces(heap)
