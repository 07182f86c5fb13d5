"""One pin drawing in one hole pattern, from loose files, without a database."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.replacing import FitFound
from bom.boards.board import HolePattern
from bom.duty.cautions import cautions_for, one_line
from bom.fit.check import fit
from bom.fit.hole_clearance import LEVELS, Stacking, tolerance_of
from bom.intake.drawings import read_loose
from bom.paper.terminal.matches import PINS_ONLY
from bom.paper.writing import write_text
from bom.relays.footprint import Footprint
from bom.relays.wiring import Wiring
from bom.shop.readings import how_read
from bom.values.finding import Outcome
from bom.values.problem import Refused
from bom.values.reading import AS_THEY_ARE, HowAsked

if TYPE_CHECKING:
    from bom.fit.answer import FitAnswer
    from bom.fit.hole_clearance import Tolerance

_NETS = {Outcome.PASS: "proved", Outcome.FAIL: "differ", Outcome.CONDITION: "proved", Outcome.UNKNOWN: "unknown"}


@dataclass(frozen=True, slots=True)
class DrawingFiles:
    """The files that a fit is asked of; ``candidate`` and ``original`` name wirings in ``wirings``, ``pattern``
    one of several hole patterns."""

    pins: Path
    holes: Path
    wirings: Path | None = None
    candidate: str | None = None
    original: str | None = None
    pattern: str | None = None
    leave_out: tuple[str, ...] = ()
    asked: HowAsked = AS_THEY_ARE


@dataclass(frozen=True, slots=True)
class Tightness:
    """How tight it may be: a level of ``bom.fit.hole_clearance``, how tolerances add, how far a leg may be bent."""

    clearance: str | None = None
    tolerance: str | None = None
    dressing_mm: float = 0.0


def fit_files(drawings: DrawingFiles, svg: Path | None = None, asked: Tightness | None = None) -> FitFound:
    """The fit with every finding, what came of the nets, and where it is drawn."""

    asked = asked or Tightness()
    footprint, pattern, candidate, original = _read(drawings)
    answer = fit(
        footprint,
        pattern,
        wiring=candidate,
        expected=original,
        level=_level(asked.clearance),
        tolerance=_tolerance(asked.tolerance),
        dressing_mm=asked.dressing_mm,
    )
    if svg is not None:
        _draw(svg, footprint, pattern, answer, candidate, original)
    return FitFound(
        outcome=answer.outcome,
        play_mm=answer.play_mm,
        rotation_deg=answer.rotation_deg,
        shift_mm=answer.shift_mm,
        assignment=answer.assignment,
        mirrored_fits=answer.mirrored_fits,
        why=answer.why,
        findings=answer.findings,
        nets=_nets(answer),
        drawing=None if svg is None else str(svg),
        cautions=cautions_for(None),
    )


def _nets(answer: FitAnswer) -> str:
    """Whether the nets were proved, and what came of it."""
    found = [f.outcome for f in answer.findings if f.check == "connects alike"]
    if found:
        return _NETS[found[0]]
    failed = any(f.outcome is Outcome.FAIL and f.check == "goes in" for f in answer.findings)
    return "not reached" if failed else "not asked"


def _read(drawings: DrawingFiles) -> tuple[Footprint, HolePattern, Wiring | None, Wiring | None]:
    """Both drawings and the wirings named."""

    found = read_loose(
        drawings.pins,
        drawings.holes,
        drawings.wirings,
        drawings.pattern,
        drawings.leave_out,
        how_read(None, drawings.asked),
    )
    candidate = _named(found.wirings, drawings.candidate, "--candidate", drawings.wirings)
    return found.pins, found.holes, candidate, _named(found.wirings, drawings.original, "--original", drawings.wirings)


def _level(asked: str | None) -> str:

    level = (asked or "").strip().upper()
    if level and level not in LEVELS:
        raise Refused(f"expected --clearance {', '.join(LEVELS)}, found {asked}")
    return level


def _tolerance(asked: str | None) -> Tolerance | None:

    if asked is None:
        return None
    words = {s.value.replace("-", " "): s for s in Stacking}
    if (stacking := words.get(asked.strip().casefold().replace("-", " "))) is None:
        raise Refused(f"expected --tolerance {' or '.join(repr(s.value) for s in Stacking)}, found {asked}")
    return tolerance_of(stacking.value)


def _named(known: dict[str, Wiring], name: str | None, option: str, wirings: Path | None) -> Wiring | None:
    if wirings is None:
        if name:
            raise Refused(f"{option} {name} names a wiring: add --wirings FILE")
        return None
    if not name:
        raise Refused(f"with --wirings, {option} must name one of {', '.join(sorted(known))}")
    if name not in known:
        raise Refused(f"no wiring {name} in {wirings}; there are {', '.join(sorted(known))}")
    return known[name]


def _draw(
    svg: Path,
    footprint: Footprint,
    pattern: HolePattern,
    answer: FitAnswer,
    candidate: Wiring | None,
    original: Wiring | None,
) -> None:
    from bom.paper.pictures.fit_drawing import fit_drawing

    position = answer.assignment, answer.rotation_deg or 0.0, answer.shift_mm or (0.0, 0.0)
    title = f"{footprint.name or 'pins'} in {pattern.name or 'holes'}: {answer.outcome}"
    care = (PINS_ONLY, one_line(cautions_for(None)))
    drawn = fit_drawing(
        footprint, pattern, *position, title, answer.why, wiring=candidate, expected=original, care=care
    )
    write_text(svg, drawn)
