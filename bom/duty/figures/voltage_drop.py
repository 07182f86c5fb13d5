"""How many volts may be lost under load, and where: published limits, which sources set differently.

Volts. A drop is measured with the load running; without current there is none, however bad the joint.
"""

from __future__ import annotations

from dataclasses import dataclass

from bom.duty.figures.sources import AUTOMOTIVE_SHEETS, CAR_MANUAL


@dataclass(frozen=True, slots=True)
class DropLimit:
    """The most volts over one stretch of the way from battery to load and back; ``by`` is the source in short."""

    stretch: str
    volts: float
    source: str
    by: str


FAA = "FAA AC 43.13-1B, table 11-6, continuous operation"
BOATS = "ABYC E-11, 11.14.2.6"
WORKSHOP = f"{CAR_MANUAL.cited}, which ascribes it to SAE"
SHEETS = f"{AUTOMOTIVE_SHEETS.cited}: 0.2 V at 10 A over the closed contact, when new"

_BY_MANUAL = "car manual"
SMALL_JOINT = DropLimit("a small wire connection", 0.0, WORKSHOP, _BY_MANUAL)
JOINT = DropLimit("a high-current connection", 0.1, WORKSHOP, _BY_MANUAL)
CONTACT = DropLimit("a switch's or solenoid's contacts", 0.3, WORKSHOP, _BY_MANUAL)
NEW_CONTACT = DropLimit("a new relay's closed contact at 10 A", 0.2, SHEETS, "relay sheets")
CIRCUIT = DropLimit("the whole circuit: above this there is a fault", 1.0, WORKSHOP, _BY_MANUAL)

_FEED = {12: 0.5, 24: 1.0, 115: 4.0, 200: 7.0}
"""Feed and return together by nominal volts; printed for 14, 28, 115 and 200 V systems: FAA AC 43.13-1B, as above."""

_SYSTEMS = ((9.0, 16.0, 12), (18.0, 32.0, 24), (100.0, 130.0, 115), (180.0, 220.0, 200))

BOAT_SHARES = {"critical": 3.0, "other": 10.0}
"""Percent of the nominal volts by which boats' conductors are sized: ABYC E-11, 11.14.2.6, 3 % for main feeders,
blowers, electronics and navigation lights, 10 % for other lighting and what is not critical."""


def feed_limits(nominal_volts: float) -> tuple[DropLimit, ...]:
    """The most the way to the box and back may lose, by each source that says so for these volts."""
    stretch = "from the battery to the box and back"
    system = next((s for low, high, s in _SYSTEMS if low <= nominal_volts <= high), None)
    printed = () if system is None else (DropLimit(stretch, _FEED[system], FAA, "FAA"),)
    shares = (
        DropLimit(stretch, share / 100 * nominal_volts, f"{BOATS}, {kind}", f"boats, {kind}")
        for kind, share in BOAT_SHARES.items()
    )
    return (*printed, *shares)


def words(limit: DropLimit) -> str:
    """The limit and who sets it, in short."""
    return f"{limit.volts:.2g} V ({limit.by})"
