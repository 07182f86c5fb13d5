"""The command `bom`: which words it knows, and how an error leaves it.

Exit status: 0 done, 1 an answer that is "no", 2 bad input or usage with one clear line on stderr and nothing changed.
"""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from bom import __version__
from bom.cli import board, catalog, database, demo, fit, kit, match, quote, relay, reorder, stock, supplier
from bom.values.problem import Refused

app = typer.Typer(
    name="bom",
    help="Prove which relays drop in, cost repair kits, and plan what to buy.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
app.command("demo")(demo.demo)
app.command("fit")(fit.fit)
app.command("match")(match.match)
app.command("reorder")(reorder.reorder)
app.add_typer(catalog.app, name="catalog")
app.add_typer(relay.app, name="relay")
app.add_typer(board.app, name="board")
app.add_typer(kit.app, name="kit")
app.add_typer(supplier.app, name="supplier")
app.add_typer(quote.app, name="quote")
app.add_typer(stock.app, name="stock")
app.add_typer(database.app, name="db")


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"bom {__version__}")
        raise typer.Exit


@app.callback()
def bom(
    version: Annotated[bool, typer.Option("--version", callback=_version, is_eager=True, help="Print it.")] = False,
) -> None:
    """Prove which relays drop in, cost repair kits, and plan what to buy."""


def run() -> None:
    """The console command: every refusal becomes one line on stderr and exit status 2, never a traceback."""
    try:
        status = app(standalone_mode=False)
    except Refused as refused:
        status = _refuse(str(refused))
    except (typer.Abort, KeyboardInterrupt):
        status = _refuse("stopped; nothing was changed")
    except OSError as error:
        status = _refuse(f"{error.filename or 'file'}: {error.strerror or error}")
    except Exception as error:
        status = _usage_or_fault(error)
    raise SystemExit(status if isinstance(status, int) else 0)


def _refuse(message: str) -> int:
    print(f"bom: {message}", file=sys.stderr)
    return 2


def _usage_or_fault(error: Exception) -> int:
    """The command line's own usage errors know how to say themselves; the database's are said short."""
    if (words := getattr(error, "format_message", None)) is not None:
        return _refuse(" ".join(str(words()).split()))
    if type(error).__module__.startswith("sqlalchemy"):
        return _refuse("database: " + str(getattr(error, "orig", None) or error).splitlines()[0])
    raise error
