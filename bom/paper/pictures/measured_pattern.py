"""Knows how a measured pattern is drawn: at true size to be laid on the board, and larger with its spans and errors.

The checking bar is 50 mm: printed at 100 % it measures that. Enlarged, a dashed circle round each place shows its
error five times as large as the pattern shows it; a reading that was left out is a broken line with a cross.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bom.answers.measured import PatternMeasured, PlaceMeasured, SpanChecked
from bom.paper.svg import circle, drawing, moved, path, text

BAR_MM = 50.0
PAPER_MM = 180.0  # what is drawn side by side at most: A4 is 210 mm wide (ISO 216), less usual margins
ERROR_TIMES = 5.0
_ENLARGED = 4.0
_MARGIN, _ROOM, _HEAD = 6.0, 4.0, 12.0
_UNSIZED_MM = 0.8
_LETTER = 1.5
_STYLE = (
    "svg.measured text{font:2.4px sans-serif;fill:#000}svg.measured .big{font-size:3.2px;font-weight:bold}"
    "svg.measured .small{font-size:1.9px}svg.measured .tiny{font-size:1.3px}"
    "svg.measured .said{paint-order:stroke;stroke:#fff;stroke-width:.8px}"
    "svg.measured .hole{fill:none;stroke:#000;stroke-width:.15}svg.measured .unsized{stroke-dasharray:.4 .3}"
    "svg.measured .middle{stroke:#000;stroke-width:.1}svg.measured .span{stroke:#888;stroke-width:.12}"
    "svg.measured .error{fill:none;stroke:#0072b2;stroke-width:.2;stroke-dasharray:.8 .5}"
    "svg.measured .wrong{stroke:#d55e00;stroke-width:.35;stroke-dasharray:1.6 1}"
    "svg.measured .cross{stroke:#d55e00;stroke-width:.5}svg.measured .bar{stroke:#000;stroke-width:.25;fill:none}"
)


@dataclass(frozen=True, slots=True)
class _Frame:
    """The part of the plane that is shown, and how many times its true size; mirrored where ``sign`` is -1."""

    left: float
    top: float
    width: float
    height: float
    times: float = 1.0
    sign: int = 1

    @classmethod
    def round(cls, answer: PatternMeasured) -> _Frame:
        xs, ys = [p.x_mm for p in answer.places], [p.y_mm for p in answer.places]
        left, top = min(xs) - _ROOM, min(ys) - _ROOM
        return cls(left, top, max(xs) + _ROOM - left, max(ys) + _ROOM - top)

    def at(self, place: PlaceMeasured) -> tuple[float, float]:
        across = place.x_mm - self.left if self.sign > 0 else self.left + self.width - place.x_mm
        return self.times * across, self.times * (place.y_mm - self.top)


def measured_drawing(answer: PatternMeasured) -> str:
    """An SVG of a pattern that was found; ``ValueError`` where none was."""
    if not answer.places:
        raise ValueError("no pattern to draw")
    frame = _Frame.round(answer)
    other = "solder" if answer.view == "component" else "component"
    below = _MARGIN + frame.width + _MARGIN + frame.width > PAPER_MM
    second = (0.0, frame.height + 4.0) if below else (max(frame.width, 38.0) + _MARGIN, 0.0)
    times = min(_ENLARGED, (PAPER_MM - 2 * _MARGIN) / frame.width)
    large = _Frame(frame.left, frame.top, frame.width, frame.height, times)
    mirrored = _Frame(frame.left, frame.top, frame.width, frame.height, 1.0, -1)
    top = _HEAD + 3.0
    bar = top + frame.height + second[1] + 4.0
    enlarged = bar + 9.0
    parts = (
        text(_MARGIN, 6.0, f"{answer.name}: {answer.of} measured", "big"),
        text(_MARGIN, 10.0, answer.why),
        moved(_MARGIN, top, _true_size(answer, frame, f"{answer.view} side, true size")),
        moved(
            _MARGIN + second[0], top + second[1], _true_size(answer, mirrored, f"{other} side (mirrored), true size")
        ),
        path(f"M{_MARGIN} {bar}h{BAR_MM}m0 -1v2m-{BAR_MM} -2v2", "bar"),
        text(_MARGIN + BAR_MM + 2, bar + 0.8, f"{BAR_MM:g} mm: print at 100 %, measure this, then lay it on"),
        moved(_MARGIN, enlarged, _enlarged(answer, large)),
        text(_MARGIN, enlarged + times * frame.height + 5.0, _legend(answer), "small"),
    )
    words = max(len(answer.why), 70) * _LETTER * 0.85
    wide = max(second[0] + frame.width, times * frame.width, BAR_MM + 75.0, min(words, PAPER_MM)) + 2 * _MARGIN
    size = (wide, enlarged + times * frame.height + 9.0)
    return drawing(f"{answer.name} as measured", size, _STYLE, parts, unit="mm", kind="measured")


def _true_size(answer: PatternMeasured, frame: _Frame, title: str) -> Iterator[str]:
    yield text(0, -0.5, title)
    for place in answer.places:
        yield from _place(place, frame)


def _place(place: PlaceMeasured, frame: _Frame) -> Iterator[str]:
    """The hole or lead with a cross in its middle, and its name."""
    (x, y), radius = frame.at(place), frame.times * (place.across_mm or _UNSIZED_MM) / 2
    yield circle(x, y, radius, "hole" if place.across_mm else "hole unsized")
    yield path(f"M{x - 0.6:.3f} {y:.3f}h1.2M{x:.3f} {y - 0.6:.3f}v1.2", "middle")
    yield text(x + radius + 0.3, y - radius * 0.7, place.name, "small" if frame.times > 1 else "tiny")


def _enlarged(answer: PatternMeasured, frame: _Frame) -> Iterator[str]:
    yield text(0, -0.5, f"{answer.view} side, {frame.times:.1f} times as large, with what was read")
    by_name = {p.name: p for p in answer.places}
    for span in answer.spans:
        if span.a in by_name and span.b in by_name:
            yield from _span(span, frame.at(by_name[span.a]), frame.at(by_name[span.b]))
    for place in answer.places:
        x, y = frame.at(place)
        yield from _place(place, frame)
        yield circle(x, y, frame.times * place.error_mm * ERROR_TIMES, "error")
    for span in answer.left_out:
        if span.a in by_name and span.b in by_name:
            yield from _cross(span, frame.at(by_name[span.a]), frame.at(by_name[span.b]))


def _span(span: SpanChecked, a: tuple[float, float], b: tuple[float, float]) -> Iterator[str]:
    way = f"M{a[0]:.3f} {a[1]:.3f}L{b[0]:.3f} {b[1]:.3f}"
    yield path(way, "wrong" if span.left_out else "span")


def _cross(span: SpanChecked, a: tuple[float, float], b: tuple[float, float]) -> Iterator[str]:
    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    yield path(f"M{x - 1.4:.3f} {y - 1.4:.3f}l2.8 2.8m-2.8 0l2.8 -2.8", "cross")
    yield text(x + 2, y - 0.6, f"{span.name} left out: {span.off_mm:+.2f} mm", "said")


def _legend(answer: PatternMeasured) -> str:
    sure = f"{100 * answer.confidence:.0f} % sure that all lie within"
    return f"Dashed circles: the error, {ERROR_TIMES:g} times as large; {sure}. Grey lines: the spans that were read."
