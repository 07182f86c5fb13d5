"""The tech's job: a replacement by part number, by board position or by spec, with every reason."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from bom.boards.board import Board, Place
from bom.match.match import Candidate, Shelf, cautions, match
from bom.match.requirement import Requirement, at_position, like, place_of, within
from bom.relays.catalogue import Catalogue
from bom.relays.relay import Design
from bom.values.part_number import normal, suggest
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def design_named(catalogue: Catalogue, text: str) -> Design:
    """The one part that this text names, however it is typed; refuses with a suggestion where there is none."""
    wanted = normal(text)
    found = [r for r in catalogue.relays if normal(r.part_number) == wanted]
    if not found:
        near = suggest(text, [r.part_number for r in catalogue.relays])
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        raise Refused(f"no relay {text} in the catalogue{hint}")
    if len({r.maker for r in found}) > 1:
        makers = ", ".join(r.maker for r in found)
        raise Refused(f"{text} is made by {makers}: a part number alone does not say which")
    return catalogue.design(found[0])


def requirement_like(catalogue: Catalogue, text: str) -> Requirement:
    return like(design_named(catalogue, text))


def requirement_at(catalogue: Catalogue, boards: dict[str, Board], where: str) -> Requirement:
    """From BOARD:REF, as in OS-3:K1."""
    board, ref = board_and_ref(boards, where)
    fitted = fitted_design(catalogue, board, ref)
    return at_position(board, ref, fitted, place_at(catalogue, board, ref))


def board_and_ref(boards: dict[str, Board], where: str) -> tuple[Board, str]:
    name, colon, ref = where.partition(":")
    if not colon or not ref:
        raise Refused(f"expected BOARD:REF, as in OS-3:K1, found {where!r}")
    for known, board in boards.items():
        if known.casefold() == name.strip().casefold():
            return board, ref.strip().upper()
    raise Refused(f"no board {name}; there are {', '.join(sorted(boards)) or 'none yet: bom board add FILE'}")


def boards_by_name(session: Session) -> dict[str, Board]:
    from bom.store.boards import boards

    return {board.name: board for board in boards(session)}


def fitted_design(catalogue: Catalogue, board: Board, ref: str) -> Design | None:
    position = board.position(ref)
    if position is None or not position.fitted:
        return None
    found = catalogue.named(position.fitted)
    return catalogue.design(found[0]) if found else None


def place_at(catalogue: Catalogue, board: Board, ref: str) -> Place:
    return place_of(board, ref, fitted_design(catalogue, board, ref), catalogue.wirings)


def requirement_from_spec(path: Path) -> Requirement:
    from bom.intake.spec import read_spec

    return within(dict(read_spec(path)))


def find_replacements(
    session: Session,
    *,
    like_part: str | None = None,
    position: str | None = None,
    spec: Path | None = None,
    rule: str | None = None,
) -> dict[str, Any]:
    """The match as the mapping of the JSON contract: requirement, candidates, cautions."""
    from bom.store.catalogue import whole_catalogue

    catalogue = whole_catalogue(session)
    requirement = _requirement(catalogue, like_part, position, spec, lambda: boards_by_name(session))
    candidates = match(requirement, catalogue.designs(), shelves(session), _rule(rule))
    return as_mapping(requirement, candidates)


def _requirement(
    catalogue: Catalogue, like_part: str | None, position: str | None, spec: Path | None, boards: Any
) -> Requirement:
    given = [g for g in (like_part, position, spec) if g]
    if len(given) != 1:
        raise Refused("expected exactly one of --like PART, --position BOARD:REF and --spec FILE")
    if like_part:
        return requirement_like(catalogue, like_part)
    if position:
        return requirement_at(catalogue, boards(), position)
    assert spec is not None
    return requirement_from_spec(spec)


def _rule(name: str | None) -> Any:
    from bom.duty.rules import DEFAULT, rule_named

    if name is None:
        return DEFAULT
    try:
        return rule_named(name)
    except KeyError as error:
        raise Refused(str(error.args[0])) from error


def shelves(session: Session) -> dict[str, Shelf]:
    """Part number to what is available and what the cheapest single piece costs, net, in the supplier's currency."""
    from bom.jobs.prices import cheapest_pieces
    from bom.stock.ledger import Level, levels
    from bom.store.shelf import moves

    stock = levels(moves(session))
    prices = cheapest_pieces(session)
    return {part: Shelf(stock.get(part, Level()).available, prices.get(part)) for part in {*stock, *prices}}


def as_mapping(requirement: Requirement, candidates: tuple[Candidate, ...]) -> dict[str, Any]:
    return {
        "requirement": _requirement_mapping(requirement),
        "candidates": [_candidate(c) for c in candidates],
        "cautions": list(cautions(requirement, candidates)),
    }


def _requirement_mapping(requirement: Requirement) -> dict[str, Any]:
    place = requirement.place if requirement.place and requirement.place.board.name else None
    return {
        "asked": requirement.asked,
        "replaces": requirement.original.relay.part_number if requirement.original else None,
        "board": place.board.name if place else None,
        "position": place.position.ref if place else None,
        "functions": [f.name for f in place.position.functions] if place else [],
        "bounds": requirement.bounds,
    }


def _candidate(candidate: Candidate) -> dict[str, Any]:
    return {
        "maker": candidate.relay.maker,
        "part_number": candidate.relay.part_number,
        "status": candidate.relay.status,
        "verdict": candidate.verdict,
        "findings": list(candidate.findings),
        "available": candidate.shelf.available,
        "landed_cost": candidate.shelf.landed_cost,
    }
