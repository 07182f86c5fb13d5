"""How long a latching coil is driven: at least three times its operate time (MIL-PRF-6106, notes)."""

from __future__ import annotations

from bom.boards.board import Driver, Place
from bom.duty.judging import held, unknown
from bom.relays.relay import CoilSystem, Relay
from bom.values.finding import Finding, Outcome

PULSE_TIMES = 3.0
SOURCE = "MIL-PRF-6106, notes: pulse at least three times the operate time, never both coils at once"
LATCHING = (CoilSystem.LATCHING_1_COIL, CoilSystem.LATCHING_2_COIL)


def pulse(relay: Relay, place: Place, fitted: Relay | None = None) -> tuple[Finding, ...]:
    """Asked of latching relays alone; where the board states no pulse, a part no slower than the fitted one passes."""
    if relay.coil_system not in LATCHING:
        return ()
    driven, operate = (place.position.driver or Driver()).pulse_ms, relay.operate_ms
    if driven is None or operate is None:
        return (_like_fitted(operate, fitted.operate_ms if fitted else None, driven),)
    need = PULSE_TIMES * operate
    why = f"operates in {operate:g} ms, so is to be driven for {need:g} ms, and the board drives it for {driven:g} ms"
    return (held("latching pulse", need, driven, "ms", why, SOURCE),)


def _like_fitted(ours: float | None, theirs: float | None, driven: float | None) -> Finding:
    if ours is None or theirs is None or ours > theirs:
        return unknown("latching pulse", {"operate time, ms": ours, "how long the board drives the coil, ms": driven})
    why = f"operates in {ours:g} ms, the fitted part in {theirs:g} ms, so the board's pulse is long enough"
    source = "compared with the fitted part: common practice, no source"
    return Finding("latching pulse", Outcome.PASS, why, f"{theirs:g} ms", f"{ours:g} ms", source=source)
