"""What writing a new file has in common, whatever it is for: its name, and how short answers are read."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from bom.values.column import Column
from bom.values.money import KNOWN, meant
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.shop.shop import Shop


def file_for(name: str, out: Path | None) -> Path:
    """Where the file goes: as told, else named after the thing, in the working folder."""
    if out is not None:
        if out.suffix.lower() != ".toml":
            raise Refused(f"expected --out FILE.toml, found {out}")
        return out
    letters = "".join(c if c.isalnum() else "-" for c in name.casefold())
    return Path(f"{'-'.join(filter(None, letters.split('-'))) or 'new'}.toml")


def answered(column: Column, text: str, option: str) -> object | None:
    """What was answered, as the column reads it; None where nothing was. Refuses what the column refuses."""
    if not text.strip():
        return None
    try:
        return column.read(text.strip())  # type: ignore[no-any-return]
    except Refused as refused:
        raise Refused(f"{option}: expected {refused}, found {text!r}") from None


def named(column: Column, name: str) -> str:
    """The name that a new thing gets; refuses one that commands could not be given."""
    if answered(column, name, "NAME") is None:
        raise Refused(f"NAME: expected a name, as in {column.example}, found nothing")
    return name.strip()


def currency_of(shop: Shop | None, code: str) -> str:
    """The currency answered, else the shop's own; refused where it is none, or where nobody has said one."""
    if not code.strip():
        own = shop.settings.currency if shop is not None else ""
        if not own:
            raise Refused("expected --currency CODE, as in GBP: the shop has not said its own")
        return own
    if code.strip().upper() not in KNOWN:
        near = meant(code.strip().upper())
        hint = f" (is {near} meant?)" if near else ""
        raise Refused(f"--currency: expected an ISO 4217 code such as EUR{hint}, found {code!r}")
    return code.strip().upper()


def one_of_each(texts: list[str] | tuple[str, ...], option: str, how: str) -> dict[str, str]:
    """``NAME=VALUE`` answers by name; refuses one without a name, or a name given twice."""
    found: dict[str, str] = {}
    for text in texts:
        name, _, value = (part.strip() for part in text.partition("="))
        if not name:
            raise Refused(f"{option}: expected {how}, found {text!r}")
        if name.casefold() in map(str.casefold, found):
            raise Refused(f"{option}: expected {name} once, found it again")
        found[name] = value
    return found


def rising(columns: Mapping[str, Column], text: str, option: str) -> dict[str, object]:
    """``LOW..HIGH``, or with one more between them, each as its column reads it; nothing for no text.

    Of two the first and the last column are meant, of one alone the middle of three, else the last.
    """
    if not text.strip():
        return {}
    parts, names = [part.strip() for part in text.split("..")], list(columns)
    by_count = {1: [names[len(names) // 2]], 2: [names[0], names[-1]], len(names): names}
    if len(parts) not in by_count or not all(parts):
        raise Refused(f"{option}: expected {'..'.join(_short(names))}, found {text!r}")
    found = {
        name: answered(columns[name], part, option) for name, part in zip(by_count[len(parts)], parts, strict=True)
    }
    if sorted(found.values(), key=float) != list(found.values()):  # type: ignore[arg-type]
        raise Refused(f"{option}: expected the lowest first, found {text!r}")
    return found


def _short(names: list[str]) -> list[str]:
    return [
        next((word.upper() for word in ("min", "nominal", "max") if word in name.split("_")), name) for name in names
    ]
