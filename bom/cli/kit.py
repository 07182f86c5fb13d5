"""`bom kit`: take a kit file, cost it, see how many there can be, make it up, print its papers."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bom.cli.options import (
    Db,
    Json,
    LabelEdge,
    LabelSheet,
    LabelSize,
    LabelSkip,
    Plain,
    Replace,
    bench,
    glance,
    glance_if_there,
    say,
    say_written,
    show,
    show_file,
    show_taken,
    taking,
)

if TYPE_CHECKING:
    from bom.answers.kits import CostedKit
    from bom.jobs.bench import Session
    from bom.jobs.kits.new_kit import KitAnswers

app = typer.Typer(cls=Plain, help="Repair kits: cost, price, making up, papers.", no_args_is_help=True)
COSTS, NUMBER = "What it costs", "How many"
MAKING, PAPERS = "Making up", "Papers"
Name = Annotated[str, typer.Argument(help="A kit's name.")]
NameOrLot = Annotated[str, typer.Argument(metavar="NAME", help="A kit's name, or a kit lot's number.")]
Lot = Annotated[str, typer.Option("--lot", metavar="KITLOT", help="The kit lot it is for.")]
KitLot = Annotated[str, typer.Argument(metavar="KITLOT", help="A kit lot's number, such as K00001.")]
Drawer = Annotated[str, typer.Option("--drawer", help="Where the kits are put.")]
File = Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Write here instead of the screen.")]


@app.command(rich_help_panel=COSTS)
def add(
    file: Annotated[Path, typer.Argument(help="A kit's TOML file.")],
    replace: Replace = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """Take a kit file. One that is there already with something else in it needs --replace.

    Example: bom kit add catalogs/demo/kits/os-3-valve-drive.toml
    """
    from bom.jobs.kits.taking import add_kit
    from bom.values.difference import Replacing

    replacing = Replacing(replace)
    with taking(json), bench(db) as session:
        lines = add_kit(session, file, replacing)
    show_taken(lines, replacing, json)


@app.command(rich_help_panel=COSTS)
def new(
    name: Annotated[str, typer.Argument(help="The kit's name.")],
    board: Annotated[str, typer.Option("--board", help="The board that it repairs.")] = "",
    repair: Annotated[str, typer.Option("--repair", help="The repair of that board; its positions go in.")] = "",
    position: Annotated[
        list[str] | None, typer.Option("--position", metavar="REF", help="A relay by its place; again for another.")
    ] = None,
    part: Annotated[
        list[str] | None,
        typer.Option("--part", metavar="PART=AMOUNT", help="As in SAC305-1.0=1.2 g; again for another."),
    ] = None,
    kit: Annotated[list[str] | None, typer.Option("--kit", help="A kit that goes into it; again for another.")] = None,
    currency: Annotated[str, typer.Option("--currency", metavar="CODE", help="Else the shop's own.")] = "",
    price: Annotated[str, typer.Option("--price", metavar="AMOUNT", help="What it sells for.")] = "",
    margin: Annotated[str, typer.Option("--margin", metavar="PERCENT", help="Or the margin that is wanted.")] = "",
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Else NAME.toml, here.")] = None,
    db: Db = None,
) -> None:
    """Write a kit's file to fill in; asked, or by options. Nothing is taken or written over.

    With a board, a position, a part or a kit nothing is asked.

    Example: bom kit new "OS-3 pump again" --board OS-3 --repair "pump feed" --price 19.50

    Example: bom kit new "OS-3 pump again"
    """
    from bom.jobs.kits.new_kit import KitAnswers, new_kit
    from bom.jobs.kits.taking import check_kit_file

    answers = KitAnswers(board, repair, position or (), part or (), kit or (), currency, price, margin)
    told = any((board, position, part, kit))
    with glance_if_there(db) as session:
        written = new_kit(session, name, answers if told else _asked(session, answers), out)
        answer = check_kit_file(session, written)
    say_written([written])
    show_file(answer, False)


def _asked(session: Session | None, answers: KitAnswers) -> KitAnswers:
    """The answers with what no option gave, asked for in the order in which a kit is thought of."""
    from bom.cli.asking import Asking
    from bom.jobs.kits.new_kit import answers_read

    read = partial(answers_read, session)
    ask = Asking("--board, --position, --part or --kit")
    answers = ask.one(answers, "board", "The board that it repairs", "OS-3", read)
    if answers.board:
        answers = ask.one(answers, "repair", "Which repair of it", "valve drive", read)
    if answers.board and not answers.repair:
        answers = ask.several(answers, "positions", "A relay by its place", "K1", read)
    answers = ask.several(answers, "parts", "A part besides, and how much", "SAC305-1.0=1.2 g", read)
    answers = ask.one(answers, "currency", "Its currency, where it is not the shop's own", "GBP", read)
    return answers if answers.margin else ask.one(answers, "price", "What it sells for", "14.90", read)


@app.command(rich_help_panel=COSTS)
def check(file: Annotated[Path, typer.Argument(help="A kit's TOML file.")], db: Db = None, json: Json = False) -> None:
    """Look at a kit's file as it grows; nothing is taken. Exit status 1 where something is wrong.

    Example: bom kit check catalogs/demo/kits/os-3-valve-drive.toml
    """
    from bom.jobs.kits.taking import check_kit_file

    with glance_if_there(db) as session:
        answer = check_kit_file(session, file)
    show_file(answer, json)
    raise typer.Exit(0 if answer.good else 1)


@app.command(rich_help_panel=COSTS)
def forget(name: Name, db: Db = None) -> None:
    """Take out a kit that was taken by mistake; refused while kit lots, plans or other kits refer to it.

    Example: bom kit forget "OS-3 valve drive"
    """
    from bom.jobs.kits.taking import forget_kit

    with bench(db) as session:
        kit = forget_kit(session, name)
    say(f"kit {kit} forgotten")


@app.command(rich_help_panel=COSTS)
def cost(
    name: Annotated[str, typer.Argument(help="A kit's name; nothing = every kit.")] = "",
    board: Annotated[str, typer.Option("--board", help="Only the kits for this board.")] = "",
    batch: Annotated[int | None, typer.Option("--batch", help="Cost this many together.")] = None,
    basis: Annotated[
        str,
        typer.Option(
            "--basis",
            metavar="average|landed|fixed",
            help="By the average cost on hand, the landed cost of the plan that would buy them, or fixed costs.",
        ),
    ] = "",
    price: Annotated[str, typer.Option("--price", metavar="14.90", help="What is left at this price.")] = "",
    margin: Annotated[str, typer.Option("--margin", metavar="25", help="The price that leaves this margin, %.")] = "",
    keep: Annotated[bool, typer.Option("--keep", help="Compare with these figures from now on.")] = False,
    picture: Annotated[
        Path | None, typer.Option("--picture", metavar="FILE", help="Draw where the price goes, as SVG.")
    ] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """What a kit costs, line by line, what it sells for and leaves, how many can be made up now, and what changed.

    Example: bom kit cost "OS-3 valve drive" --batch 20 --margin 30
    """
    from bom.jobs.kits.costing import Asked, amount_typed, cost_asked
    from bom.paper.terminal.kits import kits_table

    sale = amount_typed(price, "a price"), amount_typed(margin, "a margin")
    asked = Asked(name, board, batch, basis, *sale, keep)
    with (bench if keep else glance)(db) as session:
        answer = cost_asked(session, asked)
    if picture is not None:
        _draw(answer, picture)
    show(answer, json, kits_table)


def _draw(answer: Sequence[CostedKit], picture: Path) -> None:
    from bom.jobs.kits.papers import cost_picture

    _write(cost_picture(answer), picture, ".svg")


@app.command(rich_help_panel=NUMBER)
def possible(
    wanted: Annotated[
        list[str] | None, typer.Argument(metavar="[KIT=N]...", help="Also say what is missing for so many of a kit.")
    ] = None,
    by_profit: Annotated[
        bool, typer.Option("--by-profit", help="Side by side, make the most profit and not the most kits.")
    ] = False,
    plan: Annotated[bool, typer.Option("--plan", help="Plan the order that buys what is missing.")] = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """How many kits can be made up now, each alone and all side by side, and what is missing for more.

    Example: bom kit possible "OS-3 valve drive=12" --plan
    """
    from bom.jobs.kits.how_many import HowMany, possible_kits
    from bom.paper.terminal.kits import possible_table

    with glance(db) as session:
        answer = possible_kits(session, HowMany(tuple(wanted or ()), by_profit, plan))
    show(answer, json, possible_table)


@app.command(rich_help_panel=NUMBER)
def plan(
    name: Name,
    count: Annotated[int, typer.Argument(min=1, help="How many.")],
    fewer: Annotated[bool, typer.Option("--fewer", help="So many less than planned, not more.")] = False,
    db: Db = None,
) -> None:
    """Mean to make up so many more: what they take counts from now on when parts are reordered.

    Example: bom kit plan "OS-3 valve drive" 10
    """
    from bom.jobs.kits.how_many import plan_to_make

    with bench(db) as session:
        answer = plan_to_make(session, name, -count if fewer else count)
    say(f"{answer.planned} x {answer.kit} planned")


@app.command(rich_help_panel=MAKING)
def make(
    name: Name,
    count: Annotated[int, typer.Argument(help="How many.")] = 1,
    dry: Annotated[bool, typer.Option("--dry", help="Only print the pick list.")] = False,
    reserve: Annotated[bool, typer.Option("--reserve", help="Promise the pieces now; kit finish books them.")] = False,
    drawer: Drawer = "",
    pick_list: Annotated[
        Path | None, typer.Option("--list", metavar="FILE", help="Write the pick list as a page for A4.")
    ] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """Make up kits: first to expire, then oldest lots, never held or promised ones. Exit status 1 where short.

    Example: bom kit make "OS-3 valve drive" 2 --dry
    """
    from bom.jobs.kits.making import make_kits
    from bom.jobs.kits.papers import pick_list_page
    from bom.paper.terminal.kits import pick_table

    with (glance if dry else bench)(db) as session:
        answer = make_kits(session, name, count, dry, drawer, reserve=reserve)
        if pick_list is not None and not answer.missing:
            _write(pick_list_page(answer), pick_list, ".html")  # where that fails, nothing is booked
    show(answer, json, pick_table)
    raise typer.Exit(1 if answer.missing else 0)


@app.command(rich_help_panel=MAKING)
def finish(kit_lot: KitLot, drawer: Drawer = "", db: Db = None) -> None:
    """Book the pieces promised to a kit lot: they go out and the kits come in.

    Example: bom kit finish K00001 --drawer K2
    """
    from bom.jobs.kits.making import finish_kits

    with bench(db) as session:
        answer = finish_kits(session, kit_lot, drawer)
    say(f"{answer.count} x {answer.kit} made up, kit lot {answer.kit_lot}")


@app.command(rich_help_panel=MAKING)
def undo(
    kit_lot: KitLot,
    reason: Annotated[str, typer.Option("--why", help="Why it is taken apart.")] = "",
    db: Db = None,
    json: Json = False,
) -> None:
    """Take a kit lot apart again, or let go what was promised to it; the ledger keeps both entries.

    Example: bom kit undo K00001 --why "wrong relays in the bag"
    """
    from bom.jobs.kits.making import undo_kits
    from bom.paper.terminal.kits import undone_table

    with bench(db) as session:
        answer = undo_kits(session, kit_lot, reason)
    show(answer, json, undone_table)


@app.command(rich_help_panel=PAPERS)
def sheet(name: NameOrLot, lot: Lot = "", out: File = None, db: Db = None) -> None:
    """The sheet that goes into the bag, for A4: contents to tick off, steps, cautions, pins over holes, the kit lot.

    Example: bom kit sheet "OS-3 valve drive" --out sheet.html
    """
    from bom.jobs.kits.papers import kit_sheet

    with glance(db) as session:
        page = kit_sheet(session, name, lot)
    _write(page, out, ".html")


@app.command(rich_help_panel=PAPERS)
def label(
    name: NameOrLot,
    lot: Lot = "",
    kind: Annotated[str, typer.Option("--kind", metavar="bag|box", help="For one bag, or for a box of them.")] = "bag",
    copies: Annotated[
        int | None, typer.Option("--copies", min=1, max=5000, help="In HTML; else one for each bag.")
    ] = None,
    size: LabelSize = "",
    sheet: LabelSheet = "",
    edge: LabelEdge = None,
    skip: LabelSkip = 0,
    out: File = None,
    db: Db = None,
) -> None:
    """Labels with a 2-D code, at true size: one as SVG, or with --out FILE.html one for every bag, on A4.

    Example: bom kit label "OS-3 valve drive" --size 60x40 --out label.svg
    """
    from bom.jobs.kits.labels import LabelAsked, LabelPaper, kit_label

    pages = out is not None and out.suffix.casefold() == ".html"
    with glance(db) as session:
        drawing = kit_label(
            session, LabelAsked(name, lot, kind, copies, LabelPaper(size, sheet, edge, skip)), pages=pages
        )
    _write(drawing, out, ".svg", ".html")


def _write(text: str, out: Path | None, *endings: str) -> None:
    """On the screen, or whole into a file whose name ends as its kind does."""
    from bom.paper.writing import write_text
    from bom.values.problem import Refused

    if out is None:
        return typer.echo(text)
    if out.suffix.casefold() not in endings:
        raise Refused(f"expected a file that ends in {' or '.join(endings)}, found {out}")
    write_text(out, text)
    return say(f"written: {out}")
