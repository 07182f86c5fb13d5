"""Knows how a file is written whole: beside its place first, then moved there, so that nobody reads half of it."""

from __future__ import annotations

import os
from collections.abc import Iterator
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
    """The text as a file, whole, with the line ends it has."""
    with written_whole(path) as draft:
        draft.write_text(text, encoding=encoding, newline="")
