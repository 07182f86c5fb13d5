"""An inductive rating speaks for loads up to the time constant, or down to the power factor, it was tested with."""

from __future__ import annotations

from bom.boards.board import Function, Load
from bom.duty.contact.load_kinds import kind_of
from bom.duty.contact.published import Offer
from bom.duty.contact.tested import load_lr_ms, tested_as_its_kind, tested_lr_ms, tested_power_factor
from bom.duty.figures.categories import CATEGORIES
from bom.duty.judging import unknown
from bom.relays.relay import SupplyKind
from bom.values.finding import Finding, Outcome

INDUCTIVE = ("inductive", "solenoid")


def time_constant(function: Function, offer: Offer) -> tuple[Finding, ...]:
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


def _against(check: str, load: Load, offer: Offer) -> Finding:
    """The line was chosen because it is tested at least as hard, so here it passes or a figure is missing."""
    ac = load.supply is SupplyKind.AC
    name, unit = ("power factor", "") if ac else ("L/R", " ms")
    theirs = load.power_factor if ac else load_lr_ms(load)
    tested = tested_power_factor(offer.rating) if ac else tested_lr_ms(offer.rating)
    if theirs is None or tested is None:
        return unknown(check, {f"the load's {name}{unit}": theirs, f"the rating's {name}{unit}": tested})
    why = f"the load's {name} is {theirs:g}{unit} and the line was tested with {tested:g}{unit}"
    return Finding(check, Outcome.PASS, why, f"{theirs:g}{unit}", f"{tested:g}{unit}", source=offer.source)
