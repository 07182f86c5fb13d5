"""What a board file says of its holes' room and of what stands round a position: clearance, tolerances, keep-outs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bom.boards.board import KeepOut
from bom.fit.hole_clearance import LEVELS, Stacking
from bom.intake.tables import Table


def hole_options(table: Table) -> Mapping[str, Any]:
    """The board's fields of how tight its holes may be and how far legs may be bent."""
    return {
        "hole_clearance": table.one_of("hole_clearance", tuple(LEVELS)),
        "hole_tolerances": table.one_of("hole_tolerances", tuple(s.value for s in Stacking)),
        "drill_tolerance_mm": table.not_negative("drill_tolerance_mm"),
        "hole_position_tolerance_mm": table.not_negative("hole_position_tolerance_mm"),
        "leg_dressing_mm": table.not_negative("leg_dressing_mm") or 0.0,
    }


def keep_outs(position: Table) -> tuple[KeepOut, ...]:
    """The position's ``[[position.keep_out]]`` tables, in the hole pattern's own mm."""
    return tuple(map(_keep_out, position.tables("keep_out")))


def _keep_out(table: Table) -> KeepOut:
    for key in ("x_mm", "y_mm", "length_mm", "width_mm"):
        if key not in table:
            table.wrong(key, "a length in mm", "nothing")
    return KeepOut(
        name=table.needed("name"),
        x_mm=table.number("x_mm") or 0.0,
        y_mm=table.number("y_mm") or 0.0,
        length_mm=table.positive("length_mm") or 0.0,
        width_mm=table.positive("width_mm") or 0.0,
        angle_deg=table.number("angle_deg") or 0.0,
        from_mm=table.not_negative("from_mm") or 0.0,
    )
