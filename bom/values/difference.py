"""What would change where a file says something else than what is kept: each difference, before and after, and whom
it concerns. What others rest on is never replaced unseen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from bom.values.problem import Refused


@dataclass(frozen=True, slots=True)
class Change:
    """One value: where it stands in the thing, what it was and what it would be; '' = the thing's own value."""

    where: str
    before: str
    after: str

    def __str__(self) -> str:
        return f"{self.where}: {self.before} → {self.after}" if self.where else f"{self.before} → {self.after}"


@dataclass(frozen=True, slots=True)
class Difference:
    """A thing that would change, such as ``footprint OST-TW2``, in what, and who uses it (a sentence each)."""

    what: str
    changes: tuple[Change, ...]
    concerns: tuple[str, ...] = ()


class WouldReplace(Refused):
    """Taking a file was refused because it would change what is kept; ``differences`` says what."""

    def __init__(self, differences: Sequence[Difference]) -> None:
        self.differences = tuple(differences)
        said = [*(line for one in differences for line in in_words(one, "would change"))]
        super().__init__("\n".join([*said, "nothing was taken; --replace takes it with these changes"]))


class Replacing:
    """Whether a job may replace what is kept, and afterwards what it did replace."""

    def __init__(self, allowed: bool = False) -> None:
        self.allowed = allowed
        self.differences: tuple[Difference, ...] = ()

    def settle(self, differences: Sequence[Difference]) -> None:
        """Go on, knowing what changes. Raises WouldReplace where anything does and may not."""
        self.differences = tuple(one for one in differences if one.changes)
        if self.differences and not self.allowed:
            raise WouldReplace(self.differences)


MOST_SHOWN = 12
"""So many changes of a thing are shown; a file of other origin differs everywhere. Own choice."""


def in_words(one: Difference, verb: str = "changed") -> list[str]:
    """The difference in lines for a person: what, each value, who uses it."""
    more = len(one.changes) - MOST_SHOWN
    return [
        f"{one.what} {verb}:",
        *(f"  {change}" for change in one.changes[:MOST_SHOWN]),
        *([f"  and {more} more"] if more > 0 else []),
        *(f"  concerns {concern}" for concern in one.concerns),
    ]


def some(names: Sequence[str], of: str, most: int = 4, count: int | None = None) -> str:
    """How many, and the first few by name, as in '14 relays: A, B, C, D and 10 more'; '' for none. ``count`` where
    ``names`` are not all of them."""
    total = len(names) if count is None else count
    if not total:
        return ""
    rest = f" and {total - most} more" if total > most else ""
    return f"{total} {of}{'' if total == 1 else 's'}: {', '.join(names[:most])}{rest}"


def changes_between(before: Any, after: Any, where: str = "") -> Iterator[Change]:
    """Every value in which two things of a kind differ, down to single fields; things in lists go by their names."""
    if before == after:
        return
    if is_dataclass(before) and type(before) is type(after):
        for field in fields(before):
            old, new = getattr(before, field.name), getattr(after, field.name)
            yield from changes_between(old, new, _inside(where, field.name))
    elif isinstance(before, Mapping) and isinstance(after, Mapping):
        yield from _of_named(dict(before), dict(after), where)
    elif isinstance(before, tuple | list) and isinstance(after, tuple | list) and any(map(is_dataclass, before)):
        yield from _of_named(_by_name(before), _by_name(after), where)
    else:
        yield Change(where, _shown(before), _shown(after))


def _of_named(before: Mapping[Any, Any], after: Mapping[Any, Any], where: str) -> Iterator[Change]:
    for name in dict.fromkeys([*before, *after]):
        place = _inside(where, str(name))
        if name not in after:
            yield Change(place, _shown(before[name]), "left out")
        elif name not in before:
            yield Change(place, "not there", _shown(after[name]))
        else:
            yield from changes_between(before[name], after[name], place)


def _inside(where: str, name: str) -> str:
    return f"{where} {name}" if where else name


_NAMES = ("ref", "name", "pin", "position", "part", "kit")


def _by_name(things: Sequence[Any]) -> dict[Any, Any]:
    """Things by what they are called, those of one name or of none by their place besides."""
    answer: dict[Any, Any] = {}
    for place, thing in enumerate(things, 1):
        called = next((name for field in _NAMES if (name := getattr(thing, field, ""))), "")
        name = called if called and called not in answer else f"{called} {place}".strip()
        answer[name] = thing
    return answer


def _shown(value: Any) -> str:
    if value is None or value == "" or value == () or value == {}:
        return "not stated"
    if is_dataclass(value):
        stated = ((f.name, getattr(value, f.name)) for f in fields(value))
        return ", ".join(f"{name} {_shown(v)}" for name, v in stated if v not in (None, "", (), False))
    if isinstance(value, tuple | list):
        return ", ".join(map(_shown, value))
    return f"{value:g}" if isinstance(value, float) else str(value)
