"""Asks a person at a terminal for what no option gave; where nobody is there to ask, one error says what is missing.

Answers are a dataclass of texts, as the options give them. Each answer is read at once, together with those before it,
and asked again where it is refused. Enter alone leaves a thing not stated. Questions go to the terminal, never into
what is piped on.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any, TypeVar

import typer

from bom.cli.options import say
from bom.values.problem import Refused

Answers = TypeVar("Answers")


def somebody_is_there() -> bool:
    """Whether a person sits at a terminal, to type answers and to read what is wrong with them."""
    return sys.stdin.isatty() and sys.stderr.isatty()


def typed(prompt: str) -> str:
    """A line from the keyboard; Ctrl-C and the end of the input stop."""
    try:
        if sys.stdout.isatty():
            return input(prompt).strip()
        typer.echo(prompt, nl=False, err=True)
        return input().strip()
    except (EOFError, KeyboardInterrupt):
        raise typer.Abort from None


def say_wrong(refused: Refused) -> None:
    """Why an answer cannot be, before it is asked again."""
    text = f"  ✗ {refused}"
    say(text if os.getenv("NO_COLOR") else typer.style(text, fg="red"))


class Asking:
    """Asks one thing after another. ``needed`` are the options without which there is something to ask."""

    def __init__(self, needed: str) -> None:
        if not somebody_is_there():
            raise Refused(f"expected {needed}; there is no terminal to ask at")
        say("Enter leaves a thing blank, Ctrl-C stops and writes nothing.")

    def one(self, answers: Answers, key: str, what: str, example: str, read: Callable[[Answers], object]) -> Answers:
        """The answers with this one, which is not asked where it is there already."""
        if getattr(answers, key):
            return answers
        text = self.text(what, example, lambda said: read(_with(answers, key, said)))
        return _with(answers, key, text)

    def each(
        self, answers: Answers, asked: Iterable[tuple[str, str, str]], read: Callable[[Answers], object]
    ) -> Answers:
        """The answers with each of these, asked as ``one``: (key, what, example)."""
        for key, what, example in asked:
            answers = self.one(answers, key, what, example, read)
        return answers

    def several(
        self,
        answers: Answers,
        key: str,
        what: str,
        example: str,
        read: Callable[[Answers], object],
        needed: bool = False,
    ) -> Answers:
        """The answers with one more of these, and one more, until Enter alone; of what is ``needed`` at least one."""
        lacks = needed and not getattr(answers, key)
        asked = what if lacks else f"{what}; Enter = no more"
        text = self.text(asked, example, lambda said: read(_with_more(answers, key, said)))
        if text:
            return self.several(_with_more(answers, key, text), key, what, example, read, needed)
        if lacks:
            say("  ✗ at least one is needed")
            return self.several(answers, key, what, example, read, needed)
        return answers

    def text(self, what: str, example: str, read: Callable[[str], object]) -> str:
        """One text as typed; the example stands behind the question."""
        while True:
            text = typed(f"  {what} ({example}): ")
            try:
                if text:
                    read(text)
            except Refused as refused:
                say_wrong(refused)
            else:
                return text


def _with(answers: Answers, key: str, value: object) -> Answers:
    known: Any = answers
    changed: Answers = replace(known, **{key: value})
    return changed


def _with_more(answers: Answers, key: str, text: str) -> Answers:
    return _with(answers, key, (*getattr(answers, key), text))
