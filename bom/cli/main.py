"""The command `bom`: which words it knows, and how an error leaves it.

Exit status: 0 done, 1 an answer that is "no", 2 bad input or usage with one clear line on stderr and nothing changed.
"""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Annotated, Any

import typer
from typer.main import get_command

from bom import __version__
from bom.cli.options import Plain
from bom.values.problem import ProblemsFound, Refused

COMMANDS = {
    "demo": "database",
    "explain": "catalog",
    "fit": "matching",
    "match": "matching",
    "measure": "matching",
    "reorder": "buying",
}
"""A word that is a command by itself, and its file."""
NOUNS = {
    "catalog": "catalog",
    "relay": "relay",
    "board": "board",
    "kit": "kit",
    "supplier": "supplier",
    "quote": "buying",
    "stock": "stock",
    "shop": "shop",
    "rule": "rule",
    "db": "database",
}
"""A noun, and the file of its commands."""


def whole() -> typer.Typer:
    """Every command, for help and completion."""
    return _with((*COMMANDS, *NOUNS))


def app_for(typed: Sequence[str]) -> typer.Typer:
    """As much of the command line as these words ask for: to build the rest would take longer than many an answer."""
    first = typed[0] if typed else ""
    known = first in COMMANDS or first in NOUNS
    return _with((first,)) if known and "_BOM_COMPLETE" not in os.environ else whole()


def _with(words: Sequence[str]) -> typer.Typer:
    app = typer.Typer(
        name="bom",
        cls=Plain,
        help="Prove which relays drop in, cost repair kits, and plan what to buy.",
        no_args_is_help=True,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"]},
    )
    app.callback()(bom)
    for word in words:
        file = import_module(f"bom.cli.{(COMMANDS | NOUNS)[word]}")
        if word in COMMANDS:
            app.command(word)(getattr(file, word))
        else:
            app.add_typer(file.app, name=word)
    return app


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"bom {__version__}")
        raise typer.Exit


def bom(
    version: Annotated[bool, typer.Option("--version", callback=_version, is_eager=True, help="Print it.")] = False,
) -> None:
    """Prove which relays drop in, cost repair kits, and plan what to buy."""


def run() -> None:
    """The console command: every refusal becomes one line on stderr and exit status 2, never a traceback."""
    gc.set_threshold(100_000, 50, 50)  # what start-up makes stays: looking through it for garbage took a tenth of it
    try:
        status = take_as_typed(get_command(app_for(sys.argv[1:])))(standalone_mode=False)
    except ProblemsFound as found:
        status = _refuse_file(found)
    except Refused as refused:
        status = _refuse(str(refused))
    except (typer.Abort, KeyboardInterrupt):
        status = _refuse("stopped; nothing was changed")
    except OSError as error:
        status = _refuse(f"{error.filename or 'file'}: {error.strerror or error}")
    except Exception as error:
        status = _usage_or_fault(error)
    finally:
        gc.freeze()  # the process ends here: to free its objects one by one took a fifth of it
    raise SystemExit(status if isinstance(status, int) else 0)


def _refuse(message: str) -> int:
    print(f"bom: {message}", file=sys.stderr)
    return 2


def _refuse_file(found: ProblemsFound) -> int:
    """Every problem, and the command that explains what the file may hold."""
    from bom.jobs.explaining import pointer

    where = pointer(found.problems)
    return _refuse(f"{found}\n{where}" if where else str(found))


def _usage_or_fault(error: Exception) -> int:
    """The command line's own usage errors know how to say themselves; the database's are said short."""
    if _is_amount(str(getattr(error, "option_name", ""))):  # below nothing, it looks like an option to the parser
        typed = next((word for word in sys.argv[1:] if _is_amount(word)), "")
        return _refuse(f"expected a quantity above 0, found {typed}")
    if (words := getattr(error, "format_message", None)) is not None:
        return _refuse(" ".join(str(words()).split()))
    if type(error).__module__.startswith("sqlalchemy"):
        return _refuse("database: " + str(getattr(error, "orig", None) or error).splitlines()[0])
    raise error


def _is_amount(word: str) -> bool:
    return word[:1] == "-" and word[1:2].isdigit()


def __getattr__(name: str) -> typer.Typer:
    """``app``, the whole command line, made when something asks for it."""
    if name == "app":
        return whole()
    raise AttributeError(name)


class AsTyped:
    """Stands where one option's reader stands, until the option is given and is more than text."""

    def coerce(self, value: Any, param: Any, ctx: Any) -> Any:
        """What was typed; the parser's own reader where that is more than text."""
        if value is None:
            return () if param.multiple or param.nargs == -1 else None
        if isinstance(value, str) and _is_text(param.type_descriptor):
            return value
        param._runtime_param = None  # makes the parser build its own
        return param.get_runtime_param().coerce(value, param=param, ctx=ctx)


def _is_text(descriptor: Any) -> bool:
    return descriptor.annotation is str and descriptor.parameter_info.parser is None


def take_as_typed(command: Any, above: Any = None) -> Any:
    """The command and all under it, in no hurry to build readers; a parser that builds none is left as it is."""
    here = typer.Context(command, parent=above, **command.context_settings)
    for param in command.get_params(here):  # with the one for help, which is made when first asked for
        if hasattr(param, "get_runtime_param") and param._runtime_param is None:
            param._runtime_param = AsTyped()
    for under in getattr(command, "commands", {}).values():
        take_as_typed(under, here)
    return command
