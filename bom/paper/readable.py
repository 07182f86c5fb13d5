"""Knows which characters may stand on paper: text from outside loses its control characters and nothing else.

A control character can end a spreadsheet or an SVG (neither XML 1.0 file may hold one) or steer a terminal.
"""

from __future__ import annotations

import re

# Everything XML 1.0 section 2.2 leaves out, the C1 controls besides (a terminal obeys them), and carriage returns.
_UNFIT = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


def readable(text: object) -> str:
    """The text with each control character shown as U+FFFD; tabs and line ends stay; None is empty."""
    if text is None:
        return ""
    return _UNFIT.sub("\ufffd", str(text).replace("\r\n", "\n"))


def one_line(text: object) -> str:
    """The same on one line, runs of white space as one space."""
    return " ".join(readable(text).split())
