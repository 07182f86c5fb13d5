"""The cautions that go with a verdict: which apply to a place, a part or a bag of parts, the gravest first.

They remind; they do not instruct. Local codes and the law of the place decide, and so does who may do the work there.
Their wording is the product's own, after common practice, no source; a limit names who publishes it, and a board's own
cautions are what its file states.

From which volts a circuit is dangerous to touch: Directive 2014/35/EU (the Low Voltage Directive), article 1, which
speaks of equipment for 50 to 1000 V AC and 75 to 1500 V DC. From memory. A local code may draw the line lower.
"""

from __future__ import annotations

from collections.abc import Iterable

from bom.boards.board import Load, Place
from bom.duty.paired_contacts import GUIDED_KINDS, is_guarded
from bom.duty.rules import Rule
from bom.relays.relay import Design, Relay, Sealing, SupplyKind

LOW_VOLTS = {SupplyKind.AC: 50.0, SupplyKind.DC: 75.0}
"""The least volts of which the directive speaks, by the kind of supply."""


def is_dangerous(volts: float, supply: SupplyKind | None) -> bool:
    """Whether these volts reach the low-voltage limit; a supply of unknown kind is held against the lower one, AC.

    >>> is_dangerous(48, SupplyKind.DC), is_dangerous(60, None)
    (False, True)
    """
    return volts >= LOW_VOLTS[supply or SupplyKind.AC]


def is_mains(load: Load) -> bool:
    """Whether a load is of dangerous volts, or on AC of volts that nobody states."""
    if load.volts is None:
        return load.supply is SupplyKind.AC
    return is_dangerous(load.volts, load.supply)


GUARDED = (
    "Safety function: never bypass or bridge it, not even to test. The maker of the machine or a licensed person "
    "decides on the part, fits it and proves the function before the machine is used."
)
GUIDED = (
    "Guided contacts prove a safety function: only a guided part of the same kind may stand in, "
    "and only those entitled to may fit it."
)
MAINS = (
    "Mains or other dangerous volts (from 50 V AC or 75 V DC): only for those licensed to work on them there; "
    "local codes decide. Isolate, lock off, prove dead, and keep the distances the board had."
)
RATED_FOR_MAINS = (
    "This part is rated for dangerous volts (from 50 V AC or 75 V DC): where it switches them, "
    "only those licensed there may work on it, isolated and proved dead; local codes decide."
)
MOVES = "A motor may start by itself when power returns: keep people and hands clear until it has been tried."
REVERSES = "After the work try both directions unloaded; both at once must not be possible."
SAFETY = (
    "If anyone's safety rests on this function, the maker of the machine or a licensed person decides on the part; "
    "a listed match here is not an approval."
)
BATTERY = "Disconnect the battery before the box is unplugged, and connect it last."
BENCH_COIL = (
    "On the bench: coil from a supply with a current limit, raised slowly, plus first one way then the other; "
    "an unsuppressed coil bites when cut, and its contacts carry nothing meanwhile."
)
UNSEALED = "This part is not wash-tight: solder it in after washing and coating."
SOLDER = (
    "Soldering: eye protection, since cut leads and solder fly; air drawn away from the face; hands washed; "
    "solder with lead kept apart from lead-free work. Old joints and hot bodies burn."
)

NEAR_MAINS = (
    "Mains near the box (shore power, an inverter, a charger): those licensed there isolate them first; "
    "local code decides."
)
TWO_BATTERIES = (
    "There may be a second battery, a charger or a solar feed: disconnect every source, then measure that the box is "
    "dead."
)
FLAMMABLE = (
    "Alcohol, flux remover and most sprays catch fire: no iron, flame or live contact near them, and let them dry off "
    "in moving air before soldering."
)
LEAD = "Solder with lead is poisonous: wash hands, no food beside it, out of the reach of children, no household waste."
CARRIERS = (
    "Flammable liquids, sprays and many batteries are dangerous goods: ask the carrier before a bag that holds any is "
    "posted; most are refused by air (IATA Dangerous Goods Regulations, ADR; from memory)."
)

_SHORT = {
    GUARDED: "safety function: never bypassed; the maker or a licensed person decides",
    GUIDED: "guided contacts: only the same kind, fitted by those entitled to",
    MAINS: "mains or other dangerous volts: licensed hands only, isolated and proved dead",
    RATED_FOR_MAINS: "rated for mains: where it switches them, licensed hands only",
    MOVES: "a motor may start by itself: keep clear",
    REVERSES: "try both directions unloaded; never both at once",
    NEAR_MAINS: "mains near the box: have them isolated first",
    TWO_BATTERIES: "more than one battery: disconnect every source",
    FLAMMABLE: "flammable: keep from the iron",
    SAFETY: "a match is not an approval where anyone's safety rests on it",
    BATTERY: "disconnect the battery before unplugging the box",
    BENCH_COIL: "limit the current when trying a coil",
    UNSEALED: "not wash-tight: solder it in after washing",
    SOLDER: "eye protection and moving air when soldering",
    LEAD: "solder with lead is poisonous",
    CARRIERS: "ask the carrier about flammables",
}
"""Every caution in few words, the gravest first; a board's own stand after those of mains."""

_GRAVITY = {text: place for place, text in enumerate(_SHORT)}
_OWN = _GRAVITY[RATED_FOR_MAINS] + 0.5  # anywhere between two neighbours: no test can tell where
_GRAVE = (GUARDED, GUIDED, MAINS, RATED_FOR_MAINS)
_MORE = "bom explain cautions"


def cautions_for(place: Place | None, design: Design | None = None, rule: Rule | None = None) -> tuple[str, ...]:
    """The cautions for this design in this place, the gravest first; no place = those of the part alone.

    ``rule`` is the rule of thumb of the verdicts beside them, None where there are none.
    """
    own = place.board.cautions if place else ()
    said = (*own, BATTERY, *_place(place, design), *_part(place, design), SAFETY, SOLDER)
    return by_gravity(said)


def cautions_together(
    several: Iterable[tuple[Place | None, Design | None]], rule: Rule | None = None
) -> tuple[str, ...]:
    """The cautions of several places and parts, each once, the gravest first; those of any part where there are none.

    For a list of parts give (None, part) of each; for a board or a kit each place with its part. Where one part stands
    in for another give both, so that what a guided original asks for is never lost.
    """
    said = [caution for place, design in several for caution in cautions_for(place, design, rule)]
    return by_gravity(said or cautions_for(None))


def cautions_for_bag(several: Iterable[tuple[Place | None, Design | None]]) -> tuple[str, ...]:
    """The cautions of a kit that leaves the shop: those of its places and parts, and those of what else it may hold.

    A bag of consumables alone (``several`` is empty) speaks of solder, flammables and carriers only.
    """
    parts = tuple(several)
    of_bag = (SOLDER, LEAD, FLAMMABLE, CARRIERS)
    return by_gravity((*cautions_together(parts), TWO_BATTERIES, NEAR_MAINS, *of_bag) if parts else of_bag)


def by_gravity(cautions: Iterable[str]) -> tuple[str, ...]:
    """Each caution once, the gravest first; a board's own, which are not known here, keep their order."""
    return tuple(sorted(dict.fromkeys(cautions), key=lambda text: _GRAVITY.get(text, _OWN)))


def one_line(cautions: Iterable[str], more: str = _MORE) -> str:
    """The grave cautions in one line, or the first where none is grave, and the command that prints the rest.

    Empty where there are no cautions. ``more`` may name a page as well: ``"bom match … --html FILE"``.

    >>> one_line([MOVES, SOLDER])
    '⚠ a motor may start by itself: keep clear; more: bom explain cautions'
    """
    ranked = by_gravity(cautions)
    said = [text for text in ranked if text in _GRAVE] or ranked[:1]
    return f"⚠ {'; '.join(_SHORT.get(text, text).rstrip('.') for text in said)}; more: {more}" if said else ""


def all_cautions() -> tuple[tuple[str, str], ...]:
    """Every caution there is, in few words and in full, the gravest first."""
    return tuple((short, text) for text, short in _SHORT.items())


def _place(place: Place | None, design: Design | None) -> tuple[str, ...]:
    """What the place itself brings: a guarded function, its supply, its loads."""
    if place is None:
        return ()
    loads = [f.load for f in place.position.functions]
    asked = (
        (GUARDED, is_guarded(place, design)),
        (MAINS, any(map(is_mains, loads)) or _supply_is_dangerous(place, design)),
        (MOVES, any(x.kind == "motor" for x in loads)),
        (REVERSES, any(x.reversing for x in loads)),
    )
    return tuple(text for text, wanted in asked if wanted)


def _supply_is_dangerous(place: Place, design: Design | None) -> bool:
    """The board's own supply at its highest; DC where a vehicle's code or a driver on one side says so."""
    supply, driver = place.board.supply, place.position.driver
    direct = supply.code not in ("", "Z") or (driver is not None and bool(driver.polarity))
    kind = SupplyKind.DC if direct else design.relay.coil_supply if design else None
    volts = [v for v in (supply.min_volts, supply.nominal_volts, supply.max_volts) if v is not None]
    return bool(volts) and is_dangerous(max(volts), kind)


def rated_for_mains(design: Design) -> bool:
    """Whether any published line of the contacts, or the coil itself, is of dangerous volts."""
    relay = design.relay
    coil = relay.coil_volts is not None and is_dangerous(relay.coil_volts, relay.coil_supply)
    return coil or any(is_dangerous(line.volts, line.supply) for line in design.ratings)


def grave_of_part(design: Design) -> tuple[str, ...]:
    """What no screen may leave out beside this part, whatever place it goes into: guided, or rated for mains."""
    return tuple(text for text in _part(None, design) if text in _GRAVE)


def _part(place: Place | None, design: Design | None) -> tuple[str, ...]:
    """What the part brings by its own ratings and kind, wherever it goes."""
    if design is None:
        return ()
    asked = (
        (GUIDED, design.relay.guided in GUIDED_KINDS),
        (RATED_FOR_MAINS, rated_for_mains(design)),
        (UNSEALED, place is not None and "wash" in (place.board.process or ()) and not _wash_tight(design.relay)),
    )
    return tuple(text for text, wanted in asked if wanted)


def _wash_tight(relay: Relay) -> bool:
    return relay.sealing is not None and relay.sealing.rank >= Sealing.RT_III.rank
