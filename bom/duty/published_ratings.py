"""Published ratings: which line of a data sheet speaks for a load, how hard it was tested, and how many amps it gives.

A line speaks for its own kind of load and for easier kinds, unless it was tested with a shorter time constant or a
better power factor than the load has. An AC figure never serves DC, nor DC AC; make and break are read apart, and a
line for both says nothing beyond the contact's own. An overload test is no working rating. Between two published DC
points the amps lie on a straight line in log-log, and beyond the highest published volts there is nothing. Between two
published temperatures they lie on a straight line; beyond the hottest there is nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import exp, log

from bom.boards.board import Function, Load
from bom.duty.categories import CATEGORIES, R300_DIFFERS, Designation, dc_13_lr_ms, designation, electromagnet_category
from bom.duty.margins import known
from bom.relays.relay import Rating, SupplyKind
from bom.relays.wiring import Kind

RESISTIVE = ("resistive", "DC-1", "AC-1", "DC-12", "AC-12", "general")
"""Lines a rule of thumb may start from. AC-1, DC-1, AC-12 and DC-12 are categories of resistive loads (IEC 60947);
general purpose is tested at power factor 0.75 to 0.8, so it is no easier (UL 508, from memory)."""

_HARDER = {  # a kind of load: other kinds whose published line is tested at least as hard
    "resistive": (*RESISTIVE[1:], "inductive"),
    "DC-12": ("resistive", "DC-1", "DC-13"),
    "AC-12": ("resistive", "AC-1", "AC-13", "AC-14", "AC-15"),
    "AC-13": ("AC-14", "AC-15"),
    "AC-14": ("AC-15",),
    "AC-1": ("resistive", "AC-12", "AC-3", "AC-4"),
    "AC-3": ("AC-4",),
    "DC-1": ("resistive", "DC-12", "DC-3", "DC-5"),
    "DC-3": ("DC-5",),
    "general": ("inductive",),
    "led supply": ("capacitive",),
}
_OF_SUPPLY = {
    ("motor", SupplyKind.AC): ("AC-3", "AC-4"),
    ("motor", SupplyKind.DC): ("DC-5",),
    ("lamp", SupplyKind.DC): ("DC-6",),
    ("resistive", SupplyKind.AC): ("AC-13", "AC-14", "AC-15"),
    ("resistive", SupplyKind.DC): ("DC-13",),
    ("inductive", SupplyKind.AC): ("AC-15",),
    ("inductive", SupplyKind.DC): ("DC-13",),
    ("solenoid", SupplyKind.AC): ("AC-15",),
    ("solenoid", SupplyKind.DC): ("DC-13", "inductive"),
    ("DC-13", SupplyKind.DC): ("inductive",),
}


def serving(load: Load) -> tuple[str, ...]:
    """The kinds of published line that speak for this load, its own first; each other one is tested at least as hard:
    the make and break multiples, power factors and time constants of IEC 60947-5-1 and 60947-4-1 rise in that order.
    """
    kind = kind_of(load)
    return tuple(dict.fromkeys((kind, *_HARDER.get(kind, ()), *_OF_SUPPLY.get((kind, load.supply), ()))))


def kind_of(load: Load) -> str:
    """The load's kind; an electromagnet's is the utilisation category its size puts it in."""
    if load.kind == "electromagnet" and load.volts and load.amps:
        return electromagnet_category(load.volts, load.amps, load.supply)
    return load.kind


MAGNETS = ("AC-14", "AC-15", "DC-13")
"""The categories of electromagnets."""

PILOT_DUTY = ("AC-12", "AC-13", "AC-14", "AC-15", "DC-12", "DC-13", "inductive", "solenoid", "resistive")
"""Loads that a pilot-duty contact is rated for."""


PILOT_POWER_FACTOR = 0.35
"""Power factor of the UL pilot-duty test: source 20."""


def load_lr_ms(load: Load) -> float | None:
    """The load's L/R in ms: as stated, or for an electromagnet on DC as its category implies."""
    if load.lr_ms is not None or load.volts is None or load.amps is None:
        return load.lr_ms
    return dc_13_lr_ms(load.volts, load.amps) if kind_of(load) == "DC-13" else None


def tested_lr_ms(rating: Rating) -> float | None:
    """The L/R in ms a line was tested with: as stated, or as its category or DC designation implies."""
    if rating.lr_ms is not None:
        return rating.lr_ms
    pilot = designation(rating.load)
    magnet = rating.load == "DC-13" or (pilot is not None and pilot.supply is SupplyKind.DC)
    return dc_13_lr_ms(rating.volts, rating.amps) if magnet and rating.amps is not None else None


def tested_power_factor(rating: Rating) -> float | None:
    """The power factor a line was tested with: as stated, or as its category or AC designation implies."""
    if rating.power_factor is not None:
        return rating.power_factor
    pilot = designation(rating.load)
    if pilot is not None:
        return PILOT_POWER_FACTOR if pilot.supply is SupplyKind.AC else None
    return CATEGORIES[rating.load].power_factor if rating.load in CATEGORIES else None


def as_hard(rating: Rating, load: Load) -> bool:
    """A line tested with a shorter time constant, or a better power factor, than the load's does not speak for it."""
    if tested_as_its_kind(rating, load):
        return True
    lr_ms, tested_ms = load_lr_ms(load), tested_lr_ms(rating)
    easier_dc = tested_ms is not None and lr_ms is not None and lr_ms > tested_ms
    tested = tested_power_factor(rating)
    easier_ac = tested is not None and load.power_factor is not None and load.power_factor < tested
    return not (easier_dc or easier_ac)


def tested_as_its_kind(rating: Rating, load: Load) -> bool:
    """A load of a utilisation category that states no L/R or power factor of its own, on a line of that category, or
    an electromagnet on a pilot-duty line: its amps alone are asked."""
    kind = kind_of(load)
    if kind not in CATEGORIES or load.lr_ms is not None or load.power_factor is not None:
        return False
    return rating.load == kind or (kind in MAGNETS and designation(rating.load) is not None)


def not_hard_enough(ratings: Iterable[Rating], load: Load) -> str:
    """Why the lines for this kind of load do not speak for it: tested with an easier L/R or power factor."""
    lines = [r for r in ratings if r.load in serving(load) and reaches(r, load) and not as_hard(r, load)]
    if not lines:
        return ""
    tested, line = lines[0], f"the {lines[0].load} line was tested"
    if load.supply is SupplyKind.DC:
        return f"{line} with L/R {tested_lr_ms(tested):g} ms, the load has {load_lr_ms(load):g} ms"
    return f"{line} at power factor {tested_power_factor(tested):g}, the load has {load.power_factor:g}"


def reaches(rating: Rating, load: Load) -> bool:
    """Whether the line holds at the load's volts: at them or above."""
    return load.volts is not None and rating.volts >= load.volts


@dataclass(frozen=True, slots=True)
class PublishedAmps:
    """The amps published at the load's volts, and the line (or two lines) they come from.

    ``covers``: the line was published for this kind of load, or a harder one, so nothing is multiplied.
    ``at_volts``: the load's volts, where the amps were read from a table there and not from the line as it stands.
    """

    kind: str
    amps: float
    rating: Rating
    interpolated: bool = False
    covers: bool = False
    at_volts: float | None = None

    @property
    def source(self) -> str:
        """The published line with its conditions and its sheet, and whether it was read between two points."""
        line = f"{line_words(self.rating)}: {self.rating.source or 'no source stated'}"
        return f"{line}, log-log between two published DC points" if self.interpolated else line

    @property
    def words(self) -> str:
        volts = self.rating.volts if self.at_volts is None else self.at_volts
        return f"{self.amps:.3g} A {self.kind} at {volts:g} V {self.rating.supply.upper()}"


def line_words(rating: Rating) -> str:
    """A published line as a finding names it: part or series, contact, load, volts, amps and conditions."""
    amps = "" if rating.amps is None else f" {rating.amps:.3g} A"
    stated = (
        (rating.lr_ms, "L/R {:g} ms"),
        (rating.power_factor, "cos φ {:g}"),
        (rating.temp_c, "{:g} °C"),
        (rating.operations, "{:,.0f} operations"),
    )
    conditions = "".join(f", {form.format(value)}" for value, form in stated if value is not None)
    at = f"{rating.volts:g} V {rating.supply.upper()}"
    return f"line {rating.applies_to} {rating.contact} {rating.load}{amps} {at}{conditions}"


OVERLOAD_OPERATIONS = 1000
"""A line for fewer operations than this shows what the contact outlives, not what it works at: an overload test is 50
operations (source 20), or 10 of abnormal conditions (IEC 60947-5-1, from memory). Where the border lies: common
practice, no source."""


def usable(ratings: Iterable[Rating], function: Function) -> tuple[Rating, ...]:
    """The working ratings for this function's contact and kind of supply, whatever their load and volts."""
    return lines_of(ratings, function.contact, function.load.supply)


def lines_of(ratings: Iterable[Rating], contact: Kind, supply: SupplyKind) -> tuple[Rating, ...]:
    """The working ratings of one contact for one kind of supply."""
    return own_first([r for r in ratings if r.covers(contact) and _of_supply(r, supply) and is_working(r)])


def is_working(rating: Rating) -> bool:
    """Whether the line promises service, and not only that an overload is outlived."""
    return rating.operations is None or rating.operations >= OVERLOAD_OPERATIONS


def own_first(lines: Sequence[Rating]) -> tuple[Rating, ...]:
    """The lines of one contact, without those for both contacts that say more than the contact's own line of the same
    kind does at their volts or fewer."""
    own = [r for r in lines if r.contact != BOTH]
    return tuple(r for r in lines if r.contact != BOTH or not _says_more(r, own))


BOTH = "both"


def _says_more(both: Rating, own: Iterable[Rating]) -> bool:
    like = [r for r in own if r.load == both.load and r.volts <= both.volts]
    as_loaded = [r for r in like if (r.amps or 0.0) <= (both.amps or 0.0)]
    figures = (
        (both.amps, [r.amps for r in like]),
        (both.inrush_amps, [r.inrush_amps for r in like]),
        (both.operations, [r.operations for r in as_loaded]),
    )
    return any(
        figure is not None and figure > most for figure, theirs in figures if (most := _most(theirs)) is not None
    )


def _most(figures: Iterable[float | None]) -> float | None:
    return max((figure for figure in figures if figure is not None), default=None)


def _of_supply(rating: Rating, supply: SupplyKind) -> bool:
    """A line is for the supply it states; one whose category or designation is for the other supply is for neither."""
    named = CATEGORIES.get(rating.load) or designation(rating.load)
    return rating.supply is supply and (named is None or named.supply is supply)


def best_offer(ratings: Iterable[Rating], load: Load, hottest: float | None = None) -> PublishedAmps | None:
    """The offer for this load: a line for its kind, else for a harder kind, else a resistive one to go on from."""
    return _best_offer(tuple(ratings), load, hottest)


@lru_cache(maxsize=1024)
def _best_offer(lines: tuple[Rating, ...], load: Load, hottest: float | None) -> PublishedAmps | None:
    """Kept, because the same ratings are stated for every part of a series."""
    for kind in (*serving(load), *_designated(lines, load)):
        if offer := offer_for(lines, kind, load, hottest):
            return replace(offer, covers=True)
    # A rule of thumb is for loads harder than a resistive line was tested with; a resistive load is not.
    eased = kind_of(load) not in RESISTIVE
    offers = [offer_for(lines, kind, load, hottest, by_rule=eased) for kind in RESISTIVE]
    return max((o for o in offers if o), key=lambda o: o.amps, default=None)


def _designated(lines: tuple[Rating, ...], load: Load) -> tuple[str, ...]:
    """The designations among the lines, for the loads that a pilot-duty contact is rated for."""
    if kind_of(load) not in PILOT_DUTY:
        return ()
    return tuple(dict.fromkeys(r.load for r in lines if designation(r.load)))


def offer_for(
    ratings: Iterable[Rating], kind: str, load: Load, hottest: float | None = None, by_rule: bool = False
) -> PublishedAmps | None:
    """The most amps published for this kind of load at the load's volts or above, or None.

    ``by_rule``: a rule of thumb goes on from the line, so it need not have been tested as hard as the load. Lines that
    hold at ``hottest`` (degrees Celsius) come first where they give the load's amps.
    """
    known = (_filled(r, load) for r in ratings if r.load == kind)
    lines = _at_heat([r for r in known if r.amps is not None and (by_rule or as_hard(r, load))], hottest)
    offers = _offers(lines, kind, load)
    holding = [o for o in offers if hottest is None or _holds(o.rating, hottest)]
    enough = [o for o in holding if load.amps is None or o.amps >= load.amps]
    best = max(enough or offers, key=lambda offer: offer.amps, default=None)
    return _read_there(best, load) if best and (best.interpolated or designation(kind)) else best


def _read_there(offer: PublishedAmps, load: Load) -> PublishedAmps:
    return replace(offer, at_volts=load.volts)


def _filled(rating: Rating, load: Load) -> Rating:
    """A designation's line with the amps its table gives at the load's volts; any other line as it is."""
    written = designation(rating.load)
    if written is None or load.volts is None:
        return rating
    amps = written.break_amps(load.volts)
    if amps is None:
        return replace(rating, amps=None)
    least = min(a for a in (amps, rating.amps) if a is not None)
    lr_ms = rating.lr_ms
    if lr_ms is None and written.supply is SupplyKind.DC:  # tested as an electromagnet of that size at those volts
        lr_ms = dc_13_lr_ms(load.volts, least)
    return replace(rating, amps=least, lr_ms=lr_ms, source=_from_table(rating, written))


def _from_table(rating: Rating, written: Designation) -> str:
    differ = R300_DIFFERS if written.name == "R300" else ""
    return f"{rating.source or rating.applies_to}; {written.name} by IEC 60947-5-1, table A.1{differ}"


def _holds(rating: Rating, hottest: float) -> bool:
    return rating.temp_c is not None and rating.temp_c >= hottest


def _at_heat(lines: list[Rating], hottest: float | None) -> list[Rating]:
    """Lines taken cooler than ``hottest`` give way to a point on the line to their hotter fellow, where one is
    published; one that is no longer true there, since a line between the two states less, is left out."""
    if hottest is None:
        return lines
    true = [r for r in lines if not any(_hotter_there(h, hottest) and _denies(h, r, lines) for h in lines)]
    return [_between_temperatures(r, lines, hottest) for r in true]


def _hotter_there(rating: Rating, hottest: float) -> bool:
    return rating.temp_c is not None and rating.temp_c <= hottest


def _denies(hot: Rating, cool: Rating, lines: list[Rating]) -> bool:
    """Whether a hotter line says less for its heat: not where one no hotter than the cool line says as little."""
    as_cool = [r for r in lines if r.temp_c is not None and cool.temp_c is not None and r.temp_c <= cool.temp_c]
    by_itself = any(_says_less(r, cool) and known(r.amps) <= known(hot.amps) for r in as_cool)
    return says_less_hotter(hot, cool) and not by_itself


def says_less_hotter(hot: Rating, cool: Rating) -> bool:
    """Whether a hotter line of the same kind states fewer amps though it was tested no harder; a line that states no
    temperature is taken as the coolest."""
    hotter = hot.temp_c is not None and (cool.temp_c is None or hot.temp_c > cool.temp_c)
    return hotter and _says_less(hot, cool)


def may_say_less_hotter(hot: Rating, cool: Rating) -> bool:
    """Whether the line states less and is hotter, or may be: it states no temperature, and no more operations to
    explain its fewer amps."""
    unexplained = (hot.operations or 0.0) <= (cool.operations or 0.0)
    return says_less_hotter(hot, cool) or (hot.temp_c is None and unexplained and _says_less(hot, cool))


def _says_less(hot: Rating, cool: Rating) -> bool:
    if hot.amps is None or cool.amps is None:
        return False
    easier = hot.volts <= cool.volts and (hot.lr_ms or 0.0) <= (cool.lr_ms or 0.0)
    # no power factor is above 1, so no test can tell a higher figure for the hot line's `1.0`
    return easier and (hot.power_factor or 1.0) >= (cool.power_factor or 1.0) and hot.amps < cool.amps


def _between_temperatures(rating: Rating, lines: list[Rating], hottest: float) -> Rating:
    cool = rating.temp_c
    if cool is None or cool >= hottest:
        return rating
    fellows = [r for r in lines if _holds(r, hottest) and _like(r) == _like(rating)]
    hot = min(fellows, key=lambda r: known(r.temp_c), default=None)
    if hot is None or hot.temp_c is None:
        return rating
    share = (hottest - cool) / (hot.temp_c - cool)
    cold_amps, hot_amps = known(rating.amps), known(hot.amps)
    amps = cold_amps + share * (hot_amps - cold_amps)
    source = f"{rating.source}, between {cool:g} and {hot.temp_c:g} °C"
    return replace(rating, amps=min(amps, max(cold_amps, hot_amps)), temp_c=hottest, source=source)


def _like(rating: Rating) -> tuple[object, ...]:
    """What two lines of one contact share that differ only in temperature, amps and life."""
    return rating.volts, rating.lr_ms, rating.power_factor


def _offers(lines: list[Rating], kind: str, load: Load) -> list[PublishedAmps]:
    at_least = [r for r in lines if load.volts is not None and r.volts >= load.volts]
    direct = [PublishedAmps(kind, known(r.amps), r) for r in at_least]
    return direct + (_between(lines, at_least, kind, load) if load.supply is SupplyKind.DC else [])


def _between(lines: list[Rating], at_least: list[Rating], kind: str, load: Load) -> list[PublishedAmps]:
    """One read between the nearest published volts below and above; the lower of the amps where a point repeats."""
    below = [r for r in lines if load.volts is not None and r.volts < load.volts]
    if not below or not at_least or not load.volts:
        return []
    low_volts, high_volts = max(r.volts for r in below), min(r.volts for r in at_least)
    low = min((r for r in below if r.volts == low_volts), key=lambda r: known(r.amps))
    high = min((r for r in at_least if r.volts == high_volts), key=lambda r: known(r.amps))
    amps = amps_between((low.volts, known(low.amps)), (high.volts, known(high.amps)), load.volts)
    return [PublishedAmps(kind, amps, high, interpolated=True)] if amps else []


def amps_between(low: tuple[float, float], high: tuple[float, float], volts: float) -> float:
    """Amps at ``volts`` on the log-log line through two (volts, amps) points; 0 where a point is not positive.

    >>> round(amps_between((30, 5.0), (60, 1.0), 45), 2)
    1.95
    """
    if min(*low, *high, volts) <= 0 or low[0] == high[0]:
        return 0.0
    share = (log(volts) - log(low[0])) / (log(high[0]) - log(low[0]))
    return exp(log(low[1]) + share * (log(high[1]) - log(low[1])))


def making_amps(ratings: Iterable[Rating], load: Load) -> float:
    """The most this contact is published to make at the load's volts, at every start.

    What is printed of the load's own start comes first, even where a resistive line is higher; only without it do the
    plain amps of the lines count.
    """
    kinds, pilot = (*serving(load), *RESISTIVE), kind_of(load) in PILOT_DUTY
    lines = [r for r in ratings if reaches(r, load) and (r.load in kinds or (pilot and designation(r.load)))]
    own = [r for r in lines if r.load not in RESISTIVE and states_start(r)]
    return max((_makes(r, load) for r in own or lines), default=0.0)


def states_start(rating: Rating) -> bool:
    """Whether a line prints what it makes beyond its amps: its inrush, or a multiple by its category or designation."""
    category = CATEGORIES.get(rating.load)
    by_name = designation(rating.load) is not None or (category is not None and category.start_times > 1)
    return by_name or rating.inrush_amps is not None


def _makes(rating: Rating, load: Load) -> float:
    """What one line lets the contact make: its inrush, its category's multiple of its amps, or its designation's."""
    pilot = designation(rating.load)
    if pilot is not None:
        return pilot.make_amps(known(load.volts)) or 0.0
    times = CATEGORIES[rating.load].start_times if rating.load in CATEGORIES else 1.0
    return max(times * (rating.amps or 0.0), rating.inrush_amps or 0.0)


def carry_lines(ratings: Iterable[Rating], load: Load) -> tuple[Rating, ...]:
    """The lines that state a current the closed contact carries for a time; its own, where it has any."""
    stated = tuple(r for r in ratings if reaches(r, load) and r.carry_amps is not None)
    return tuple(r for r in stated if r.contact != BOTH) or stated


@lru_cache(maxsize=1024)
def carried_for_good(lines: tuple[Rating, ...], load: Load, hottest: float | None, amps: float) -> PublishedAmps | None:
    """The best line for a contact that is closed and carries ``amps``: of whatever kind of load, since a contact
    carries what it is published to switch."""
    carrying = replace(load, amps=amps)
    offers = (offer_for(lines, kind, carrying, hottest, by_rule=True) for kind in dict.fromkeys(r.load for r in lines))

    def serves(offer: PublishedAmps) -> tuple[bool, bool, float]:
        read = hottest is None or _holds(offer.rating, hottest)
        return amps <= offer.amps * (1.0 if read else COOL_SHARE), read, offer.amps

    return max((o for o in offers if o), key=serves, default=None)


COOL_SHARE = 0.5
"""Share of a contact rating below which its test temperature is not asked: contact stress ratio 0.50 of
source 32; that this serves for the heat too is common practice, no source."""
