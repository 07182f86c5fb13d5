"""Boards taken, shown, and checked: is what is fitted at each position right for what it must do?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from bom.boards.board import Board
from bom.jobs.matching import boards_by_name, fitted_design, place_at
from bom.match.match import judge
from bom.match.requirement import at_position
from bom.relays.catalogue import Catalogue
from bom.values.finding import Verdict
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def add_board(session: Session, file: Path) -> list[str]:
    """Take a board file; what to tell the user, a line each. Raises ProblemsFound."""
    from bom.intake.boards import take_board
    from bom.store.boards import take_board as keep_board
    from bom.store.catalogue import whole_catalogue

    board, notes = take_board(file)
    keep_board(session, board)
    known = {r.part_number for r in whole_catalogue(session).relays}
    missing = [p.fitted for p in board.positions if p.fitted and p.fitted not in known]
    return [
        f"board {board.name}: {len(board.positions)} positions",
        *(f"note: {note}" for note in notes),
        *(f"note: fitted part {part} is not in the catalogue" for part in missing),
    ]


def board_named(session: Session, name: str) -> Board:
    boards = boards_by_name(session)
    for known, board in boards.items():
        if known.casefold() == name.strip().casefold():
            return board
    raise Refused(f"no board {name}; there are {', '.join(sorted(boards)) or 'none yet: bom board add FILE'}")


def show_board(session: Session, name: str) -> dict[str, Any]:
    """The board as its file states it."""
    board = board_named(session, name)
    return {
        "name": board.name,
        "title": board.title,
        "supply": board.supply,
        "ambient_c": [board.ambient_min_c, board.ambient_max_c],
        "process": list(board.process),
        "positions": list(board.positions),
        "repairs": list(board.repairs),
        "cautions": list(board.cautions),
    }


def check_board(session: Session, name: str) -> dict[str, Any]:
    """Every position's fitted part judged where it sits; ``fails`` names the positions whose verdict is no."""
    from bom.store.catalogue import whole_catalogue

    if not name:
        raise Refused("expected a board's name, or --rules")
    board = board_named(session, name)
    catalogue = whole_catalogue(session)
    positions = [_checked(catalogue, board, p.ref) for p in board.positions]
    return {
        "board": board.name,
        "positions": positions,
        "fails": [p["ref"] for p in positions if p["verdict"] == Verdict.NO],
    }


def _checked(catalogue: Catalogue, board: Board, ref: str) -> dict[str, Any]:
    fitted = fitted_design(catalogue, board, ref)
    if fitted is None:
        return {"ref": ref, "fitted": None, "verdict": Verdict.UNKNOWN, "findings": []}
    answer = judge(at_position(board, ref, fitted, place_at(catalogue, board, ref)), fitted)
    return {
        "ref": ref,
        "fitted": fitted.relay.part_number,
        "verdict": answer.verdict,
        "findings": list(answer.findings),
    }


def list_rules() -> list[dict[str, Any]]:
    """The rules of thumb there are, by name, with their sources."""
    from bom.duty.rules import rule_named, rule_names

    return [{"name": name, "source": rule_named(name).source} for name in rule_names()]
