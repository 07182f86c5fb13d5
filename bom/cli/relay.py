"""`bom relay`: look parts up, show one, or name one from what the bench measured."""

from __future__ import annotations

from typing import Annotated

import typer

from bom.cli.options import Db, Json, show

app = typer.Typer(help="Relays: find, show, identify.", no_args_is_help=True)


@app.command()
def find(
    text: Annotated[str, typer.Argument(help="Any part of a part number, as you type it.")] = "",
    volts: Annotated[str | None, typer.Option("--volts", help="Coil volts, as in 12 V.")] = None,
    units: Annotated[int | None, typer.Option("--units", help="Independent relays in the body.")] = None,
    contacts: Annotated[str | None, typer.Option("--contacts", help="make, break or changeover.")] = None,
    pins: Annotated[int | None, typer.Option("--pins", help="How many pins.")] = None,
    limit: Annotated[int, typer.Option("--limit", min=1, help="At most this many.")] = 50,
    db: Db = None,
    json: Json = False,
) -> None:
    """Relays by part number or by facts.

    Example: bom relay find tw2 --volts "12 V"
    """
    from bom.jobs.bench import bench
    from bom.jobs.relays import find_relays
    from bom.paper.answers import relays_table

    with bench(db) as session:
        answer = find_relays(session, text, volts=volts, units=units, contacts=contacts, pins=pins, limit=limit)
    show(answer, json, relays_table)


@app.command("show")
def show_(part: Annotated[str, typer.Argument(help="A part number.")], db: Db = None, json: Json = False) -> None:
    """Everything the catalogue states of one relay, and what it leaves out.

    Example: bom relay show "tw2 12s"
    """
    from bom.jobs.bench import bench
    from bom.jobs.relays import show_relay
    from bom.paper.answers import relay_card

    with bench(db) as session:
        answer = show_relay(session, part)
    show(answer, json, relay_card)


@app.command()
def identify(
    ohms: Annotated[str, typer.Option("--ohms", help="Coil resistance as read, as in 262R.")],
    at: Annotated[str, typer.Option("--at", help="Temperature of the coil, as in '28 °C'.")] = "20 °C",
    pins: Annotated[int | None, typer.Option("--pins", help="How many pins.")] = None,
    click: Annotated[str | None, typer.Option("--click", help="Volts at which it clicks.")] = None,
    text: Annotated[str | None, typer.Option("--print", help="What can be read of its print.")] = None,
    db: Db = None,
    json: Json = False,
) -> None:
    """Which catalogue relays an unknown one may be, and the measurement that would tell most.

    Example: bom relay identify --ohms 262R --at "28 °C" --pins 10
    """
    from bom.jobs.bench import bench
    from bom.jobs.relays import identify_relay
    from bom.paper.answers import identified_table

    with bench(db) as session:
        answer = identify_relay(session, ohms=ohms, at=at, pins=pins, click=click, text=text)
    show(answer, json, identified_table)
