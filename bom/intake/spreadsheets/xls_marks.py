"""The marks of an XLS: the records of its workbook stream that say what is an error, a format, a hidden row.

The container's sectors are those of [MS-CFB] 2.2 to 2.6, the records and their numbers those of [MS-XLS] 2.3 and 2.4
(both Microsoft's open specifications; from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from struct import error as Cut
from struct import unpack_from

from bom.intake.spreadsheets.bounds import MOST_CELLS
from bom.intake.spreadsheets.marks import Marks, form_of
from bom.values.problem import Refused

BEGINS = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_FREE, _END = 0xFFFFFFFF, 0xFFFFFFFE
_ERRORS = {0: "#NULL!", 7: "#DIV/0!", 15: "#VALUE!", 23: "#REF!", 29: "#NAME?", 36: "#NUM!", 42: "#N/A"}
_FORMULA, _ROW, _FORMAT, _XF, _BOUND, _BOF, _EOF = 0x06, 0x208, 0x41E, 0xE0, 0x85, 0x809, 0x0A
_NUMBER, _RK, _MULRK, _BOOLERR, _LABEL, _LABELSST, _RSTRING = 0x203, 0x27E, 0xBD, 0x205, 0x204, 0xFD, 0xD6
_LOCKED, _DIMENSIONS, _TEXTS = 0x2F, 0x200, 0xFC
_ROWS, _COLUMNS = 65_536, 256  # the most that a sheet of this format has


def marks_in(data: bytes) -> list[Marks]:
    """The marks of each sheet, in order. Raises Refused where a bound is passed or the file is broken."""
    try:
        return list(_sheets(_workbook(data)))
    except (Cut, IndexError, UnicodeDecodeError) as error:
        raise Refused("an old spreadsheet (.xls) that is whole") from error


def _workbook(data: bytes) -> bytes:
    """The stream that holds the workbook."""
    sector = 1 << unpack_from("<H", data, 30)[0]
    if sector not in (512, 4096):
        raise Refused("an old spreadsheet (.xls) that is whole")
    # Counts of sectors that are claimed: whoever reads the file makes room for so many at once.
    if any(unpack_from("<I", data, at)[0] > len(data) // sector + 1 for at in (40, 44, 64, 72)):
        raise Refused("an old spreadsheet (.xls) that is whole")
    table = _fat(data, sector)
    directory = b"".join(_chain(data, table, unpack_from("<I", data, 48)[0], sector))
    entries = [directory[at : at + 128] for at in range(0, len(directory) - 127, 128)]
    named = {_name(entry): (unpack_from("<I", entry, 116)[0], unpack_from("<I", entry, 120)[0]) for entry in entries}
    if "EncryptedPackage" in named:
        raise Refused("a spreadsheet without a password")
    if (found := named.get("Workbook") or named.get("Book")) is None:
        raise Refused("a spreadsheet (this file holds none)")
    start, size = found
    if size >= unpack_from("<I", data, 56)[0]:
        return b"".join(_chain(data, table, start, sector))[:size]
    return _small(data, table, sector, named.get("Root Entry", (_END, 0))[0], start)[:size]


def _small(data: bytes, table: list[int], sector: int, root: int, start: int) -> bytes:
    """A short stream, which lies in the small sectors inside the root's own stream."""
    inside = b"".join(_chain(data, table, root, sector))
    raw = b"".join(_chain(data, table, unpack_from("<I", data, 60)[0], sector))
    small = list(unpack_from(f"<{len(raw) // 4}I", raw))
    return b"".join(inside[n * 64 : n * 64 + 64] for n in _numbers(small, start))


def _fat(data: bytes, sector: int) -> list[int]:
    """Which sector follows which."""
    listed = list(unpack_from("<109I", data, 76))
    following, seen = unpack_from("<I", data, 68)[0], 0
    while following < _END and seen < len(data) // sector:
        part = unpack_from(f"<{sector // 4}I", data, (following + 1) * sector)
        listed += part[:-1]
        following, seen = part[-1], seen + 1
    table: list[int] = []
    for number in listed:
        if number < _END and (number + 2) * sector <= len(data) + sector:
            raw = data[(number + 1) * sector : (number + 2) * sector]
            table += unpack_from(f"<{len(raw) // 4}I", raw)
    return table


def _numbers(table: list[int], start: int) -> Iterator[int]:
    """The sectors of a chain; one that runs in a circle or out of the file is broken."""
    seen = 0
    while start < _END:
        if start >= len(table) or seen > len(table):
            raise Refused("an old spreadsheet (.xls) that is whole")
        yield start
        start, seen = table[start], seen + 1


def _chain(data: bytes, table: list[int], start: int, sector: int) -> Iterator[bytes]:
    for number in _numbers(table, start):
        yield data[(number + 1) * sector : (number + 2) * sector]


def _name(entry: bytes) -> str:
    return entry[: max(0, unpack_from("<H", entry, 64)[0] - 2)].decode("utf-16-le", "replace")


def _records(stream: bytes, at: int) -> Iterator[tuple[int, bytes]]:
    while at + 4 <= len(stream):
        number, size = unpack_from("<HH", stream, at)
        yield number, stream[at + 4 : at + 4 + size]
        at += 4 + size


def _sheets(stream: bytes) -> Iterator[Marks]:
    custom, numbers, starts = dict[int, str](), list[int](), list[int]()
    for number, body in _records(stream, 0):
        if number == _LOCKED:
            raise Refused("a spreadsheet without a password")
        if number == _TEXTS and unpack_from("<I", body, 4)[0] > len(stream) // 3:
            raise Refused("an old spreadsheet (.xls) that is whole")
        if number == _FORMAT:
            custom[unpack_from("<H", body)[0]] = _format_code(body)
        elif number == _XF:
            numbers.append(unpack_from("<H", body, 2)[0])
        elif number == _BOUND and body[5:6] in (b"\0", b""):
            starts.append(unpack_from("<I", body)[0])
        elif number == _EOF:
            break
    forms = [form_of(number, custom) for number in numbers]
    for start in starts:
        yield _sheet(stream, start, forms)


def _format_code(body: bytes) -> str:
    """The text of a format; how its letters are stored, BIFF8 says in the byte after its length."""
    if len(body) > 5 and body[4] in (0, 1) and body[3] == 0:
        return body[5:].decode("utf-16-le" if body[4] else "latin-1", "replace")
    return body[3:].decode("latin-1")


def _sheet(stream: bytes, start: int, forms: list[str]) -> Marks:
    marks, deep = Marks(), 0
    for number, body in _records(stream, start):
        if number == _BOF:
            deep += 1
        elif number == _EOF:
            deep -= 1
            if not deep:
                break
        elif number == _DIMENSIONS:
            _check_extent(body)
        elif deep == 1:
            _take(marks, number, body, forms)
    return marks


def _check_extent(body: bytes) -> None:
    """How far a sheet claims to reach: whoever reads it makes room for so many cells at once."""
    first, last, left, right = unpack_from("<IIHH", body) if len(body) >= 12 else unpack_from("<HHHH", body)
    if not (first <= last <= _ROWS and left <= right <= _COLUMNS):
        raise Refused("an old spreadsheet (.xls) that is whole")
    if (last - first) * (right - left) > MOST_CELLS:
        raise Refused(f"a sheet of at most {MOST_CELLS:,} cells (a longer list is read as CSV)")


def _take(marks: Marks, number: int, body: bytes, forms: list[str]) -> None:
    if number == _ROW:
        if unpack_from("<H", body, 12)[0] & 0x20:
            marks.hidden_rows.add(unpack_from("<H", body)[0] + 1)
    elif number in (_NUMBER, _RK, _BOOLERR, _LABEL, _LABELSST, _RSTRING, _FORMULA):
        row, column, style = unpack_from("<HHH", body)
        marks.met(row + 1, column)
        place = (row + 1, column)
        if number in (_NUMBER, _RK, _FORMULA) and style < len(forms) and forms[style]:
            marks.forms[place] = forms[style]
        if number == _BOOLERR and body[7]:
            marks.broken[place] = _ERRORS.get(body[6], "an error")
        if number == _FORMULA and body[12:14] == b"\xff\xff" and body[6] == 2:
            marks.broken[place] = _ERRORS.get(body[8], "an error")
    elif number == _MULRK:
        row, first = unpack_from("<HH", body)
        for nth in range((len(body) - 6) // 6):
            style = unpack_from("<H", body, 4 + nth * 6)[0]
            marks.met(row + 1, first + nth)
            if style < len(forms) and forms[style]:
                marks.forms[row + 1, first + nth] = forms[style]
