"""`bom board`: take a board file, show a board, check what is fitted against what it must do."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from bom.cli.options import (
    Db,
    Json,
    LeaveOut,
    Plain,
    Replace,
    bench,
    glance,
    glance_if_there,
    say,
    show,
    show_taken,
    taking,
)
from bom.values.problem import Refused

app = typer.Typer(cls=Plain, help="Boards: holes, positions, drivers, loads.", no_args_is_help=True)
Name = Annotated[str, typer.Argument(help="A board's name, as in OS-3.")]


@app.command()
def add(
    file: Annotated[Path, typer.Argument(help="A board's TOML file.")],
    leave_out: LeaveOut = None,
    replace: Replace = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """Take a board file with its holes. One that is there already with something else in it needs --replace.

    Example: bom board add catalogs/demo/boards/os-3.toml
    """
    from bom.jobs.replacing.boards import add_board
    from bom.values.difference import Replacing

    replacing = Replacing(replace)
    with taking(json), bench(db) as session:
        lines = add_board(session, file, replacing, leave_out or ())
    show_taken(lines, replacing, json)


@app.command()
def forget(name: Name, db: Db = None) -> None:
    """Take out a board that was taken by mistake; refused while a kit is for it.

    Example: bom board forget OS-3
    """
    from bom.jobs.replacing.boards import forget_board

    with bench(db) as session:
        board = forget_board(session, name)
    say(f"board {board} forgotten")


@app.command("show")
def show_(
    name: Annotated[str, typer.Argument(help="A board's name; nothing = list the boards.")] = "",
    db: Db = None,
    json: Json = False,
) -> None:
    """A board's positions, functions, loads and repairs; what to check before parts are changed, what to add at loads.

    Example: bom board show OS-3
    """
    from bom.jobs.replacing.boards import list_boards, show_board
    from bom.paper.terminal.boards import board_table, boards_table

    with glance(db) as session:
        answer: Any = show_board(session, name) if name else list_boards(session)
    show(answer, json, board_table if name else boards_table)


@app.command()
def check(
    name: Annotated[
        str, typer.Argument(help="A board's name, or a board's .toml file as it grows; nothing with --rules.")
    ] = "",
    rules: Annotated[bool, typer.Option("--rules", help="List the rules of thumb, their figures and sources.")] = False,
    rule: Annotated[
        str | None, typer.Option("--rule", help="A rule of thumb by name, several joined by ' + ', or your own .toml.")
    ] = None,
    svg: Annotated[
        Path | None, typer.Option("--svg", metavar="FOLDER", help="Also draw each coil window and its contacts there.")
    ] = None,
    leave_out: LeaveOut = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """Judge every fitted part at its own position. Exit status 1 where one fails.

    Of a file every problem is shown with its place, else what to state
    next; nothing is taken.

    Example: bom board check OS-3

    Example: bom board check catalogs/demo/boards/os-3.toml

    Example: bom board check OS-3 --rule "aircraft switch derating + warm coil"
    """
    from bom.jobs.replacing.matching import list_rules
    from bom.paper.terminal.boards import board_check_table, rules_table

    if rules:
        return show(list_rules(rule), json, rules_table)
    if name.lower().endswith(".toml"):
        if svg:
            raise Refused("--svg draws a board that was taken: bom board add FILE first")
        return _check_file(Path(name), rule, leave_out, db, json)
    from bom.jobs.replacing.boards import check_board, draw_board

    with glance(db) as session:
        answer = check_board(session, name, rule)
        for file in draw_board(session, name, svg, rule) if svg else ():
            say(f"drawn: {file}")
    show(answer, json, board_check_table)
    raise typer.Exit(1 if answer.fails else 0)


def _check_file(file: Path, rule: str | None, leave_out: list[str] | None, db: str | None, as_json: bool) -> None:
    from bom.cli.catalog import pointer
    from bom.jobs.replacing.board_file import check_board_file
    from bom.paper.terminal.boards import board_file_table

    with glance_if_there(db) as session:
        answer = check_board_file(session, file, rule, leave_out or ())
    show(answer, as_json, board_file_table)
    if where := pointer(answer.problems):
        say(where)
    fails = answer.checked is None or answer.checked.fails
    raise typer.Exit(1 if fails else 0)


@app.command()
def circuit(
    name: Name,
    svg: Annotated[Path | None, typer.Option("--svg", metavar="FILE", help="Also draw every state there.")] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """Solve the board as a circuit: what runs, which way, through which contacts, in every state of its units.

    Example: bom board circuit OS-3

    Example: bom board circuit OS-3 --svg os-3.svg
    """
    from bom.jobs.replacing.circuits import board_circuit, draw_circuit
    from bom.paper.terminal.circuit_tables import circuit_table

    with glance(db) as session:
        answer = board_circuit(session, name)
        if svg:
            say(f"drawn: {draw_circuit(session, answer, svg)}")
    show(answer, json, circuit_table)
