"""The kinds of lists that a shop keeps, each with its columns and those that it cannot do without."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bom.intake.drawings import FOOTPRINT_COLUMNS, HOLE_COLUMNS, WIRING_COLUMNS
from bom.intake.shelf_files import COUNT_COLUMNS, LEVEL_COLUMNS, STOCK_COLUMNS, USAGE_COLUMNS
from bom.relays.relay import Rating, Relay, SupplyPart
from bom.values.column import Column, described
from bom.values.problem import Refused
from bom.values.reading import LISTS


@dataclass(frozen=True, slots=True)
class KindOfList:
    """``columns`` by name; ``required`` must stand in the file or in each row of it. ``taken_by`` is the command that
    takes such a file, without its name."""

    of: str
    columns: Mapping[str, Column]
    required: tuple[str, ...]
    taken_by: str


def kind_of_list(of: str) -> KindOfList:
    """The kind of this name; raises Refused for one that is none."""
    if of not in LISTS:
        raise Refused(f"expected one of {', '.join(LISTS)}, found {of!r}")
    columns, taken_by = {
        "relays": (described(Relay), "bom catalog add"),
        "footprints": (FOOTPRINT_COLUMNS, "bom catalog add"),
        "wirings": (WIRING_COLUMNS, "bom catalog add"),
        "ratings": (described(Rating), "bom catalog add"),
        "supplies": (described(SupplyPart), "bom catalog add"),
        "stock": (STOCK_COLUMNS, "bom stock in --file"),
        "usage": (USAGE_COLUMNS, "bom stock usage"),
        "levels": (LEVEL_COLUMNS, "bom stock level --file"),
        "counts": (COUNT_COLUMNS, "bom stock count --file"),
        "pins": (FOOTPRINT_COLUMNS, "bom fit --pins"),
        "holes": (HOLE_COLUMNS, "bom fit --holes"),
    }[of]
    loose = {"pins": "footprint", "holes": "pattern"}.get(of, "")
    required = tuple(name for name, column in columns.items() if column.needed and name != loose)
    return KindOfList(of, columns, tuple(LEVEL_COLUMNS) if of == "levels" else required, taken_by)
