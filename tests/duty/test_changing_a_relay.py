"""The steps that change a relay."""

from __future__ import annotations

import pytest

from bom.duty.changing_a_relay import ChangeStep, putting_in, taking_out


def texts(steps: tuple[ChangeStep, ...]) -> str:
    return " ".join(step.do for step in steps)


def test_every_step_says_where_it_is_published_or_that_it_is_not() -> None:
    every = (*taking_out({"coating"}), *putting_in({"coating"}), *putting_in(guarded=True))
    assert all(s.source == "common practice, no source" or "[" in s.source or "IPC" in s.source for s in every)


def test_solder_comes_out_before_the_relay_does() -> None:
    said = texts(taking_out())
    assert said.index("drawn off") < said.index("lift the relay out")


def test_makers_limits_for_an_iron_are_said() -> None:
    """Panasonic, relay soldering and cleaning guidelines, DS_X61_EN 091112D: hand soldering, 350 °C, about 3 s."""
    assert "350 °C at most, 3 s at a terminal" in texts(putting_in())


def test_a_joint_is_filled_to_three_quarters() -> None:
    """IPC J-STD-001, plated-through holes, from memory."""
    assert "75% of the hole" in texts(putting_in())


@pytest.mark.parametrize("process", [(), ("wash",), ("coating",), ("wash", "coating")])
def test_coating_comes_off_first_and_on_again_last(process: tuple[str, ...]) -> None:
    coated = "coating" in process
    assert ("Take the coating off" in texts(taking_out(process))) is coated
    assert ("Coat the joints again" in texts(putting_in(process))) is coated


def test_a_safety_function_is_proved_by_others() -> None:
    assert "licensed person proves it" in putting_in(guarded=True)[-1].do
    assert "try each function" not in texts(putting_in(guarded=True))


def test_a_step_has_its_source_behind_it_unless_it_is_practice() -> None:
    published, practice = ChangeStep("Do.", "a guide [1]"), ChangeStep("Do.", "common practice, no source")
    assert (published.words, practice.words) == ("Do. (a guide [1])", "Do.")
