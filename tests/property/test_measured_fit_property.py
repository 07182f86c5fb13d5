"""Measuring more closely never takes back an answer that was sure: what went in goes in, what did not does not."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from bom.boards.board import Hole, HolePattern
from bom.fit.check import fit
from bom.relays.footprint import Footprint, Pin
from bom.values.finding import Outcome

OFF = st.floats(-0.3, 0.3)
ERROR = st.sampled_from((0.0, 0.02, 0.05, 0.1, 0.2, 0.4))
GRID = ((0.0, 0.0), (0.0, 7.5), (5.0, 2.5), (12.5, 0.0))


@given(st.lists(st.tuples(OFF, OFF), min_size=4, max_size=4), st.lists(ERROR, min_size=8, max_size=8), st.floats(0, 1))
def test_a_sure_answer_stays(offs: list[tuple[float, float]], errors: list[float], share: float) -> None:
    pins = tuple(Pin(str(n), *at, 0.6, error_mm=e) for n, (at, e) in enumerate(zip(GRID, errors[:4], strict=True)))
    moved = [(x + dx, y + dy) for (x, y), (dx, dy) in zip(GRID, offs, strict=True)]
    holes = tuple(Hole(f"h{n}", *at, 1.0, error_mm=e) for n, (at, e) in enumerate(zip(moved, errors[4:], strict=True)))
    before = fit(Footprint("f", pins), HolePattern("p", holes)).outcome
    closer = tuple(replace(p, error_mm=(p.error_mm or 0) * share) for p in pins)
    known = tuple(replace(h, error_mm=(h.error_mm or 0) * share) for h in holes)
    after = fit(Footprint("f", closer), HolePattern("p", known)).outcome
    if before in (Outcome.PASS, Outcome.FAIL):
        assert after is before


@given(st.lists(st.tuples(OFF, OFF), min_size=4, max_size=4), st.lists(st.tuples(OFF, OFF), min_size=4, max_size=4))
def test_what_passes_goes_in_wherever_the_holes_lie_within_their_errors(
    offs: list[tuple[float, float]], shifts: list[tuple[float, float]]
) -> None:
    error = 0.1
    pins = Footprint("f", tuple(Pin(str(n), *at, 0.6) for n, at in enumerate(GRID)))
    told = [(x + dx / 4, y + dy / 4) for (x, y), (dx, dy) in zip(GRID, offs, strict=True)]
    true = [(x + dx * 0.23, y + dy * 0.23) for (x, y), (dx, dy) in zip(told, shifts, strict=True)]
    measured = HolePattern("p", tuple(Hole(f"h{n}", *at, 1.0, error_mm=error) for n, at in enumerate(told)))
    real = fit(pins, HolePattern("p", tuple(Hole(f"h{n}", *at, 1.0) for n, at in enumerate(true))))
    found = fit(pins, measured).outcome
    if found is Outcome.PASS:
        assert real.outcome in (Outcome.PASS, Outcome.CONDITION)
    if found is Outcome.FAIL:
        assert real.outcome is Outcome.FAIL
