"""Rules of thumb as data: one table for each publication, with what it prints and nothing else.

``inrush_times`` is the peak at switching on over the running current, (lowest, highest) printed; it is held
against the contact's resistive make rating. ``size_times`` is what the running current is multiplied by to get the
smallest resistive rating that may carry it, by load and system volts; ``percent`` the same at any volts, as the share
of the resistive rating. ``by_power_factor``: inductive amps are the resistive ones times the load's power factor.
``coil_kelvin_per_watt``: how warm a coil gets itself. A load a publication is silent on is absent.

Where publications disagree each keeps its own figure: ``bom.duty.figures.rules.compared`` puts them side by side.
"""

from __future__ import annotations

from bom.duty.figures.rule import Rule
from bom.duty.figures.sources import (
    DERATING_PAGE,
    INDUCTIVE_ANSWER,
    LOAD_TYPES,
    OUTPUT_MODULE,
    RATINGS_ANSWER,
    SNAP_SWITCHES,
)

TEN_SIX = Rule(
    name="times ten lamp, times six motor",
    source=f"{LOAD_TYPES.cited}: compare the inrush with the resistive rating",
    inrush_times={"resistive": (1, 1), "lamp": (10, 10), "motor": (6, 6)},
)

SNAP_SWITCH = Rule(
    name="up to five",
    source=f"{SNAP_SWITCHES.cited}, slide 13: inductive 2, lamp or motor up to 5",
    inrush_times={"resistive": (1, 1), "inductive": (2, 2), "lamp": (5, 5), "motor": (5, 5)},
)

RELAY_OUTPUT = Rule(
    name="relay output module",
    source=f"{OUTPUT_MODULE.cited}, page 8: inrush by kind of load",
    inrush_times={
        "resistive": (1, 1),
        "solenoid": (10, 20),
        "motor": (5, 10),
        "lamp": (10, 15),
        "mercury lamp": (3, 3),
        "sodium lamp": (1, 3),
        "capacitive": (20, 40),
        "led supply": (20, 40),
        "transformer": (5, 15),
    },
    note="a LED supply is taken as the capacitive load that its input is: common practice, no source",
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
    note="a switch derated for AC does not serve DC",
)

FORTY_PERCENT = Rule(
    name="forty percent inductive",
    source=f"{INDUCTIVE_ANSWER.cited}: 5 A resistive, 2 A inductive at cos φ 0.4 or L/R 7 ms",
    percent={"resistive": 100, "inductive": 40},
    note="inductive to cos φ 0.4 and L/R 7 ms",
    to_lr_ms=7,
    from_power_factor=0.4,
)

POWER_FACTOR = Rule(
    name="power factor",
    source=f"{RATINGS_ANSWER.cited}: 10 A at 250 V AC becomes 4 A at cos φ 0.4, 7 A at 0.7",
    by_power_factor=True,
)

HALF_STRESS = Rule(
    name="half stress",
    source=f"{DERATING_PAGE.cited}: contact stress ratio 0.50 at most; coil volts not derated",
    percent={"resistive": 50},
)

EQUAL_STRESS = Rule(
    name="equal stress",
    source="MIL-HDBK-217F, 13.1, load stress factors 0.8, 0.4 and 0.2 of resistive, inductive and lamp loads",
    percent={"resistive": 100, "inductive": 50, "lamp": 25},
    from_memory=True,
    note="it prints failure factors; the shares, worked out from them, are those at which the factors are equal",
)

LEVEL_TWO = Rule(
    name="reliability level two",
    source="RADC-TR-84-254, contact current of rated resistive, level II",
    percent={"resistive": 75, "inductive": 40},
    from_memory=True,
    note="confirm against the report before anything rests on it; its 75 % for capacitive loads is not taken, since it "
    "does not tell their peak at switching on",
)

WARM_COIL = Rule(
    name="warm coil",
    source="common practice, no source: a small relay's coil gains about 50 K for each watt",
    coil_kelvin_per_watt=50.0,
    note="measure the rise by the coil's resistance instead where you can",
)

TABLES: tuple[Rule, ...] = (
    TEN_SIX,
    SNAP_SWITCH,
    RELAY_OUTPUT,
    MILITARY_LAMP,
    AIRCRAFT,
    FORTY_PERCENT,
    POWER_FACTOR,
    HALF_STRESS,
    EQUAL_STRESS,
    LEVEL_TWO,
    WARM_COIL,
)
