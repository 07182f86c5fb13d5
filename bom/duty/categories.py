"""Standard classes of loads and contacts: utilisation categories such as AC-15, rating designations such as A300.

A category says how hard a load of its kind makes and breaks: IEC 60947-5-1, table 4 (control circuits), read in
sources 13 and 14 (table 3-3); IEC 60947-4-1 (contactors), read in source 14. A designation says what a contact may
make and break at any volts, and carry: its letter stands for the VA, its number for the highest volts; IEC 60947-5-1,
annex A, table A.1, the same in UL 508 and NEMA ICS 5, read in sources 13 and 15. Values marked so are from memory.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from bom.duty.sources import CATEGORY_OVERVIEW, CONTACTOR_MANUAL, DURABILITY_PAGE
from bom.relays.relay import SupplyKind

CATEGORY_SOURCE = "IEC 60947-5-1, table 4"
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
    source: str = CATEGORY_SOURCE

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


_MEMORY = f"{CATEGORY_SOURCE}, from memory"
_CAPACITY = f"{CONTACTOR_SOURCE}, making and breaking capacity test, {CONTACTOR_MANUAL.cited}, page 3-5"
CATEGORIES = {
    c.name: c
    for c in (
        Category("AC-12", "resistive and opto-isolated loads", 1, 1, 0.9),
        Category(
            "AC-13",
            "solid state with transformer isolation",
            2,
            1,
            0.65,
            source=f"{CATEGORY_SOURCE}; cos φ from memory",
        ),
        Category("AC-14", "electromagnets to 72 VA", 6, 1, 0.3),
        Category("AC-15", "electromagnets above 72 VA", 10, 1, 0.3, source=f"{CATEGORY_SOURCE}; cos φ from memory"),
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
    """The category an electromagnet of this size falls in.

    >>> electromagnet_category(230, 0.2, SupplyKind.AC), electromagnet_category(230, 0.5, SupplyKind.AC)
    ('AC-14', 'AC-15')
    """
    if supply is SupplyKind.DC:
        return "DC-13"
    return "AC-14" if volts * amps <= AC_14_MOST_VA else "AC-15"


def dc_13_t95_ms(volts: float, amps: float) -> float:
    """Milliseconds in which the magnet's current reaches 95 %: 6 P, P in watts, to 300. IEC 60947-5-1, from memory."""
    return min(6.0 * volts * amps, DC_13_MOST_MS)


def dc_13_lr_ms(volts: float, amps: float) -> float:
    """L/R in ms of a DC-13 magnet of this size: a third of its T0.95, since e to the minus 3 is 0.05."""
    return dc_13_t95_ms(volts, amps) / 3.0


DESIGNATION_SOURCE = "IEC 60947-5-1, table A.1 (UL 508, NEMA ICS 5)"

_AC = {  # letter: thermal amps, VA making, VA breaking
    "A": (10.0, 7200.0, 720.0),
    "B": (5.0, 3600.0, 360.0),
    "C": (2.5, 1800.0, 180.0),
    "D": (1.0, 432.0, 72.0),
    "E": (0.5, 216.0, 36.0),
}
# letter: thermal amps, VA to 300 V, amps from 301 to 600 V (None = there is no 600 V class)
_DC: dict[str, tuple[float, float, float | None]] = {
    "N": (10.0, 275.0, 0.4),
    "P": (5.0, 138.0, 0.2),
    "Q": (2.5, 69.0, 0.1),
    "R": (1.0, 28.0, None),
}
_CLASSES = {
    **dict.fromkeys("ABC", (150, 300, 600)),
    **dict.fromkeys("NPQ", (150, 300, 600)),
    **dict.fromkeys("DR", (150, 300)),
    "E": (150,),
}
_PRINTED_DC = {  # at 125 V, at 250 V
    "N": (2.2, 1.1),  # just what its VA give there, so no test can tell a higher figure
    "P": (1.1, 0.55),
    "Q": (0.55, 0.27),
    "R": (0.22, 0.11),
}
_LEAST_AC_VOLTS = 120.0
"""The first AC column: below it the making current stays as printed there, and only breaking follows VA / V."""

R300_AT_250 = (0.11, 0.1)
"""R300 at 250 V: 0.11 A in both tables read, 0.1 A in some catalogues (from memory). The first is used."""

R300_DIFFERS = f" (some catalogues print {R300_AT_250[1]:g} A at 250 V)"

_WRITTEN = re.compile(r"([A-ENPQR])(150|300|600)")


@dataclass(frozen=True, slots=True)
class Designation:
    """A designation by its letter and highest volts; amps throughout."""

    letter: str
    volts: int

    @property
    def name(self) -> str:
        return f"{self.letter}{self.volts}"

    @property
    def supply(self) -> SupplyKind:
        return SupplyKind.AC if self.letter in _AC else SupplyKind.DC

    @property
    def thermal_amps(self) -> float:
        """What the closed contact carries continuously."""
        return _AC[self.letter][0] if self.letter in _AC else _DC[self.letter][0]

    def make_amps(self, volts: float) -> float | None:
        """The most it makes at these volts; None above its highest, or at none.

        AC: VA over volts, and below 120 V as at 120 V; DC: as it breaks.
        """
        if not 0 < volts <= self.volts:
            return None
        if self.supply is SupplyKind.DC:
            return self.break_amps(volts)
        return _AC[self.letter][1] / max(volts, _LEAST_AC_VOLTS)

    def break_amps(self, volts: float) -> float | None:
        """The most it breaks at these volts: VA over volts, never above the thermal current; None above its highest.

        DC: nowhere more than a column at lower volts prints; from 301 to 600 V the one figure printed.
        """
        if not 0 < volts <= self.volts:
            return None
        if self.supply is SupplyKind.AC:
            return min(_AC[self.letter][2] / volts, self.thermal_amps)
        return self._dc_amps(volts)

    @property
    def prints(self) -> str:
        """Its row of the table in a line."""
        columns = (120, 240, 480, 600) if self.supply is SupplyKind.AC else (125, 250, 600)
        amps = ", ".join(self._at(v) for v in columns if v <= self.volts)
        differ = R300_DIFFERS if self.name == "R300" else ""
        return f"{self.supply.upper()}, {self.thermal_amps:g} A continuously; {amps}{differ}"

    def _at(self, volts: float) -> str:
        # up to its highest volts it has both, so no test can reach the zeros
        make, broken = self.make_amps(volts) or 0.0, self.break_amps(volts) or 0.0
        both = f"{make:g} A" if make == broken else f"makes {make:g} A and breaks {broken:g} A"
        return f"{both} at {volts:g} V"

    def _dc_amps(self, volts: float) -> float | None:
        thermal, va, high = _DC[self.letter]
        if volts > 300:
            return high
        columns = zip((125.0, 250.0), _PRINTED_DC[self.letter], strict=True)
        return min(va / volts, thermal, *(amps for column, amps in columns if column <= volts))


@lru_cache(maxsize=1024)
def designation(text: str) -> Designation | None:
    """The designation so written, or None for what is not in the table: D600, E300 and R600 do not exist.

    >>> b300 = designation("B300")
    >>> b300.make_amps(240), b300.break_amps(240), b300.thermal_amps
    (15.0, 1.5, 5.0)
    """
    if (found := _WRITTEN.fullmatch(text.strip().upper())) is None:
        return None
    letter, volts = found[1], int(found[2])
    return Designation(letter, volts) if volts in _CLASSES[letter] else None


def all_designations() -> tuple[Designation, ...]:
    return tuple(Designation(letter, volts) for letter, classes in _CLASSES.items() for volts in classes)
