"""Knows how verdicts look on the match page: a sign and a word for each; a card each, the worst reason first; side by
side; what to measure. And the page's smaller marks: safe text, lists, facts."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from html import escape

from bom.answers.replacing import Judged
from bom.paper.for_the_eye import money, number
from bom.paper.writing import one_line
from bom.values.finding import Finding, Outcome, Verdict, worst_first

Pairs = tuple[tuple[str, str], ...]


def bullets(heading: str, texts: tuple[str, ...], kind: str) -> str:
    """A heading and a list under it; nothing where there is nothing to list."""
    return f'<div class="{kind}"><h3>{safe(heading)}</h3><ul>{items(texts)}</ul></div>' if texts else ""


def items(texts: Iterable[str]) -> str:
    """The items of a list."""
    return "".join(f"<li>{safe(text)}</li>" for text in texts)


def facts_list(facts: Pairs) -> str:
    """Names and values; those without a value are left out."""
    pairs = "".join(f"<div><dt>{safe(name)}</dt><dd>{safe(value)}</dd></div>" for name, value in facts if value)
    return f"<dl>{pairs}</dl>" if pairs else ""


def badge(verdict: Verdict) -> str:
    """A verdict: its shape and its word."""
    return f'<span class="badge {verdict.value}">{sign(verdict.outcome)}{verdict.words}</span>'


def sign(outcome: Outcome) -> str:
    """The shape that stands for an outcome, and for the verdict that it leads to."""
    name = outcome.value
    return f'<svg class="sign {name}" viewBox="0 0 20 20" aria-hidden="true"><use href="#sign-{name}"/></svg>'


def room(margin: float) -> str:
    """A margin in per cent, with its sign."""
    share = f"{margin:+.0%}"
    return ("0%" if share in ("+0%", "-0%") else share).replace("-", "−").replace("%", " %")


def safe(text: object) -> str:
    """Text made safe, on one line; a number keeps its per cent sign."""
    return escape(one_line(text)).replace(" %", "&nbsp;%")


def verdict_cards(candidates: Sequence[Judged], counts: Mapping[Verdict, int], more: str) -> str:
    """Each candidate on a card with its verdict and its reasons; how many there are of each verdict in all."""
    said = ", ".join(f"{counts[v]} {v.words}" for v in Verdict if v in counts)
    cards = "".join(map(_card, candidates))
    rest = f'<p class="quiet">{safe(more)}</p>' if more else ""
    return f'<h3>Verdicts</h3><p class="quiet">{safe(said)}</p><div class="cards">{cards}</div>{rest}'


def _card(candidate: Judged) -> str:
    """A verdict with its reasons, the worst first."""
    open_ones = worst_first(candidate.open)
    reasons = "".join(_reason(f) for f in open_ones[:REASONS])
    if (more := len(open_ones) - REASONS) > 0:
        reasons += f'<p class="quiet">and {more} more, side by side below</p>'
    all_pass = f'<p class="reason">all {len(candidate.passed)} checks pass{safe(_tightest(candidate.findings))}</p>'
    return (
        f'<article class="card {candidate.verdict.value}">{badge(candidate.verdict)}'
        f'<p class="maker">{safe(candidate.maker)}</p><p class="part">{safe(candidate.part_number)}</p>'
        f"{reasons or all_pass}{_shelf(candidate)}</article>"
    )


REASONS = 2  # on a card; the comparison has them all


def _reason(finding: Finding) -> str:
    source = f' <span class="source">{safe(finding.source)}</span>' if finding.source else ""
    why = f"<b>{safe(finding.check)}:</b> {safe(finding.why)}"
    return f'<p class="reason">{sign(finding.outcome)}{why}{source}</p>'


def _tightest(findings: Iterable[Finding]) -> str:
    known = [(f.margin, f.check) for f in findings if f.margin is not None]
    if not known:
        return ""
    margin, check = min(known, key=lambda one: one[0])
    return f"; the tightest is {check}, {room(margin).lstrip('+')} to spare"


def _shelf(candidate: Judged) -> str:
    stock, cost = candidate.available, money(candidate.landed_cost)
    parts = [f"{number(stock)} on the shelf" if stock else "none on the shelf"]
    parts.append(f"{cost} landed" if cost else "no offer")
    parts.append(candidate.status or "status not stated")
    return f'<p class="shelf">{safe(", ".join(parts))}</p>'


def side_by_side(candidates: Sequence[Judged]) -> str:
    """Every check of every candidate shown: what is there, what is asked, the room left; the worst rows first."""
    if not candidates:
        return ""
    found = [{f.check: f for f in c.findings} for c in candidates]
    checks = sorted(dict.fromkeys(c for one in found for c in one), key=lambda check: _worst_of(check, found))
    plain = [c for c in checks if _is_bare(c, found)]
    told = _alike((c for c in checks if c not in plain), found)
    rows = "".join(f"<tr><th>{_check(names)}</th>{cells}</tr>" for names, cells in told)
    heads = "".join(f"<th>{badge(c.verdict)}<br>{safe(c.part_number)}</th>" for c in candidates)
    return (
        f'<div class="compared"><h3>Side by side</h3><p class="quiet">{_HOW_TO_READ}</p>'
        f'<div class="scroll"><table class="sides"><thead><tr><th>check</th>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table></div>{_bare_passes(plain)}</div>"
    )


_HOW_TO_READ = "What there is, and below it what is asked and the room left."


def _is_bare(check: str, found: Iterable[Mapping[str, Finding]]) -> bool:
    """Whether all who were asked passed, and there is no figure to compare."""
    answers = [one[check] for one in found if check in one]
    return all(f.outcome is Outcome.PASS and not f.offered and not f.required for f in answers)


def _bare_passes(checks: list[str]) -> str:
    names = dict.fromkeys(check.partition(", ")[0] for check in checks)
    return (
        f'<p class="quiet">{sign(Outcome.PASS)}All pass, without figures: {safe(", ".join(names))}.</p>'
        if names
        else ""
    )


def _alike(checks: Iterable[str], found: Sequence[Mapping[str, Finding]]) -> Iterator[tuple[list[str], str]]:
    """Rows, with one check's functions in one row where they come to the same for every candidate."""
    rows: dict[tuple[str, str], list[str]] = {}
    for check in checks:
        cells = "".join(_cell(one.get(check)) for one in found)
        rows.setdefault((check.partition(", ")[0], cells), []).append(check)
    yield from ((names, cells) for (_, cells), names in rows.items())


def _check(names: list[str]) -> str:
    """The check, and below it the functions it was asked for."""
    functions = [name.partition(", ")[2] for name in names if ", " in name]
    under = f"<small>{safe(', '.join(functions))}</small>" if functions else ""
    return safe(names[0].partition(", ")[0]) + under


def _worst_of(check: str, found: Iterable[Mapping[str, Finding]]) -> int:
    return min(-one[check].outcome.gravity for one in found if check in one)


def _cell(finding: Finding | None) -> str:
    if finding is None:
        return '<td class="quiet">not asked</td>'
    offered = finding.offered or finding.outcome.words
    asked = f"asked {finding.required}" if finding.required not in ("", offered) else ""
    left = room(finding.margin) if finding.margin is not None else ""
    under = ", ".join(p for p in (asked, left) if p)
    said = f"{sign(finding.outcome)}{_figures(offered)}<small>{_figures(under)}</small>"
    return f'<td class="{finding.outcome.value}">{said}</td>'


def _figures(text: str) -> str:
    """With a minus sign before negative numbers."""
    return re.sub(r"(?<![\w.;&#])-(?=\d)", "−", safe(text))


def to_measure(candidates: Iterable[Judged]) -> str:
    """What would settle each unknown, and for which parts."""
    wanted: dict[str, list[str]] = {}
    for candidate in candidates:
        for f in candidate.findings:
            if f.outcome is Outcome.UNKNOWN:
                wanted.setdefault(f"{f.check}: {f.why}", []).append(candidate.part_number)
    settled = tuple(f"{why} ({', '.join(dict.fromkeys(parts))})" for why, parts in wanted.items())
    return bullets("To settle what is unknown", settled, "measure")
