"""Knows how a measured pattern looks in a terminal: how well it is known or what to measure, then each place."""

from __future__ import annotations

from bom.answers.measured import PatternMeasured, SpanChecked, SpanToMeasure
from bom.paper.for_the_eye import SIGNS
from bom.paper.terminal.tables import simple_table
from bom.values.finding import Outcome

_MOST_SPANS = 6  # that are off most, and are shown
_PRINT = "Print the drawing at 1:1 and lay it on the board before anything rests on it."


def measured_table(answer: PatternMeasured) -> str:
    """What to do or how well it is known, the places, and the readings that are off most."""
    if not answer.found:
        return f"{SIGNS[Outcome.UNKNOWN]} {answer.name}: {answer.why}\n"
    sign = SIGNS[Outcome.CONDITION if answer.left_out or not answer.spare else Outcome.PASS]
    lines = [
        f"{sign} {answer.name}: {answer.why}",
        *map(_left_out, answer.left_out),
        *map(_sharper, answer.measure_next),
    ]
    lines += [_unchecked(answer)] if answer.unchecked else []
    files = [f"written: {answer.written}"] if answer.written else []
    files += [f"drawn at true size: {answer.drawing}"] if answer.drawing else []
    tables = [_places(answer), _readings(answer)] if answer.spans else [_places(answer)]
    return "\n".join([*lines, "", *tables, *files, _PRINT])


def _left_out(span: SpanChecked) -> str:
    more = "more" if span.off_mm > 0 else "less"
    return f"! {span.name} reads {abs(span.off_mm):.2f} mm {more} than the rest gives, and was left out: read it again"


def _unchecked(answer: PatternMeasured) -> str:
    names = [s.name for s in answer.unchecked]
    said = ", ".join(names[:_MOST_NAMED]) + (
        f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    )
    said = "any of the readings" if len(names) == len(answer.spans) else said
    return f"! a mistake of half a millimetre in {said} would not show: read twice, or measure more"


_MOST_NAMED = 4


def _sharper(span: SpanToMeasure) -> str:
    return f"{span.name}, measured besides, would leave \N{PLUS-MINUS SIGN}{span.leaves_mm or 0.0:.2f} mm"


def _places(answer: PatternMeasured) -> str:
    across = any(p.across_mm is not None for p in answer.places)
    size = "drill mm" if answer.of == "holes" else "lead mm"
    headings = [answer.of[:-1], "x mm", "y mm", "\N{PLUS-MINUS SIGN} mm", *([size] if across else [])]
    rows = [
        [p.name, f"{p.x_mm:.2f}", f"{p.y_mm:.2f}", f"{p.error_mm:.2f}", *([_size(p.across_mm)] if across else [])]
        for p in answer.places
    ]
    sure = f"{100 * answer.confidence:.0f} % sure that all lie within their \N{PLUS-MINUS SIGN}"
    title = f"Seen from the {answer.view} side, x to the right, y down; {sure}"
    return simple_table(title, headings, rows)


def _size(mm: float | None) -> str:
    return "" if mm is None else f"{mm:g}"


def _readings(answer: PatternMeasured) -> str:
    worst = sorted(answer.spans, key=lambda s: (-s.left_out, -abs(s.off_mm)))[:_MOST_SPANS]
    rows = [(s.name, s.jaws, f"{s.read_mm:.2f}", f"{s.pattern_mm:.2f}", _off(s)) for s in worst]
    which = "readings" if len(worst) == len(answer.spans) else f"readings of {len(answer.spans)} that are off most"
    return simple_table(f"The {len(worst)} {which}" if len(worst) > 1 else "The reading", _SPAN, rows)


_SPAN = ("span", "jaws", "read mm", "pattern mm", "off mm")


def _off(span: SpanChecked) -> str:
    return f"{round(span.off_mm, 2) + 0.0:+.2f}{' left out' if span.left_out else ''}"
