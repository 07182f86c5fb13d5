"""Asks a person about one relay, a question at a time: what it is, in which unit, and what an answer was taken for.

Enter leaves a value blank, ``?`` tells more, ``<`` goes back one question. Ctrl-C or the end of the input stops, and
nothing is taken.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import typer

from bom.cli.asking import say_wrong, typed
from bom.cli.options import say
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.jobs.replacing.relay_stated import Question, Questions

BACK, MORE = "<", "?"
HOW = f"Enter leaves a value blank, {MORE} tells more, {BACK} goes back, Ctrl-C stops and takes nothing."


def ask_all(questions: Questions) -> None:
    """Ask until nothing more is wanted; each wrong answer gets its reason and the question again."""
    say(HOW)
    subject = ""
    while (question := questions.next()) is not None:
        if question.subject != subject:
            subject = question.subject
            say("\n" + _styled(subject, bold=True))
        _ask(questions, question)


def _styled(text: str, **style: Any) -> str:
    return text if os.getenv("NO_COLOR") else typer.style(text, **style)


def _ask(questions: Questions, question: Question) -> None:
    say(_styled(f"  {question.meaning}{_choice(question)}", dim=True))
    while True:
        answer = typed(_prompt(question))
        if answer == MORE:
            say(_styled(f"  {_more(question)}", dim=True))
        elif answer == BACK:
            if questions.back():
                return
            say("  this is the first question")
        else:
            try:
                told = questions.answer(question, answer)
            except Refused as refused:
                say_wrong(refused)
                continue
            for line in told:
                say(_styled(f"  {line}", fg="yellow"))
            return


def _prompt(question: Question) -> str:
    unit = f", {question.unit}" if question.unit else ""
    usual = f" [{question.usual}]" if question.usual else ""
    words = question.key.removesuffix(_IN_UNIT.get(question.unit, "")).replace("_", " ")
    return f"  {words}{unit}{usual}: "


_IN_UNIT = {"°C": "_c", "mm": "_mm", "ms": "_ms", "%": "_pct", "operations": "_ops"}
"""What the name of a column ends in that its unit says again."""


def _choice(question: Question) -> str:
    if question.words:
        return f" ({' | '.join(question.words)})"
    return f" (as in {question.example})" if question.example else ""


def _more(question: Question) -> str:
    return question.more or f"{question.key}: as in {question.example or 'any text'}"


def agrees(question: str, draw: Callable[[], None]) -> bool:
    """Whether the person says yes; Enter is no, and *draw* draws it first."""
    from bom.values.column import YES_NO

    while True:
        answer = typed(f"{question} yes, no or draw [no]: ") or "no"
        if (meant := YES_NO.meant(answer)) is not None:
            return meant == "yes"
        if answer.casefold() != "draw":
            say("  yes, no or draw")
            continue
        try:
            draw()
        except Refused as refused:
            say_wrong(refused)
