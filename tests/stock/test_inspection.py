"""A sample's coil readings against the limits (240 Ω ±10 % is 216 to 264)."""

from __future__ import annotations

import pytest

from bom.stock.samples import inspect, limits_of
from bom.values.finding import Outcome


@pytest.mark.parametrize(
    ("readings", "outcome"),
    [([240.0, 254.0], Outcome.PASS), ([216.0, 264.0], Outcome.PASS), ([240.0, 280.0], Outcome.FAIL)],
)
def test_one_reading_outside_fails_the_sample(readings: list[float], outcome: Outcome) -> None:
    found = inspect(readings, limits_of(240, 10))
    assert (found.outcome, found.holds) == (outcome, outcome is not Outcome.PASS)
    assert "216 to 264" in found.why


@pytest.mark.parametrize(("ohms", "tolerance"), [(None, 10.0), (240.0, None)])
def test_without_limits_nothing_passes(ohms: float | None, tolerance: float | None) -> None:
    found = inspect([240.0], limits_of(ohms, tolerance))
    assert found.outcome is Outcome.UNKNOWN and found.holds
