"""A catalogue: relays with the footprints, wirings and ratings their rows refer to, and supplies besides."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from bom.relays.footprint import Footprint
from bom.relays.relay import Design, Rating, Relay, SupplyPart
from bom.relays.wiring import Wiring


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
        places: dict[str, list[int]] = {}
        for place, rating in enumerate(self.ratings):
            places.setdefault(rating.applies_to, []).append(place)
        for r in self.relays:
            mine = sorted({*places.get(r.part_number, ()), *places.get(r.series, ())})
            ratings = tuple(self.ratings[place] for place in mine)
            yield Design(r, self.footprints.get(r.footprint), self.wirings.get(r.wiring), ratings)

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
