"""Knows how one place in parsed JSON is read by type, and says its own path when something there is wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import TypeVar

from bom.values.column import nearest
from bom.values.problem import Refused

T = TypeVar("T")
NOTHING_THERE = object()


@dataclass(frozen=True, slots=True)
class At:
    """A place in the mapping, which says its own path when something there is wrong."""

    path: str
    value: object

    def wrong(self, key: str, expected: str, found: object) -> Refused:
        path = f"{self.path}.{key}" if self.path else key
        return Refused(f"{path}: expected {expected}, found {'nothing' if found is NOTHING_THERE else repr(found)}")

    def get(self, key: str, default: object = NOTHING_THERE) -> object:
        if not isinstance(self.value, Mapping):
            raise Refused(f"{self.path or 'problem'}: expected keys and values, found {self.value!r}")
        return self.value.get(key, default)

    def only(self, *known: str) -> At:
        """The place, where it holds no key but these; keys that begin with *note* are free text."""
        self.get("")
        for key in map(str, self.value if isinstance(self.value, Mapping) else ()):
            if key not in known and not key.startswith("note"):
                near = nearest(key, known)
                raise self.wrong(key, f"a known key{f' such as {near}' if near else ''}", key)
        return self

    def each(self, key: str, read: Callable[[At], T]) -> tuple[T, ...]:
        rows = self.get(key)
        if not isinstance(rows, Sequence) or isinstance(rows, str):
            raise self.wrong(key, "a list", rows)
        path = f"{self.path}.{key}" if self.path else key
        return tuple(read(At(f"{path}[{n}]", row)) for n, row in enumerate(rows))

    def text(self, key: str, default: str | None = None) -> str:
        found = self.get(key, NOTHING_THERE if default is None else default)
        if not isinstance(found, str):
            raise self.wrong(key, "text", found)
        return found

    def texts(self, key: str) -> tuple[str, ...]:
        found = self.get(key)
        if not isinstance(found, list | tuple) or not all(isinstance(f, str) for f in found):
            raise self.wrong(key, "a list of part numbers", found)
        return tuple(found)

    def truth(self, key: str, default: bool) -> bool:
        found = self.get(key, default)
        if not isinstance(found, bool):
            raise self.wrong(key, "true or false", found)
        return found

    def whole(self, key: str, default: int | None = None, *, least: int = 0) -> int:
        found = self.get(key, NOTHING_THERE if default is None else default)
        if isinstance(found, bool) or not isinstance(found, int) or found < least:
            raise self.wrong(key, f"a whole number, {least} or more", found)
        return found

    def maybe_whole(self, key: str, *, least: int = 0) -> int | None:
        return None if self.get(key, None) is None else self.whole(key, least=least)

    def amount(self, key: str, default: Decimal | None = None) -> Decimal:
        found = self.get(key, NOTHING_THERE if default is None else default)
        if isinstance(found, bool) or not isinstance(found, int | float | str | Decimal):
            raise self.wrong(key, "a number, 0 or more", found)
        try:
            exact = Decimal(str(found))
        except InvalidOperation as error:
            raise self.wrong(key, "a number, 0 or more", found) from error
        if not exact.is_finite() or exact < 0:
            raise self.wrong(key, "a number, 0 or more", found)
        return exact

    def maybe_amount(self, key: str) -> Decimal | None:
        return None if self.get(key, None) is None else self.amount(key)

    def positive(self, key: str) -> Decimal:
        exact = self.amount(key, Decimal(1))
        if not exact:
            raise self.wrong(key, "a number above 0", exact)
        return exact
