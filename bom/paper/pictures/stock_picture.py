"""Knows how a part's stock over time is drawn: a stair of what was on hand, the reorder point, and what lies ahead.

Told apart by dashes, marks and words, never by colour alone; what is past is a full line, what is worked out is broken.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from bom.paper.pictures.axes import Scale, spread
from bom.paper.svg import drawing, number, path, rect, text

WIDTH, HEIGHT = 900.0, 470.0
LEFT, RIGHT, TOP, BOTTOM = 66.0, 742.0, 70.0, 372.0  # the corners of the plot
AHEAD_DAYS = 90  # how far the line of use is drawn on
_STYLE = (
    "svg.stock text{font:14px system-ui,sans-serif;fill:#111}svg.stock .title{font-size:18px;font-weight:600}"
    "svg.stock .small{font-size:13px;fill:#333}svg.stock .grid{stroke:#d9d9d9;stroke-width:1}"
    "svg.stock .frame{fill:none;stroke:#111;stroke-width:1.2}svg.stock .have{fill:none;stroke:#111;stroke-width:2.4}"
    "svg.stock .point{stroke:#111;stroke-width:2;stroke-dasharray:10 5}"
    "svg.stock .up{stroke:#111;stroke-width:1.6;stroke-dasharray:2 4}"
    "svg.stock .ahead{fill:none;stroke:#333;stroke-width:1.8;stroke-dasharray:5 4}"
    "svg.stock .low{fill:#e6e6e6}svg.stock .out{fill:#8a8a8a}svg.stock .came{fill:#111}"
    "svg.stock .due{fill:#fff;stroke:#111;stroke-width:1.8}svg.stock .now{stroke:#555;stroke-width:1.2}"
    "svg.stock .lead{stroke:#777;stroke-width:.8}"
)


@dataclass(frozen=True, slots=True)
class StockStory:
    """What is drawn: on hand after each day that changed it, days on which goods came, the level, and what lies ahead.

    ``coming`` are quantities on order by the day they are due; ``per_day`` is the use that is counted on.
    """

    part: str
    unit: str
    today: date
    steps: tuple[tuple[date, float], ...]
    came: tuple[date, ...] = ()
    point: float | None = None
    up_to: float | None = None
    level_by: str = ""
    per_day: float = 0.0
    coming: tuple[tuple[date, float], ...] = ()


def stock_picture(story: StockStory) -> str:
    """An SVG, 900 by 470."""
    x, y = _scales(story)
    parts = [
        text(12, 24, f"{story.part}: stock over time", "title"),
        text(12, 44, _head(story), "small"),
        *_low_band(story, x, y),
        *_grid(x, y, story),
        *_empty_spells(story, x),
        *_levels(story, y),
        _path("have", _stairs(story, x, y)),
        *_ahead(story, x, y),
        *_arrivals(story, x, y),
        path(f"M{number(x.at(_day(story.today)))} {number(TOP)}V{number(BOTTOM)}", "now"),
        rect(LEFT, TOP, RIGHT - LEFT, BOTTOM - TOP, "frame"),
        *_names(story, y),
        *_key(),
    ]
    return drawing(f"{story.part}, stock over time", (WIDTH, HEIGHT), _STYLE, parts, kind="stock")


def _head(story: StockStory) -> str:
    on_hand = story.steps[-1][1] if story.steps else 0.0
    said = f"{_amount(on_hand, story.unit)} on hand on {story.today.isoformat()}"
    return said + (f", {_figure(story.per_day * 30)} used in 30 days" if story.per_day else ", nothing used lately")


def _figure(value: float) -> str:
    return f"{value:,.0f}" if value >= 100 else f"{value:.3g}"


def _amount(value: float, unit: str) -> str:
    return f"{value:,g} {'pieces' if unit == 'piece' else unit}"


def _day(day: date) -> float:
    return float(day.toordinal())


def _scales(story: StockStory) -> tuple[Scale, Scale]:
    first = min((day for day, _ in story.steps), default=story.today)
    last = max([story.today + timedelta(days=AHEAD_DAYS), *(day for day, _ in story.coming)])
    values = [*(value for _, value in story.steps), story.point or 0.0, story.up_to or 0.0]
    high = max([*values, *(value for _, value in _forecast(story))])
    return Scale(_day(first), _day(last), LEFT, RIGHT), Scale(0.0, 1.08 * high or 1.0, BOTTOM, TOP)


def _stairs(story: StockStory, x: Scale, y: Scale) -> list[tuple[float, float]]:
    """Flat until the next change, then straight up or down."""
    points: list[tuple[float, float]] = []
    for day, value in story.steps:
        if points:
            points.append((x.at(_day(day)), points[-1][1]))
        points.append((x.at(_day(day)), y.at(value)))
    return [*points, (x.at(_day(story.today)), points[-1][1])] if points else []


def _forecast(story: StockStory) -> list[tuple[date, float]]:
    """What is left day by day at that use, orders coming in when they are due (late ones tomorrow)."""
    left = story.steps[-1][1] if story.steps else 0.0
    tomorrow = story.today + timedelta(days=1)
    due = [(max(day, tomorrow), quantity) for day, quantity in story.coming]
    answer = [(story.today, left)]
    if not story.per_day and not due:
        return answer
    for ahead in range(1, AHEAD_DAYS + 1):
        day = story.today + timedelta(days=ahead)
        left = max(0.0, left - story.per_day) + sum(quantity for when, quantity in due if when == day)
        answer.append((day, left))
    return answer


def _ahead(story: StockStory, x: Scale, y: Scale) -> Iterator[str]:
    found = _forecast(story)
    if len(found) > 1:
        yield _path("ahead", [(x.at(_day(day)), y.at(value)) for day, value in found])


def _arrivals(story: StockStory, x: Scale, y: Scale) -> Iterator[str]:
    """A triangle where goods came; an open one where they are due."""
    after = dict(story.steps)
    for day in story.came:
        yield _triangle("came", x.at(_day(day)), y.at(after.get(day, 0.0)))
    ahead = dict(_forecast(story))
    for day, _ in story.coming:
        shown = max(day, story.today + timedelta(days=1))
        yield _triangle("due", x.at(_day(shown)), y.at(ahead.get(shown, 0.0)))


def _triangle(kind: str, x: float, y: float) -> str:
    return path(f"M{number(x)} {number(y - 7)}l7 12h-14z", kind)


def _low_band(story: StockStory, x: Scale, y: Scale) -> Iterator[str]:
    """At the reorder point and below it the ground is grey."""
    if story.point:
        top = y.at(story.point)
        yield rect(LEFT, top, RIGHT - LEFT, BOTTOM - top, "low")


def _empty_spells(story: StockStory, x: Scale) -> Iterator[str]:
    """A dark bar on the ground wherever nothing was left."""
    changes = [*story.steps, (story.today, 0.0)]
    for (day, value), (end, _) in pairwise(changes):
        if value <= 0 and end > day:
            left, right = x.at(_day(day)), x.at(_day(end))
            yield rect(left, BOTTOM - 6, right - left, 6, "out")


def _levels(story: StockStory, y: Scale) -> Iterator[str]:
    for kind, value in (("point", story.point), ("up", story.up_to)):
        if value is not None:
            yield path(f"M{number(LEFT)} {number(y.at(value))}H{number(RIGHT)}", kind)


def _names(story: StockStory, y: Scale) -> Iterator[str]:
    """The levels named at the right, spread so that neither covers the other."""
    by = f" ({story.level_by})" if story.level_by else ""
    named = [
        (f"{word} {value:,g}", value) for word, value in (("order at", story.point), ("up to", story.up_to)) if value
    ]
    heights = spread([y.at(value) for _, value in named], 18.0, TOP, BOTTOM)
    for (words, value), height in zip(named, heights, strict=True):
        yield path(f"M{number(RIGHT)} {number(y.at(value))}L{number(RIGHT + 8)} {number(height)}", "lead")
        yield text(RIGHT + 11, height + 5, words)
    if named and by:
        yield text(RIGHT + 11, max(heights) + 22, by.strip(), "small")


def _grid(x: Scale, y: Scale, story: StockStory) -> Iterator[str]:
    for value in y.ticks():
        yield path(f"M{number(LEFT)} {number(y.at(value))}H{number(RIGHT)}", "grid")
        yield text(LEFT - 7, y.at(value) + 5, f"{value:,g}", anchor="end")
    for day in _months(x):
        place = x.at(_day(day))
        yield path(f"M{number(place)} {number(TOP)}V{number(BOTTOM)}", "grid")
        yield text(place, BOTTOM + 19, f"{day:%b}", anchor="middle")
        if day.month == 1 or day == _months(x)[0]:
            yield text(place, BOTTOM + 36, f"{day:%Y}", "small", "middle")
    yield text(LEFT, TOP - 9, "pieces" if story.unit == "piece" else story.unit)
    yield text(x.at(_day(story.today)) + 4, TOP + 15, "today", "small")


def _months(x: Scale) -> list[date]:
    """First days of months in sight, so many apart that their names have room."""
    first, last = date.fromordinal(int(x.low)), date.fromordinal(int(x.high))
    every = max(1, round((last - first).days / 30 / 14))
    months = range(first.year * 12 + first.month, last.year * 12 + last.month)
    return [date(m // 12, m % 12 + 1, 1) for m in months if m % every == 0]


def _key() -> Iterator[str]:
    """What the marks mean, in one line below."""
    top = HEIGHT - 22
    yield _path("have", [(LEFT, top - 5), (LEFT + 30, top - 5)]) + text(LEFT + 38, top, "on hand", "small")
    yield _triangle("came", LEFT + 116, top - 4) + text(LEFT + 128, top, "goods in", "small")
    yield _path("ahead", [(LEFT + 206, top - 5), (LEFT + 240, top - 5)])
    yield text(LEFT + 248, top, "at the use of late", "small")
    yield _triangle("due", LEFT + 384, top - 4) + text(LEFT + 396, top, "on order, due", "small")
    yield rect(LEFT + 500, top - 8, 24, 6, "out")
    yield text(LEFT + 530, top, "none left", "small")
    yield rect(LEFT + 606, top - 13, 24, 15, "low")
    yield text(LEFT + 636, top, "time to order", "small")


def _path(kind: str, points: Sequence[tuple[float, float]]) -> str:
    return path("M" + "L".join(f"{number(x)} {number(y)}" for x, y in points), kind) if points else ""


def daily(changes: Iterable[tuple[date, float]]) -> tuple[tuple[date, float], ...]:
    """Changes in order as what is on hand at the end of each day that changed it."""
    answer: dict[date, float] = {}
    left = 0.0
    for day, change in sorted(changes, key=lambda one: one[0]):
        left += change
        answer[day] = left
    return tuple(answer.items())
