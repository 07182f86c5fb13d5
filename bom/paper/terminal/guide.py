"""Knows how a guide looks in a terminal: headings to the left, a $ before what is typed, answers as they will be."""

from __future__ import annotations

from io import StringIO
from typing import Any, ClassVar

from bom.answers.catalogue import Guide
from bom.paper.terminal.tables import terminal_width, wants_colour
from bom.paper.writing import readable


def guide_text(guide: Guide) -> str:
    """The guide, its prose wrapped to the terminal; commands and answers keep their lines."""
    from rich.console import Console, ConsoleOptions, RenderResult
    from rich.markdown import CodeBlock, Heading, Markdown, MarkdownElement
    from rich.text import Text

    class Block(CodeBlock):
        @classmethod
        def create(cls, markdown: Markdown, token: Any) -> CodeBlock:
            return cls(token.info or "", "")

        def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
            kind, _, file = self.lexer_name.partition(" ")
            text = str(self.text).rstrip("\n")
            if file:
                yield Text(f"── {file} ──", style="dim")
            shown = _typed(text) if kind == "sh" else text
            yield Text(shown, style={"sh": "bold", "text": "dim"}.get(kind, ""), no_wrap=True, overflow="ignore")

    class Left(Heading):
        def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
            self.text.justify = "left"
            self.text.stylize("bold underline" if self.tag == "h1" else "bold")
            yield self.text

    class Page(Markdown):
        elements: ClassVar[dict[str, type[MarkdownElement]]] = Markdown.elements | {
            "fence": Block,
            "code_block": Block,
            "heading_open": Left,
        }

    coloured = wants_colour()
    how: dict[str, Any] = {"force_terminal": coloured, "no_color": not coloured, "legacy_windows": False}
    console = Console(file=StringIO(), width=terminal_width(), highlight=False, **how)
    with console.capture() as captured:
        console.print(Page(readable(guide.text)), soft_wrap=False)
    return "\n".join(line.rstrip() for line in captured.get().splitlines())


def _typed(text: str) -> str:
    """Commands as they are typed: a $ before each, none before the rest of a long one."""
    lines = text.split("\n")
    begins = [n == 0 or not lines[n - 1].endswith("\\") for n in range(len(lines))]
    return "\n".join(f"{'$ ' if begun else '  '}{line}" for begun, line in zip(begins, lines, strict=True))
