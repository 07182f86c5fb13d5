"""`bom shop`: who the shop is, and the currency it counts in."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from bom.cli.options import Db, Json, Plain, bench, glance, say, show

app = typer.Typer(cls=Plain, help="Who the shop is: name, currency, tax, words on papers.", no_args_is_help=True)


@app.command("show")
def show_(db: Db = None, json: Json = False) -> None:
    """What the shop has said of itself; what it has not is named.

    Example: bom shop show
    """
    from bom.jobs.settings import show_shop
    from bom.paper.terminal.shelf import shop_table

    with glance(db) as session:
        answer = show_shop(session)
    show(answer, json, shop_table)


@app.command("set")
def set_(
    settings: Annotated[
        list[str], typer.Argument(metavar="NAME VALUE ...", help="A setting and what it is to be; '' takes it out.")
    ],
    db: Db = None,
) -> None:
    """Say who the shop is.

    name, address, contact, tax_number, warranty and disposal stand on
    papers; currency is what every sum is in; tax_registered says whether
    the tax on purchases comes back.

    Example: bom shop set name "Mill Lane Bench" currency GBP tax_registered yes
    """
    from bom.jobs.settings import set_shop

    if len(settings) % 2:
        raise typer.BadParameter("expected NAME VALUE in pairs, as in currency GBP")
    with bench(db) as session:
        changed = set_shop(session, list(zip(settings[::2], settings[1::2], strict=True)))
    for one in changed:
        say(_told(one))


def _told(one: Any) -> str:
    return f"{one.setting}: {one.before or 'not said'} → {one.after or 'not said'}"
