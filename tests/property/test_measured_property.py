"""Random patterns measured at random: a place given lies within its error, what is not held is never given a place."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from made_patterns import made, off, within

from bom.measure.answer import Lacks, Open, Pattern
from bom.measure.network import ways_to_bend
from bom.measure.pattern import find_pattern

SEEDS = st.integers(0, 2**32 - 1)
OUTSIDE = 4.0
"""How far beyond its error a place may lie at the very most: in one pattern of twenty some lie a little beyond it."""


@settings(max_examples=25)
@given(SEEDS, st.integers(3, 9), st.integers(0, 9))
def test_a_place_lies_about_within_its_error(seed: int, holes: int, spare: int) -> None:
    case = made(np.random.default_rng(seed), holes, spare)
    found = find_pattern(case.measured)
    if isinstance(found, Pattern):
        assert (off(case.points, found) <= [OUTSIDE * s.error_mm + 0.01 for s in found.spots]).all()
    else:
        assert found.lacks is not Lacks.SPANS


@settings(max_examples=25)
@given(SEEDS, st.integers(3, 9))
def test_what_can_bend_is_never_given_a_place(seed: int, holes: int) -> None:
    case = made(np.random.default_rng(seed), holes, 0)
    found = find_pattern(replace(case.measured, spans=case.measured.spans[1:]))
    assert isinstance(found, Open) and found.lacks is Lacks.SPANS and found.measure
    more = [replace(case.measured.spans[0], a=n.a, b=n.b) for n in found.measure]
    assert ways_to_bend([*case.measured.spans[1:], *more], case.measured.names) == 0


@settings(max_examples=25)
@given(SEEDS, st.integers(4, 8))
def test_a_mirrored_pattern_is_told_by_its_turn(seed: int, holes: int) -> None:
    case = made(np.random.default_rng(seed), holes, holes, 0.02)
    turn = case.measured.turns[0]
    as_it_is = find_pattern(case.measured)
    mirrored = find_pattern(replace(case.measured, turns=(replace(turn, clockwise=not turn.clockwise),)))
    if isinstance(as_it_is, Pattern) and isinstance(mirrored, Pattern):
        assert off(case.points, as_it_is).max() < 0.5
        assert off(case.points * [1.0, -1.0], mirrored).max() < 0.5


@settings(max_examples=25)
@given(SEEDS, st.integers(5, 8), st.sampled_from((-1.0, 1.0)), st.data())
def test_a_planted_mistake_never_stands_for_sound(seed: int, holes: int, way: float, data: st.DataObject) -> None:
    """Named where it can be told, asked to be read again where not; what is found besides lies where it lies."""
    case = made(np.random.default_rng(seed), holes, 2 * holes, 0.02)
    spans = list(case.measured.spans)
    nth = data.draw(st.integers(0, len(spans) - 1))
    spans[nth] = replace(spans[nth], mm=spans[nth].mm + way * 0.6)
    found = find_pattern(replace(case.measured, spans=tuple(spans)))
    if isinstance(found, Pattern):
        assert spans[nth] in [m.span for m in found.mistakes]
        assert within(case.points, found) or off(case.points, found).max() < 0.3
