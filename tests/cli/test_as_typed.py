"""Options as they were typed: text stays text, numbers and files are still read, and what is wrong is still refused."""

from pathlib import Path
from typing import Annotated, Any

import pytest
import typer
from typer.main import get_command

from bom.cli.main import take_as_typed

heard: dict[str, Any] = {}


def ask(
    part: Annotated[str | None, typer.Option("--part")] = None,
    pieces: Annotated[int | None, typer.Option("--pieces", min=1)] = None,
    out: Annotated[Path | None, typer.Option("--out")] = None,
    bins: Annotated[list[str] | None, typer.Option("--bin")] = None,
    shout: Annotated[str, typer.Option("--shout", parser=str.upper)] = "",
) -> None:
    heard.update(part=part, pieces=pieces, out=out, bins=bins, shout=shout)


def heard_of(*words: str) -> dict[str, Any]:
    app = typer.Typer()
    app.command()(ask)
    take_as_typed(get_command(app))(list(words), standalone_mode=False)
    return heard


@pytest.mark.parametrize(
    ("words", "name", "meant"),
    [
        (("--part", " TW2 "), "part", " TW2 "),
        ((), "part", None),
        (("--pieces", "12"), "pieces", 12),
        (("--out", "a.html"), "out", Path("a.html")),
        (("--bin", "A", "--bin", "B"), "bins", ["A", "B"]),
        (("--shout", "loud"), "shout", "LOUD"),
    ],
)
def test_each_option_is_what_the_parser_itself_would_make_of_it(words: tuple[str, ...], name: str, meant: Any) -> None:
    app = typer.Typer()
    app.command()(ask)
    get_command(app)(list(words), standalone_mode=False)
    assert heard[name] == meant
    assert heard_of(*words)[name] == meant


@pytest.mark.parametrize("pieces", ["0", "many"])
def test_a_number_that_is_none_is_refused(pieces: str) -> None:
    with pytest.raises(Exception, match=r"greater|integer"):
        heard_of("--pieces", pieces)
