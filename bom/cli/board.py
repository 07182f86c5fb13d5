"""`bom board`: take a board file, show a board, check what is fitted against what it must do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace as replaced
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

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
    say_written,
    show,
    show_taken,
    taking,
)
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.answers.replacing import BoardFileChecked
    from bom.jobs.bench import Session
    from bom.jobs.replacing.new_board import BoardAnswers, Fitted

app = typer.Typer(cls=Plain, help="Boards: holes, positions, drivers, loads.", no_args_is_help=True)
Name = Annotated[str, typer.Argument(help="A board's name, as in OS-3.")]


@app.command()
def add(
    file: Annotated[Path, typer.Argument(help="A board's TOML file, or a .zip that bom board pack made.")],
    leave_out: LeaveOut = None,
    insist: Annotated[
        list[str] | None,
        typer.Option("--insist", metavar="PART", help="Of a pack: its data sheet does say so; again for another."),
    ] = None,
    replace: Replace = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """Take a board file with its holes, or a pack with its kits and parts: everything or nothing.

    What is there already with something else in it is shown, and needs
    --replace.

    Example: bom board add catalogs/demo/boards/os-3.toml
    """
    from bom.jobs.board_packs import add_pack
    from bom.jobs.replacing.boards import add_board
    from bom.values.difference import Replacing

    if insist and not _is_pack(file):
        raise Refused("--insist is for a pack's relays; a board's own file has none")
    if leave_out and _is_pack(file):
        raise Refused("--leave-out is for a board's own file; a pack is taken whole")
    replacing = Replacing(replace)
    with taking(json), bench(db) as session:
        if _is_pack(file):
            lines = add_pack(session, file, replacing, insist or ())
        else:
            lines = add_board(session, file, replacing, leave_out or ())
    show_taken(lines, replacing, json)


@app.command()
def new(
    name: Annotated[str, typer.Argument(help="The board's name, as in OS-9.")],
    position: Annotated[
        list[str] | None,
        typer.Option("--position", metavar="REF=PART", help="A place and the part fitted there; again for another."),
    ] = None,
    title: Annotated[str, typer.Option("--title", help="What the box is.")] = "",
    supply: Annotated[
        str, typer.Option("--supply", metavar="V..V..V", help="Least, usual and most volts, or a vehicle's code.")
    ] = "",
    ambient: Annotated[str, typer.Option("--ambient", metavar="C..C", help="Coldest and hottest round it.")] = "",
    thickness: Annotated[str, typer.Option("--thickness", metavar="MM", help="How thick the board is.")] = "",
    lid: Annotated[str, typer.Option("--lid", metavar="MM", help="From the board's surface to the lid.")] = "",
    does: Annotated[
        list[str] | None,
        typer.Option(
            "--does", metavar="CONTACT: LOAD", help="As in 'K1.A make: pump, motor, 12 V, 3 A'; again for another."
        ),
    ] = None,
    holes: Annotated[
        Path | None, typer.Option("--holes", metavar="FILE", help="A CSV of its holes that is there already.")
    ] = None,
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Else NAME.toml, here.")] = None,
    db: Db = None,
) -> None:
    """Write a board's file to fill in, and one of its holes; asked, or by options. Nothing is taken or written over.

    With --position nothing is asked. What is left out is not stated, and
    what that costs is told at once.

    Example: bom board new OS-9 --position K1=TW2-12S --supply C

    Example: bom board new OS-9
    """
    from bom.jobs.replacing.new_board import BoardAnswers, new_board

    answers = BoardAnswers(title, supply, ambient, thickness, lid, position or (), does or (), holes)
    with glance_if_there(db) as session:
        written = new_board(session, name, answers if position else _asked(session, answers), out)
    say_written(written)
    _file_checked(written[0], None, None, db, False)


def _asked(session: Session | None, answers: BoardAnswers) -> BoardAnswers:
    """The answers with what no option gave, asked for in the order in which one meets a box."""
    from bom.cli.asking import Asking
    from bom.jobs.replacing.new_board import fitted_at, functions_of, stated_of

    ask = Asking("--position REF=PART")
    asked = (
        ("title", "What is the box", "orchard sprayer valve box"),
        ("supply", "Its supply, least..usual..most volts or a vehicle's code", "11.8..12..14.4 or C"),
        ("ambient", "Coldest..hottest round the relays, in °C", "-20..70"),
        ("thickness", "How thick is the board, in mm", "1.6"),
        ("lid", "From the board to the lid, in mm", "14.8"),
    )
    answers = ask.each(answers, asked, stated_of)
    what = "A relay's place and the part fitted there"
    answers = ask.several(
        answers, "positions", what, "K1=TW2-12S", lambda told: fitted_at(session, told.positions), True
    )
    does = list(answers.does)
    for fitted in fitted_at(session, answers.positions):
        for contact in fitted.contacts or (f"{fitted.ref}.A make",):
            what = f"What does {contact} switch: name, kind, volts, amps"
            said = ask.text(what, "pump, motor, 12 V, 3 A", partial(_does, functions_of, fitted, contact))
            does += [f"{contact}: {said}"] if said else []
    return replaced(answers, does=tuple(does))


@app.command()
def pack(
    name: Name,
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE.zip", help="Else NAME.zip, here.")] = None,
    db: Db = None,
) -> None:
    """Write the board with its kits and the parts they need into one file, for another bench to take by board add.

    Prices, suppliers, stock and customers are not in it.

    Example: bom board pack OS-3 --out os-3.zip
    """
    from bom.jobs.board_packs import pack_board

    with glance(db) as session:
        for line in pack_board(session, name, out or Path(f"{name.casefold()}.zip")):
            say(line)


def _is_pack(file: Path) -> bool:
    return file.suffix.lower() == ".zip"


def _does(read: Callable[..., object], fitted: Fitted, contact: str, said: str) -> object:
    return read([fitted], [f"{contact}: {said}"])


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
    svg: Annotated[
        Path | None, typer.Option("--svg", metavar="FILE", help="Also draw the whole board there, from both sides.")
    ] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """A board's positions, functions, loads and repairs; what to check before parts are changed, what to add at loads.

    Example: bom board show OS-3

    Example: bom board show OS-3 --svg os-3.svg
    """
    from bom.jobs.replacing.boards import draw_whole_board, list_boards, show_board
    from bom.paper.terminal.boards import board_table, boards_table

    if svg and not name:
        raise Refused("expected a board's name beside --svg")
    with glance(db) as session:
        answer: Any = show_board(session, name) if name else list_boards(session)
        if svg:
            say(f"drawn: {draw_whole_board(session, name, svg)}")
    show(answer, json, board_table if name else boards_table)


@app.command()
def check(
    name: Annotated[
        str, typer.Argument(help="A board's name, a board's .toml file as it grows, or a pack; nothing with --rules.")
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
    if leave_out and not name.lower().endswith(".toml"):
        raise Refused("--leave-out is for a board's own .toml file")
    if name.lower().endswith((".toml", ".zip")):
        if svg:
            raise Refused("--svg draws a board that was taken: bom board add FILE first")
        answer = _file_checked(Path(name), rule, leave_out, db, json)
        raise typer.Exit(1 if answer.checked is None or answer.checked.fails else 0)
    from bom.jobs.replacing.boards import check_board, draw_board

    with glance(db) as session:
        checked = check_board(session, name, rule)
        for file in draw_board(session, name, svg, rule) if svg else ():
            say(f"drawn: {file}")
    show(checked, json, board_check_table)
    raise typer.Exit(1 if checked.fails else 0)


def _file_checked(
    file: Path, rule: str | None, leave_out: list[str] | None, db: str | None, as_json: bool
) -> BoardFileChecked:
    """The check of a board's file, printed."""
    from bom.jobs.board_packs import check_pack
    from bom.jobs.explaining import pointer
    from bom.jobs.replacing.board_file import check_board_file
    from bom.paper.terminal.boards import board_file_table

    if _is_pack(file):
        answer = check_pack(file, rule)
    else:
        with glance_if_there(db) as session:
            answer = check_board_file(session, file, rule, leave_out or ())
    show(answer, as_json, board_file_table)
    if where := pointer(answer.problems):
        say(where)
    return answer


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
