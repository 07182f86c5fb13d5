"""The match as one self-contained HTML page: for a bench tablet at arm's length, and for A4 paper, also in grey.

A verdict is told by a word and a shape, and only then by colour. Nothing is fetched and nothing runs: the page holds no
script and refers to nothing, and everything from outside is escaped. What is not stated of a place says so.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from bom.answers.replacing import Judged
from bom.boards.board import Board, Driver, Function, Load, Place
from bom.duty.before_parts import BeforeParts
from bom.paper.before_checks import checks_of
from bom.paper.pages.match_page_style import SHAPES, STYLE
from bom.paper.pages.match_verdicts import (
    Pairs,
    badge,
    bullets,
    facts_list,
    safe,
    side_by_side,
    sign,
    to_measure,
    verdict_cards,
)
from bom.values.finding import Outcome, Verdict

_NOTHING_FETCHED = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


@dataclass(frozen=True, slots=True)
class Shown:
    """One candidate, and its drawings as (caption, SVG)."""

    candidate: Judged
    drawings: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """One place that was asked about. ``functions``: name, contact, load; ``before``: the checks before
    parts; ``more``: what is not shown, in words."""

    heading: str
    facts: Pairs = ()
    functions: tuple[tuple[str, str, str], ...] = ()
    before: tuple[BeforeParts, ...] = ()
    counts: Mapping[Verdict, int] | None = None
    shown: tuple[Shown, ...] = ()
    more: str = ""
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Page:
    """All that the page says; ``cautions`` are those of every section, ``at_work`` the steps of the change."""

    title: str
    facts: Pairs
    sections: tuple[Section, ...]
    cautions: tuple[str, ...] = ()
    at_work: tuple[str, ...] = ()
    foot: str = ""


def match_page(page: Page) -> str:
    """The page as HTML."""
    whole = len(page.sections) > 1
    work = bullets("Changing the relay (where no source is named: common practice)", page.at_work, "work")
    head = f"<h1>{safe(page.title)}</h1>{facts_list(page.facts)}{_contents(page.sections) if whole else ''}"
    together = f"{_before([g for s in page.sections for g in s.before])}{work}" if whole else ""
    common = f"{bullets('Take care', page.cautions, 'care')}{together}"
    body = [
        f"<header>{head}{common}</header>",
        *(_section(s, i, "" if whole else _before(s.before) + work, whole) for i, s in enumerate(page.sections)),
        f"<footer>{safe(page.foot)}</footer>",
    ]
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<meta http-equiv="Content-Security-Policy" content="{_NOTHING_FETCHED}">'
        f'<link rel="icon" href="data:,"><title>{safe(page.title)}</title><style>{STYLE}</style></head>'
        f'<body>{SHAPES}\n<main class="{"whole" if whole else "one"}">' + "\n".join(body) + "</main></body></html>\n"
    )


def _section(section: Section, number: int, work: str, whole: bool) -> str:
    """One place; ``work`` is what to check before and how the relay is changed, where the head does not say it."""
    candidates = [s.candidate for s in section.shown]
    heading = f"<h2>{safe(section.heading)}</h2>{facts_list(section.facts)}" if whole else ""
    parts = [
        heading,
        verdict_cards(candidates, section.counts or {}, section.more),
        to_measure(candidates),
        bullets("Take care", section.cautions, "care"),
        _functions(section),
        work,
        side_by_side(candidates),
        "".join(_drawings(s) for s in section.shown if s.drawings),
    ]
    return f'<section id="place-{number}" class="place">{"".join(parts)}</section>'


def _contents(sections: Iterable[Section]) -> str:
    """The whole board at a glance: each place with its best candidate."""
    rows = "".join(_contents_row(i, s) for i, s in enumerate(sections))
    head = "<tr><th>position</th><th>functions</th><th>nearest</th><th>verdict</th></tr>"
    return f'<table class="contents"><thead>{head}</thead><tbody>{rows}</tbody></table>'


def _contents_row(number: int, section: Section) -> str:
    functions = "<br>".join(safe(name) for name, _, _ in section.functions) or "–"
    best = section.shown[0].candidate if section.shown else None
    part = f"<b>{safe(best.name)}</b>" if best else "nothing found"
    verdict = badge(best.verdict) if best else ""
    link = f'<a href="#place-{number}">{safe(section.heading)}</a>'
    return f"<tr><td>{link}</td><td>{functions}</td><td>{part}</td><td>{verdict}</td></tr>"


def _functions(section: Section) -> str:
    if not section.functions:
        return ""
    rows = "".join(f"<tr><td>{safe(a)}</td><td>{safe(b)}</td><td>{safe(c)}</td></tr>" for a, b, c in section.functions)
    head = "<tr><th>function</th><th>contact</th><th>load</th></tr>"
    return f"<h3>What it switches</h3><table><thead>{head}</thead><tbody>{rows}</tbody></table>"


def _before(groups: Sequence[BeforeParts]) -> str:
    """What to look at, in this order, before a part is blamed: once for all positions and functions."""
    if not groups:
        return ""
    checks = checks_of(groups)
    head = "<tr><th></th><th>look at</th><th>do</th><th>right is</th></tr>"
    rows = "".join(_check_row(n, *check) for n, check in enumerate(checks.rows, 1))
    cautions = "".join(f'<p class="warned">{sign(Outcome.CONDITION)}{safe(text)}</p>' for text in checks.cautions)
    table = f'<div class="scroll"><table class="checks"><thead>{head}</thead><tbody>{rows}</tbody></table></div>'
    sources = f'<p class="source">Sources: {safe("; ".join(checks.sources))}</p>'
    return f'<div class="before"><h3>Before a part is blamed</h3>{cautions}{table}{sources}</div>'


def _check_row(number: int, what: str, do: str, right: str) -> str:
    cells = "".join(f"<td>{'<br>'.join(map(safe, text.splitlines()))}</td>" for text in (do, right))
    return f"<tr><td>{number}</td><th>{safe(what)}</th>{cells}</tr>"


def _drawings(shown: Shown) -> str:
    """The drawing that is true to size first, then the pictures of duty beside each other."""
    heading = f"<h3>{badge(shown.candidate.verdict)} {safe(shown.candidate.name)}</h3>"
    true, duty = [d for d in shown.drawings if not _is_duty(d[1])], [d for d in shown.drawings if _is_duty(d[1])]
    tall = " tall" if any(_height_mm(svg) > BESIDE_DUTY_MM for _, svg in true) else ""
    many = " many" if len(duty) > A_PAGEFUL else ""
    drawn = f'<div class="drawn{tall}">{"".join(map(_figure, true))}</div>' if true else ""
    figures = f'<div class="figures{many}">{"".join(map(_figure, duty))}</div>' if duty else ""
    return f'<div class="pictures">{heading}{drawn}{figures}</div>'


BESIDE_DUTY_MM = 115.0  # a lower drawing leaves room for the pictures of duty on the same page
A_PAGEFUL = 2  # pictures of duty that find room in a row; more are printed smaller, so that the page holds two rows


def _figure(drawing: tuple[str, str]) -> str:
    """A drawing made here (its own text is escaped where it is drawn)."""
    caption, svg = drawing
    kind = "duty" if _is_duty(svg) else "fit"
    return f'<figure class="{kind}">{svg}<figcaption>{safe(caption)}</figcaption></figure>'


def _is_duty(svg: str) -> bool:
    return 'class="duty"' in svg


def _height_mm(svg: str) -> float:
    """How high a drawing is that is true to size; one in other units counts as low."""
    found = re.search(r'<svg[^>]*? height="([\d.]+)mm"', svg)
    return float(found[1]) if found else 0.0


def board_facts(board: Board) -> Pairs:
    """The board's supply, ambient, room and what is done to it, by name."""
    supply = board.supply
    volts = _span(supply.min_volts, supply.max_volts, "V")
    if supply.nominal_volts is not None:
        volts = f"{volts}, nominal {supply.nominal_volts:g} V"
    return (
        ("supply", volts + (f" (code {supply.code})" if supply.code else "")),
        ("ambient", _span(board.ambient_min_c, board.ambient_max_c, "°C")),
        ("room under the lid", _mm(board.lid_clearance_mm)),
        ("board thickness", _mm(board.board_thickness_mm)),
        ("the finished board gets", _process(board.process)),
    )


def place_facts(place: Place) -> Pairs:
    """What the bench should know of the position: the board's facts, what is fitted there and what drives it."""
    driver = place.position.driver or Driver()
    return (
        ("fitted", place.position.fitted or "not stated"),
        *board_facts(place.board),
        ("driver", _driver(driver)),
        ("coils on together", str(place.position.units_on_together or "not stated")),
    )


def _driver(driver: Driver) -> str:
    parts = (
        ("{:g} mA a channel", driver.channel_milliamps),
        ("{:g} mA in all", driver.package_milliamps),
        ("{:g} V drop", driver.drop_volts),
    )
    stated = [words.format(value) for words, value in parts if value is not None]
    stated += [t for t in (driver.polarity, f"suppression: {driver.suppression}" if driver.suppression else "") if t]
    return ", ".join(stated) or "not stated"


def function_words(function: Function) -> tuple[str, str, str]:
    """A function's name, its contact and its load."""
    pole = f", pole {function.pole}" if function.pole else ""
    return function.name, f"unit {function.unit}{pole}, {function.contact}", _load(function.load)


def _load(load: Load) -> str:
    """The load in one line, with what is not stated left out."""
    stall = f" for {load.stall_seconds:g} s" if load.stall_seconds is not None else ""
    parts = [
        f"{load.kind}, {load.supply.upper()}",
        _with(load.volts, "V"),
        _with(load.amps, "A"),
        f"inrush {load.inrush_amps:g} A" if load.inrush_amps is not None else "",
        f"stalled {load.stall_amps:g} A{stall}" if load.stall_amps is not None else "",
        f"L/R {load.lr_ms:g} ms" if load.lr_ms is not None else "",
        f"power factor {load.power_factor:g}" if load.power_factor is not None else "",
        "reversing" if load.reversing else "",
        f"{load.operations_per_day:g} times a day" if load.operations_per_day is not None else "",
        f"suppression: {load.suppression}" if load.suppression else "",
    ]
    return ", ".join(p for p in parts if p)


def _with(value: float | None, unit: str) -> str:
    return f"{unit} not stated" if value is None else f"{value:g} {unit}"


def _span(low: float | None, high: float | None, unit: str) -> str:
    if low is None and high is None:
        return "not stated"
    ends = ("not stated" if v is None else f"{v:g}".replace("-", "−") for v in (low, high))
    return f"{' to '.join(ends)} {unit}"


def _process(process: tuple[str, ...] | None) -> str:
    return "not stated" if process is None else ", ".join(process) or "nothing"


def _mm(value: float | None) -> str:
    return "not stated" if value is None else f"{value:g} mm"
