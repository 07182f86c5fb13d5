"""A pattern measured with callipers or on a picture, from its file to holes or pins that a fit can be asked of."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from bom.answers.measured import PatternMeasured, PlaceMeasured, SpanChecked, SpanToMeasure
from bom.boards.board import Hole, HolePattern
from bom.intake.measured_file import MeasuredFile, read_measured
from bom.intake.measured_spans import Of, Size
from bom.measure.answer import Checked, Lacks, Next, Open, Pattern
from bom.measure.least_squares import CONFIDENCE
from bom.measure.pattern import find_pattern
from bom.measure.picture import Pictured, Taken, find_in_picture
from bom.paper.csv_out import drawn_pins, holes_text
from bom.paper.pictures.measured_pattern import measured_drawing
from bom.paper.writing import write_text
from bom.relays.footprint import Footprint, Pin
from bom.values.problem import Refused

_DIGITS = 3  # of a millimetre that are written: far finer than anyone measures
_UNSIZED = Size(0.0)


def measure(file: Path, out: Path | None = None, svg: Path | None = None) -> PatternMeasured:
    """The pattern in this file; where it is known it is written as holes or pins, and drawn, if that is asked."""
    told = read_measured(file)
    found = find_in_picture(told.readings) if isinstance(told.readings, Pictured) else find_pattern(told.readings)
    if isinstance(found, Open):
        return _open(told, found)
    answer = _known(told, found, out, svg)
    if out is not None:
        text = _as_csv(told, answer)
        _spare_what_was_typed(out, text)
        write_text(out, text)
    if svg is not None:
        write_text(svg, measured_drawing(answer))
    return answer


def _spare_what_was_typed(out: Path, text: str) -> None:
    """Refuses to write over what somebody added to an earlier file, as the nets, or over a file of another kind."""
    if not out.exists():
        return
    new = {tuple(row.values())[:2]: row for row in csv.DictReader(io.StringIO(text))}
    columns = next(iter(new.values())).keys()
    old = csv.DictReader(io.StringIO(out.read_text(encoding="utf-8-sig", errors="replace")))
    if not old.fieldnames or list(old.fieldnames)[:2] != list(columns)[:2]:
        raise Refused(f"nothing is written over: {out} is there already, and is another kind of file")
    for row in old:
        name = tuple(str(cell) for cell in row.values())[:2]
        if name not in new:
            raise Refused(f"nothing is written over: {out} has {' '.join(name)} besides; --out writes another file")
        typed = [c for c, cell in row.items() if cell and not new[name].get(c)]
        if typed:
            instead = "state nets in the measured file, or write another" if "net" in typed else "write another"
            raise Refused(f"nothing is written over: {out} has {' '.join(map(str, typed))} at {name[1]}; {instead}")


def _known(told: MeasuredFile, found: Pattern, out: Path | None, svg: Path | None) -> PatternMeasured:
    return PatternMeasured(
        told.name,
        told.of.value,
        told.view.value,
        True,
        _how_well(told, found),
        round(found.widest_mm, _DIGITS),
        CONFIDENCE,
        found.spare,
        tuple(
            PlaceMeasured(
                s.name,
                round(s.x_mm, _DIGITS) + 0.0,
                round(s.y_mm, _DIGITS) + 0.0,
                round(s.error_mm, _DIGITS),
                told.sizes.get(s.name, _UNSIZED).mm or None,
            )
            for s in found.spots
        ),
        tuple(_checked(reading, found) for reading in found.readings),
        (_next(found.better),) if found.better else (),
        None,
        None if out is None else str(out),
        None if svg is None else str(svg),
    )


def _open(told: MeasuredFile, found: Open) -> PatternMeasured:
    return PatternMeasured(
        told.name,
        told.of.value,
        told.view.value,
        False,
        _what_it_lacks(told, found),
        None if found.widest_mm is None else round(found.widest_mm, _DIGITS),
        CONFIDENCE,
        None,
        (),
        (),
        tuple(map(_next, found.measure)),
        None if found.turn is None else found.turn.words,
        None,
        None,
    )


def _checked(reading: Checked, found: Pattern) -> SpanChecked:
    span = reading.span
    fitted, off = round(reading.fitted_mm, _DIGITS), round(reading.off_mm, _DIGITS) + 0.0
    own = span.a, span.b, span.jaws.value, round(span.mm, _DIGITS)
    return SpanChecked(*own, fitted, off, reading.mistake, span not in found.unchecked)


def _next(span: Next) -> SpanToMeasure:
    leaves = None if span.widest_mm is None else round(span.widest_mm, _DIGITS)
    return SpanToMeasure(span.a, span.b, span.either, leaves, span.again)


def _how_well(told: MeasuredFile, found: Pattern) -> str:
    spare = (
        "no reading to spare, so that nothing checks them" if not found.spare else f"{found.spare} readings to spare"
    )
    if found.spare == 1:
        spare = "1 reading to spare"
    return f"{len(found.spots)} {told.of} known to \N{PLUS-MINUS SIGN}{found.widest_mm:.2f} mm or better, {spare}"


def _what_it_lacks(told: MeasuredFile, found: Open) -> str:
    """What to do first, then why."""
    of, measure = told.of.value, _listed(found.measure)
    match found.lacks:
        case Lacks.SPANS:
            loose = f"; {', '.join(found.loose)} can still move against the rest" if found.loose else ""
            first = f"measure {measure}" if measure else "state in_line, or measure from one that lies off the line"
            return f"{first}: at least {_more(found.at_least)} needed{loose}"
        case Lacks.PERSPECTIVE:
            return f"measure {measure or 'more spans in other directions'}: {_perspective(told, found.at_least)}"
        case Lacks.WEAK:
            least = "" if found.widest_mm is None else f" only to \N{PLUS-MINUS SIGN}{found.widest_mm:.1f} mm"
            line = "" if isinstance(told.readings, Pictured) else "; state in_line where they lie on a straight line"
            known = f"{', '.join(found.loose)} would be known{least}"
            return f"measure {measure or 'again, more closely'}: {known}{line}"
        case Lacks.SHAPES:
            say = f', or state a turn, as in "{found.turn.words}" or anticlockwise' if found.turn else ""
            first = measure or "again, more closely"
            return f"measure {first}{say}: {found.at_least} different patterns agree with these spans"
        case Lacks.AGREEMENT:
            marks = (
                f", and look at the marks of {', '.join(found.loose)}" if isinstance(told.readings, Pictured) else ""
            )
            return f"read again {measure}{marks}: the spans contradict each other, and nothing tells which is wrong"
        case Lacks.TURN:
            turn = found.turn.words if found.turn else "a b c clockwise"
            return (
                f'state turn = "{turn}", or anticlockwise, as seen from the {told.view} side: both agree with the spans'
            )
        case Lacks.OTHER_TURN:
            return (
                f"look again which way round {', '.join(found.loose)} go: no pattern of these {of} goes round as stated"
            )


def _more(spans: int) -> str:
    return f"{spans} more spans are" if spans > 1 else "1 more span is"


def _perspective(told: MeasuredFile, lacking: int) -> str:
    taken = told.readings.taken if isinstance(told.readings, Pictured) else Taken.PHOTO
    needs = {
        Taken.SCAN: "a scan takes one span for its scale",
        Taken.STRETCHED: "a stretched scan takes three spans in different directions",
        Taken.PHOTO: "a photo takes five spans in different directions, three with lens_mm, or a card of known sides",
    }[taken]
    return f"at least {_more(lacking)} needed, as {needs}"


def _listed(spans: tuple[Next, ...]) -> str:
    return ", ".join(f"{s.a}-{s.b}{_either(s)}{_leaves(s)}" for s in spans)


def _either(span: Next) -> str:
    return f" ({' or '.join(f'{mm:.1f}' for mm in span.either[:3])} mm)" if span.either else ""


def _leaves(span: Next) -> str:
    return "" if span.widest_mm is None else f" (leaves \N{PLUS-MINUS SIGN}{span.widest_mm:.2f} mm)"


def _as_csv(told: MeasuredFile, answer: PatternMeasured) -> str:
    """As a board's holes file, or as footprints.csv, with each error."""
    if told.of is Of.HOLES:
        holes = (
            Hole(p.name, p.x_mm, p.y_mm, p.across_mm, told.nets.get(p.name, ""), error_mm=p.error_mm)
            for p in answer.places
        )
        return holes_text([HolePattern(told.name, tuple(holes), told.view)])
    pins = (
        Pin(p.name, p.x_mm, p.y_mm, p.across_mm, told.sizes.get(p.name, _UNSIZED).width_mm, error_mm=p.error_mm)
        for p in answer.places
    )
    return drawn_pins(Footprint(told.name, tuple(pins), told.view))
