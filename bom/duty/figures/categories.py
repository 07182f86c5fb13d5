"""Utilisation categories: how hard a load of each makes and breaks, and which category an electromagnet falls in.

Source: IEC 60947-5-1, table 4 (control circuits), read in sources 13 and 14 (table 3-3); IEC 60947-4-1 (contactors),
read in source 14. Values marked so are from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

from bom.duty.figures.sources import CATEGORY_OVERVIEW, CONTACTOR_MANUAL, DURABILITY_PAGE
from bom.relays.relay import SupplyKind

SOURCE = "IEC 60947-5-1, table 4"
CONTACTOR_SOURCE = "IEC 60947-4-1"


@dataclass(frozen=True, slots=True)
class Category:
    """Times the rated current made and broken; power factor (AC) or time constant in ms (DC) of the test."""

    name: str
    load: str
    make_times: float
    break_times: float
    power_factor: float | None = None
    time_ms: float | None = None
    source: str = SOURCE

    @property
    def prints(self) -> str:
        """Its figures in a line, with those of another test beside them where another source prints some."""
        said = f"{self.load}: makes {self.make_times:g} and breaks {self.break_times:g} times its amps"
        if self.power_factor is not None:
            said += f" at power factor {self.power_factor:g}"
        if self.time_ms is not None:
            said += f" at {self.time_ms:g} ms"
        if self.start_times != self.make_times:
            said += f", and at every start {self.start_times:g} times"
        return f"{said}{_elsewhere(self.name)}"

    @property
    def start_times(self) -> float:
        """Times its amps that it makes at every start. A contactor's making capacity is shown a few times only, so
        there the durability test counts."""
        return DURABLE_MAKE.get(self.name, self.make_times)

    @property
    def supply(self) -> SupplyKind:
        return SupplyKind.AC if self.name.startswith("AC") else SupplyKind.DC


def _elsewhere(name: str) -> str:
    """What other sources print of the same category; both are right for their own test."""
    if name == "DC-13":
        return f"; T0.95 is 6 ms for each watt, to {DC_13_MOST_MS:g} ms"
    if name == "AC-15":
        making, breaking = DURABILITY_AC_15
        durable = f"makes at power factor {making:g} and breaks at {breaking:g}"
        return f"; its durability test {durable}, {DURABILITY_PAGE.cited}"
    if name in DEFINED_LR_MS and DEFINED_LR_MS[name] != CATEGORIES[name].time_ms:
        return f"; defined elsewhere by L/R to {DEFINED_LR_MS[name]:g} ms, {CATEGORY_OVERVIEW.cited}"
    return ""


_MEMORY = f"{SOURCE}, from memory"
_CAPACITY = f"{CONTACTOR_SOURCE}, making and breaking capacity test, {CONTACTOR_MANUAL.cited}, page 3-5"
CATEGORIES = {
    c.name: c
    for c in (
        Category("AC-12", "resistive and opto-isolated loads", 1, 1, 0.9),
        Category("AC-13", "solid state with transformer isolation", 2, 1, 0.65, source=f"{SOURCE}; cos φ from memory"),
        Category("AC-14", "electromagnets to 72 VA", 6, 1, 0.3),
        Category("AC-15", "electromagnets above 72 VA", 10, 1, 0.3, source=f"{SOURCE}; cos φ from memory"),
        Category("DC-12", "resistive and opto-isolated loads", 1, 1, time_ms=1, source=_MEMORY),
        Category("DC-13", "electromagnets", 1, 1, source=_MEMORY),
        Category("DC-14", "electromagnets with economy resistor", 10, 1, time_ms=15, source=_MEMORY),
        Category(
            "AC-1", "heaters, power factor 0.95 and above", 1.5, 1.5, 0.8, source=f"{CONTACTOR_SOURCE}, from memory"
        ),
        Category(
            "AC-3", "cage motors, stopped while running", 10, 8, 0.45, source=f"{CONTACTOR_SOURCE}; cos φ from memory"
        ),
        Category("AC-4", "cage motors, plugged and inched", 12, 10, 0.45, source=f"{CONTACTOR_SOURCE}, from memory"),
        Category("DC-1", "non-inductive loads", 1.5, 1.5, time_ms=1.0, source=_CAPACITY),
        Category("DC-3", "shunt motors, plugged and inched", 4, 4, time_ms=2.5, source=_CAPACITY),
        Category("DC-5", "series motors, plugged and inched", 4, 4, time_ms=15, source=_CAPACITY),
        Category("DC-6", "filament lamps", 1.5, 1.5, source=_CAPACITY),
    )
}

DEFINED_LR_MS = {"DC-1": 1.0, "DC-3": 2.0, "DC-5": 7.5}
"""L/R by which the same categories are defined elsewhere (source 18; IEC 947-4 in reprints):
another test than the capacity test in ``CATEGORIES``, so both are right for their own."""

DURABILITY_AC_15 = (0.7, 0.4)
"""Power factor making and breaking in the electrical durability test of AC-15, as source 16 prints it, where the table
of normal conditions has 0.3 for both."""

DURABLE_MAKE = {"AC-1": 1.0, "AC-3": 6.0, "AC-4": 6.0, "DC-1": 1.0, "DC-3": 2.5, "DC-5": 2.5, "DC-6": 1.0}
"""Times the amps of a contactor category made in its electrical durability test. AC-3: source 17; DC-3: IEC 947-4 in
reprints; AC-4 and DC-5 are no easier than those; the rest are taken at their amps."""

AC_14_MOST_VA = 72.0
"""Electromagnets to here are AC-14, above AC-15: sources 14, 18 and 19."""

DC_13_MOST_MS = 300.0
"""The longest T0.95: larger magnets are taken as small ones in parallel. IEC 60947-5-1, from memory."""


def electromagnet_category(volts: float, amps: float, supply: SupplyKind) -> str:
    """The category an electromagnet of this size falls in."""
    if supply is SupplyKind.DC:
        return "DC-13"
    return "AC-14" if volts * amps <= AC_14_MOST_VA else "AC-15"


def dc_13_t95_ms(volts: float, amps: float) -> float:
    """Milliseconds in which the magnet's current reaches 95 %: 6 P, P in watts, to 300. IEC 60947-5-1, from memory."""
    return min(6.0 * volts * amps, DC_13_MOST_MS)


def dc_13_lr_ms(volts: float, amps: float) -> float:
    """L/R in ms of a DC-13 magnet of this size: a third of its T0.95, since e to the minus 3 is 0.05."""
    return dc_13_t95_ms(volts, amps) / 3.0
