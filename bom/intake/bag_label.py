"""A supplier's bag label as a scanner types it: part, quantity, lot and date code by ANSI MH10.8.2 data identifiers.

The fields stand in an ISO/IEC 15434 envelope (``[)>``, RS, ``06``, each field after a GS, RS, EOT) or one to a line, as
a scanner sends a label's linear codes one after the other. Identifiers from ANSI MH10.8.2, from memory; so are the
envelope's marks from ISO/IEC 15434.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from bom.intake.rows import number_in
from bom.values.problem import Refused

_RS, _GS, _EOT = "\x1e", "\x1d", "\x04"
# How scanners and terminals show the marks when they do not send them: <GS>, {GS}, [GS], ^], and the Unicode pictures.
_SHOWN = (
    (_GS, re.compile(r"<GS>|\{GS\}|\[GS\]|\^\]|\u241d", re.I)),
    (_RS, re.compile(r"<RS>|\{RS\}|\[RS\]|\^\^|\u241e", re.I)),
    (_EOT, re.compile(r"<EOT>|\{EOT\}|\[EOT\]|\^D|\u2404", re.I)),
)
_FIELD = re.compile(r"(\d{0,3}[A-Z])(.*)", re.DOTALL)

PARTS = ("1P", "P", "30P")
"""Which identifier names the part, best first: the supplier's part number, ours, the first-level part number."""

_KNOWN = (*PARTS, "Q", "7Q", "1T", "T", "9D", "10D", "14D", "K", "1K")


@dataclass(frozen=True, slots=True)
class BagLabel:
    """What the label says; empty or None = it does not. ``parts`` are all part numbers on it, the likeliest first.

    ``left_out`` are fields that are not for us (country, serial numbers, ...).
    """

    parts: tuple[str, ...] = ()
    quantity: Decimal | None = None
    lot: str = ""
    date_code: str = ""
    expires: date | None = None
    order: str = ""
    left_out: tuple[str, ...] = ()


def read_label(text: str) -> BagLabel:
    """The label that a scanner typed. Refused where no field is a part, or one says what it cannot."""
    fields = [_field(one) for one in _pieces(text)]
    said: dict[str, str] = {}
    for name, value in fields:
        if said.setdefault(name, value) != value:
            raise Refused(f"the label says {name} twice: {said[name]} and {value}")
    parts = tuple(dict.fromkeys(said[name] for name in PARTS if name in said))
    if not parts:
        raise Refused(f"expected a label with a part number (P or 1P), found {_short(text)}")
    return BagLabel(
        parts=parts,
        quantity=_quantity(said),
        lot=said.get("1T") or said.get("T", ""),
        date_code=_date_code(said),
        expires=_last_day(said.get("14D", "")),
        order=said.get("1K") or said.get("K", ""),
        left_out=tuple(f"{name} {value}" for name, value in fields if name not in _KNOWN),
    )


def _pieces(text: str) -> list[str]:
    """The fields, without the envelope."""
    for mark, shown in _SHOWN:
        text = shown.sub(mark, text)
    text = text.strip(" \t\r\n\ufeff")
    if text.startswith("[)>"):
        text = _inside(text)
    found = [one.strip() for one in re.split(f"[\r\n{_GS}{_RS}{_EOT}]", text)]
    return [one for one in found if one]


def _inside(text: str) -> str:
    """What the envelope holds: format 06 (data identifiers); the header is ``[)>`` RS 06 GS."""
    header = re.match(rf"\[\)>{_RS}?(\d\d){_GS}?", text)
    if header is None:
        raise Refused("expected the envelope [)> RS 06 GS, found " + _short(text))
    if header[1] != "06":
        raise Refused(f"expected the format 06 (data identifiers) in the envelope, found {header[1]}")
    return text[header.end() :]


def _field(piece: str) -> tuple[str, str]:
    """(identifier, value) of one field; some labels print the identifier in brackets."""
    bare = re.sub(r"^\((\d{0,3}[A-Z])\)\s*", r"\1", piece)
    match = _FIELD.fullmatch(bare)
    if match is None or not match[2].strip():
        raise Refused(f"expected a data identifier and its value, as in Q250, found {_short(piece)}")
    return match[1], match[2].strip()


def _quantity(said: dict[str, str]) -> Decimal | None:
    """Q: a number. 7Q: a number and a unit of two letters (EA or PC for pieces; others are refused)."""
    text = said.get("Q", "")
    if not text and "7Q" in said:
        text, unit = said["7Q"][:-2], said["7Q"][-2:]
        if unit not in ("EA", "PC"):
            raise Refused(f"expected a quantity in pieces (EA, PC), found {said['7Q']}")
    if not text:
        return None
    if (number := number_in(text)) is None or number <= 0:
        raise Refused(f"expected a quantity above 0 after Q, found {_short(text)}")
    return number


def _date_code(said: dict[str, str]) -> str:
    """9D: as the two sides agreed; 10D: year and week, four digits."""
    code = said.get("10D", "")
    if code and not re.fullmatch(r"\d\d(0[1-9]|[1-4]\d|5[0-3])", code):
        raise Refused(f"expected year and week after 10D, as in 2541, found {code}")
    return code or said.get("9D", "")


def _last_day(text: str) -> date | None:
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise Refused(f"expected a day after 14D, as in 20271231, found {text}") from error


def _short(text: str) -> str:
    plain = "".join(c if c.isprintable() else " " for c in text.strip())
    return repr(plain if len(plain) <= 40 else plain[:37] + "...")
