"""Solder by geometry, by density and by a weighed reel; alloys told by their names."""

from __future__ import annotations

import math

import pytest

from bom.kits.solder import (
    GRAMS_PER_CM3,
    Joint,
    fillet_mm3,
    holds_lead,
    joint_mm3,
    metal_grams,
    weighed_grams,
    wire_grams,
)
from bom.values.problem import Refused

# Hole, pin and pad diameters and board thickness in mm; self-consistency: no worked example of the formula was found in
# print, so the figures were worked out from it once, by hand, and hold the code to that day.
JOINTS = {
    "relay power": (Joint(1.5, 1.0, 3.0, 1.6), 0.97542, 3.52164),
    "relay coil": (Joint(1.0, 0.6, 2.0, 1.6), 0.30153, 1.40732),
    "dual in line": (Joint(0.9, 0.5, 1.6, 1.6), 0.15209, 1.00789),
}


@pytest.mark.parametrize("name", JOINTS)
def test_a_joint_is_its_barrel_and_two_fillets(name: str) -> None:
    joint, fillet, whole = JOINTS[name]
    assert (fillet_mm3(joint), joint_mm3(joint)) == pytest.approx((fillet, whole), rel=1e-4)


def test_a_fillet_is_the_quarter_circle_left_of_a_square_turned_round_the_pin() -> None:
    """The formula against integration: at height z the fillet reaches from the pin to the quarter circle."""
    joint = Joint(1.2, 1.0, 3.0, 1.6)
    r, a, steps = (joint.pad_mm - joint.pin_mm) / 2, joint.pin_mm / 2, 20_000
    heights = ((n + 0.5) * r / steps for n in range(steps))
    reach = (a + r - math.sqrt(r**2 - (r - z) ** 2) for z in heights)
    volume = sum(math.pi * (x**2 - a**2) * r / steps for x in reach)
    assert fillet_mm3(joint) == pytest.approx(volume, rel=1e-3)


TIN, LEAD, SILVER, COPPER = 7.287, 11.35, 10.5, 8.96
"""g/cm³ near 20 °C: CRC Handbook of Chemistry and Physics, "Physical constants of inorganic compounds"; from memory."""

MADE_OF = {  # shares of mass, as the alloys' names state them (IPC J-STD-006, alloy names)
    "SAC305": {TIN: 0.965, SILVER: 0.030, COPPER: 0.005},
    "Sn63Pb37": {TIN: 0.63, LEAD: 0.37},
    "Sn60Pb40": {TIN: 0.60, LEAD: 0.40},
    "Sn99.3Cu0.7": {TIN: 0.993, COPPER: 0.007},
}


@pytest.mark.parametrize("alloy", GRAMS_PER_CM3)
def test_an_alloy_is_as_dense_as_its_metals_side_by_side(alloy: str) -> None:
    """1/rho = sum of w/rho: volumes add up, to 1 % for these alloys."""
    mixed = 1 / sum(share / density for density, share in MADE_OF[alloy].items())
    assert GRAMS_PER_CM3[alloy] == pytest.approx(mixed, rel=0.01)


@pytest.mark.parametrize(("alloy", "grams"), [("SAC305", 0.025990), ("Sn63Pb37", 0.029582)])
def test_a_joint_weighs_its_volume_times_its_density(alloy: str, grams: float) -> None:
    assert metal_grams(Joint(1.5, 1.0, 3.0, 1.6), alloy) == pytest.approx(grams, rel=1e-4)


def test_wire_is_metal_with_a_hands_excess_and_its_flux() -> None:
    """1 g of joints x 1.2 / (1 - 0.022)."""
    assert wire_grams(1.0) == pytest.approx(1.22699, rel=1e-5)
    assert wire_grams(1.0, 1.0, 0.0) == 1.0


@pytest.mark.parametrize(("excess", "flux"), [(0.99, 2), (1.2, -0.1), (1.2, 100)])
def test_an_excess_or_a_flux_that_cannot_be_is_refused(excess: float, flux: float) -> None:
    with pytest.raises(Refused, match="an excess of 1 or more and flux below 100 %"):
        wire_grams(1.0, excess, flux)


@pytest.mark.parametrize(
    "sizes", [(1.0, 1.0, 3.0, 1.6), (1.0, 0.0, 3.0, 1.6), (2.0, 1.0, 1.9, 1.6), (1.5, 1.0, 3.0, 0.0)]
)
def test_a_joint_that_cannot_be_is_refused(sizes: tuple[float, float, float, float]) -> None:
    with pytest.raises(Refused, match="a pin thinner than its hole"):
        Joint(*sizes)
    assert Joint(2.0, 1.0, 2.0, 1.6).pad_mm == 2.0


def test_a_thin_board_is_a_board() -> None:
    assert Joint(1.5, 1.0, 3.0, 0.8).board_mm == 0.8


def test_an_alloy_of_unknown_density_is_refused() -> None:
    with pytest.raises(Refused, match="expected an alloy of SAC305"):
        metal_grams(Joint(1.5, 1.0, 3.0, 1.6), "Sn50")


def test_a_hole_without_plating_holds_one_fillet_only() -> None:
    assert joint_mm3(Joint(1.5, 1.0, 3.0, 1.6, plated=False)) == pytest.approx(0.97542, rel=1e-4)


def test_a_weighed_reel_beats_geometry() -> None:
    """Arithmetic: 250.0 g before, 241.6 g after 96 joints."""
    assert weighed_grams(250.0, 241.6, 96) == pytest.approx(0.0875)
    assert weighed_grams(9.0, 0.0, 1) == 9.0


@pytest.mark.parametrize("reel", [(250.0, 250.0, 9), (250.0, 260.0, 9), (250.0, 240.0, 0), (250.0, -1.0, 9)])
def test_a_reel_that_got_no_lighter_is_refused(reel: tuple[float, float, int]) -> None:
    with pytest.raises(Refused, match="got lighter"):
        weighed_grams(*reel)


@pytest.mark.parametrize(
    ("name", "lead"),
    [
        ("SAC305-1.0 Solder wire, lead-free", False),
        ("Sn99.3Cu0.7", False),
        ("unleaded wire", False),
        ("Sn60Pb40", True),
        ("Solder 60/40, 1 mm", True),
        ("Sn63 wire", True),
        ("leaded solder", True),
        ("Solder wire 1 mm", None),
        ("SACK of wire", None),
        ("lead-free or 60/40", None),
    ],
)
def test_lead_is_known_by_name_or_not_at_all(name: str, lead: bool | None) -> None:
    """How alloys are written: trade usage, from memory."""
    assert holds_lead(name) is lead
