"""Options that many commands share, and the one way they print: a table for people, JSON for programs."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, TypeVar

import typer
from typer.core import TyperGroup

from bom.values.problem import Refused
from bom.values.reading import HowAsked

if TYPE_CHECKING:
    from bom.answers.catalogue import FileChecked
    from bom.jobs.bench import Session
    from bom.values.difference import Replacing

Answer = TypeVar("Answer")
Db = Annotated[
    str | None,
    typer.Option(
        "--db",
        envvar="BOM_DATABASE_URL",
        metavar="URL",
        help="Database; without it SQLite in your data directory.",
        rich_help_panel="Everywhere",
    ),
]
Json = Annotated[bool, typer.Option("--json", help="Print JSON instead of a table.", rich_help_panel="Everywhere")]
PAPER = "What they are printed on"
LabelSize = Annotated[
    str,
    typer.Option("--size", metavar="60x40", help="Each of this size in mm, one to a page.", rich_help_panel=PAPER),
]
LabelSheet = Annotated[
    str,
    typer.Option("--sheet", metavar="3x8", help="On A4, so many across and down.", rich_help_panel=PAPER),
]
LabelEdge = Annotated[
    float | None,
    typer.Option("--edge", metavar="MM", help="White round the A4 sheet; 8 unless said.", rich_help_panel=PAPER),
]
LabelSkip = Annotated[
    int,
    typer.Option("--skip", metavar="N", help="So many of the first sheet are used already.", rich_help_panel=PAPER),
]

LeaveOut = Annotated[
    list[str] | None,
    typer.Option("--leave-out", metavar="COLUMN", help="A column of your own that is not read; again for another."),
]


READ = "How a spreadsheet is read"
ReadBy = Annotated[
    list[Path] | None,
    typer.Option(
        "--reading", metavar="TOML", help="What its headings mean (bom catalog reading).", rich_help_panel=READ
    ),
]
SheetName = Annotated[str, typer.Option("--sheet", metavar="NAME", help="This sheet of it.", rich_help_panel=READ)]
HeadingRow = Annotated[
    int, typer.Option("--heading-row", metavar="N", min=0, help="The row of its headings.", rich_help_panel=READ)
]


def how_asked(readings: Sequence[Path] | None, sheet: str, heading_row: int) -> HowAsked:
    """How a command was told to read its files."""
    return HowAsked(tuple(readings or ()), sheet, heading_row)


Replace = Annotated[
    bool, typer.Option("--replace", help="Take it also where it changes what is there; each change is shown.")
]


WriteOver = Annotated[bool, typer.Option("--write-over", help="Write over a file that is there already.")]


def a_new_file(path: Path | None, write_over: bool, ending: str = "") -> None:
    """Refused, before anything is worked out, where a file cannot be this or is there already."""
    from bom.paper.writing import nothing_written_over

    if path is None:
        return
    if ending and path.suffix.casefold() != ending:
        raise typer.BadParameter(f"{path}: expected a name that ends in {ending}")
    try:
        nothing_written_over(() if write_over else (path,))
    except Refused as refused:
        raise Refused(f"{refused}; --write-over writes over it") from refused


def a_part(ctx: typer.Context, incomplete: str) -> list[str]:
    """For the shell's completion: parts that begin so; ``PART=QTY`` is completed up to its equals sign."""
    from bom.jobs.replacing.finding import parts_beginning

    return parts_beginning(ctx.params.get("db"), incomplete)


class Plain(TyperGroup):
    """Commands whose help says in plain words what an option takes, and nothing where it takes no value."""

    def get_params(self, ctx: Any) -> list[Any]:
        """The group's own options, --help among them."""
        return [_plain(option) for option in super().get_params(ctx)]

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """The command of this name, or None."""
        command = super().get_command(ctx, cmd_name)
        if command is not None:
            for option in (*command.params, command.get_help_option(ctx)):
                _plain(option)
        return command


_TAKES: dict[Any, str] = {int: "N", Path: "FILE", str: "TEXT"}


def _plain(option: Any) -> Any:
    if getattr(option, "is_flag", False):
        option.metavar = ""
    elif option.param_type_name == "option" and option.metavar is None:
        option.metavar = _TAKES.get(getattr(getattr(option, "type_descriptor", None), "annotation", None))
    return option


def show(answer: Answer, as_json: bool, table: Callable[[Answer], str]) -> None:
    """Print the answer to a job: as a table, or every key of it as JSON."""
    if as_json:
        from bom.paper.json_out import as_json as written

        typer.echo(written(answer))
    else:
        typer.echo(table(answer).rstrip("\n"))


@contextmanager
def bench(db: str | None) -> Iterator[Session]:
    """The database for a job that writes; what a person should know is said on stderr."""
    from bom.jobs.bench import bench as opened

    with opened(db, say) as session:
        yield session


@contextmanager
def glance(db: str | None) -> Iterator[Session]:
    """The database for a job that only reads."""
    from bom.jobs.bench import glance as opened

    with opened(db, say) as session:
        yield session


@contextmanager
def glance_if_there(db: str | None) -> Iterator[Session | None]:
    """The database for a job that only reads, or None where there is none yet."""
    from bom.jobs.bench import glance_if_there as opened

    with opened(db, say) as session:
        yield session


def say(text: str) -> None:
    """A word about what was done, on stderr, so that stdout stays the answer alone."""
    typer.echo(text, err=True)


def show_file(answer: FileChecked, as_json: bool) -> None:
    """What is wrong in a file, and the command that explains what may stand there."""
    from bom.jobs.explaining import pointer
    from bom.paper.terminal.catalogue import file_table

    show(answer, as_json, file_table)
    if where := pointer(answer.problems):
        say(where)


def say_written(files: Iterable[Path]) -> None:
    """Which files are new."""
    say(f"written: {', '.join(map(str, files))}")


@contextmanager
def taking(as_json: bool) -> Iterator[None]:
    """Around a job that takes a file: what it would change and may not is the answer too, for programs as JSON."""
    from bom.values.difference import WouldReplace

    try:
        yield
    except WouldReplace as refused:
        if as_json:
            show({"taken": False, "would_replace": [asdict(one) for one in refused.differences]}, True, str)
        raise


def say_replaced(replacing: Replacing) -> None:
    """What was replaced: each thing, each value before and after, whom it concerns."""
    from bom.values.difference import in_words

    for one in replacing.differences:
        for line in in_words(one):
            say(line)


def show_taken(lines: Sequence[str], replacing: Replacing, as_json: bool) -> None:
    """What a job that took a file has to tell, and what it replaced."""
    if as_json:
        replaced = [asdict(one) for one in replacing.differences]
        return show({"taken": True, "said": list(lines), "replaced": replaced}, True, str)
    for line in lines:
        say(line)
    return say_replaced(replacing)


@contextmanager
def working(what: str) -> Iterator[None]:
    """A moving bar while long work runs, when a person is watching."""
    if not sys.stderr.isatty():
        yield
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        progress.add_task(what, total=None)
        yield


@contextmanager
def measured(what: str) -> Iterator[Callable[[int, int], None] | None]:
    """A bar that fills as work goes on, when a person is watching; it hears how much is done, and of how much."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(what, total=None)
        yield lambda done, of: progress.update(task, completed=done, total=of)
