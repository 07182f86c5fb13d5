"""`bom relay`: look parts up, show one, state one, or name one from what the bench measured."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer

from bom.cli.options import (
    Db,
    Json,
    Plain,
    Replace,
    a_part,
    bench,
    glance,
    glance_if_there,
    say,
    say_replaced,
    show,
    taking,
)
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.answers.catalogue import RelaysFound
    from bom.jobs.replacing.relay_stated import Beginning, Said

app = typer.Typer(cls=Plain, help="Relays: find, show, add, identify.", no_args_is_help=True)


@app.command()
def find(
    text: Annotated[str, typer.Argument(help="Any part of a part number, as you type it.")] = "",
    volts: Annotated[str | None, typer.Option("--volts", help="Coil volts, as in 12 V.")] = None,
    units: Annotated[int | None, typer.Option("--units", help="Independent relays in the body.")] = None,
    contacts: Annotated[str | None, typer.Option("--contacts", help="make, break or changeover.")] = None,
    pins: Annotated[int | None, typer.Option("--pins", help="How many pins.")] = None,
    fact: Annotated[
        list[str] | None,
        typer.Option("--fact", metavar="NAME=FROM..TO", help="A column of relays.csv, height, or a rating's amps."),
    ] = None,
    pitch: Annotated[str | None, typer.Option("--pitch", help="Least distance of two pins' centres, mm.")] = None,
    long: Annotated[str | None, typer.Option("--long", help="Longer side over the pins' centres, mm.")] = None,
    wide: Annotated[str | None, typer.Option("--wide", help="Shorter side over the pins' centres, mm.")] = None,
    within: Annotated[str | None, typer.Option("--within", help="How far callipers may be off; 0.2 mm.")] = None,
    limit: Annotated[int, typer.Option("--limit", min=1, help="At most this many.")] = 50,
    db: Db = None,
    json: Json = False,
) -> None:
    """Relays by number, maker, facts or pins. A number that nothing holds is read with one slip; none: exit status 1.

    Example: bom relay find tw2 --volts "12 V"

    Example: bom relay find --fact coil_ohms=200..260 --fact "sealing=RT III" --pitch 5.08
    """
    from bom.jobs.replacing.finding import Sought, find_relays
    from bom.paper.terminal.relays import relays_table

    sought = Sought(text, volts, units, contacts, pins, tuple(fact or ()), pitch, long, wide, within)
    with glance(db) as session:
        answer = find_relays(session, sought, limit)
    show(answer.relays, json, relays_table)
    _say_what_else(answer, text)
    raise typer.Exit(0 if answer.relays else 1)


def _say_what_else(answer: RelaysFound, text: str) -> None:
    """What the list itself does not say, beside it."""
    shown = len(answer.relays)
    if answer.hint:
        say(answer.hint)
    if shown and answer.read != "as typed":
        say(f"nothing holds {text!r}: read {answer.read}")
    if answer.total > shown:
        say(f"{shown} of {answer.total} shown; --limit shows more, more of the number or --fact finds fewer")


@app.command()
def add(
    maker: Annotated[str, typer.Option("--maker", help="Who makes it.")] = "",
    part_number: Annotated[str, typer.Option("--part-number", help="The number that it is ordered by.")] = "",
    like: Annotated[
        str, typer.Option("--like", metavar="PART", autocompletion=a_part, help="As this part, but for what is said.")
    ] = "",
    fact: Annotated[
        list[str] | None,
        typer.Option("--fact", metavar="COLUMN=VALUE", help="A column of relays.csv; again for another."),
    ] = None,
    wiring: Annotated[
        str, typer.Option("--wiring", metavar="LINE", help="As in 'single changeover: A1, A2, 11, 14, 12', or a name.")
    ] = "",
    pins: Annotated[
        str, typer.Option("--pins", metavar="LINE", help="As in 'A1 0/0, A2 0/5', mm to the right and down, or a name.")
    ] = "",
    view: Annotated[str, typer.Option("--view", help="The side its pins are drawn from: component or solder.")] = "",
    lead: Annotated[str, typer.Option("--lead", help="How thick its pins are in mm, as in 0.8 or '0.8 x 0.5'.")] = "",
    rating: Annotated[
        list[str] | None,
        typer.Option("--rating", metavar="LINE", help="As in 'make motor 14 V dc, 8 A, at 85 °C, 1e5 ops'; again."),
    ] = None,
    svg: Annotated[Path | None, typer.Option("--svg", metavar="FILE", help="Draw it before it is taken.")] = None,
    insist: Annotated[
        bool, typer.Option("--insist", help="Its data sheet does say so: take what is in doubt.")
    ] = False,
    replace: Replace = False,
    yes: Annotated[bool, typer.Option("--yes", help="Take it without asking.")] = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """One relay, asked in the order of its data sheet, or stated by options. Its card is shown before it is taken.

    Only what decides a verdict is asked. What is left blank is unknown; what that costs is said.

    Example: bom relay add

    Example: bom relay add --like TW2-12S --part-number TW2-18S --fact coil_volts=18 --fact coil_ohms=540 --yes
    """
    from bom.jobs.replacing.relay_stated import beginning, said_by_options

    lines = {"pins": pins, "view": view, "lead": lead, "wiring": wiring}
    said = said_by_options(fact or (), rating or (), maker=maker, part_number=part_number, **lines)
    with glance_if_there(db) as session:
        start = beginning(session, like)
    if not (fact or rating or any(lines.values()) or yes):
        said, insisted = _asked(start, said)
        insist = insist or insisted
    _take(start, said, Taking(insist, replace, yes, svg), db, json)


class Taking(NamedTuple):
    """How a stated relay is taken: whether doubtful and changed figures are, whether it is asked, where it is drawn."""

    insist: bool
    replace: bool
    yes: bool
    svg: Path | None


def _asked(start: Beginning, said: Said) -> tuple[Said, bool]:
    """What is said when all is asked, and whether a doubtful figure was insisted on."""
    from bom.cli.asking import somebody_is_there
    from bom.cli.relay_asked import ask_all
    from bom.jobs.replacing.relay_stated import Questions

    if not somebody_is_there():
        raise Refused("expected --part-number and all else as options, and --yes; there is no terminal to ask at")
    questions = Questions(start.kept, start.like, said)
    ask_all(questions)
    return questions.said, bool(questions.insisted)


def _take(start: Beginning, said: Said, how: Taking, db: str | None, as_json: bool) -> None:
    """The card, then the relay itself where that is agreed to."""
    from bom.cli.asking import somebody_is_there
    from bom.cli.relay_asked import agrees
    from bom.jobs.replacing.relay_stated import draw_stated, take_relay, understood
    from bom.paper.terminal.relay_stated import stated_card
    from bom.values.difference import Replacing

    with glance_if_there(db) as session:
        answer = understood(session, start, said, how.insist)
    if not as_json:
        show(answer, False, stated_card)

    def draw() -> None:
        file = how.svg or Path(f"{answer.relay.relay.part_number.replace('/', '-')}.svg")
        draw_stated(start, said, file)
        say(f"drawn: {file}")

    if how.svg is not None:
        draw()
    if not how.yes and not (somebody_is_there() and agrees("Take it?", draw)):
        show(answer, True, str) if as_json else None
        say("nothing was taken" if somebody_is_there() else "nothing was taken: --yes takes it")
        raise typer.Exit(1)
    replacing = Replacing(how.replace)
    with taking(as_json), bench(db) as session:
        answer = take_relay(session, start, said, how.insist, replacing)
    say_replaced(replacing)
    if as_json:
        show(answer, True, stated_card)
    say(f"taken: {answer.relay.relay.maker} {answer.relay.relay.part_number}, {answer.typed} values typed")


@app.command()
def forget(
    part: Annotated[str, typer.Argument(autocompletion=a_part, help="A part number, or maker and number.")],
    db: Db = None,
) -> None:
    """Take out a relay that was taken by mistake; refused while a board, a kit, the shelf or an order rests on it.

    Example: bom relay forget "Kithmar K2R-5S"
    """
    from bom.jobs.catalogue import forget_relay

    with bench(db) as session:
        gone = forget_relay(session, part)
    say(f"relay {gone} forgotten")


@app.command("show")
def show_(
    part: Annotated[str, typer.Argument(autocompletion=a_part, help="A part number.")],
    svg: Annotated[
        Path | None, typer.Option("--svg", metavar="FILE", help="Draw its pins, coils and contacts from both sides.")
    ] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """Everything the catalogue states of one relay, what each pin is, and what nobody stated.

    Example: bom relay show "tw2 12s"

    Example: bom relay show "tw2 12s" --svg tw2.svg
    """
    from bom.jobs.replacing.relays import draw_relay, show_relay
    from bom.paper.terminal.relays import relay_card

    with glance(db) as session:
        answer = show_relay(session, part)
        if svg is not None:
            draw_relay(session, part, svg)
    show(answer, json, relay_card)
    if svg is not None:
        say(f"drawn: {svg}")


@app.command()
def identify(
    ohms: Annotated[
        str | None, typer.Option("--ohms", help="Coil resistance as read, as in 262R; open for a dead coil.")
    ] = None,
    other_way: Annotated[
        str | None, typer.Option("--ohms-other-way", help="The same with the meter's leads exchanged.")
    ] = None,
    at: Annotated[str, typer.Option("--at", help="Temperature of the coil, as in '28 °C'.")] = "20 °C",
    size: Annotated[
        str | None, typer.Option("--size", help="Body, as in '18 x 17 x 14' mm; ? for a side not measured.")
    ] = None,
    pins: Annotated[int | None, typer.Option("--pins", min=1, help="How many pins.")] = None,
    grid: Annotated[
        str | None, typer.Option("--grid", help="Pin centres in mm from any corner, as in '0/0 0/10 12/5'.")
    ] = None,
    click: Annotated[str | None, typer.Option("--click", help="Volts at which it clicks.")] = None,
    let_go: Annotated[str | None, typer.Option("--let-go", help="Volts at which it lets go again.")] = None,
    text: Annotated[
        str | None, typer.Option("--print", help="What can be read of its print; ? for what cannot.")
    ] = None,
    joined: Annotated[
        str | None, typer.Option("--joined", help="Pins of the grid joined at rest, as in '3-5 8-10'; or none.")
    ] = None,
    coil: Annotated[str | None, typer.Option("--coil", help="The two pins the coil is between, as in '1-2'.")] = None,
    side: Annotated[
        str | None, typer.Option("--side", help="Where the grid was looked at from: component or solder.")
    ] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """Which catalogue relays an unknown one may be, and the measurement that would tell most.

    Example: bom relay identify --ohms 262R --at "28 °C" --pins 10 --size "18 x 17 x ?"

    Example: bom relay identify --ohms open --print "TW2" --pins 10

    Example: bom relay identify --ohms 240R --grid "0/0 0/12 2/6 14.2/0 14.2/12" --coil 1-2 --joined 3-5
    """
    from bom.jobs.replacing.relays import Reading, identify_relay
    from bom.paper.terminal.relays import identified_table

    reading = Reading(ohms, at, other_way, size, pins, grid, click, let_go, text, joined, coil, side)
    with glance(db) as session:
        answer = identify_relay(session, reading)
    show(answer, json, identified_table)
