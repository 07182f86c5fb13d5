"""Contact rating designations such as A300 and R150: what a contact may make and break at any volts, and carry.

Source: IEC 60947-5-1, annex A, table A.1; the same in UL 508 and NEMA ICS 5; read in sources 13
and 15. A letter stands for the VA, the number for the highest volts.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from bom.relays.relay import SupplyKind

SOURCE = "IEC 60947-5-1, table A.1 (UL 508, NEMA ICS 5)"

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
