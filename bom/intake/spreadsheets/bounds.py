"""How large a spreadsheet may be, and its archive opened within that: nothing is unpacked that was not counted first.

A small archive can unpack to more than a machine holds, and a small sheet can claim more cells than any has. Each
bound is our own choice, far above a bench's spreadsheets; a longer list is read as CSV, which has none of this.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Callable, Sequence
from xml.parsers import expat

from bom.values.problem import Refused

MOST_BYTES = 50 * 1024 * 1024
MOST_UNZIPPED = 160 * 1024 * 1024
MOST_MEMBERS = 2_000
MOST_COLUMNS = 1_000
MOST_CELLS = 4_000_000
"""Of one sheet, counted over the whole rectangle that its cells span."""
MOST_TEXT = 100_000_000
"""Characters of all text cells of a sheet together, each counted as often as it stands there."""
# Sheets written by spreadsheet programs shrink to a tenth or a thirtieth; rows that are all alike to a hundredth.
_MOST_SHRUNK, _SMALL = 150, 8 * 1024 * 1024


def unpacked(data: bytes, wanted: Callable[[str], bool]) -> dict[str, bytes]:
    """The members of a zip archive that are wanted, by name; raises Refused where it is too large or broken."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            infos = archive.infolist()
            _check_sizes(infos)
            return {info.filename: archive.read(info) for info in infos if wanted(info.filename)}
    except RuntimeError as error:  # what a member with a password raises
        raise Refused("a spreadsheet without a password") from error
    except (zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, EOFError, OSError, ValueError) as error:
        raise Refused("a spreadsheet whose archive is whole") from error


def _check_sizes(infos: Sequence[zipfile.ZipInfo]) -> None:
    if len(infos) > MOST_MEMBERS:
        raise Refused(f"a spreadsheet whose archive has at most {MOST_MEMBERS} files")
    if len({info.filename for info in infos}) < len(infos):
        raise Refused("a spreadsheet whose archive holds each file once")
    if sum(info.file_size for info in infos) > MOST_UNZIPPED:
        raise Refused(f"a spreadsheet of at most {MOST_UNZIPPED >> 20} MB unpacked (a longer list is read as CSV)")
    if any(i.file_size > _SMALL and i.file_size > _MOST_SHRUNK * max(i.compress_size, 1) for i in infos):
        raise Refused("a spreadsheet that was not blown up: one of its files unpacks to more than 150 times its size")


def packed(members: dict[str, bytes]) -> bytes:
    """An archive of just these members, as they were counted."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        for name, data in members.items():
            archive.writestr(zipfile.ZipInfo(name), data)
    return out.getvalue()


class Walk:
    """Goes through an XML text and hears of each element, by names without prefixes; a subclass says what it wants.

    A document type is refused, since it may declare entities that unfold to more than a machine holds.
    """

    def __init__(self) -> None:
        self.parser = parser = expat.ParserCreate(namespace_separator=" ")
        parser.buffer_text = True
        parser.StartElementHandler = self.started
        parser.StartDoctypeDeclHandler = self._refuse

    def started(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins; its name and those of its attributes come with their namespace and a blank before."""

    def through(self, data: bytes, what: str) -> None:
        """Walk; raises Refused where the text breaks off or is none."""
        try:
            self.parser.Parse(data, True)
        except expat.ExpatError as error:
            raise Refused(f"a spreadsheet whose {what} is whole (line {error.lineno} of it is not)") from error
        except (LookupError, ValueError) as error:  # an encoding that nobody knows
            raise Refused(f"a spreadsheet whose {what} is text in UTF-8") from error

    def listen(self, to: Callable[[str], None] | None) -> None:
        """Hear the text between elements from here on, or no longer."""
        self.parser.CharacterDataHandler = to

    def _refuse(self, *_: object) -> None:
        raise Refused("a spreadsheet without a document type of its own (entities could unfold without end)")


def local(name: str) -> str:
    """A name without its namespace."""
    return name[name.rfind(" ") + 1 :]
