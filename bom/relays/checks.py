"""What cannot be true of a relay, a rating, a footprint or a wiring: one check of each, whatever it came from.

A column alone is checked as it is read (``bom.values.column``); here stand the checks that look at several together.
Each gives its problems by column, without a place: a reader adds its file and line, a form or a command none. The
``line`` of a problem with a footprint or a wiring is the number of the pin or the element (1 = the first), 0 the whole.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from typing import Protocol

from bom.relays.footprint import Footprint
from bom.relays.relay import Rating, Relay, SupplyKind, supply_of
from bom.relays.wiring import Kind, Wiring
from bom.values.problem import Problem

# What must not exceed what, by the meaning of the columns.
_RISING = (
    ("temp_min_c", "temp_max_c"),
    ("release_volts", "operate_volts"),
    ("release_volts", "hold_volts"),
    ("hold_volts", "operate_volts"),
    ("operate_volts", "coil_volts"),
    ("operate_volts", "coil_max_volts"),
    ("coil_volts", "coil_max_volts"),
)
# Coils of relays for printed boards take from some tens of milliwatts (reed, latching) to a few watts. Common practice,
# no source; the bounds are wide, since what they are for is a slip of a decimal point.
LEAST_WATTS, MOST_WATTS = 0.005, 20.0
# The codes of one series have coils of nearly one power; sensitive and standard ones in one series are a factor of
# two or three apart. Common practice, no source.
SERIES_TIMES = 5.0


def relay_problems(relay: Relay) -> Iterator[Problem]:
    """What in the relay contradicts itself."""
    for low, high in _RISING:
        below, above = getattr(relay, low), getattr(relay, high)
        if below is not None and above is not None and below > above:
            yield _wrong(low, f"at most {high}, which is {above:g}", f"{below:g}")
    if (relay.contact_rise_k is None) is not (relay.contact_rise_amps is None):
        lacking = "contact_rise_k" if relay.contact_rise_k is None else "contact_rise_amps"
        yield _wrong(lacking, "both contact_rise_k and contact_rise_amps", "one")
    if relay.coil_hertz is not None and relay.coil_supply is SupplyKind.DC:
        yield _wrong("coil_hertz", "nothing, as a DC coil has no frequency", relay.coil_hertz)


def relay_doubts(relay: Relay) -> Iterator[Problem]:
    """What in the relay is hardly true, and true only where its data sheet says so: a coil of no likely power."""
    watts = relay.coil_watts
    if watts is None:
        return
    if watts < LEAST_WATTS or (watts > MOST_WATTS and relay.coil_supply is not SupplyKind.AC):
        expected = f"a coil of {LEAST_WATTS * 1000:g} mW to {MOST_WATTS:g} W (coil_volts² / coil_ohms)"
        yield _wrong("coil_ohms", expected, _coil(relay, watts))


def series_doubts(relays: Iterable[Relay]) -> Iterator[tuple[Relay, Problem]]:
    """The relays whose coil takes a power that no other code of its series comes near: 36 Ω where 360 Ω is meant."""
    series: dict[Hashable, list[tuple[float, Relay]]] = {}
    for relay in relays:
        if relay.series and (watts := relay.coil_watts):
            series.setdefault(coil_family(relay), []).append((watts, relay))
    for codes in series.values():
        powers = [watts for watts, _ in codes]
        if max(powers) > min(powers) * SERIES_TIMES:
            yield from _far_from_all(codes)


def coil_family(relay: Relay) -> tuple[str, str, str | None, str | None]:
    """Relays whose coils are wound for one power: a maker's series, in one coil system and for one kind of supply."""
    return (relay.maker, relay.series, relay.coil_system, relay.coil_supply)


def _far_from_all(codes: Sequence[tuple[float, Relay]]) -> Iterator[tuple[Relay, Problem]]:
    for watts, relay in codes:
        others = [(max(watts / w, w / watts), w, other) for w, other in codes if other is not relay]
        times, theirs, nearest = min(others, key=lambda o: o[0])
        if times > SERIES_TIMES:
            expected = f"a coil of about {_power(theirs)}, as {nearest.part_number} of series {relay.series} has"
            yield relay, _wrong("coil_ohms", expected, _coil(relay, watts))


def _coil(relay: Relay, watts: float) -> str:
    return f"{relay.coil_ohms:g} Ω at {relay.coil_volts:g} V, which take {_power(watts)}"


def _power(watts: float) -> str:
    return f"{watts:.3g} W" if watts >= 1 else f"{watts * 1000:.3g} mW"


def rating_problems(rating: Rating) -> Iterator[Problem]:
    """What in the rating contradicts itself: a category for AC at DC, an inrush below the running current."""
    if (named := supply_of(rating.load)) not in (None, rating.supply):
        yield _wrong("supply", f"{named}, which {rating.load} is for", rating.supply)
    if rating.inrush_amps is not None and rating.amps is not None and rating.inrush_amps < rating.amps:
        yield _wrong("inrush_amps", f"at least amps, which is {rating.amps:g}", f"{rating.inrush_amps:g}")


class Placed(Protocol):
    """A pin or a hole: a name and a middle."""

    @property
    def name(self) -> str: ...
    @property
    def x_mm(self) -> float: ...
    @property
    def y_mm(self) -> float: ...


def footprint_problems(footprint: Footprint) -> Iterator[Problem]:
    """Pins of one name, and pins at one place."""
    return placed_problems(footprint.pins, "pin")


def placed_problems(places: Sequence[Placed], column: str) -> Iterator[Problem]:
    """Pins or holes (which ``column`` says) of one name, and those at one place."""
    yield from _once([p.name for p in places], column, f"each {column} once")
    yield from _once([f"{p.x_mm + 0.0:.12g}, {p.y_mm + 0.0:.12g}" for p in places], "x_mm", f"one {column} at a place")


def wiring_problems(wiring: Wiring) -> Iterator[Problem]:
    """Elements that join a pin to itself, come twice, or claim what only a coil or only a contact has."""
    yield from _once([repr(e) for e in wiring.elements], "element", "each element once")
    for place, e in enumerate(wiring.elements, 1):
        if e.from_pin and e.from_pin == e.to_pin:
            yield _wrong("to_pin", "another pin than from_pin", e.to_pin, place)
        if e.polarised and e.kind is not Kind.COIL:
            yield _wrong("polarised", "no or empty, as only a coil has polarity", "yes", place)
        if e.transfer and e.kind not in (Kind.MAKE, Kind.BREAK):
            yield _wrong("transfer", "empty, as only a contact changes over", e.transfer, place)


def wired_problems(footprint: Footprint, wiring: Wiring) -> Iterator[Problem]:
    """Pins that the wiring names and the footprint does not have."""
    if strangers := sorted(wiring.pins - {p.name for p in footprint.pins}):
        yield _wrong("wiring", f"only pins of footprint {footprint.name}", ", ".join(strangers))


def _once(keys: Sequence[str], column: str, expected: str) -> Iterator[Problem]:
    seen: set[str] = set()
    for place, key in enumerate(keys, 1):
        if key and key in seen:
            yield _wrong(column, expected, key, place)
        seen.add(key)


def _wrong(column: str, expected: str, found: str, place: int = 0) -> Problem:
    return Problem("", place, column, expected, str(found))
