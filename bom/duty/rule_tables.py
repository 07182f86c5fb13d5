"""Rules of thumb as data: one table for each publication, with what it prints and nothing else.

``inrush_times`` is the peak at switching on over the running current, (lowest, highest) printed; it is held
against the contact's resistive make rating. ``size_times`` is what the running current is multiplied by to get the
smallest resistive rating that may carry it, by load and system volts. A load a publication is silent on is absent.
"""

from __future__ import annotations

from bom.duty.rule import Rule

TEN_SIX = Rule(
    name="times ten lamp, times six motor",
    source="Omron, Load Types & Ratings (switch guide): compare the inrush with the resistive rating",
    inrush_times={"resistive": (1, 1), "lamp": (10, 10), "motor": (6, 6)},
)

SNAP_SWITCH = Rule(
    name="up to five",
    source="Omron snap switches, product training module (2011), slide 13: inductive 2, lamp or motor up to 5",
    inrush_times={"resistive": (1, 1), "inductive": (2, 2), "lamp": (5, 5), "motor": (5, 5)},
)

RELAY_OUTPUT = Rule(
    name="relay output module",
    source="National Instruments FP-RLY-420 manual, page 8: inrush by kind of load",
    inrush_times={
        "resistive": (1, 1),
        "solenoid": (10, 20),
        "motor": (5, 10),
        "lamp": (10, 15),
        "mercury lamp": (3, 3),
        "sodium lamp": (1, 3),
        "capacitive": (20, 40),
        "transformer": (5, 15),
    },
)

MILITARY_LAMP = Rule(
    name="twelve-fold lamp test",
    source="MIL-R-5757J, 4.6.20.3: lamp load simulated by making 12 times rated for 15 to 20 ms at 28 V DC",
    inrush_times={"lamp": (12, 12)},
)

AIRCRAFT = Rule(
    name="aircraft switch derating",
    source="FAA AC 43.13-1B, Table 11-4, switch derating factors",
    size_times={
        12: {"lamp": 5, "inductive": 2, "resistive": 1, "motor": 2},
        28: {"lamp": 8, "inductive": 4, "resistive": 2, "motor": 3},
    },
)

TABLES: tuple[Rule, ...] = (TEN_SIX, SNAP_SWITCH, RELAY_OUTPUT, MILITARY_LAMP, AIRCRAFT)
