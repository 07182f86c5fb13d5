"""Relay kind: monostable or latching, tight enough for what the board goes through, guided contacts for guided ones."""

from __future__ import annotations

from collections.abc import Mapping

from bom.fit.coil_polarity import ONE_WAY
from bom.relays.relay import CoilSystem, Guided, Relay, Sealing
from bom.relays.wiring import Wiring
from bom.values.finding import Finding, Outcome

# What a process asks of the sealing. Wash: sealing categories of IEC 61810-1 (RT III is wash tight).
# Coating: common practice, no source.
PROCESS_NEEDS: Mapping[str, tuple[Sealing, str]] = {
    "wash": (Sealing.RT_III, "sealing categories of IEC 61810-1"),
    "coating": (Sealing.RT_III, "common practice, no source"),
}


def coil_system_finding(
    offered: CoilSystem | None,
    wanted: CoilSystem | None,
    driver_polarity: str = "",
    expected: Wiring | None = None,
    asker: str = "the board expects",
) -> Finding:
    """A latching part is not a monostable one, and a one-way driver cannot reset a single latching coil."""
    wanted = wanted or _system_of(expected, driver_polarity)
    asked, given = (s.value if s else "" for s in (wanted, offered))
    outcome, why = _system_answer(offered, wanted, driver_polarity, asker)
    return Finding("coil system", outcome, why, asked, given)


def _system_answer(
    offered: CoilSystem | None, wanted: CoilSystem | None, polarity: str, asker: str
) -> tuple[Outcome, str]:
    if offered is None:
        return Outcome.UNKNOWN, "look up whether the relay is monostable or latching"
    if offered is CoilSystem.LATCHING_1_COIL and polarity in ONE_WAY:
        return (
            Outcome.FAIL,
            f"a latching relay with one coil needs both polarities; the driver only works one way ({polarity})",
        )
    if wanted is None:
        return Outcome.UNKNOWN, f"find out whether {asker} a monostable or a latching relay"
    if offered is not wanted:
        return Outcome.FAIL, f"{asker} {wanted.value}, the relay is {offered.value}"
    return Outcome.PASS, f"both are {wanted.value}"


def _system_of(expected: Wiring | None, driver_polarity: str) -> CoilSystem | None:
    """One coil a unit and a driver that only works one way leave nothing but a monostable relay."""
    if expected is None or driver_polarity not in ONE_WAY or not expected.coils:
        return None
    units = [c.unit for c in expected.coils]
    return CoilSystem.MONOSTABLE if len(set(units)) == len(units) else None


def sealing_findings(relay: Relay, process: tuple[str, ...]) -> tuple[Finding, ...]:
    """One finding for each thing the finished board goes through that asks for a tight relay."""
    return tuple(_sealing(relay, name) for name in process if name in PROCESS_NEEDS)


def _sealing(relay: Relay, process: str) -> Finding:
    need, source = PROCESS_NEEDS[process]
    asked = f"{need.value} or tighter for {process}"
    if relay.sealing is None:
        return Finding("sealing", Outcome.UNKNOWN, "look up the sealing category", asked, source=source)
    tight = relay.sealing.rank >= need.rank
    why = f"{relay.sealing.value} {'stands' if tight else 'does not stand'} {process}"
    return Finding("sealing", Outcome.PASS if tight else Outcome.FAIL, why, asked, relay.sealing.value, source=source)


def guided_findings(relay: Relay, original: Relay | None) -> tuple[Finding, ...]:
    """Guided contacts are replaced only by guided ones of the same kind (IEC 61810-3 types A and B)."""
    if original is None or original.guided in (None, Guided.NO):
        return ()
    asked, given = original.guided, relay.guided
    return (_guided(f"type {asked.value}" if asked else "", asked, given),)


def _guided(words: str, asked: Guided | None, given: Guided | None) -> Finding:
    check, source = "guided contacts", "IEC 61810-3 types"
    if given is None:
        return Finding(check, Outcome.UNKNOWN, "look up whether the contacts are guided", words, source=source)
    if given is asked:
        return Finding(check, Outcome.PASS, f"guided alike, {words}", words, given.value, source=source)
    why = f"the original has guided contacts of {words}, this relay {given.value}"
    return Finding(check, Outcome.FAIL, why, words, given.value, source=source)
