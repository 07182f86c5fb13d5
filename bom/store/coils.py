"""Coils by a reading in ohms: the database leaves out every relay that the reading can't be, and no other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import func, or_, select

from bom.duty.bench_reading import USUAL_REFERENCE_C, USUAL_TOLERANCE_PCT
from bom.duty.coil_heat import ratio
from bom.relays.relay import Relay, Suppression
from bom.store import tables as t
from bom.store.relay_rows import FIELDS
from bom.store.rows import reader

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

_ROUNDING = 1e-6  # a share: what is on the edge is left to the proof


def every_coil(session: Session) -> tuple[Relay, ...]:
    """Every relay: where the coil told nothing, it leaves none out."""
    return tuple(map(reader(Relay), session.execute(select(*(t.relays.c[n] for n in FIELDS)).order_by(t.relays.c.id))))


def coils_near(session: Session, ohms: float, at_c: float, times: float) -> tuple[Relay, ...]:
    """Relays whose stated coil is within so many times its tolerance of ``ohms`` read at ``at_c`` (copper's line).

    A coil with a suppression resistor beside it reads less than is stated of it, so it is left to the proof.
    ValueError where copper's line ends.
    """
    c = t.relays.c
    at_nought = ohms * ratio(at_c, 0.0)
    slope = ratio(0.0, 1.0) - 1.0  # copper's line is straight: so much more for every kelvin
    read = at_nought * (1.0 + slope * func.coalesce(c.coil_ref_temp_c, USUAL_REFERENCE_C))
    slack = times * func.coalesce(c.coil_ohms_tol_pct, USUAL_TOLERANCE_PCT) / 100.0 + _ROUNDING
    near = read.between(c.coil_ohms * (1.0 - slack), c.coil_ohms * (1.0 + slack))
    rows = select(*(c[name] for name in FIELDS)).where(or_(near, c.coil_suppression == Suppression.RESISTOR.value))
    return tuple(map(reader(Relay), session.execute(rows.order_by(c.id))))
