"""How much solder a through-hole joint takes: by its geometry, or by a reel weighed before and after.

Volume = hole - pin + two fillets (one on a board whose holes are not plated). The fillet is a quarter circle swept
round the pin: 0.215 r² · (0.2234 r + a) · 2π with r half the difference of pad and pin and a the pin's radius (0.215 is
1 - π/4). Source: Indium Corporation's process worksheet for preforms, which attributes it to Gervascio, SMTAI 1994,
pages 333-340. Excess and flux are common practice, no source: weigh a reel to do better.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from bom.values.problem import Refused

GRAMS_PER_CM3 = {"SAC305": 7.38, "Sn63Pb37": 8.40, "Sn60Pb40": 8.50, "Sn99.3Cu0.7": 7.31}
"""Density of solder alloys. Source: alasir.com, reference/solder_alloys."""

HAND_EXCESS = 1.2
"""A hand's joint over the calculated one. Common practice, no source."""

FLUX_PCT = 2.2
"""Flux in cored wire, percent of its mass. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Joint:
    """One through-hole joint in mm: hole, pin and pad are diameters. ``plated`` = a fillet on each side."""

    hole_mm: float
    pin_mm: float
    pad_mm: float
    board_mm: float
    plated: bool = True

    def __post_init__(self) -> None:
        if not 0 < self.pin_mm < self.hole_mm <= self.pad_mm or self.board_mm <= 0:
            sizes = f"pin {self.pin_mm}, hole {self.hole_mm}, pad {self.pad_mm}, board {self.board_mm} mm"
            raise Refused(f"expected a pin thinner than its hole, and a hole no wider than its pad, found {sizes}")


def fillet_mm3(joint: Joint) -> float:
    """The solder of one fillet, in mm³."""
    r, a = (joint.pad_mm - joint.pin_mm) / 2, joint.pin_mm / 2
    return (1 - math.pi / 4) * r**2 * (0.2234 * r + a) * 2 * math.pi


def joint_mm3(joint: Joint) -> float:
    """The solder of the whole joint, in mm³; an unplated hole holds none.

    >>> round(joint_mm3(Joint(hole_mm=1.0, pin_mm=0.8, pad_mm=1.8, board_mm=1.6)), 2)
    0.8
    """
    if not joint.plated:
        return fillet_mm3(joint)
    barrel = math.pi / 4 * (joint.hole_mm**2 - joint.pin_mm**2) * joint.board_mm
    return barrel + 2 * fillet_mm3(joint)


def metal_grams(joint: Joint, alloy: str) -> float:
    """The joint's mass in g. Refused for an alloy whose density is not in the table."""
    if alloy not in GRAMS_PER_CM3:
        raise Refused(f"expected an alloy of {', '.join(GRAMS_PER_CM3)}, found {alloy!r}")
    return joint_mm3(joint) / 1000 * GRAMS_PER_CM3[alloy]


def wire_grams(metal: float, excess: float = HAND_EXCESS, flux_pct: float = FLUX_PCT) -> float:
    """Cored wire to take for so many grams of joints."""
    if excess < 1 or not 0 <= flux_pct < 100:
        raise Refused(f"expected an excess of 1 or more and flux below 100 %, found {excess} and {flux_pct}")
    return metal * excess / (1 - flux_pct / 100)


def weighed_grams(before: float, after: float, joints: int) -> float:
    """Wire for one joint, from a reel weighed before and after so many of them."""
    if joints < 1 or after < 0 or after >= before:
        raise Refused(f"expected a reel that got lighter over some joints, found {before} g, {after} g, {joints}")
    return (before - after) / joints


def holds_lead(alloy: str) -> bool | None:
    """Whether an alloy or a wire of this name holds lead; None where the name does not say, or says both."""
    plain = re.sub(r"[\s_-]", "", alloy.upper())
    without, with_it = bool(_WITHOUT_LEAD.search(plain)), bool(_WITH_LEAD.search(plain))
    return None if without == with_it else with_it


_WITHOUT_LEAD = re.compile(r"LEADFREE|PBFREE|UNLEADED|SAC\d|SN9\d|SN100")
_WITH_LEAD = re.compile(r"60/40|63/37|SN\d*PB|SN6[023](?!\d)|(?<!UN)LEADED")
"""How alloys are written: trade usage, from memory."""
