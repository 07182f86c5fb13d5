"""Whether a coil suits what drives it: kind of supply, pull-in, release, current when cold, volts and heat, pulse.

DC and AC coils are kept apart: a DC coil is copper, so its ohms and volts follow temperature (see ``copper``); an AC
coil's current is not its volts over its ohms, and it has findings of its own (``ac_coil``).
"""

from __future__ import annotations

from bom.boards.board import Place
from bom.duty.coil.ac_coil import ac_findings
from bom.duty.coil.copper import COPPER_SOURCE
from bom.duty.coil.driver_limits import (
    boosted_current_cold,
    channel_current_cold,
    current_ma,
    lowest_ohms,
    package_current_cold,
    pulse,
)
from bom.duty.coil.heat import TOO_HOT_TIMES, boost_start, coil_power, highest_volts
from bom.duty.coil.pull_in import lets_go, operate_volts_hot, pulls_in_hot, pulls_in_warm
from bom.duty.figures.rules import DEFAULT, Rule
from bom.duty.margins import unknown
from bom.relays.relay import Design, Relay, SupplyKind
from bom.values.finding import Finding, Outcome

__all__ = [
    "COPPER_SOURCE",
    "TOO_HOT_TIMES",
    "coil_findings",
    "current_ma",
    "lowest_ohms",
    "operate_volts_hot",
    "supply_kind",
]


def coil_findings(
    design: Design, place: Place, original: Design | None = None, rule: Rule = DEFAULT
) -> tuple[Finding, ...]:
    """All findings about the coil; just the one about its kind of supply where that already refuses it."""
    relay, fitted = design.relay, original.relay if original else None
    kind = supply_kind(relay, fitted, place)
    if kind.outcome is Outcome.FAIL:
        return (kind,)
    if relay.coil_supply is SupplyKind.AC:
        return (kind, *ac_findings(relay, place, fitted))
    return (
        kind,
        pulls_in_hot(relay, place, fitted),
        *pulls_in_warm(relay, place, rule, fitted),
        *lets_go(relay, place, fitted),
        channel_current_cold(relay, place, fitted),
        package_current_cold(relay, place, fitted),
        highest_volts(relay, place, fitted),
        *boost_start(relay, place, fitted),
        *boosted_current_cold(relay, place, fitted),
        *coil_power(relay, fitted),
        *pulse(relay, place, fitted),
    )


def supply_kind(relay: Relay, fitted: Relay | None, place: Place) -> Finding:
    """What the board drives its coils with is what the fitted part's coil is for, or a vehicle's DC, or what a
    transistor on a side of the coil drives: DC."""
    board = (fitted.coil_supply if fitted else None) or _board_drives(place)
    if relay.coil_supply is None or board is None:
        return unknown("coil supply", {"coil supply, dc or ac": relay.coil_supply, "what the board drives": board})
    same = relay.coil_supply is board
    why = f"the coil is for {relay.coil_supply.upper()} and the board drives {board.upper()}"
    outcome = Outcome.PASS if same else Outcome.FAIL
    return Finding("coil supply", outcome, why, board.upper(), relay.coil_supply.upper(), source=relay.source)


def _board_drives(place: Place) -> SupplyKind | None:
    """DC where the board file shows it: a road-vehicle supply code, or a driver on one side; None = not told."""
    driver, code = place.position.driver, place.board.supply.code
    return SupplyKind.DC if code not in ("", "Z") or (driver is not None and driver.polarity) else None
