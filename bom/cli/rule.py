"""`bom rule`: a shop's own rule of thumb, written and looked at; `bom board check --rule` uses it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bom.cli.options import Json, Plain, say_written, show_file

if TYPE_CHECKING:
    from bom.jobs.replacing.own_rule import RuleAnswers

app = typer.Typer(cls=Plain, help="A shop's own rules of thumb.", no_args_is_help=True)


@app.command()
def new(
    name: Annotated[str, typer.Argument(help="The rule's name.")],
    source: Annotated[str, typer.Option("--source", help="Where its figures come from.")] = "",
    inrush: Annotated[
        list[str] | None,
        typer.Option("--inrush", metavar="LOAD=TIMES", help="As in lamp=9..12 times running; again for another."),
    ] = None,
    percent: Annotated[
        list[str] | None,
        typer.Option("--percent", metavar="LOAD=PERCENT", help="Of a resistive rating; again for another."),
    ] = None,
    kelvin: Annotated[str, typer.Option("--kelvin", metavar="K", help="How far a coil warms for each watt.")] = "",
    note: Annotated[str, typer.Option("--note", help="A restriction to mind.")] = "",
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Else NAME.toml, here.")] = None,
) -> None:
    """Write a rule's file; asked, or by options. Nothing is written over.

    With --source nothing is asked: no figure is taken without one.

    Example: bom rule new "pump starts" --source "bench log 2026, 20 pumps" --inrush motor=4..6

    Example: bom rule new "pump starts"
    """
    from bom.jobs.replacing.own_rule import RuleAnswers, check_rule_file, new_rule

    answers = RuleAnswers(source, inrush or (), percent or (), kelvin, note)
    written = new_rule(name, answers if source else _asked(answers), out)
    say_written([written])
    show_file(check_rule_file(written), False)


def _asked(answers: RuleAnswers) -> RuleAnswers:
    """The answers with what no option gave, asked for."""
    from bom.cli.asking import Asking
    from bom.jobs.replacing.own_rule import figures_of

    ask = Asking("--source TEXT")
    answers = ask.one(answers, "source", "Where the figures come from", "bench log 2026, 20 pumps clamped", figures_of)
    answers = ask.several(
        answers, "inrush", "How many times its running current a load starts on", "lamp=9..12", figures_of
    )
    answers = ask.several(
        answers, "percent", "What share of a resistive rating a load may use", "inductive=40", figures_of
    )
    answers = ask.one(answers, "kelvin", "How many kelvin a coil warms for each watt", "45", figures_of)
    return ask.one(answers, "note", "A restriction to mind", "12 V boxes", figures_of)


@app.command()
def check(file: Annotated[Path, typer.Argument(help="A rule's TOML file.")], json: Json = False) -> None:
    """Look at a rule's file as it grows. Exit status 1 where something is wrong.

    Example: bom rule check catalogs/demo/bench/bench.toml
    """
    from bom.jobs.replacing.own_rule import check_rule_file

    answer = check_rule_file(file)
    show_file(answer, json)
    raise typer.Exit(0 if answer.good else 1)
