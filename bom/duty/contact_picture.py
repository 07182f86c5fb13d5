"""What the contact pictures show, as plain numbers: the loads' currents against the published make and break limits.

Volts, amps and seconds. Nothing here draws; the figures are those that the findings rest on. ``missing`` names in
words what is not stated.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from bom.boards.board import Function, Load, Place
from bom.duty.categories import CATEGORIES, Designation, designation
from bom.duty.load_start import peak_amps
from bom.duty.margins import known
from bom.duty.mixed_load import as_dominant, peak_by_rule
from bom.duty.published_ratings import RESISTIVE, kind_of, serving, usable
from bom.duty.rules import DEFAULT, Rule
from bom.relays.relay import Design, Rating, SupplyKind
from bom.relays.wiring import Kind


@dataclass(frozen=True, slots=True)
class LoadPoint:
    """One current of a function. ``moment``: *running*, *start*, *stall* or *brake*; ``rule`` where a rule made it."""

    function: str
    contact: Kind
    kind: str
    moment: str
    volts: float
    amps: float
    seconds: float | None = None
    rule: str = ""


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One published limit: (volts, amps) points, or (seconds, amps) ones, joined straight in log-log.

    ``moment``: *break* is what the contact may switch off, *make* what it may switch on, *carry* what it carries
    closed. Left of the first point the line goes on level; right of the last nothing is published.
    """

    contact: Kind
    kind: str
    moment: str
    points: tuple[tuple[float, float], ...]
    words: str
    source: str


@dataclass(frozen=True, slots=True)
class ContactPicture:
    """Amps over volts (``x_unit`` V) or over seconds (``x_unit`` s), for one kind of contact and supply."""

    part: str
    place: str
    title: str
    x_unit: str
    contact: Kind
    supply: SupplyKind
    loads: tuple[LoadPoint, ...]
    limits: tuple[LimitLine, ...]
    missing: tuple[str, ...]


def contact_pictures(design: Design, place: Place, rule: Rule = DEFAULT) -> tuple[ContactPicture, ...]:
    """For each kind of contact and supply of the position: amps over volts, and over seconds where a time counts."""
    functions = sorted(place.position.functions, key=_side)
    groups = [(side, tuple(of)) for side, of in groupby(functions, key=_side)]
    return tuple(p for _, of in groups for p in _pictures(design, place, of, rule))


def _side(function: Function) -> tuple[str, str]:
    return function.contact.value, function.load.supply.value


def _pictures(design: Design, place: Place, functions: tuple[Function, ...], rule: Rule) -> Iterator[ContactPicture]:
    loads = tuple(p for f in functions for p in load_points(f, rule))
    lines = usable(design.ratings, functions[0])
    kinds = {k for f in functions for k in (*serving(as_dominant(f.load, rule)), *RESISTIVE)}
    missing = tuple(f"amps and volts of {f.name}" for f in functions if not load_points(f, rule))
    switched = tuple(_switching(functions[0], lines, kinds))
    yield _picture(design, place, functions[0], "V", loads, switched, missing)
    carried = tuple(_carrying(functions[0], lines))
    timed = tuple(p for p in loads if p.seconds is not None or p.moment in ("stall", "brake"))
    if timed or carried:
        lasting = tuple(p for p in loads if p.moment != "start")  # an inrush is over before a carry time counts
        yield _picture(design, place, functions[0], "s", lasting, carried, ())


def _picture(
    design: Design,
    place: Place,
    function: Function,
    x_unit: str,
    loads: tuple[LoadPoint, ...],
    limits: tuple[LimitLine, ...],
    missing: tuple[str, ...],
) -> ContactPicture:
    """One picture, saying itself where there is no published line to draw."""
    over = {"V": "volts", "s": "seconds"}[x_unit]
    bare = () if limits else (f"a published {function.load.supply.upper()} rating of the {function.contact} contact",)
    return ContactPicture(
        part=design.relay.part_number,
        place=f"{place.board.name}:{place.position.ref}",
        title=f"{function.contact} contact, {function.load.supply.upper()}: amps over {over}",
        x_unit=x_unit,
        contact=function.contact,
        supply=function.load.supply,
        loads=loads,
        limits=limits,
        missing=(*missing, *bare),
    )


def load_points(function: Function, rule: Rule = DEFAULT) -> tuple[LoadPoint, ...]:
    """The function's running current, its stated peaks, and what a rule makes of it where no peak is stated."""
    load = as_dominant(function.load, rule)
    if load.volts is None or load.amps is None:
        return ()
    stated = (
        ("running", load.amps, None, ""),
        ("start", load.inrush_amps, None, ""),
        ("stall", load.stall_amps, load.stall_seconds, ""),
        ("brake", load.brake_amps, None, ""),
        ("start", *_by_rule(load, rule)),
    )
    kind, volts = kind_of(load), load.volts
    rows = [row for row in stated if row[1]]
    return tuple(
        LoadPoint(function.name, function.contact, kind, m, volts, known(amps), secs, by) for m, amps, secs, by in rows
    )


def _by_rule(load: Load, rule: Rule) -> tuple[float | None, None, str]:
    """What the start finding holds against a line, no seconds, and by which rule or category."""
    if peak_amps(load) is not None:
        return None, None, ""
    category = CATEGORIES.get(kind_of(load))
    if category is not None and category.start_times > 1 and not load.mixed:
        return category.start_times * known(load.amps), None, category.name
    return _times_running(load, rule), None, rule.speaking_of(load).name


def _times_running(load: Load, rule: Rule) -> float | None:
    """By the rule of thumb: shares of a mixed load each by its own figure."""
    if load.mixed:
        return peak_by_rule(load, rule)
    times = rule.times(load.kind, known(load.volts), load.power_factor, load.supply)
    return None if times is None or times <= 1 else times * known(load.amps)


def _switching(function: Function, lines: tuple[Rating, ...], kinds: set[str]) -> Iterator[LimitLine]:
    """A break line through each kind's published points, and a make line where an inrush is published too."""
    for kind in dict.fromkeys(r.load for r in lines if r.load in kinds or designation(r.load)):
        like = [r for r in lines if r.load == kind]
        if pilot := designation(kind):
            yield from _pilot_duty(function, pilot, _source(like))
            continue
        for moment, of in (("break", _breaks), ("make", _makes)):
            points = _least_at_each((r.volts, of(r)) for r in like)
            if points:
                yield LimitLine(function.contact, kind, moment, points, _words(kind, points), _source(like))


def _breaks(rating: Rating) -> float | None:
    return rating.amps


def _makes(rating: Rating) -> float | None:
    """The inrush a line prints, or the multiple by its category; None where neither says more than its amps."""
    category = CATEGORIES.get(rating.load)
    if rating.inrush_amps is not None or category is None or category.start_times <= 1 or rating.amps is None:
        return rating.inrush_amps
    return category.start_times * rating.amps


PILOT_VOLTS = (12.0, 24.0, 48.0, 72.0, 120.0, 125.0, 240.0, 250.0, 300.0, 480.0, 600.0)


def _pilot_duty(function: Function, pilot: Designation, source: str) -> Iterator[LimitLine]:
    """A designation's table, read at the volts that circuits have."""
    for moment, amps in (("break", pilot.break_amps), ("make", pilot.make_amps)):
        points = _least_at_each((v, amps(v)) for v in PILOT_VOLTS if v <= pilot.volts)
        yield LimitLine(function.contact, pilot.name, moment, points, f"{pilot.name}, {moment}", source)


def _least_at_each(pairs: Iterable[tuple[float, float | None]]) -> tuple[tuple[float, float], ...]:
    """Rising in x; where a point repeats its lower amps count."""
    least: dict[float, float] = {}
    for x, amps in pairs:
        if amps is not None:
            least[x] = min(amps, least.get(x, amps))
    return tuple(sorted(least.items()))


def _carrying(function: Function, lines: tuple[Rating, ...]) -> Iterator[LimitLine]:
    """What the closed contact carries over the seconds."""
    like = [r for r in lines if r.carry_amps is not None and r.carry_seconds is not None]
    points = _least_at_each((known(r.carry_seconds), r.carry_amps) for r in like)
    if points:
        yield LimitLine(function.contact, "carry", "carry", points, _carried_words(points), _source(like))


def _words(kind: str, points: tuple[tuple[float, float], ...]) -> str:
    return f"{kind}: " + ", ".join(f"{amps:g} A at {x:g} V" for x, amps in points)


def _carried_words(points: tuple[tuple[float, float], ...]) -> str:
    return ", ".join(f"{amps:g} A for {x:g} s" for x, amps in points)


def _source(lines: list[Rating]) -> str:
    return "; ".join(dict.fromkeys(r.source for r in lines if r.source))
