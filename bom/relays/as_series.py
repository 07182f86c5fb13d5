"""The relays of a series parted as a data sheet prints them: what all share, what each coil has, what each version
says, and what is so of one part alone.

Part numbers are read as a beginning that all have, the coil's figure and the version, in this order or the other way
round; where that would leave most combinations not made, each number's own end is its code. Of each column the place is
chosen that says it in the fewest values.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import takewhile
from typing import Any

from bom.relays.in_a_line import figure
from bom.relays.order_code import OrderCode, combinations
from bom.relays.relay import Relay
from bom.values.column import described
from bom.values.problem import Refused

_OF_ALL = ("maker", "part_number", "series", "source")
COLUMNS = tuple(name for name in described(Relay) if name not in _OF_ALL)

Stated = Mapping[str, Any]
"""Column to value; a value that is not stated is None or empty text."""


@dataclass(frozen=True, slots=True)
class PartedSeries:
    """What a series sheet of these relays says. ``coils`` and ``versions`` go by code; ``own`` by part number."""

    part_number: str
    source: str
    not_made: tuple[str, ...]
    shared: Stated
    coil_columns: tuple[str, ...]
    coils: Mapping[str, Stated]
    versions: Mapping[str, Stated]
    own: Mapping[str, Stated]

    @property
    def coded(self) -> bool:
        """Whether any coil has a code other than its rated volts."""
        return any(_figure(said["coil_volts"]) != code for code, said in self.coils.items())

    @property
    def values(self) -> int:
        """How many values it takes to say it."""
        tables = (self.shared, *self.versions.values(), *self.own.values())
        cells = len(self.coils) * (len(self.coil_columns) + 1) + len(self.coil_columns)
        return cells + len(self.not_made) + len(self.versions) + len(self.own) + sum(map(len, tables))


def parted(relays: Sequence[Relay], everywhere: Mapping[str, str]) -> PartedSeries:
    """The relays, all of one maker's series, parted in as few values as these ways of reading their numbers allow.

    ``everywhere`` gives, by the column that names it, the drawing that every part has which does not say otherwise.
    """
    if strange := [r.part_number for r in relays if set("{}") & set(r.part_number)]:
        raise Refused(f"expected part numbers without braces, which mark a place in a series sheet, found {strange[0]}")
    ways = (_parted(relays, codes, everywhere) for codes in _codes([r.part_number for r in relays]))
    return min(ways, key=lambda way: way.values)


@dataclass(frozen=True, slots=True)
class _Codes:
    """How the numbers are made, and the codes of each of them."""

    number: OrderCode
    of: Mapping[str, Mapping[str, str]]

    @property
    def coils(self) -> tuple[str, ...]:
        return self._at("coil")

    @property
    def versions(self) -> tuple[str, ...]:
        return self._at("version")

    def _at(self, place: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(codes[place] for codes in self.of.values() if place in codes))

    def all_made(self) -> list[str]:
        """Every number that the codes make."""
        at = {place: self._at(place) for place in self.number.places}
        return [self.number.filled(codes) for codes in combinations(at)]


def _codes(numbers: Sequence[str]) -> Iterator[_Codes]:
    """Ways of reading the numbers that make each of them once; the last always does."""
    if len(numbers) == 1:
        yield _Codes(OrderCode(numbers[0]), {numbers[0]: {}})
        return
    start = re.sub(r"[\d.]*$", "", _beginning(numbers))
    start = start[:-1] if start in numbers else start  # a coil's code is never empty
    ends = [number[len(start) :] for number in numbers]
    for pattern, template in _WAYS:
        found = [pattern.fullmatch(end) for end in ends]
        if all(found):
            read = {n: m.groupdict() for n, m in zip(numbers, found, strict=True) if m}
            yield from _sensible(_Codes(OrderCode(start + template), read))
    yield _Codes(OrderCode(start + "{coil}"), {n: {"coil": end} for n, end in zip(numbers, ends, strict=True)})


def _beginning(numbers: Sequence[str]) -> str:
    """What all of them begin with."""
    alike = takewhile(lambda letters: len(set(letters)) == 1, zip(*numbers, strict=False))
    return "".join(letters[0] for letters in alike)


_WAYS = (
    (re.compile(r"(?P<coil>\d+(?:\.\d+)?)(?P<version>.*)"), "{coil}{version}"),
    (re.compile(r"(?P<version>.*?)(?P<coil>\d+(?:\.\d+)?)"), "{version}{coil}"),
)


def _sensible(codes: _Codes) -> Iterator[_Codes]:
    """These codes where they make each number once and few that are not made; one version is no choice."""
    if len(codes.versions) == 1:
        number = OrderCode(codes.number.template.replace("{version}", codes.versions[0]))
        codes = _Codes(number, {n: {"coil": c["coil"]} for n, c in codes.of.items()})
    made = codes.all_made()
    if len(made) == len(set(made)) <= 2 * len(codes.of):
        yield codes


@dataclass(frozen=True, slots=True)
class _Said:
    """One column, and where it is said: by the coil's code, by the version's beside what is common, or by all alike."""

    column: str
    common: Any
    coil: Stated = field(default_factory=dict)
    version: Stated = field(default_factory=dict)

    def of(self, codes: Mapping[str, str]) -> Any:
        """What is said of the part with these codes before it speaks for itself."""
        if self.coil:
            return self.coil[codes["coil"]]
        return self.version.get(codes.get("version", ""), self.common)

    def own(self, values: Stated, codes: _Codes) -> dict[str, Any]:
        """Part number to what it has to say itself."""
        return {number: value for number, value in values.items() if value != self.of(codes.of[number])}

    def cost(self, values: Stated, codes: _Codes) -> int:
        """How many values it takes; one of a part's own takes its heading too."""
        return len(self.coil) + len(self.version) + _is_stated(self.common) + 2 * len(self.own(values, codes))


def _parted(relays: Sequence[Relay], codes: _Codes, everywhere: Mapping[str, str]) -> PartedSeries:
    values = {column: {r.part_number: getattr(r, column) for r in relays} for column in (*COLUMNS, "source")}
    said = [_said(column, values[column], codes, everywhere) for column in COLUMNS]
    source = _Said("source", _most(values["source"].values()))
    own: dict[str, dict[str, Any]] = {}
    for one in (*said, source):
        for number, value in one.own(values[one.column], codes).items():
            own.setdefault(number, {})[one.column] = value
    return PartedSeries(
        part_number=codes.number.template,
        source=source.common,
        not_made=tuple(number for number in codes.all_made() if number not in codes.of),
        shared={s.column: s.common for s in said if _is_stated(s.common) and s.column not in everywhere},
        coil_columns=tuple(s.column for s in said if s.coil),
        coils={code: {s.column: s.coil[code] for s in said if s.coil} for code in codes.coils},
        versions={code: {s.column: s.version[code] for s in said if code in s.version} for code in codes.versions},
        own=own,
    )


def _said(column: str, values: Stated, codes: _Codes, everywhere: Mapping[str, str]) -> _Said:
    """The column where that takes the fewest values; a coil's rated volts stand in the coil table."""
    common = _Said(column, everywhere.get(column, _most(values.values())))
    if not codes.coils:
        return common
    by_coil = _Said(column, None, coil=_by(values, codes, "coil"))
    by_version = {code: value for code, value in _by(values, codes, "version").items() if value != common.common}
    ways = (common, by_coil, _Said(column, common.common, version=by_version))
    return by_coil if column == "coil_volts" else min(ways, key=lambda way: way.cost(values, codes))


def _most(values: Iterable[Any]) -> Any:
    """The value that most have; the first of them where several do."""
    return Counter(values).most_common(1)[0][0]


def _by(values: Stated, codes: _Codes, place: str) -> dict[str, Any]:
    """Code at this place to the value that most of its parts have."""
    under: dict[str, list[Any]] = {}
    for number, value in values.items():
        if place in codes.of[number]:
            under.setdefault(codes.of[number][place], []).append(value)
    return {code: _most(of) for code, of in under.items()}


def _figure(volts: float | None) -> str:
    return "" if volts is None else figure(volts)


def _is_stated(value: Any) -> bool:
    return value is not None and value != ""
