"""Which parts may be bought in place of one: proved at every board position that has it fitted, else against itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bom.values.finding import Verdict

if TYPE_CHECKING:
    from bom.match.requirement import Requirement
    from bom.relays.catalogue import Catalogue
    from bom.store.unit_of_work import Session


def stand_ins(session: Session, part: str, *, conditional: bool = False) -> tuple[str, ...]:
    """Parts that drop in (or may under a condition, where allowed) wherever this one is fitted.

    A part that is fitted nowhere is replaced by what drops in for itself; a part that is no relay by nothing.
    """
    from bom.match.match import match
    from bom.store.catalogue import whole_catalogue
    from bom.store.part_names import part_names

    catalogue, name = whole_catalogue(session), part_names(session).name
    enough = {Verdict.DROP_IN, Verdict.CONDITIONAL} if conditional else {Verdict.DROP_IN}
    proved = [
        {name(c.relay.part_number, c.relay.maker) for c in match(asked, catalogue.designs()) if c.verdict in enough}
        for asked in requirements(session, catalogue, part)
    ]
    return tuple(sorted(set.intersection(*proved) - {part})) if proved else ()


def requirements(session: Session, catalogue: Catalogue, part: str) -> list[Requirement]:
    """What is asked of whatever takes the part's place: at each position that has it fitted, else to be like it."""
    from bom.match.requirement import like
    from bom.shop.places import boards_by_name, requirement_at

    boards, relay = boards_by_name(session), catalogue.only(part)
    if relay is None:
        return []
    fitted = ((b, p) for b in boards.values() for p in b.positions if p.fitted)
    places = [f"{b.name}:{p.ref}" for b, p in fitted if catalogue.only(p.fitted) == relay]
    if places:
        return [requirement_at(catalogue, boards, place) for place in places]
    return [like(catalogue.design(relay))]
