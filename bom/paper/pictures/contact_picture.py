"""Knows how a contact picture is drawn: what the loads ask for, over volts or seconds, against the published limits.

Both axes are logarithmic. A limit goes on level to the left of its first published point and ends at its last with a
bar: beyond it nothing is published.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import floor, log10

from bom.duty.contact_picture import ContactPicture, LimitLine, LoadPoint
from bom.paper.pictures.axes import BOTTOM, LEFT, RIGHT, TOP, Picture, Scale, n

_MARKS = {"running": "circle", "start": "triangle", "stall": "diamond", "brake": "square"}
_X_WORDS = {"V": "volts across the open contact, V", "s": "seconds, s"}
_MOMENTS = {"break": "may switch off", "make": "may switch on", "carry": "may carry closed"}


def contact_picture(picture: ContactPicture) -> str:
    """An SVG of one kind of contact: loads as marks, limits as lines, each told in words below."""
    drawing = _axes(picture)
    for limit in sorted(picture.limits, key=lambda limit: -limit.points[-1][1]):
        _limit(drawing, limit)
    groups = tuple(_alike(picture.loads))
    for loads, number in zip(groups, _numbers(groups), strict=True):
        _load(drawing, picture.x_unit, loads, number)
    return drawing.drawn()


def _axes(picture: ContactPicture) -> Picture:
    xs = [x for limit in picture.limits for x, _ in limit.points]
    xs += [x for load in picture.loads if (x := _across(load, picture.x_unit))]
    amps = [a for limit in picture.limits for _, a in limit.points] + [load.amps for load in picture.loads]
    left, right = _edges(xs)
    low, high = _edges(amps)
    return Picture(
        picture.title[:1].upper() + picture.title[1:],
        f"{picture.part} at {picture.place}",
        Scale(left, right, LEFT, RIGHT, by_decades=True),
        Scale(low, high, BOTTOM, TOP, by_decades=True),
        _X_WORDS[picture.x_unit],
        "amps, A",
        f"Not stated: {', '.join(picture.missing)}." if picture.missing else "",
    )


def _across(load: LoadPoint, x_unit: str) -> float | None:
    return load.volts if x_unit == "V" else load.seconds


def _edges(values: list[float]) -> tuple[float, float]:
    """From below the least to above the most, on 1, 2 or 5 of a decade, and at least a decade wide."""
    known = [v for v in values if v > 0] or [1.0, 10.0]
    low, high = _step(min(known) / 1.5, up=False), _step(max(known) * 1.6, up=True)
    return low, max(high, 10 * low)


def _step(value: float, up: bool) -> float:
    size = 10.0 ** floor(log10(value))
    steps = [size * first for first in (1, 2, 5, 10)]
    return min(s for s in steps if s >= value * (1 - 1e-9)) if up else max(s for s in steps if s <= value * (1 + 1e-9))


def _limit(drawing: Picture, limit: LimitLine) -> None:
    """Level to the left of its first point, then through all, then a bar."""
    points = [(drawing.x.low, limit.points[0][1]), *limit.points]
    drawing.line(points, f"{_MOMENTS[limit.moment]}, {limit.words}", thick=limit.moment == "break")
    x, y = drawing.x.at(points[-1][0]), drawing.y.at(points[-1][1])
    drawing.shapes.append(f'<path class="line" d="M{n(x)} {n(y - 6)}v12"/>')
    drawing.shapes.append(f'<path class="lead" stroke-dasharray="1 3" d="M{n(x)} {n(y)}H{n(RIGHT)}"/>')


def _alike(loads: tuple[LoadPoint, ...]) -> Iterator[tuple[LoadPoint, ...]]:
    """Functions that ask for the same share one mark."""
    groups: dict[tuple[object, ...], list[LoadPoint]] = {}
    for load in loads:
        key = (load.kind, load.moment, load.volts, load.amps, load.seconds, load.rule)
        groups.setdefault(key, []).append(load)
    yield from map(tuple, groups.values())


def _numbers(groups: tuple[tuple[LoadPoint, ...], ...]) -> list[str]:
    """1, 2, 3 beside marks of one shape; nothing where each shape stands once."""
    moments = [loads[0].moment for loads in groups]
    alone = len(set(moments)) == len(moments)
    return ["" if alone else str(n) for n, _ in enumerate(moments, 1)]


def _load(drawing: Picture, x_unit: str, loads: tuple[LoadPoint, ...], number: str) -> None:
    """A mark; over seconds, a current whose time nobody states goes right across."""
    load = loads[0]
    x = _across(load, x_unit)
    if x is None:
        y = drawing.y.at(load.amps)
        drawing.shapes.append(f'<path class="edge" stroke-dasharray="3 4" d="M{n(LEFT)} {n(y)}H{n(RIGHT)}"/>')
        x = drawing.x.high
    drawing.mark((x, load.amps), _MARKS.get(load.moment, "circle"), _words(loads), number)


def _words(loads: tuple[LoadPoint, ...]) -> str:
    load = loads[0]
    span = f" for {load.seconds:g} s" if load.seconds is not None else ""
    span += ", seconds not stated" if load.moment == "stall" and load.seconds is None else ""
    by = f" by the rule {load.rule}" if load.rule and load.rule != load.kind else ""
    names = ", ".join(dict.fromkeys(p.function for p in loads))
    return f"{load.moment} {load.amps:.3g} A{span} at {load.volts:g} V{by} ({load.kind}): {names}"
