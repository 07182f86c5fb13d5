"""Knows how a board's pack is written: the same bytes for the same content, on every machine and day."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from zipfile import ZIP_STORED, ZipFile, ZipInfo

from bom.boards.pack import FORMAT, MANIFEST, Pack
from bom.paper.toml_out import literal
from bom.paper.writing import written_whole

_FIRST_DAY = (1980, 1, 1, 0, 0, 0)  # the earliest that a zip can say
_PLAIN_FILE = 0o100644 << 16


def pack_bytes(pack: Pack) -> bytes:
    """The zip; nothing in it is compressed, since compressors differ from version to version."""
    into = BytesIO()
    with ZipFile(into, "w", ZIP_STORED) as zipped:
        for name, text in ((MANIFEST, _manifest(pack)), *sorted(pack.files.items())):
            entry = ZipInfo(name, _FIRST_DAY)
            entry.create_system, entry.external_attr = 3, _PLAIN_FILE
            zipped.writestr(entry, text.encode())
    return into.getvalue()


def write_pack(path: Path, pack: Pack) -> None:
    """The pack as a file, whole."""
    with written_whole(path) as draft:
        draft.write_bytes(pack_bytes(pack))


def _manifest(pack: Pack) -> str:
    stated = {"format": FORMAT, "board": pack.board, "kits": list(pack.kits), "content": pack.content}
    said = "# A board packed to travel: bom board check FILE looks at it, bom board add FILE takes it.\n"
    return said + "".join(f"{key} = {literal(value)}\n" for key, value in stated.items())
