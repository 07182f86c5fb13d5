"""How hard a published line was tested: its time constant or power factor, and whether a load is harder than that."""

from __future__ import annotations

from collections.abc import Iterable

from bom.boards.board import Load
from bom.duty.contact.load_kinds import MAGNETS, kind_of, serving
from bom.duty.figures.categories import CATEGORIES, dc_13_lr_ms
from bom.duty.figures.designations import designation
from bom.relays.relay import Rating, SupplyKind

PILOT_POWER_FACTOR = 0.35
"""Power factor of the UL pilot-duty test: source 20."""


def load_lr_ms(load: Load) -> float | None:
    """The load's L/R in ms: as stated, or for an electromagnet on DC as its category implies."""
    if load.lr_ms is not None or load.volts is None or load.amps is None:
        return load.lr_ms
    return dc_13_lr_ms(load.volts, load.amps) if kind_of(load) == "DC-13" else None


def tested_lr_ms(rating: Rating) -> float | None:
    """The L/R in ms a line was tested with: as stated, or as its category or DC designation implies."""
    if rating.lr_ms is not None:
        return rating.lr_ms
    pilot = designation(rating.load)
    magnet = rating.load == "DC-13" or (pilot is not None and pilot.supply is SupplyKind.DC)
    return dc_13_lr_ms(rating.volts, rating.amps) if magnet and rating.amps is not None else None


def tested_power_factor(rating: Rating) -> float | None:
    """The power factor a line was tested with: as stated, or as its category or AC designation implies."""
    if rating.power_factor is not None:
        return rating.power_factor
    pilot = designation(rating.load)
    if pilot is not None:
        return PILOT_POWER_FACTOR if pilot.supply is SupplyKind.AC else None
    return CATEGORIES[rating.load].power_factor if rating.load in CATEGORIES else None


def as_hard(rating: Rating, load: Load) -> bool:
    """A line tested with a shorter time constant, or a better power factor, than the load's does not speak for it."""
    if tested_as_its_kind(rating, load):
        return True
    lr_ms, tested_ms = load_lr_ms(load), tested_lr_ms(rating)
    easier_dc = tested_ms is not None and lr_ms is not None and lr_ms > tested_ms
    tested = tested_power_factor(rating)
    easier_ac = tested is not None and load.power_factor is not None and load.power_factor < tested
    return not (easier_dc or easier_ac)


def tested_as_its_kind(rating: Rating, load: Load) -> bool:
    """A load of a utilisation category that states no L/R or power factor of its own, on a line of that category, or
    an electromagnet on a pilot-duty line: its amps alone are asked."""
    kind = kind_of(load)
    if kind not in CATEGORIES or load.lr_ms is not None or load.power_factor is not None:
        return False
    return rating.load == kind or (kind in MAGNETS and designation(rating.load) is not None)


def not_hard_enough(ratings: Iterable[Rating], load: Load) -> str:
    """Why the lines for this kind of load do not speak for it: tested with an easier L/R or power factor."""
    lines = [r for r in ratings if r.load in serving(load) and reaches(r, load) and not as_hard(r, load)]
    if not lines:
        return ""
    tested, line = lines[0], f"the {lines[0].load} line was tested"
    if load.supply is SupplyKind.DC:
        return f"{line} with L/R {tested_lr_ms(tested):g} ms, the load has {load_lr_ms(load):g} ms"
    return f"{line} at power factor {tested_power_factor(tested):g}, the load has {load.power_factor:g}"


def reaches(rating: Rating, load: Load) -> bool:
    """Whether the line holds at the load's volts: at them or above."""
    return load.volts is not None and rating.volts >= load.volts
