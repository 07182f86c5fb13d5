"""Knows how text leaves the house unharmed: without control characters, and a file whole or not at all.

A control character can end a spreadsheet or an SVG (neither XML 1.0 file may hold one) or steer a terminal; half a file
is worse than none.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from bom.values.problem import Refused


@contextmanager
def written_whole(path: Path) -> Iterator[Path]:
    """A temporary path in the same folder; it becomes ``path`` when the block ends well and is gone when it doesn't."""
    if not path.name or path.is_dir():
        raise Refused(f"cannot write {path}: that is a folder, expected a file's name")
    draft = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        yield draft
        os.replace(draft, path)  # noqa: PTH105 - atomic on one file system, which is why the draft lies beside it
    except OSError as error:
        raise Refused(f"cannot write {path}: {error.strerror or error}") from error
    finally:
        draft.unlink(missing_ok=True)


def write_text(path: Path, text: str, encoding: str = "utf-8") -> None:
    """The text as a file, whole, with the line ends it has; a picture or a page only over another."""
    if text.startswith("<") and path.is_file() and not _begins_as_marks(path):
        raise Refused(f"nothing is written over: {path} is there already, and is neither a picture nor a page")
    with written_whole(path) as draft:
        draft.write_text(text, encoding=encoding, newline="")


def nothing_written_over(paths: Iterable[Path]) -> None:
    """Refused, with the paths, where one of these files is there already."""
    if there := [str(path) for path in paths if path.exists()]:
        raise Refused(f"nothing is written over: {', '.join(there)} {'is' if len(there) == 1 else 'are'} there already")


def _begins_as_marks(path: Path) -> bool:
    with path.open("rb") as file:
        return file.read(64).lstrip()[:1] in (b"<", b"")


def write_new(files: Mapping[Path, str]) -> None:
    """Files that were not there before: all of them, or none where one is there already."""
    nothing_written_over(files)
    written: list[Path] = []
    try:
        for path, text in files.items():
            write_text(path, text)
            written.append(path)
    except Refused:
        for path in written:
            path.unlink()
        raise


# Everything XML 1.0 section 2.2 leaves out, the C1 controls besides (a terminal obeys them), and carriage returns.
_UNFIT = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


def readable(text: object) -> str:
    """The text with each control character shown as U+FFFD; tabs and line ends stay; None is empty."""
    if text is None:
        return ""
    return _UNFIT.sub("\ufffd", str(text).replace("\r\n", "\n"))


def one_line(text: object) -> str:
    """The text on one line, runs of white space as one space."""
    return " ".join(readable(text).split())
