"""Knows the two pictures of duty: the coil window, volts against ambient temperature with the supply's band and the
working area hatched; and the contacts, amps against volts."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor, log10

from bom.duty.coil_window import CoilPoint, CoilWindow
from bom.duty.contact_picture import ContactPicture, LimitLine, LoadPoint
from bom.paper.pictures.axes import BOTTOM, LEFT, RIGHT, TOP, Picture, Point, Scale
from bom.paper.svg import number, path, rect, text
from bom.relays.relay import SupplyKind

_HATCH = (
    '<pattern id="{0}" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<rect width="8" height="8" fill="#fff"/><path d="M0 0V8" stroke="#4a7a72" stroke-width="4"/></pattern>'
)


_DOTTED = ' stroke-dasharray="2 3"'


def coil_picture(window: CoilWindow, name: str = "coil") -> str:
    """An SVG of the coil window; ``name`` sets its hatching apart from other pictures' on the same page."""
    picture = _axes(window)
    _supply(picture, window)
    hatch = f"{name}-hatch"
    _working_area(picture, window, hatch)
    _ambient(picture, window)
    for points, words, thick in _lines(window):
        picture.line(points, words, thick)
    _band_edges(picture, window)
    _tight(picture, window)
    return picture.drawn(_HATCH.format(hatch))


def _axes(window: CoilWindow) -> Picture:
    temperatures = [p.temp_c for p in window.points]
    return Picture(
        "Coil window" if window.supply is SupplyKind.DC else "Coil window, AC coil",
        f"{window.part} at {window.place}",
        Scale(min(temperatures), max(temperatures), LEFT, RIGHT),
        Scale(0.0, 1.12 * max(_volts(window), default=1.0), BOTTOM, TOP),
        "ambient, °C",
        "volts at the coil, V",
        f"Not stated: {', '.join(window.missing)}." if window.missing else "",
    )


def _volts(window: CoilWindow) -> Iterator[float]:
    """Every voltage there is to show."""
    for p in window.points:
        yield from (v for v in (p.operate_volts, p.operate_volts_warm, p.release_volts, p.max_volts) if v)
    yield from (v for v in (*window.supply_volts, window.nominal_volts, window.jump_volts) if v)


def _supply(picture: Picture, window: CoilWindow) -> None:
    """The band of volts the coil may get, behind everything, as a grey band."""
    least, most = window.supply_volts
    if least is not None and most is not None:
        top, foot = picture.y.at(most), picture.y.at(least)
        picture.shapes.append(rect(LEFT, top, RIGHT - LEFT, max(foot - top, 0.0), "band"))
        sample = rect(0, -13, 34, 16, "band")
        words = f"what the coil gets: {least:.4g} V (lowest supply less the driver's drop) to {most:.4g} V"
        picture.key.append((sample, words))


def _working_area(picture: Picture, window: CoilWindow, hatch: str) -> None:
    """Hatched; where all is stated and there is none, the key says so."""
    picture.area(window.working_area, hatch, "working area: surely operates and bears its volts")
    least, _ = window.supply_volts
    needed = [p.operate_volts for p in window.points if p.operate_volts and p.temp_c == window.ambient_c[1]]
    if len(window.working_area) < 3 and needed and least is not None:
        hot = f"at {window.ambient_c[1]:g} °C it needs {needed[0]:.2f} V and surely gets {least:.4g} V only"
        picture.key.append(("", f"No working area: {hot}."))


def _band_edges(picture: Picture, window: CoilWindow) -> None:
    """The least and the most the coil gets, named on the line."""
    for volts in window.supply_volts:
        if volts is not None:
            y = picture.y.at(volts)
            picture.shapes.append(path(f"M{number(LEFT)} {number(y)}H{number(RIGHT)}", "edge"))
            picture.shapes.append(text((LEFT + RIGHT) / 2, y - 4, f"{volts:.4g} V", "on", "middle"))


def _ambient(picture: Picture, window: CoilWindow) -> None:
    """The board's coldest and hottest, as upright dotted lines."""
    for temp_c in window.ambient_c:
        if temp_c is not None:
            x = picture.x.at(temp_c)
            way = f"M{number(x)} {number(TOP)}V{number(BOTTOM)}"
            picture.shapes.append(path(way, "edge", _DOTTED))
    if any(t is not None for t in window.ambient_c):
        cold, hot = ("not stated" if t is None else f"{t:g} °C" for t in window.ambient_c)
        picture.key.append((path("M17 -14V4", "edge", _DOTTED), f"the board's ambient: {cold} to {hot}"))


def _lines(window: CoilWindow) -> Iterator[tuple[list[Point], str, bool]]:
    """Each line that the sheet states enough for, what it is, and whether it decides."""
    from_rest = "operates from rest" if window.supply is SupplyKind.DC else "surely operates from"
    rows = (
        ("operate_volts", from_rest, True),
        ("operate_volts_warm", "operates again after being on", True),
        ("max_volts", "bears at most", True),
        ("release_volts", "has released below", False),
    )
    for name, words, thick in rows:
        points = [(p.temp_c, getattr(p, name)) for p in window.points if getattr(p, name) is not None]
        if points:
            yield points, f"{words}: {_ends(points, window.ambient_c)}", thick
    for volts, words in ((window.jump_volts, "boost start"), (window.nominal_volts, "nominal supply")):
        if volts is not None:
            yield _level(window.points, volts), f"{words}: {volts:g} V", False


def _level(points: tuple[CoilPoint, ...], volts: float) -> list[Point]:
    return [(points[0].temp_c, volts), (points[-1].temp_c, volts)]


def _ends(points: list[Point], ambient_c: tuple[float | None, float | None]) -> str:
    """The volts at the coldest, at 20 °C and at the hottest; just the volts where they stay."""
    if points[0][1] == points[-1][1]:
        return f"{points[0][1]:g} V"
    shown = [p for p in points if p[0] in (*ambient_c, 20.0)] or [points[0], points[-1]]
    return ", ".join(f"{volts:.2f} V at {temp_c:g} °C" for temp_c, volts in shown)


def _tight(picture: Picture, window: CoilWindow) -> None:
    if window.tight is not None:
        temp_c, volts = window.tight
        picture.mark(window.tight, "ring", f"tightest: {temp_c:g} °C with {volts:.4g} V at the coil")


_MARKS = {"running": "circle", "start": "triangle", "stall": "diamond", "brake": "square"}
_X_WORDS = {"V": "volts across the open contact, V", "s": "seconds, s"}
_MOMENTS = {"break": "may switch off", "make": "may switch on", "carry": "may carry closed"}


def contact_picture(picture: ContactPicture) -> str:
    """An SVG of one kind of contact: loads as marks, limits as lines, each told in words below."""
    drawing = _contact_axes(picture)
    for limit in sorted(picture.limits, key=lambda limit: -limit.points[-1][1]):
        _limit(drawing, limit)
    groups = tuple(_alike(picture.loads))
    for loads, digit in zip(groups, _numbers(groups), strict=True):
        _load(drawing, picture.x_unit, loads, digit)
    return drawing.drawn()


def _contact_axes(picture: ContactPicture) -> Picture:
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
    drawing.shapes.append(path(f"M{number(x)} {number(y - 6)}v12", "line"))
    drawing.shapes.append(path(f"M{number(x)} {number(y)}H{number(RIGHT)}", "lead", ' stroke-dasharray="1 3"'))


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


def _load(drawing: Picture, x_unit: str, loads: tuple[LoadPoint, ...], digit: str) -> None:
    """A mark; over seconds, a current whose time nobody states goes right across."""
    load = loads[0]
    x = _across(load, x_unit)
    if x is None:
        y = drawing.y.at(load.amps)
        drawing.shapes.append(path(f"M{number(LEFT)} {number(y)}H{number(RIGHT)}", "edge", ' stroke-dasharray="3 4"'))
        x = drawing.x.high
    drawing.mark((x, load.amps), _MARKS.get(load.moment, "circle"), _words(loads), digit)


def _words(loads: tuple[LoadPoint, ...]) -> str:
    load = loads[0]
    span = f" for {load.seconds:g} s" if load.seconds is not None else ""
    span += ", seconds not stated" if load.moment == "stall" and load.seconds is None else ""
    by = f" by the rule {load.rule}" if load.rule and load.rule != load.kind else ""
    names = ", ".join(dict.fromkeys(p.function for p in loads))
    return f"{load.moment} {load.amps:.3g} A{span} at {load.volts:g} V{by} ({load.kind}): {names}"
