"""What is asked for, found in what the shop has: a relay as typed, a board's position, a requirement from either."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from bom.boards.board import Board, Place
from bom.circuit.functions import with_circuit
from bom.match.requirement import Requirement, at_position, like, place_of, within
from bom.relays.catalogue import Catalogue
from bom.relays.relay import Design, Relay
from bom.relays.wiring import Wiring
from bom.shop.names import read_as, whose_is_meant
from bom.store.catalogue import catalogue_around, named, named_any
from bom.store.marks import marked
from bom.store.search import beginning, run_together_as, slips
from bom.values.part_number import makers_and_numbers, normal, run_together, suggest
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.shop.shop import Shop
    from bom.store.unit_of_work import Session


def design_called(shop: Shop, text: str) -> Design:
    """The one part that this text names; of a long catalogue no more is read than it must."""
    number = number_typed(shop, text)
    return design_named(shop.around(number), number)


def number_typed(shop: Shop, text: str) -> str:
    """The text where a relay has that number, else the one number that it is without separators; refuses others."""
    if named(shop.session, text):
        return text
    match run_together_as(shop.session, text):
        case [number]:
            return read_as(shop.session, number, text)
        case [_, *_] as several:
            raise Refused(f"{text} may be {' or '.join(several)}: type the hyphens of the one meant")
    raise Refused(no_such_relay(shop, text))


def design_named(catalogue: Catalogue, text: str) -> Design:
    """The one part that this text names, however it is typed; refuses with a suggestion where there is none."""
    found: list[Relay] = []
    for maker, number in makers_and_numbers(text):
        wanted = normal(number)
        same = [r for r in catalogue.relays if normal(r.part_number) == wanted]
        found = found or [r for r in same if maker.casefold() in ("", r.maker.casefold())]
    if not found:
        near = suggest(text, [r.part_number for r in catalogue.relays])
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        raise Refused(f"no relay {text} in the catalogue{hint}")
    if len({r.maker for r in found}) > 1:
        raise Refused(whose_is_meant(found[0].part_number, [r.maker for r in found]))
    return catalogue.design(found[0])


def requirement_at(catalogue: Catalogue, boards: Mapping[str, Board], where: str) -> Requirement:
    """From BOARD:REF, as in OS-3:K1."""
    board, ref = board_and_ref(boards, where)
    fitted = fitted_design(catalogue, board, ref)
    if why := whose_is_fitted(catalogue, board, ref):
        raise Refused(f"{board.name}:{ref}: {why}")
    return at_position(board, ref, fitted, place_at(catalogue, board, ref))


def board_and_ref(boards: Mapping[str, Board], where: str) -> tuple[Board, str]:
    name, colon, ref = where.partition(":")
    if not colon or not ref:
        raise Refused(f"expected BOARD:REF, as in OS-3:K1, found {where!r}")
    return board_called(boards, name), ref.strip().upper()


def board_called(boards: Mapping[str, Board], name: str) -> Board:
    """The board of this name, capitals or not, else the one board whose name it is without separators."""
    for known, board in boards.items():
        if known.casefold() == name.strip().casefold():
            return board
    if len(alike := run_together(name, boards)) == 1:
        return boards[alike[0]]
    raise Refused(f"no board {name}; there are {', '.join(sorted(boards)) or 'none yet: bom board add FILE'}")


def board_typed(shop: Shop, name: str) -> Board:
    """The shop's board of this name; a name that was read without its separators is said."""
    board = board_called(shop.boards, name)
    if board.name.casefold() != name.strip().casefold():
        read_as(shop.session, board.name, name)
    return board


def fitted_design(catalogue: Catalogue, board: Board, ref: str) -> Design | None:
    position = board.position(ref)
    if position is None or not position.fitted:
        return None
    fitted = catalogue.only(position.fitted)
    return catalogue.design(fitted) if fitted else None


def whose_is_fitted(catalogue: Catalogue, board: Board, ref: str) -> str:
    """The question where two makers have the number that the board's file states for this position; else empty."""
    position = board.position(ref)
    found = catalogue.named(position.fitted) if position and position.fitted else ()
    return whose_is_meant(position.fitted, [r.maker for r in found]) if position and len(found) > 1 else ""


def place_at(catalogue: Catalogue, board: Board, ref: str) -> Place:
    """The position as the board's circuit tells it; the catalogue has all that the board names."""
    place = place_of(board, ref, fitted_design(catalogue, board, ref), catalogue.wirings)
    return with_circuit(place, wirings_at(catalogue, board))


def catalogue_of(shop: Shop, board: Board) -> Catalogue:
    """No less of the catalogue than the board names: its fitted parts, and the wirings of its positions."""
    if not shop.is_long:
        return shop.catalogue
    return shop.kept(("catalogue of", board.name), lambda: _read_around(shop, board))


def _read_around(shop: Shop, board: Board) -> Catalogue:
    fitted = named_any(shop.session, [p.fitted for p in board.positions if p.fitted])
    return catalogue_around(shop.session, fitted, [p.wiring for p in board.positions])


def wirings_at(catalogue: Catalogue, board: Board) -> dict[str, Wiring | None]:
    """What each position of the board expects, hole names standing for pins: its own wiring, else the fitted part's."""
    fitted = {p.ref: fitted_design(catalogue, board, p.ref) for p in board.positions}
    return {
        p.ref: catalogue.wirings.get(p.wiring) if p.wiring else (part.wiring if (part := fitted[p.ref]) else None)
        for p in board.positions
    }


def requirement_for(shop: Shop, like_part: str | None, position: str | None, spec: Path | None) -> Requirement:
    """The requirement from the one of the three that is given; refuses none and more than one."""
    if len([given for given in (like_part, position, spec) if given]) != 1:
        raise Refused("expected exactly one of --like PART, --position BOARD:REF and --spec FILE")
    if like_part:
        return like(design_called(shop, like_part))
    if position:
        requirement = requirement_there(shop, position)
        board_typed(shop, position.partition(":")[0])
        return requirement
    assert spec is not None
    from bom.intake.spec_file import read_spec  # its readers of files take a tenth of a plain match's start

    return within(dict(read_spec(spec)))


def requirement_there(shop: Shop, where: str) -> Requirement:
    """What is asked at BOARD:REF, as in OS-3:K1."""
    return shop.kept(("requirement at", where), lambda: _requirement_there(shop, where))


def _requirement_there(shop: Shop, where: str) -> Requirement:
    board, _ = board_and_ref(shop.boards, where)
    return requirement_at(catalogue_of(shop, board), shop.boards, where)


def no_such_relay(shop: Shop, text: str) -> str:
    """Why nothing is there by this number: perhaps one like it is, perhaps nothing at all."""
    session = shop.session
    if not marked(session, "relays"):
        return f"no relay {text}: the catalogue of {database_words(session)} is empty; bom catalog add FOLDER fills it"
    near = slips(session, text, 5) or beginning(session, text, 5)
    return f"no relay {text} in the catalogue" + (f"; did you mean {' or '.join(near)}?" if near else "")


def database_words(session: Session) -> str:
    """Which database this is, without its password."""
    url = session.get_bind().engine.url
    return str(url.render_as_string(hide_password=True))
