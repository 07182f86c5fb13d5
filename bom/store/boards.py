"""Boards in the database, each kept whole as the document its file was read into."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bom.boards.board import Board
from bom.store import tables as t
from bom.store.catalogue import Changes
from bom.store.filing import all_filed, file_away, filed, forget

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


def take_board(session: Session, board: Board, digest: str = "") -> Changes:
    """Keep the board under its name; digest is that of its file."""
    return file_away(session, t.boards, board, digest)


def forget_board(session: Session, name: str) -> None:
    """Take the board of this name out again."""
    forget(session, t.boards, name)


def board(session: Session, name: str) -> Board | None:
    """The board of this name, or None."""
    return filed(session, t.boards, Board, name)


def boards(session: Session) -> tuple[Board, ...]:
    """Every board, by name."""
    return all_filed(session, t.boards, Board)
