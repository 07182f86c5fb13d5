"""Necessary conditions: facts without which no candidate can serve, so that a database may leave the rest unread.

Each is about a single fact, which a database can ask: one of these words, at least or at most this much. They never
lose a candidate. What a sheet does not state passes here, since *unknown* is for the proof to say; and each condition
is tried on the proving rooms before it is used: a relay that states nothing but this one fact, just outside the
condition, must be refused by them. Where it is not, the condition is dropped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from bom.boards.board import Driver, Function, Place
from bom.duty.coil_drive import current_ma, operate_volts_hot
from bom.duty.coil_heat import TOO_HOT_TIMES, ratio
from bom.duty.rules import DEFAULT, Rule
from bom.fit.best_placement import goes_nowhere
from bom.fit.spacing import HoleSpacing, PinSpacing
from bom.match.match import verdict_on
from bom.match.part_against_part import SAME_COIL
from bom.match.requirement import Requirement
from bom.match.search_facts import KIND, REFERENCE_C, derived
from bom.relays.footprint import Footprint
from bom.relays.relay import Design, Relay, SupplyKind
from bom.relays.wiring import Wiring
from bom.values.column import Holds, described
from bom.values.finding import Verdict


class Margin(StrEnum):
    """How the room left follows from a fact v and its basis b, as the rooms do."""

    NEED = "b / v - 1"
    SHARE = "(v - b) / |b|"
    REST = "(b - v) / |b|"


@dataclass(frozen=True, slots=True)
class OneOf:
    """The fact, where stated, is one of these."""

    column: str
    values: frozenset[str]

    def holds(self, facts: Mapping[str, Any]) -> bool:
        value = facts[self.column]
        return value is None or value == "" or value in self.values


@dataclass(frozen=True, slots=True)
class Limit:
    """The fact, where stated, is at least (``least``) or at most the limit.

    ``margin`` and ``basis`` say what room it leaves, where the rooms state one. ``asked``: a relay that does not state
    the fact is *unknown* at best.
    """

    column: str
    limit: float
    least: bool
    margin: Margin | None = None
    basis: float = 0.0
    asked: bool = True

    def holds(self, facts: Mapping[str, Any]) -> bool:
        value = facts[self.column]
        if value is None:
            return True
        return bool(value >= self.limit if self.least else value <= self.limit)

    def room(self, value: float) -> float:
        """The margin at this value; endless where the rooms state none."""
        if self.margin is None or (self.margin is Margin.NEED and value <= 0):
            return float("inf")
        if self.margin is Margin.NEED:
            return self.basis / value - 1.0
        sign = 1 if self.margin is Margin.SHARE else -1
        return sign * (value - self.basis) / abs(self.basis)


Condition = OneOf | Limit


@dataclass(frozen=True, slots=True)
class Promise:
    """The best a relay can come to by its facts alone: its verdict and its narrowest margin are no better."""

    verdict: Verdict
    margin: float


ROUNDING = 1e-9
"""Share by which a limit is widened, so that rounding never loses a candidate that just holds."""

_PROBE = 1e-4  # how far outside a limit the trial relay lies, as a share: beyond what the rooms forgive as rounding


def necessary(requirement: Requirement, rule: Rule = DEFAULT) -> tuple[Condition, ...]:
    """The conditions every candidate that is not refused meets, each tried on the proving rooms."""
    words = tuple(_words(requirement, rule))
    wanted = tuple(_limits(requirement, words))
    return (*words, *(_widened(c) for c in wanted if _is_proved(requirement, c, rule)))


def meets(conditions: tuple[Condition, ...], relay: Relay) -> bool:
    """Whether the relay's facts meet every condition; what the database does, in Python."""
    facts = facts_of(relay)
    return all(c.holds(facts) for c in conditions)


def facts_of(relay: Relay) -> dict[str, Any]:
    return {name: getattr(relay, name) for name in Relay.__slots__} | derived(relay)


def seated(
    requirement: Requirement, footprint: Footprint | None, wiring: Wiring | None, rule: Rule = DEFAULT
) -> Verdict:
    """The best verdict of any relay with these pins and this wiring: *no* where they alone are refused."""
    if not may_go_in(requirement, footprint):
        return Verdict.NO
    return seated_with(requirement, footprint, wiring, rule)


def seated_with(
    requirement: Requirement, footprint: Footprint | None, wiring: Wiring | None, rule: Rule = DEFAULT
) -> Verdict:
    """``seated``, of pins that ``may_go_in``."""
    bare = Relay("", "", footprint=footprint.name if footprint else "", wiring=wiring.name if wiring else "")
    if verdict_on(requirement, Design(bare, footprint, wiring), rule) is Verdict.NO:
        return Verdict.NO
    return Verdict.DROP_IN if footprint and wiring else Verdict.UNKNOWN


def may_go_in(requirement: Requirement, footprint: Footprint | None) -> bool:
    """Whether the pins alone may go into the place that is asked for, if any. False is certain."""
    place = requirement.place
    if footprint is None or place is None:
        return True
    dressing = place.board.leg_dressing_mm
    holes = HoleSpacing.of(place.pattern.holes, dressing)
    return holes.may_take(PinSpacing.of(footprint.pins)) and not goes_nowhere(footprint, place.pattern, dressing)


def promise(conditions: tuple[Condition, ...], relay: Relay, seat: Verdict = Verdict.DROP_IN) -> Promise:
    """The best the relay can come to; what the database sorts by, in Python."""
    facts = facts_of(relay)
    limits = [c for c in conditions if isinstance(c, Limit)]
    silent = any(c.asked and facts[c.column] is None for c in limits)
    rooms = [c.room(facts[c.column]) for c in limits if facts[c.column] is not None]
    return Promise(Verdict.UNKNOWN if silent else seat, min(rooms, default=float("inf")))


_COLUMNS = described(Relay)
_WORDS = {name: member for name in KIND if (member := _COLUMNS[name].member) is not None}
"""Facts with few values, each with its words."""


def _words(requirement: Requirement, rule: Rule) -> Iterator[OneOf]:
    """Facts with few values: each value is simply tried."""
    for column, kind in _WORDS.items():
        served = frozenset(v.value for v in kind if not _refused(requirement, {column: v}, rule))
        if len(served) < len(kind):
            yield OneOf(column, served)
    for column in ("series", "contact_material", "source"):
        if requirement.place is None and requirement.original is None and column in requirement.bounds:
            yield OneOf(column, frozenset({str(requirement.bounds[column])}))


def _refused(requirement: Requirement, facts: Mapping[str, Any], rule: Rule) -> bool:
    return verdict_on(requirement, Design(Relay("", "", **facts), None, None), rule) is Verdict.NO


def _is_proved(requirement: Requirement, condition: Limit, rule: Rule) -> bool:
    """Whether the rooms refuse a relay that states nothing but this fact, just outside the condition."""
    step = _PROBE * (abs(condition.limit) or 1.0)
    outside = condition.limit + (-step if condition.least else step)
    return _refused(requirement, _STATED.get(condition.column, _plainly(condition.column))(outside), rule)


def _plainly(column: str) -> Callable[[float], dict[str, Any]]:
    return lambda value: {column: value}


# What a sheet states where a derived fact has a value.
_STATED: dict[str, Callable[[float], dict[str, Any]]] = {
    "operate_volts_20": lambda v: {"operate_volts": v, "coil_ref_temp_c": REFERENCE_C},
    "least_ohms_20": lambda v: {"coil_ohms": v, "coil_ohms_tol_pct": 0.0, "coil_ref_temp_c": REFERENCE_C},
    "coil_amps": lambda v: {"coil_volts": 1.0, "coil_ohms": 1.0 / v},
    "height_mm": lambda v: {"body_height_mm": v, "standoff_mm": 0.0},
}


def _widened(condition: Limit) -> Limit:
    slack = ROUNDING * (abs(condition.limit) or 1.0)
    limit = condition.limit + (-slack if condition.least else slack)
    return Limit(condition.column, limit, condition.least, condition.margin, condition.basis, condition.asked)


def _limits(requirement: Requirement, words: tuple[OneOf, ...]) -> Iterator[Limit]:
    place = requirement.place
    if place is not None and place.board.name:
        yield from _body(place)
        if any(w.column == "coil_supply" and SupplyKind.AC.value not in w.values for w in words):
            yield from _coil(place, requirement.original.relay if requirement.original else None)
        for function in place.position.functions:
            yield from _least_load(function)
    elif requirement.original is not None:
        yield from _like(requirement.original.relay)
    else:
        yield from _spec(requirement.bounds)


def _body(place: Place) -> Iterator[Limit]:
    board = place.board
    if board.lid_clearance_mm:
        yield Limit("height_mm", board.lid_clearance_mm, False, Margin.REST, board.lid_clearance_mm)
    if board.board_thickness_mm is not None:
        yield Limit("pin_length_mm", board.board_thickness_mm, True)
    if board.ambient_max_c is not None:
        yield Limit("temp_max_c", board.ambient_max_c, True)
    if board.ambient_min_c is not None:
        yield Limit("temp_min_c", board.ambient_min_c, False)


def _coil(place: Place, fitted: Relay | None) -> Iterator[Limit]:
    yield from _pull_in(place, fitted)
    yield from _cold_current(place, fitted)
    highest = place.board.supply.max_volts
    if highest is not None:
        bearable = min(highest, fitted.coil_max_volts) if fitted and fitted.coil_max_volts else highest
        yield Limit("coil_max_volts", bearable, True, Margin.SHARE, highest, asked=False)
    if fitted is not None and fitted.coil_ohms and fitted.coil_watts:
        yield Limit("coil_ohms", fitted.coil_ohms / TOO_HOT_TIMES, True, Margin.SHARE, fitted.coil_ohms)


def _pull_in(place: Place, fitted: Relay | None) -> Iterator[Limit]:
    """The volts there are at the hottest, or what the fitted part needs where that is more."""
    board, drop = place.board, (place.position.driver or Driver()).drop_volts
    if board.supply.max_volts is not None:
        yield Limit("operate_volts", board.supply.max_volts - (drop or 0.0), False)
    if board.supply.min_volts is None or drop is None or board.ambient_max_c is None:
        return
    there = board.supply.min_volts - drop
    most = max(there, (operate_volts_hot(fitted, board.ambient_max_c) if fitted else None) or there)
    warmth = ratio(REFERENCE_C, board.ambient_max_c)
    yield Limit("operate_volts_20", most / warmth, False, Margin.NEED, there / warmth)


def _cold_current(place: Place, fitted: Relay | None) -> Iterator[Limit]:
    """What channel and package carry, or what the fitted part takes where that is more."""
    board, driver = place.board, place.position.driver or Driver()
    if board.supply.max_volts is None or board.ambient_min_c is None:
        return
    theirs = current_ma(fitted, board.supply.max_volts, board.ambient_min_c) if fitted else None
    milliamp_ohms = 1000.0 * board.supply.max_volts / ratio(REFERENCE_C, board.ambient_min_c)
    for limit, units in ((driver.channel_milliamps, 1), (driver.package_milliamps, place.position.units_on_together)):
        if limit and units and units > 0:
            most = max(limit / units, theirs or 0.0)
            yield Limit("least_ohms_20", milliamp_ohms / most, True, Margin.SHARE, milliamp_ohms * units / limit)


def _least_load(function: Function) -> Iterator[Limit]:
    """A contact's least load, which this function's load must reach."""
    volts, amps = function.load.volts, function.load.amps
    if not volts or not amps:
        return
    there = (("volts", volts), ("milliamps", amps * 1000), ("milliwatts", volts * amps * 1000))
    for unit, value in there:
        yield Limit(f"min_load_{unit}", round(value, 9), False, Margin.NEED, round(value, 9), asked=False)


def _like(old: Relay) -> Iterator[Limit]:
    if old.coil_volts is not None:
        yield Limit("coil_volts", old.coil_volts, True)
        yield Limit("coil_volts", old.coil_volts, False)
    facts = facts_of(old)
    if ohms := facts["least_ohms_20"]:
        yield Limit("least_ohms_20", ohms * (1 - SAME_COIL), True, Margin.SHARE, ohms)
    for column, least in (
        ("operate_volts_20", False),
        ("temp_max_c", True),
        ("temp_min_c", False),
        ("height_mm", False),
    ):
        if value := facts[column]:
            yield Limit(column, value, least, Margin.SHARE if least else Margin.REST, value)


def _spec(bounds: Mapping[str, object]) -> Iterator[Limit]:
    numbers = {name for name, column in _COLUMNS.items() if column.holds is Holds.NUMBER}
    for name, wanted in bounds.items():
        if name == "max_height_mm":
            yield _bound("height_mm", float(str(wanted)), False)
        elif name in numbers:
            value = float(str(wanted))
            yield Limit(name, value - abs(value) * SAME_TEXT, True)
            yield Limit(name, value + abs(value) * SAME_TEXT, False)
        elif name[:4] in ("min_", "max_") and name[4:] in numbers:
            yield _bound(name[4:], float(str(wanted)), name.startswith("min_"))


SAME_TEXT = 1e-5
"""A spec's equal number is compared as written to six figures."""


def _bound(column: str, wanted: float, least: bool) -> Limit:
    margin = (Margin.SHARE if least else Margin.REST) if wanted else None
    return Limit(column, wanted, least, margin, wanted)
