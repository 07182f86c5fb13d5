"""Solder by geometry and density against printed figures; each test names its source."""

from __future__ import annotations

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

# Hole, pin and pad diameters and board thickness in mm; the geometry is assumed, the figures follow from the process
# worksheet's formula 0.215 r² (0.2234 r + a) 2 pi (Indium Corporation, after Gervascio, SMTAI 1994, 333-340).
JOINTS = {
    "relay power": (Joint(1.5, 1.0, 3.0, 1.6), 0.9754, 3.5216, 0.02599, 0.02958, 0.03189),
    "relay coil": (Joint(1.0, 0.6, 2.0, 1.6), 0.3015, 1.4073, 0.01039, 0.01182, 0.01274),
    "dual in line": (Joint(0.9, 0.5, 1.6, 1.6), 0.1521, 1.0079, 0.00744, 0.00847, 0.00913),
}


@pytest.mark.parametrize("name", JOINTS)
def test_a_joint_takes_its_printed_volume_and_mass(name: str) -> None:
    joint, fillet, whole, sac305, sn63, wire = JOINTS[name]
    found = (fillet_mm3(joint), joint_mm3(joint), metal_grams(joint, "SAC305"), metal_grams(joint, "Sn63Pb37"))
    assert found == pytest.approx((fillet, whole, sac305, sn63), rel=2e-3)
    assert wire_grams(metal_grams(joint, "SAC305")) == pytest.approx(wire, rel=2e-3)


def test_a_hole_without_plating_holds_one_fillet_only() -> None:
    assert joint_mm3(Joint(1.5, 1.0, 3.0, 1.6, plated=False)) == pytest.approx(0.9754, rel=2e-3)


def test_densities_mix_by_volume_and_not_by_mass() -> None:
    """hotwires.net/blog/?p=381: 1/rho = sum of w/rho; averaging by mass would make Sn63 8.79 g/cm³."""
    tin, lead = 7.29, 11.34  # g/cm³ near 20 °C, from memory
    assert 1 / (0.63 / tin + 0.37 / lead) == pytest.approx(GRAMS_PER_CM3["Sn63Pb37"], abs=0.02)
    assert 0.63 * tin + 0.37 * lead == pytest.approx(8.79, abs=0.005)


def test_a_weighed_reel_beats_geometry() -> None:
    """Arithmetic: 250.0 g before, 241.6 g after 96 joints."""
    assert weighed_grams(250.0, 241.6, 96) == pytest.approx(0.0875)


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
