"""`bom supplier`: take a supplier's file, read its price list anew."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

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
    say_written,
    show,
    show_file,
    show_taken,
    taking,
    working,
)

if TYPE_CHECKING:
    from bom.jobs.buying.new_supplier import SupplierAnswers

app = typer.Typer(cls=Plain, help="Suppliers and their price lists.", no_args_is_help=True)


@app.command()
def add(
    file: Annotated[Path, typer.Argument(help="A supplier's TOML file.")],
    replace: Replace = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """Take a supplier; its price list is read only by refresh.

    One that is there already with something else in it needs --replace.

    Table supplier: name, currency, prices_include_tax, tax_pct,
    shipping (fee, free_from), import_fee, minimum_order, lead_days.

    Table feed, if there is one: file or url; secret_env, the environment
    variable that holds the token; keep_hours; encoding; delimiter and
    decimal, where the list's own cells shall not decide.

    columns: our words (supplier_code, part_number, maker, stock, moq,
    multiple, lead_days, price_per, currency) and the list's headings.

    breaks: from (a quantity, or a heading that holds it) and column;
    or break_rows: the headings from and price.

    price_per = 100 for lists priced by the hundred, where no heading says
    so; packing = { TU = 20 } for packing codes; lead_time_in = weeks where
    lead times are bare numbers of weeks.

    stock_0 = "no offer" where a part of which none is in stock shall not be
    planned; else it is one that comes when its own row says, in more days
    than lead_days, which are for what lies there.

    A feed reads the columns that it names: one that the list has not is a
    problem, and whatever else the list has is left out.

    Example: bom supplier add catalogs/demo/suppliers/osmere.toml
    """
    from bom.jobs.buying.suppliers import add_supplier
    from bom.values.difference import Replacing

    replacing = Replacing(replace)
    with taking(json), bench(db) as session:
        lines = add_supplier(session, file, replacing)
    show_taken(lines, replacing, json)


@app.command()
def new(
    name: Annotated[str, typer.Argument(help="The supplier's name.")],
    currency: Annotated[str, typer.Option("--currency", metavar="CODE", help="The currency of its prices.")] = "",
    tax: Annotated[str, typer.Option("--tax", metavar="PERCENT", help="The tax on its prices.")] = "",
    includes_tax: Annotated[
        str, typer.Option("--includes-tax", metavar="yes|no", help="Whether its prices hold tax.")
    ] = "",
    shipping: Annotated[str, typer.Option("--shipping", metavar="AMOUNT", help="What an order's shipping costs.")] = "",
    free_from: Annotated[str, typer.Option("--free-from", metavar="AMOUNT", help="From here on it is free.")] = "",
    minimum: Annotated[str, typer.Option("--minimum", metavar="AMOUNT", help="The least that an order comes to.")] = "",
    days: Annotated[str, typer.Option("--days", metavar="N", help="Days from order to arrival.")] = "",
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Else NAME.toml, here.")] = None,
    db: Db = None,
) -> None:
    """Write a supplier's file to fill in; asked, or by options. Nothing is taken or written over.

    With --currency nothing is asked.

    Example: bom supplier new Wexholme --currency GBP --shipping 4.20 --free-from 50

    Example: bom supplier new Wexholme
    """
    from bom.jobs.buying.new_supplier import SupplierAnswers, new_supplier
    from bom.jobs.buying.suppliers import check_supplier_file

    answers = SupplierAnswers(currency, tax, includes_tax, shipping, free_from, minimum, days)
    with glance_if_there(db) as session:
        written = new_supplier(session, name, answers if currency else _asked(answers), out)
        answer = check_supplier_file(session, written)
    say_written([written])
    show_file(answer, False)


def _asked(answers: SupplierAnswers) -> SupplierAnswers:
    """The answers with what no option gave, asked for."""
    from bom.cli.asking import Asking
    from bom.jobs.buying.new_supplier import terms_of

    ask = Asking("--currency CODE")
    asked = (
        ("currency", "The currency of its prices", "GBP"),
        ("includes_tax", "Do its prices hold tax", "yes or no"),
        ("tax", "The tax on its prices, in percent", "20"),
        ("shipping", "What an order's shipping costs", "4.20"),
        ("free_from", "From what order on shipping is free", "50"),
        ("minimum", "The least that an order must come to", "25"),
        ("days", "Days from order to arrival", "3"),
    )
    return ask.each(answers, asked, terms_of)


@app.command()
def check(
    file: Annotated[Path, typer.Argument(help="A supplier's TOML file.")], db: Db = None, json: Json = False
) -> None:
    """Look at a supplier's file as it grows; nothing is taken. Exit status 1 where something is wrong.

    Example: bom supplier check catalogs/demo/suppliers/osmere.toml
    """
    from bom.jobs.buying.suppliers import check_supplier_file

    with glance_if_there(db) as session:
        answer = check_supplier_file(session, file)
    show_file(answer, json)
    raise typer.Exit(0 if answer.good else 1)


@app.command()
def forget(name: Annotated[str, typer.Argument(help="A supplier's name.")], db: Db = None) -> None:
    """Take out a supplier and its price list; refused while an order or a quote rests on it.

    Example: bom supplier forget Osmere
    """
    from bom.jobs.buying.suppliers import forget_supplier

    with bench(db) as session:
        gone = forget_supplier(session, name)
    say(f"supplier {gone} and its price list forgotten; lots that it sent keep its name")


@app.command()
def refresh(
    name: Annotated[str, typer.Argument(help="A supplier's name; nothing = every one with a list.")] = "",
    anew: Annotated[
        bool, typer.Option("--anew", help="Ask the address even where the kept copy is younger than keep_hours.")
    ] = False,
    shorter: Annotated[
        bool, typer.Option("--shorter", help="Take a list with less than half of the offers the last one had.")
    ] = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """Read price lists from their configured file or address; one that fails leaves the last good offers in place.

    Nothing else ever fetches anything. A list from an address is kept for
    keep_hours, then asked after again; its token comes from the environment
    variable that secret_env names. Exit status 1 where a list was not taken.

    Example: bom supplier refresh Osmere
    """
    from bom.jobs.buying.price_lists import refresh as read_anew
    from bom.paper.terminal.buying import refreshed_table

    with working("reading price lists"):
        answer = read_anew(db, name, anew=anew, shorter=shorter, told=say)
    show(answer, json, refreshed_table)
    raise typer.Exit(1 if any(one.failed for one in answer) else 0)


@app.command()
def confirm(
    name: Annotated[str, typer.Argument(help="The supplier whose price it is.")],
    parts: Annotated[
        list[str], typer.Argument(metavar="PART...", autocompletion=a_part, help="The parts whose prices are true.")
    ],
    db: Db = None,
) -> None:
    """Say that a price kept out of plans is true.

    A price more than 5 times, or less than a fifth of, what was last paid
    for the part is likelier a slip than a price; so is one that far from
    what other suppliers ask, or from one price break to the next. Refresh,
    quote take and supplier show name such prices; no plan and no kit's cost
    takes them until they are confirmed here.

    Example: bom supplier confirm Osmere K2R-12S
    """
    from bom.jobs.buying.suppliers import confirm as confirm_prices

    with bench(db) as session:
        for line in confirm_prices(session, name, parts):
            say(line)


@app.command("show")
def show_all(
    name: Annotated[str, typer.Argument(help="A supplier's name; nothing = all of them.")] = "",
    db: Db = None,
    json: Json = False,
) -> None:
    """How each supplier's price list stands and how old it is, its quotes, and what keeps offers out of plans.

    Example: bom supplier show
    """
    from bom.jobs.buying.suppliers import show_suppliers
    from bom.paper.terminal.buying import suppliers_table

    with glance(db) as session:
        answer = show_suppliers(session, name)
    show(answer, json, suppliers_table)


@app.command()
def rates(
    file: Annotated[Path, typer.Argument(help="A TOML file of dated exchange rates.")],
    base: Annotated[
        str, typer.Option("--base", metavar="CODE", help="The base to count in from now on, of those in the file.")
    ] = "",
    replace: Replace = False,
    db: Db = None,
    json: Json = False,
) -> None:
    """Take dated exchange rates, which the shop's sums go by.

    The file says what one unit of each currency is worth in the base:

    base = "GBP"; date = 2026-11-02; rates = { EUR = 0.87, USD = 0.76 };
    source = "my bank"; several days each in a table of its own named rate.

    Other rates for a day that is there already, and another base, need
    --replace. The newest day counts. Offers in a currency without a rate are shown
    and never ranked.

    Example: bom supplier rates catalogs/demo/rates.toml
    """
    from bom.jobs.buying.suppliers import take_rates_file
    from bom.paper.terminal.buying import rates_table
    from bom.values.difference import Replacing

    replacing = Replacing(replace)
    with taking(json), bench(db) as session:
        answer = take_rates_file(session, file, base, replacing)
    say_replaced(replacing)
    show(answer, json, rates_table)
