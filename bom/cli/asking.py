"""Asks a person at a terminal for what no option gave; where nobody is there to ask, one error says what is missing.

Answers are a dataclass of texts, as the options give them. Each answer is read at once, together with those before it,
and asked again where it is refused. Enter alone leaves a thing not stated.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from typing import Any, TypeVar

import typer

from bom.cli.options import say
from bom.values.problem import Refused

Answers = TypeVar("Answers")


class Asking:
    """Asks one thing after another. ``needed`` are the options without which there is something to ask."""

    def __init__(self, needed: str) -> None:
        if not (sys.stdin.isatty() and sys.stderr.isatty()):
            raise Refused(f"expected {needed}; there is no terminal to ask at")
        say("Enter leaves a thing blank, Ctrl-C stops and writes nothing.")

    def one(self, answers: Answers, key: str, what: str, example: str, read: Callable[[Answers], object]) -> Answers:
        """The answers with this one, which is not asked where it is there already."""
        if getattr(answers, key):
            return answers
        text = self.text(what, example, lambda typed: read(_with(answers, key, typed)))
        return _with(answers, key, text)

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
        text = self.text(asked, example, lambda typed: read(_with_more(answers, key, typed)))
        if text:
            return self.several(_with_more(answers, key, text), key, what, example, read, needed)
        if lacks:
            say("  ✗ at least one is needed")
            return self.several(answers, key, what, example, read, needed)
        return answers

    def text(self, what: str, example: str, read: Callable[[str], object]) -> str:
        """One text as typed; the example stands behind the question."""
        while True:
            text = str(typer.prompt(f"  {what} ({example})", default="", show_default=False, err=True)).strip()
            try:
                if text:
                    read(text)
            except Refused as refused:
                say(f"  ✗ {refused}")
            else:
                return text


def _with(answers: Answers, key: str, value: object) -> Answers:
    known: Any = answers
    changed: Answers = replace(known, **{key: value})
    return changed


def _with_more(answers: Answers, key: str, text: str) -> Answers:
    return _with(answers, key, (*getattr(answers, key), text))
