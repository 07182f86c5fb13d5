"""What a relay's published ratings alone let it come to: its verdict and margin can be no better.

Ratings are stated for a series, so this is worked out once for thousands of relays.
"""

from __future__ import annotations

from bom.duty.check import contact_findings
from bom.duty.rules import DEFAULT, Rule
from bom.match.bounds import bound_findings
from bom.match.conditions import Promise
from bom.match.rated_alike import rating_findings
from bom.match.requirement import Requirement
from bom.relays.relay import Design, Rating, Relay
from bom.relays.wiring import Wiring
from bom.values.finding import Finding, narrowest_margin, verdict_of
from bom.values.finding import Verdict as Verdict

# What is judged by ratings and loads alone, whatever else a sheet states.
_CHECKS = ("running current", "start", "rating temperature", "inductance")
_AMPS = ("min_make_amps", "min_break_amps")


def by_ratings(
    requirement: Requirement, wiring: Wiring | None, ratings: tuple[Rating, ...], rule: Rule = DEFAULT
) -> Promise:
    """The best that any relay with this wiring and these ratings can come to."""
    found = _findings(requirement, Design(Relay("", ""), None, wiring, ratings), rule)
    margin = narrowest_margin(found)
    return Promise(verdict_of(found) if found else Verdict.DROP_IN, float("inf") if margin is None else margin)


def _findings(requirement: Requirement, design: Design, rule: Rule) -> tuple[Finding, ...]:
    place = requirement.place
    if place is not None and place.board.name:
        return tuple(f for f in contact_findings(design, place, rule) if f.check.split(", ")[0] in _CHECKS)
    if requirement.original is not None:
        return tuple(rating_findings(design, requirement.original))
    asked = {name: value for name, value in requirement.bounds.items() if name in _AMPS}
    helpers = {name: value for name, value in requirement.bounds.items() if name.startswith("load")}
    return bound_findings(design, asked | helpers) if asked else ()
