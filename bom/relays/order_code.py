"""How a series makes its part numbers: a text with a place for the coil's code and for each choice.

A place stands in braces. A text with places left open means every part that it can become.

>>> number = OrderCode("TW2-{coil}{seal}")
>>> number.places
('coil', 'seal')
>>> number.filled({"coil": "12", "seal": "S"})
'TW2-12S'
>>> is_meant("TW2-12{seal}", Coded("TW2-12S", {"coil": "12", "seal": "S"}))
True
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

_PLACE = re.compile(r"\{\s*([^{}]*?)\s*\}")

Codes = Mapping[str, str]
"""The code at each place."""


@dataclass(frozen=True, slots=True)
class OrderCode:
    """A part number with places in braces."""

    template: str

    @property
    def places(self) -> tuple[str, ...]:
        """The names of the places, in the order in which they stand."""
        return places_in(self.template)

    def filled(self, codes: Codes) -> str:
        """The part number of these codes."""
        return filled(self.template, codes)


@dataclass(slots=True, eq=False)
class Coded:
    """A part number, and the code at each of its places."""

    number: str
    codes: Codes


def places_in(text: str) -> tuple[str, ...]:
    """The names in braces."""
    return tuple(_PLACE.findall(text))


def filled(text: str, codes: Codes) -> str:
    """The text with every place filled whose code is known; others stay as they are."""
    return _PLACE.sub(lambda found: codes.get(found[1], found[0]), text)


def is_meant(text: str, part: Coded) -> bool:
    """Whether the part is one that the text means: a part number, or one with places left open."""
    return filled(text, part.codes) == part.number


def combinations(codes: Mapping[str, Sequence[str]]) -> Iterator[dict[str, str]]:
    """Every choice of one code at each place; the first place changes fastest, as a coil table is read."""
    places = list(codes)
    for chosen in product(*(codes[place] for place in reversed(places))):
        yield dict(zip(places, reversed(chosen), strict=True))
