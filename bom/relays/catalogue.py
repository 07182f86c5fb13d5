"""A catalogue: relays with the footprints, wirings and ratings their rows refer to, and supplies besides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from bom.relays.footprint import Footprint
from bom.relays.relay import Design, Rating, Relay, SupplyPart
from bom.relays.wiring import Wiring
from bom.values.part_number import makers_and_numbers, normal


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Everything a catalogue folder holds. ``relays`` is keyed by (maker, part number) through ``find``."""

    relays: tuple[Relay, ...] = ()
    footprints: dict[str, Footprint] = field(default_factory=dict)
    wirings: dict[str, Wiring] = field(default_factory=dict)
    ratings: tuple[Rating, ...] = ()
    supplies: tuple[SupplyPart, ...] = ()

    def design(self, relay: Relay) -> Design:
        """The relay with its footprint, wiring and the ratings for its part number, else for its series."""
        return Design(
            relay,
            self.footprints.get(relay.footprint),
            self.wirings.get(relay.wiring),
            ratings_for(relay, self.ratings),
        )

    def designs(self) -> Iterator[Design]:
        """Every relay's, as ``design`` gives it; the ratings are sorted out by name once, since they are many."""
        places = self._places_of_ratings()
        for r in self.relays:
            ratings = self._ratings_of([r], places)
            yield Design(r, self.footprints.get(r.footprint), self.wirings.get(r.wiring), ratings)

    def around(self, texts: Iterable[str]) -> dict[str, Catalogue]:
        """Each text to the relays that it may mean, a number or maker and number, with all drawings and their ratings;
        one found among few is found sooner."""
        by_number: dict[str, list[Relay]] = {}
        for r in self.relays:
            by_number.setdefault(normal(r.part_number), []).append(r)
        places = self._places_of_ratings()
        answer = {}
        for text in texts:
            numbers = dict.fromkeys(normal(number) for _, number in makers_and_numbers(text))
            relays = tuple(r for number in numbers for r in by_number.get(number, ()))
            answer[text] = replace(self, relays=relays, ratings=self._ratings_of(relays, places))
        return answer

    def _places_of_ratings(self) -> dict[str, list[int]]:
        places: dict[str, list[int]] = {}
        for place, rating in enumerate(self.ratings):
            places.setdefault(rating.applies_to, []).append(place)
        return places

    def _ratings_of(self, relays: Iterable[Relay], places: Mapping[str, list[int]]) -> tuple[Rating, ...]:
        """Those that name these parts or their series, in their order."""
        names = {name for r in relays for name in (r.part_number, r.series)}
        return tuple(self.ratings[place] for place in sorted(n for name in names for n in places.get(name, ())))

    def named(self, part_number: str) -> tuple[Relay, ...]:
        """Every relay with exactly this part number, whoever makes it; or the maker's, whose name stands before it."""
        plain = tuple(r for r in self.relays if r.part_number == part_number)
        return plain or tuple(
            r for r in self.relays if f"{r.maker} {r.part_number}".casefold() == part_number.casefold()
        )

    def only(self, part_number: str) -> Relay | None:
        """The one relay that this names; None where there is none, or two makers have that number."""
        found = self.named(part_number)
        return found[0] if len(found) == 1 else None

    @property
    def units(self) -> dict[str, str]:
        """Part number to what it is kept in: g, mm, ml or piece; a relay is a piece."""
        return {r.part_number: "piece" for r in self.relays} | {s.part_number: s.unit for s in self.supplies}


def ratings_for(relay: Relay, ratings: tuple[Rating, ...]) -> tuple[Rating, ...]:
    """The ratings that name this part, and those that name its series."""
    return tuple(r for r in ratings if r.applies_to in (relay.part_number, relay.series))
