"""Inrush multiples against the publications they come from."""

from __future__ import annotations

import pytest

from bom.duty.rules import DEFAULT, rule_named


@pytest.mark.parametrize(
    ("load", "printed"),
    [
        ("lamp", (10, 15)),
        ("motor", (5, 10)),
        ("solenoid", (10, 20)),
        ("capacitive", (20, 40)),
        ("transformer", (5, 15)),
        ("mercury lamp", (3, 3)),
        ("sodium lamp", (1, 3)),
        ("resistive", (1, 1)),
        ("led supply", (20, 40)),  # taken as the capacitive load that its input is
    ],
)
def test_the_relay_output_table_is_as_printed(load: str, printed: tuple[float, float]) -> None:
    """National Instruments, FP-RLY-420 operating instructions, page 8, table of inrush currents."""
    assert rule_named("relay output module").inrush_times[load] == printed


@pytest.mark.parametrize(("load", "most"), [("lamp", 1.0), ("motor", 1.67)])
def test_a_10_a_resistive_contact_takes_this_much_steady(load: str, most: float) -> None:
    """Omron, Load Types & Ratings (components.omron.com, edition not shown): lamp ten times, motor six times."""
    assert [10 / times for times in DEFAULT.inrush_times[load]] == pytest.approx([most, most], abs=0.01)
    assert DEFAULT.inrush_times["resistive"] == (1, 1)


@pytest.mark.parametrize(
    ("limit", "load", "printed"), [(15, "lamp", 1.5), (30, "lamp", 3), (15, "motor", 2.5), (30, "motor", 5)]
)
def test_steady_current_is_the_inrush_limit_over_the_multiple(limit: float, load: str, printed: float) -> None:
    """Omron, D4MC limit switch data sheet, page 2, ratings: inrush limit 15 A make, 30 A break, and the steady ratings
    printed beside it."""
    assert limit / (DEFAULT.inrush(load) or 0) == pytest.approx(printed)


def test_the_military_lamp_test_makes_twelve_times() -> None:
    """US Department of Defense, MIL-R-5757J, Relays, general specification, 4.6.20.3, page 33."""
    assert rule_named("twelve-fold lamp test").inrush_times == {"lamp": (12, 12)}


@pytest.mark.parametrize(("load", "printed"), [("resistive", 1), ("inductive", 2), ("lamp", 5), ("motor", 5)])
def test_the_snap_switch_guide_says_up_to_five(load: str, printed: float) -> None:
    """Omron, Snap switches, product training module (2011), slide 13."""
    assert rule_named("up to five").inrush_times[load] == (printed, printed)
