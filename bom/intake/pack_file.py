"""A board's pack read with suspicion: it came from somebody else's machine.

Only the files that a pack may hold are read, each once, as plain text within bounds that hold whatever the zip says of
itself; nothing is ever written where an entry's name would lead. What was changed after it was packed is refused.
"""

from __future__ import annotations

import stat
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import BadZipFile, ZipFile, ZipInfo

from bom.boards.pack import BOARD, CATALOGUE, FORMAT, KITS, MANIFEST, MOST_BYTES, MOST_FILES, Pack, may_hold
from bom.intake.rows import Report
from bom.intake.tables import Table, read_toml
from bom.values.column import called, keys, text, texts, whole

MANIFEST_KEYS = keys(
    format=whole("The number of the pack's format.", str(FORMAT), least=1),
    board=called("The board that is packed.", "OS-3", needed=True),
    kits=texts("The kits that are packed with it.", '["OS-3 valve drive"]'),
    content=text("The mark of all other files.", "sha256:0f2c…", needed=True),
)


@contextmanager
def unpacked(path: Path) -> Iterator[tuple[Pack, Path]]:
    """The pack, and a folder with its files that is gone afterwards. Raises ProblemsFound with all that is wrong."""
    report = Report()
    texts = _texts(path, report)
    report.settle()
    with TemporaryDirectory(prefix="bom-pack-") as made:
        folder = Path(made)
        for name in (CATALOGUE, KITS):
            (folder / name).mkdir()
        for name, said in texts.items():
            (folder / name).write_text(said, encoding="utf-8", newline="")
        yield _pack(path, folder, texts, report), folder


def _pack(path: Path, folder: Path, texts: dict[str, str], report: Report) -> Pack:
    """The pack that its manifest tells of; refuses another format, and content that is not what was packed."""
    manifest = read_toml(folder / MANIFEST, report)
    if manifest is None:
        return report.taken(Pack("", (), {})).value
    values = manifest.values_of(MANIFEST_KEYS)
    manifest.leave()
    files = {name: said for name, said in texts.items() if name != MANIFEST}
    pack = Pack(values["board"], tuple(values["kits"]), files)
    _check_manifest(manifest, values["format"], values["content"], pack)
    return report.taken(pack).value


def _check_manifest(manifest: Table, number: int | None, content: str, pack: Pack) -> None:
    if number is None or number > FORMAT:
        newer = " (a newer bom made it)" if number else ""
        manifest.wrong("format", f"a format up to {FORMAT}{newer}", number or "nothing")
    elif content and content != pack.content:
        manifest.wrong(
            "content", f"{pack.content}, the mark of what is in it: it was changed after it was packed", content
        )


def _texts(path: Path, report: Report) -> dict[str, str]:
    """Every file's text by name; what is wrong goes to the report."""
    try:
        if path.stat().st_size > MOST_BYTES:
            report.wrong(path.name, 0, "", f"a pack of at most {MOST_BYTES:,} bytes", f"{path.stat().st_size:,} bytes")
            return {}
        with ZipFile(path) as zipped:
            return _entries(path, zipped, report)
    except (BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, UnicodeError, ValueError) as error:
        report.wrong(path.name, 0, "", "a zip that bom board pack made", str(error).lower() or "another file")
    except OSError as error:
        report.wrong(path.name, 0, "", "a file that can be read", str(error.strerror or error).lower())
    return {}


def _entries(path: Path, zipped: ZipFile, report: Report) -> dict[str, str]:
    entries = zipped.infolist()
    if len(entries) > MOST_FILES:
        report.wrong(path.name, 0, "", f"at most {MOST_FILES} files", str(len(entries)))
        return {}
    texts, left = dict[str, str](), MOST_BYTES
    for entry in entries:
        if why := _unfit(entry, entry.filename in texts):
            report.wrong(path.name, 0, entry.filename, why, _kind(entry))
            continue
        read = _bounded(zipped, entry, left)
        if (left := left - len(read)) < 0:
            report.wrong(path.name, 0, entry.filename, f"files of at most {MOST_BYTES:,} bytes together", "more")
            return {}
        try:
            texts[entry.filename] = read.decode("utf-8")
        except UnicodeDecodeError:
            report.wrong(path.name, 0, entry.filename, "text in UTF-8", "other bytes")
    for needed in (MANIFEST, BOARD):
        if needed not in texts and not report.problems:
            report.wrong(path.name, 0, needed, "a file of this name in the pack", "none")
    return texts


def _bounded(zipped: ZipFile, entry: ZipInfo, left: int) -> bytes:
    """The file's bytes, one more than is allowed at most, whatever size the zip states."""
    with zipped.open(entry) as opened:
        return opened.read(left + 1)


def _unfit(entry: ZipInfo, seen: bool) -> str:
    """Why an entry is not read: empty where it is."""
    kind = stat.S_IFMT(entry.external_attr >> 16)
    if kind not in (0, stat.S_IFREG) or entry.is_dir():
        return "a plain file"
    if not may_hold(entry.filename):
        return "a file that a pack may hold: manifest.toml, board.toml, holes.csv, kits/NNN-NAME.toml, catalogue/*.csv"
    return "each file once" if seen else ""


def _kind(entry: ZipInfo) -> str:
    kind = stat.S_IFMT(entry.external_attr >> 16)
    return "a link" if kind == stat.S_IFLNK else "a folder" if entry.is_dir() else entry.filename
