"""What people type for a part, understood as one part: its number, or its maker and number where two makers share it.

A part goes by its name (``bom.store.part_names``). A text that may mean two parts is a question to ask, never a choice
to make, so it is refused with the choices.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from bom.values.part_number import makers_and_numbers, normal, suggest
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.relays.relay import Relay, SupplyPart
    from bom.store.unit_of_work import Session


class Part(NamedTuple):
    """A part of the catalogue by the name it goes by, and its maker."""

    name: str
    maker: str


READ_AS = "read as"
"""Where a session keeps what was read otherwise than it was typed, for stderr to say once the job is done."""


def read_as(session: Session, name: str, typed: str) -> str:
    """The name that was taken for what was typed; once the job is done, stderr says so."""
    session.info.setdefault(READ_AS, {})[name] = typed.strip()
    return name


def part_named(session: Session, text: str) -> Part:
    """The relay or supply that is meant by what somebody typed; hyphens between digits may be left out."""
    from bom.store.part_names import parts_called
    from bom.store.search import run_together_as

    if not parts_called(session, text):
        match run_together_as(session, text) or _supplies_run_together(session, text):
            case [number]:
                return part_stated(session, read_as(session, number, text))
            case [_, *_] as several:
                raise Refused(f"{text} may be {' or '.join(several)}: type the hyphens of the one meant")
    return part_stated(session, text)


def part_stated(session: Session, text: str, maker: str = "") -> Part:
    """The relay or supply that a file or a label states, with every separator between digits; refuses another."""
    from bom.store.part_names import part_names, parts_called

    found, names = parts_called(session, text), part_names(session)
    if maker and found:
        makers = dict.fromkeys(m for _, m in found)
        found = [(n, m) for n, m in found if m.casefold() == maker.strip().casefold()]
        if not found:
            raise Refused(f"{text} of {maker} is not in the catalogue; it has that of {' and of '.join(makers)}")
    several = {names.name(number, whose): whose for number, whose in found}
    match list(several.items()):
        case []:
            raise Refused(no_such_part(session, text))
        case [(name, whose)]:
            return Part(name, whose)
    raise Refused(whose_is_meant(found[0][0], several.values()))


def whose_is_meant(text: str, makers: Iterable[str]) -> str:
    """The question where two makers make a part of this number."""
    whose = sorted(set(makers))
    choices = " or ".join(f"'{maker} {text}'" for maker in whose)
    return f"{text} is made by {' and by '.join(whose)}: write {choices}"


def parts_by_name(session: Session) -> dict[str, Relay | SupplyPart]:
    """Every part of the catalogue by the name it goes by."""
    from bom.store.catalogue import whole_catalogue
    from bom.store.part_names import part_names

    catalogue, name = whole_catalogue(session), part_names(session).name
    parts: tuple[Relay | SupplyPart, ...] = (*catalogue.relays, *catalogue.supplies)
    return {name(p.part_number, p.maker): p for p in parts}


def name_meant(session: Session, text: str) -> str:
    """The name of the one part that a kit's file states as ``Maker NUMBER``; any other text as it is, for a number is
    a name already, or is nobody's, or is two makers'."""
    from bom.store.part_names import part_names, parts_called

    names = part_names(session)
    if " " not in text or names.part(text)[1]:
        return text
    match [(number, maker) for number, maker in parts_called(session, text) if number != text]:
        case [(number, maker)] if f"{maker} {number}".casefold() == text.casefold():
            return names.name(number, maker)
    return text


def no_such_part(session: Session, text: str) -> str:
    """Why nothing is there by this number: perhaps one is like it, perhaps nothing is there at all."""
    from bom.store.catalogue import supply_numbers
    from bom.store.kept_results import marked

    supplies = supply_numbers(session)
    if not supplies and not marked(session, "relays"):
        return f"no part {text}: the catalogue is empty; bom catalog add FOLDER takes one in"
    near = _near(session, text, supplies)
    return f"no part {text} in the catalogue" + (f"; did you mean {' or '.join(near)}?" if near else "")


def _near(session: Session, text: str, supplies: Sequence[str], most: int = 5) -> list[str]:
    from bom.store.search import beginning, slips

    for _, number in makers_and_numbers(text):
        wanted = normal(number)
        begun = sorted((n for n in supplies if wanted and normal(n).startswith(wanted)), key=lambda n: (len(n), n))
        near = slips(session, number, most) + suggest(number, supplies)
        if found := near or (beginning(session, number, most) + begun):
            return found[:most]
    return []


def _supplies_run_together(session: Session, text: str) -> list[str]:
    from bom.store.catalogue import supply_numbers
    from bom.values.part_number import run_together

    return run_together(text, supply_numbers(session))
