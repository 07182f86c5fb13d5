"""What a value left blank costs: the checks that stay unknown without it, for the part in question.

Nobody keeps a list of this. The part is judged on trial boards made to suit it, that state all a board can state, and
in place of a part like itself; then once more with the value blank. What answered before and answers worse now is the
cost. Values of which nobody has said anything yet are filled in with examples meanwhile, so that each blank is charged
with its own cost alone; values known to be blank stay blank. A trial's figures decide nothing about a real place.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from bom.boards.board import Board, Driver, Function, Hole, HolePattern, Load, Position, Supply
from bom.match.match import judge
from bom.match.requirement import Requirement, at_position, like, place_of
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import Design, Rating, Relay, SupplyKind
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.column import described
from bom.values.finding import Finding, Outcome

RELAY = described(Relay)
RATINGS, RATED, LEADS, SIDE = "ratings", "ratings: ", "pins: lead_mm", "pins: view"
"""Beside a relay's own columns: the published lines as a whole, a column of them as in *ratings: temp_c*, how thick
the pins are, and from which side they are drawn."""


@dataclass(frozen=True, slots=True)
class Cost:
    """``checks`` answer no better than ``outcome`` (unknown, or a condition) ``where``: on any board, or on those alone
    that ask for the value."""

    checks: tuple[str, ...]
    outcome: Outcome
    where: str


class Blanks:
    """A part as far as it is known. ``left`` names the columns that are known to be blank; what is neither stated nor
    left is not yet known. Answers of the trials are kept, since many columns are asked of one part."""

    def __init__(self, known: Design, left: Collection[str] = ()) -> None:
        self.known = known
        self._complete = filled_in(known, left)
        self._fitted = filled_in(known, ())  # what the trial boards are made for: the part with every value stated
        self._asked: dict[str, Requirement | None] = {}
        self._answered: dict[str, dict[str, Outcome]] = {}

    def without(self, *columns: str) -> Cost | None:
        """What it costs to leave these columns blank, all of them together; None where it costs no verdict.

        Of the usual places the first that it leaves unknown tells where, else the first that it leaves a condition;
        where none of them asks, the others.
        """
        blanked = _blanked(self._complete, columns)
        for places in (USUAL, UNUSUAL):
            found = [cost for where in places if (cost := self._cost(where, blanked)) is not None]
            if found:
                return max(found, key=lambda cost: cost.outcome.gravity)  # the first of several alike
        # A trial part has no guided contacts, and only a guided one asks for them.
        return Cost(("guided contacts",), Outcome.UNKNOWN, GUIDED) if "guided" in columns else None

    def matters(self, *columns: str) -> bool:
        """Whether it costs anything, in a place that most benches come by, to leave these columns blank together."""
        blanked = _blanked(self._complete, columns)
        return any(self._cost(where, blanked) is not None for where in USUAL)

    def _cost(self, where: str, blanked: Design) -> Cost | None:
        if (before := self._requirement(where, self._complete)) is None:
            return None
        if where not in self._answered:
            self._answered[where] = _outcomes(before, self._complete)
        after = self._requirement(where, blanked)
        worse = _worse(self._answered[where], _outcomes(after, blanked) if after is not None else {})
        if not worse:
            return None
        worst = max(worse.values(), key=lambda outcome: outcome.gravity)
        return Cost(tuple(sorted(check for check, outcome in worse.items() if outcome is worst)), worst, where)

    def _requirement(self, where: str, design: Design) -> Requirement | None:
        """What the place asks; in place of any part no more than the part states itself. None where it is not for such
        a part."""
        if where == BY_ITSELF:
            return like(design)
        if where not in self._asked:
            self._asked[where] = (USUAL | UNUSUAL)[where](self._fitted)
        return self._asked[where]


def _worse(before: Mapping[str, Outcome], after: Mapping[str, Outcome]) -> dict[str, Outcome]:
    """The checks that are unknown or a condition and answered better before."""
    doubtful = {check: outcome for check, outcome in after.items() if outcome in (Outcome.UNKNOWN, Outcome.CONDITION)}
    return {c: o for c, o in doubtful.items() if o.gravity > before.get(c, Outcome.PASS).gravity}


def costs(design: Design) -> Iterator[tuple[str, Cost]]:
    """Every column that the part leaves blank and what it costs.

    A column that another stands for costs something only where both are blank: so each is charged as if all before it
    were blank too, else as if it were the only one.
    """
    alone, left = Blanks(design), frozenset[str]()
    for column in blank_columns(design):
        cost = Blanks(design, left).without(column) or alone.without(column)
        if cost is not None:
            yield column, cost
        left |= {column}


def blank_columns(design: Design) -> tuple[str, ...]:
    """What the part does not state, in the order of the columns; then its lines' columns, and its pins' leads."""
    own = [name for name in RELAY if not _states(design, name)]
    lines = [
        RATED + name for name in _TESTED if design.ratings and any(getattr(r, name) is None for r in design.ratings)
    ]
    return (*own, *([] if design.ratings else [RATINGS]), *lines, *_undrawn(design.footprint))


def _undrawn(footprint: Footprint | None) -> Iterator[str]:
    if footprint is not None and any(pin.lead_mm is None for pin in footprint.pins):
        yield LEADS
    if footprint is not None and footprint.view is View.UNKNOWN:
        yield SIDE


# ---- the part, filled in and blanked -------------------------------------------------------------------------------

_TESTED = ("amps", "temp_c", "operations")
"""What every published line should state."""
# Of the rated coil volts: what most sheets state. Common practice, no source; they stand in a trial alone.
_SHARES = {"operate_volts": 0.7, "hold_volts": 0.4, "release_volts": 0.1, "coil_max_volts": 1.5}
_COIL_WATTS, _LEAD_MM = 0.6, 0.8
_LEAST = {
    "min_load_volts": 0.1,
    "min_load_milliamps": 1.0,
    "min_load_milliwatts": 1.0,
}


def _states(design: Design, column: str) -> bool:
    if column in ("footprint", "wiring"):
        return getattr(design, column) is not None
    return getattr(design.relay, column) not in (None, "")


def filled_in(design: Design, left: Collection[str]) -> Design:
    """The design with an example for every value that is neither stated nor left blank."""
    wiring = design.wiring or (None if "wiring" in left else _CHANGEOVER)
    footprint = design.footprint or (None if "footprint" in left else _drawn(wiring or _CHANGEOVER))
    ratings = design.ratings or (() if RATINGS in left else _rated(wiring or _CHANGEOVER))
    if footprint is not None:
        footprint = _drawn_fully(footprint, left)
    return Design(
        replace(design.relay, **_examples(design.relay, wiring or _CHANGEOVER, left)),
        footprint,
        wiring,
        tuple(_filled_in(line, left) for line in ratings),
    )


def _drawn_fully(footprint: Footprint, left: Collection[str]) -> Footprint:
    if LEADS not in left:
        pins = (p if p.lead_mm else replace(p, lead_mm=_LEAD_MM) for p in footprint.pins)
        footprint = replace(footprint, pins=tuple(pins))
    if footprint.view is View.UNKNOWN and SIDE not in left:
        footprint = replace(footprint, view=View.COMPONENT)
    return footprint


def _examples(relay: Relay, wiring: Wiring, left: Collection[str]) -> dict[str, Any]:
    """Column to example, of what the relay does not state and may have; a coil's volts and ohms go with its rated
    volts."""
    volts = relay.coil_volts or 12.0
    scaled: dict[str, Any] = (
        {name: share * volts for name, share in _SHARES.items()} | {"coil_ohms": volts**2 / _COIL_WATTS} | _LEAST
    )
    blank = [name for name in RELAY if getattr(relay, name) in (None, "") and name not in left]
    never = _never_of(relay, wiring)
    return {name: scaled.get(name, RELAY[name].read(RELAY[name].example)) for name in blank if name not in never}


def _never_of(relay: Relay, wiring: Wiring) -> frozenset[str]:
    """What no sheet of such a part states."""
    poles = {(contact.unit, contact.pole) for contact in wiring.contacts}
    never = [] if relay.coil_supply is SupplyKind.AC else ["coil_hertz"]
    never += [] if len(wiring.units) > 1 else ["together_amps"]
    return frozenset(never if len(poles) > 1 else [*never, "between_poles_volts"])


def _filled_in(line: Rating, left: Collection[str]) -> Rating:
    silent = (name for name in _TESTED if getattr(line, name) is None and RATED + name not in left)
    stated: dict[str, Any] = {name: _LINE[name] for name in silent}
    return replace(line, **stated)


_LINE = {"amps": 10.0, "temp_c": 85.0, "operations": 1e6}


def _blanked(design: Design, columns: Iterable[str]) -> Design:
    for column in columns:
        design = _without(design, column)
    return design


def _without(design: Design, column: str) -> Design:
    if column == RATINGS:
        return replace(design, ratings=())
    if column.startswith(RATED):
        silent: dict[str, Any] = {column.removeprefix(RATED): None}
        return replace(design, ratings=tuple(replace(line, **silent) for line in design.ratings))
    if column in (LEADS, SIDE):
        return replace(design, footprint=design.footprint and _drawn_less(design.footprint, column))
    relay = replace(design.relay, **{column: RELAY[column].empty})
    drawing: dict[str, Any] = {column: None} if column in ("footprint", "wiring") else {}
    return replace(design, relay=relay, **drawing)


def _drawn_less(footprint: Footprint, column: str) -> Footprint:
    if column == SIDE:
        return replace(footprint, view=View.UNKNOWN)
    return replace(footprint, pins=tuple(replace(pin, lead_mm=None, lead_width_mm=None) for pin in footprint.pins))


_CHANGEOVER = Wiring(
    "trial",
    (
        Element("", "", Kind.COIL, "1", "2"),
        Element("", "1", Kind.MAKE, "3", "4"),
        Element("", "1", Kind.BREAK, "3", "5"),
    ),
)


def _drawn(wiring: Wiring) -> Footprint:
    """Pins in a bent row, so that they go in one way only."""
    return Footprint(
        "trial", tuple(Pin(n, 5.0 * at, float(at * at), _LEAD_MM) for at, n in enumerate(sorted(wiring.pins)))
    )


def _rated(wiring: Wiring) -> tuple[Rating, ...]:
    kinds = dict.fromkeys(contact.kind for contact in wiring.contacts)
    return tuple(
        Rating("", kind, "resistive", SupplyKind.DC, 14.0, 20.0, temp_c=85.0, operations=1e6) for kind in kinds
    )


# ---- trial boards --------------------------------------------------------------------------------------------------

Trial = Callable[[Design], Requirement | None]
_LOAD_SHARE = 0.6
"""Of a line's amps: more than half, so that its temperature and operations are asked."""
_LINES = 6
"""More of a part's lines tell nothing new of its blanks."""
_DRIVER = Driver(1e4, 1e5, 0.1, "", "diode", 0.01, pulse_ms=1000.0)


def _at(
    design: Design, *, driver: Driver = _DRIVER, there: Mapping[str, Any] | None = None, **stated: Any
) -> Requirement:
    """A board's one position, where the part is fitted; ``stated`` is the board's own, ``there`` the position's."""
    functions: tuple[Function, ...] = stated.pop("functions", _functions(design))
    units = len(design.wiring.units) if design.wiring else 1
    position = Position("K1", "holes", design.relay.part_number, "", driver, units, functions, **there or {})
    usual: dict[str, Any] = {"supply": _supply(design), "process": (), "ambient_min_c": -20.0, "ambient_max_c": 60.0}
    usual |= {"board_thickness_mm": 1.6, "lid_clearance_mm": 200.0}
    board = Board("trial", patterns={"holes": _holes(design.footprint)}, positions=(position,), **usual | stated)
    return at_position(board, "K1", design, place_of(board, "K1", design, {}))


def _supply(design: Design, **more: Any) -> Supply:
    volts, alternating = design.relay.coil_volts or 12.0, design.relay.coil_supply is SupplyKind.AC
    return Supply(0.9 * volts, volts, 1.3 * volts, hertz=design.relay.coil_hertz if alternating else None, **more)


def _holes(footprint: Footprint | None) -> HolePattern:
    drawn = footprint.from_component_side().pins if footprint else ()
    holes = (Hole(p.name, p.x_mm, p.y_mm, (p.lead_diameter_mm or _LEAD_MM) + 0.3, f"N {p.name}") for p in drawn)
    return HolePattern("holes", tuple(holes))


def _functions(design: Design, **load: Any) -> tuple[Function, ...]:
    """What each contact switches: a load for every line that is published for it, of less than its amps."""
    wiring, lines = design.wiring or _CHANGEOVER, design.ratings[:_LINES]
    served = [(contact, line) for contact in wiring.contacts for line in lines if line.covers(contact.kind)]
    return tuple(
        Function(f"{_TRIAL} {at}", c.unit, c.kind, _load(line, **load), c.pole if len(wiring.poles(c.unit)) > 1 else "")
        for at, (c, line) in enumerate(served)
    )


_TRIAL = "trial load"


def _load(line: Rating, **load: Any) -> Load:
    amps = _LOAD_SHARE * (line.amps or 1.0)
    inrush = line.inrush_amps and _LOAD_SHARE * line.inrush_amps
    stated: dict[str, Any] = {
        "amps": amps,
        "inrush_amps": inrush,
        "lr_ms": line.lr_ms,
        "power_factor": line.power_factor,
    }
    stated |= {"temp_c": 60.0, "operations_per_day": 10.0, "life_years": 10.0, "suppression": "none", "common": "plus"}
    return Load(line.load, line.volts, supply=line.supply, **stated | load)


def _washed(design: Design) -> Requirement:
    return _at(design, process=("wash",))


def _switched_often(design: Design) -> Requirement:
    return _at(design, functions=_functions(design, operations_per_minute=1.0))


def _signals(design: Design) -> Requirement:
    return _at(design, functions=_functions(design, amps=0.01))


def _dips(design: Design) -> Requirement | None:
    if design.relay.coil_supply is SupplyKind.AC:
        return None
    half = 0.5 * (design.relay.coil_volts or 12.0)
    driver = replace(_DRIVER, hold_volts=half, pull_in_ms=1000.0)
    return _at(design, driver=driver, supply=_supply(design, crank_volts=half))


def _dumps(design: Design) -> Requirement | None:
    if design.relay.coil_supply is SupplyKind.AC:
        return None
    return _at(design, supply=_supply(design, dump_volts=1.4 * (design.relay.coil_volts or 12.0), dump_ms=400.0))


def _bare_driver(design: Design) -> Requirement | None:
    """Nothing on the board catches the coil's kick-back, and what the driver bears is stated."""
    if design.relay.coil_supply is SupplyKind.AC:
        return None
    return _at(design, driver=replace(_DRIVER, suppression="none", breakdown_volts=1e4, polarity="low side"))


def _impulse(design: Design) -> Requirement:
    return _at(design, there={"impulse_volts": 100.0})


BY_ITSELF, GUIDED = "in place of any part", "in place of guided contacts"
USUAL: dict[str, Trial] = {
    "on any board": _at,
    "where the board is washed": _washed,
    "where the driver has no clamp of its own": _bare_driver,
    "where it switches signals": _signals,
    "where the supply dips, or the driver saves current": _dips,
    BY_ITSELF: like,
}
"""What most benches come by, the most usual first, by the words that tell of it: boards, and a part to replace that
states no more than this one does itself."""
UNUSUAL: dict[str, Trial] = {
    "where a load dump comes": _dumps,
    "where it switches often": _switched_often,
    "where an impulse is stated": _impulse,
    "in place of a part that states it": like,
}
"""What few benches come by: what a board states beside, and a part to replace that states everything."""


def _outcomes(requirement: Requirement, design: Design) -> dict[str, Outcome]:
    """The worst answer of each check, without the load that it is about."""
    worst: dict[str, Outcome] = {}
    for found in judge(requirement, design).findings:
        check = _plain(found)
        if found.outcome.gravity >= worst.get(check, Outcome.PASS).gravity:
            worst[check] = found.outcome
    return worst


def _plain(found: Finding) -> str:
    return found.check.partition(f", {_TRIAL}")[0]
