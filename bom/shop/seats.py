"""Which pairs of pins and wiring may sit at a place: worked out once for each place, and kept for the next time.

An answer holds as long as the drawings, the place and the rooms that judged it are the same.
"""

from __future__ import annotations

import json
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from bom.match.necessary_conditions import seated
from bom.match.requirement import Requirement
from bom.store.kept_results import keep_seating, kept_seating, marked
from bom.store.narrowed import all_seats
from bom.values.finding import Verdict

if TYPE_CHECKING:
    from bom.duty.rules import Rule
    from bom.store.unit_of_work import Session

Seat = tuple[str, str]


def seats_for(session: Session, requirement: Requirement, rule: Rule) -> dict[Seat, Verdict]:
    """Footprint and wiring to the best verdict of any relay with them; pairs that are refused are left out."""
    asked, edition = _digest(requirement, rule), marked(session, "drawings")
    kept = kept_seating(session, asked, edition)
    if kept is not None:
        return {(footprint, wiring): Verdict(verdict) for footprint, wiring, verdict in json.loads(kept)}
    found = _judged(session, requirement, rule)
    document = json.dumps([(*seat, verdict.value) for seat, verdict in found.items()])
    keep_seating(session, asked, edition, document)
    return found


def _judged(session: Session, requirement: Requirement, rule: Rule) -> dict[Seat, Verdict]:
    """A footprint that does not go in by itself is not tried with every wiring."""
    from bom.shop.placements import recall_placements
    from bom.store.catalogue import drawings_named

    seats = all_seats(session)
    drawn = drawings_named(session, seats)
    recall_placements(session, requirement.place, drawn.footprints.values())
    goes_in: dict[str, bool] = {}
    answer: dict[Seat, Verdict] = {}
    for footprint, wiring in seats:
        pins = drawn.footprints.get(footprint)
        if footprint not in goes_in:
            goes_in[footprint] = seated(requirement, pins, None, rule) is not Verdict.NO
        if goes_in[footprint]:
            verdict = seated(requirement, pins, drawn.wirings.get(wiring), rule)
            if verdict is not Verdict.NO:
                answer[footprint, wiring] = verdict
    return answer


def _digest(requirement: Requirement, rule: Rule) -> str:
    """What the answer rests on: the requirement, the rule, and what is written in the rooms that judge."""
    return sha256(repr((requirement, rule, _judges())).encode()).hexdigest()


_JUDGES = ("values", "relays", "boards", "fit", "duty", "match")
_ROOMS = Path(__file__).resolve().parents[2]


@cache
def _judges(rooms: Path = _ROOMS) -> str:
    """The digest of every file that judges, read once. Its text, not its time: packages may date all files alike."""
    texts = (file.read_bytes() for room in _JUDGES for file in sorted((rooms / room).rglob("*.py")))
    return sha256(b"\0".join(texts)).hexdigest()
