"""Sides: both drawings seen from the component side, or both readings where nobody knows one of the sides."""

from __future__ import annotations

from dataclasses import replace

from bom.boards.board import HolePattern
from bom.fit.answer import SEVERITY, FitAnswer, Question
from bom.fit.registration import mirrored
from bom.fit.trying import Case
from bom.relays.footprint import Footprint, View
from bom.values.finding import Finding, Outcome, worst_first

SIDE = "side of the drawing"


def from_a_known_side(footprint: Footprint, pattern: HolePattern, question: Question) -> FitAnswer:
    """The answer seen from the component side, or what both readings come to."""
    if View.UNKNOWN in (footprint.view, pattern.view):
        return _from_either_side(footprint, pattern, question)
    return Case(footprint.from_component_side(), pattern.from_component_side(), question).answer()


def _from_either_side(footprint: Footprint, pattern: HolePattern, question: Question) -> FitAnswer:
    """Never a pass: a fail if neither reading will do, else unknown, telling what each would give."""
    pins = replace(footprint, view=_known(footprint.view)).from_component_side()
    holes = replace(pattern, view=_known(pattern.view)).from_component_side()
    plain = Case(pins, holes, question).answer()
    turned = Case(replace(pins, pins=mirrored(pins.pins)), holes, question).answer()
    neither = plain.outcome is Outcome.FAIL and turned.outcome is Outcome.FAIL
    better = max((plain, turned), key=lambda a: SEVERITY.index(a.outcome))
    side = Finding(SIDE, Outcome.FAIL if neither else Outcome.UNKNOWN, _words(footprint, plain, turned))
    return replace(better, outcome=side.outcome, why=side.why, findings=worst_first((side, *better.findings)))


def _known(view: View) -> View:
    return View.COMPONENT if view is View.UNKNOWN else view


def _words(footprint: Footprint, plain: FitAnswer, turned: FitAnswer) -> str:
    drawing = "pins" if footprint.view is View.UNKNOWN else "holes"
    return (
        f"look up from which side the {drawing} were drawn; from the component side: {_reading(plain)}; "
        f"from the solder side: {_reading(turned)}"
    )


def _reading(answer: FitAnswer) -> str:
    return f"{answer.outcome.value} ({answer.why})"
