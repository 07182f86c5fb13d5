"""A slot takes no more than the circle about it, no less than the circle inside it, and turns with the board."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bom.boards.board import Hole
from bom.fit.slots import room_round_lead
from bom.relays.footprint import Pin

place = st.floats(-3, 3)
pins = st.builds(Pin, st.just("1"), place, place, st.floats(0.3, 3), st.floats(0.2, 2), st.floats(-180, 180))
rounds = st.builds(Pin, st.just("1"), place, place, st.floats(0.3, 3))
slots = st.builds(
    lambda wide, more, angle: Hole("a", 0.0, 0.0, wide, slot_mm=wide + more, slot_angle_deg=angle),
    st.floats(0.5, 3), st.floats(0, 4), st.floats(-180, 180),
)  # fmt: skip


def room(pin: Pin, hole: Hole) -> float:
    found = room_round_lead(pin, hole)
    assert found is not None
    return found


@given(st.one_of(pins, rounds), slots)
def test_a_slot_lies_between_the_circle_inside_it_and_the_circle_about_it(pin: Pin, slot: Hole) -> None:
    inside = replace(slot, slot_mm=None, slot_angle_deg=None)
    about = replace(inside, drill_mm=slot.slot_mm)
    assert room(pin, inside) - 1e-9 <= room(pin, slot) <= room(pin, about) + 1e-9


@given(st.one_of(pins, rounds), slots, st.floats(-180, 180))
def test_slot_and_lead_turned_together_keep_their_room(pin: Pin, slot: Hole, turn: float) -> None:
    middle = complex(pin.x_mm, pin.y_mm) * complex(*_direction(turn))
    angle = None if pin.lead_angle_deg is None else pin.lead_angle_deg + turn
    turned = replace(pin, x_mm=middle.real, y_mm=middle.imag, lead_angle_deg=angle)
    assert slot.slot_angle_deg is not None
    there = replace(slot, slot_angle_deg=slot.slot_angle_deg + turn)
    assert room(turned, there) == pytest.approx(room(pin, slot), abs=1e-9)


@given(rounds, slots)
def test_a_slot_no_longer_than_wide_is_a_round_hole(pin: Pin, slot: Hole) -> None:
    as_wide = replace(slot, slot_mm=slot.drill_mm)
    assert room(pin, as_wide) == pytest.approx(room(pin, replace(slot, slot_mm=None)), abs=1e-9)


def _direction(degrees: float) -> tuple[float, float]:
    return cos(radians(degrees)), sin(radians(degrees))
