"""What must hold of duty whatever the figures."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bom.duty.coil_heat import ohms_at
from bom.duty.margins import held
from bom.duty.published_ratings import amps_between
from bom.values.finding import Outcome

temps = st.floats(-60, 180)
sizes = st.floats(0.01, 1e4)


@given(sizes, temps, temps)
def test_copper_there_and_back_is_where_it_was(ohms: float, here: float, there: float) -> None:
    assert abs(ohms_at(ohms_at(ohms, here, there), there, here) - ohms) < 1e-6 * ohms


@given(sizes, sizes, sizes, sizes)
def test_a_part_short_of_its_limit_never_passes(need: float, limit: float, theirs: float, their_limit: float) -> None:
    found = held("x", need, limit, "V", "why", fitted=(theirs, their_limit))
    assert (found.outcome is Outcome.PASS) is (limit >= need * (1 - 1e-9))


@given(st.floats(12, 60), st.floats(61, 250), st.floats(0.5, 30), st.floats(0.01, 0.5), st.floats(0, 1))
def test_between_two_points_the_amps_stay_between(
    low: float, high: float, most: float, least: float, share: float
) -> None:
    amps = amps_between((low, most), (high, least), low + share * (high - low))
    assert least * 0.999999 <= amps <= most * 1.000001
