"""Under which conditions a rating holds: the heat around the relay, and the time constant or power factor of the load.

A rating holds at the temperature it was taken at, and an inductive one up to the time constant, or down to the power
factor, it was tested with; the relay itself has ambient limits.
"""

from __future__ import annotations

from bom.boards.board import Board, Function, Load
from bom.duty.contact.load_kinds import kind_of
from bom.duty.contact.published import PublishedAmps
from bom.duty.contact.tested import load_lr_ms, tested_as_its_kind, tested_lr_ms, tested_power_factor
from bom.duty.figures.categories import CATEGORIES
from bom.duty.figures.sources import DERATING_PAGE
from bom.duty.margins import known, room, unknown
from bom.relays.relay import Relay, SupplyKind
from bom.values.finding import Finding, Outcome

COOL_SHARE = 0.5
"""Share of a contact rating below which its test temperature is not asked: contact stress ratio 0.50 of
source 32; that this serves for the heat too is common practice, no source."""
COOL_SOURCE = f"contact stress ratio 0.50: {DERATING_PAGE.cited}; at any heat: common practice, no source"

INDUCTIVE = ("inductive", "solenoid")


def hottest_of(load: Load, board: Board) -> float | None:
    """The hottest the contact gets, °C: as stated for the load, else the board's ambient."""
    return load.temp_c if load.temp_c is not None else board.ambient_max_c


def rating_temperature(function: Function, offer: PublishedAmps, board: Board) -> Finding:
    """A rating holds at the temperature it was taken at; hotter, the contact may carry less by the maker's curve."""
    check, amps = f"rating temperature, {function.name}", known(function.load.amps)
    stated, hottest = offer.rating.temp_c, hottest_of(function.load, board)
    if hottest is not None and stated is not None and hottest <= stated:
        return Finding(
            check, Outcome.PASS, "the rating holds there", f"{hottest:g} °C", f"{stated:g} °C", source=offer.source
        )
    if 0 < amps <= COOL_SHARE * offer.amps:
        why = f"{amps:.3g} A is half or less of {offer.amps:.3g} A, so the rating's temperature is not asked"
        limit = COOL_SHARE * offer.amps
        return Finding(check, Outcome.PASS, why, f"{amps:.3g} A", f"{limit:.3g} A", room(amps, limit), COOL_SOURCE)
    if stated is None or hottest is None:
        return unknown(check, {"temperature of the rating": stated, "highest ambient": hottest})
    why = f"rated at {stated:g} °C and it gets {hottest:g} °C: hold {amps:.3g} A against the maker's curve"
    return Finding(check, Outcome.CONDITION, why, f"{hottest:g} °C", f"{stated:g} °C", source=offer.source)


def ambient_findings(relay: Relay, board: Board) -> tuple[Finding, ...]:
    """The board's ambient against the relay's, hottest and coldest."""
    return (
        _ambient("hottest ambient", board.ambient_max_c, relay.temp_max_c, relay.source),
        _ambient("coldest ambient", board.ambient_min_c, relay.temp_min_c, relay.source, colder=True),
    )


def _ambient(check: str, need: float | None, limit: float | None, source: str, colder: bool = False) -> Finding:
    if need is None or limit is None:
        return unknown(check, {f"the board's {check}": need, f"the relay's {check}": limit})
    within = limit <= need if colder else limit >= need
    why = f"the board gets {need:g} °C and the relay is for {limit:g} °C"
    return Finding(check, Outcome.PASS if within else Outcome.FAIL, why, f"{need:g} °C", f"{limit:g} °C", source=source)


def time_constant(function: Function, offer: PublishedAmps) -> tuple[Finding, ...]:
    """The load's L/R (DC) or power factor (AC) against that of the line used; asked of inductive loads alone.

    An electromagnet of a utilisation category brings its own, and a resistive line is left to the rule of thumb.
    """
    load, check = function.load, f"inductance, {function.name}"
    if not offer.covers or not (kind_of(load) in INDUCTIVE or _is_category(load)):
        return ()
    if tested_as_its_kind(offer.rating, load):
        why = f"the line was tested as {offer.rating.load}, which is for what the load is"
        return (Finding(check, Outcome.PASS, why, kind_of(load), offer.rating.load, source=offer.source),)
    return (_against(check, load, offer),)


def _is_category(load: Load) -> bool:
    return kind_of(load) in CATEGORIES


def _against(check: str, load: Load, offer: PublishedAmps) -> Finding:
    """The line was chosen because it is tested at least as hard, so here it passes or a figure is missing."""
    ac = load.supply is SupplyKind.AC
    name, unit = ("power factor", "") if ac else ("L/R", " ms")
    theirs = load.power_factor if ac else load_lr_ms(load)
    tested = tested_power_factor(offer.rating) if ac else tested_lr_ms(offer.rating)
    if theirs is None or tested is None:
        return unknown(check, {f"the load's {name}{unit}": theirs, f"the rating's {name}{unit}": tested})
    why = f"the load's {name} is {theirs:g}{unit} and the line was tested with {tested:g}{unit}"
    return Finding(check, Outcome.PASS, why, f"{theirs:g}{unit}", f"{tested:g}{unit}", source=offer.source)
