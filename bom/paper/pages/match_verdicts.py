"""Knows how verdicts look on the match page: a card each, the worst reason first; side by side; what to measure."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from bom.paper.pages.match_marks import (
    OUTCOMES,
    WORDS,
    Candidate,
    Finding,
    badge,
    bullets,
    room,
    safe,
    sign,
    worst_first,
)


def verdict_cards(candidates: Sequence[Candidate], counts: Mapping[str, int], more: str) -> str:
    """Each candidate on a card with its verdict and its reasons; how many there are of each verdict in all."""
    said = ", ".join(f"{counts[v]} {WORDS[v]}" for v in ("drop_in", "conditional", "unknown", "no") if v in counts)
    cards = "".join(map(_card, candidates))
    rest = f'<p class="quiet">{safe(more)}</p>' if more else ""
    return f'<h3>Verdicts</h3><p class="quiet">{safe(said)}</p><div class="cards">{cards}</div>{rest}'


def _card(candidate: Candidate) -> str:
    """A verdict with its reasons, the worst first."""
    findings = candidate["findings"]
    open_ones = [f for f in worst_first(findings) if f["outcome"] != "pass"]
    reasons = "".join(_reason(f) for f in open_ones[:REASONS])
    if more := len(open_ones) - REASONS if len(open_ones) > REASONS else 0:
        reasons += f'<p class="quiet">and {more} more, side by side below</p>'
    passed = sum(f["outcome"] == "pass" for f in findings)
    all_pass = f'<p class="reason">all {passed} checks pass{safe(_tightest(findings))}</p>'
    return (
        f'<article class="card {safe(candidate["verdict"])}">{badge(candidate["verdict"])}'
        f'<p class="maker">{safe(candidate["maker"])}</p><p class="part">{safe(candidate["part_number"])}</p>'
        f"{reasons or all_pass}{_shelf(candidate)}</article>"
    )


REASONS = 2  # on a card; the comparison has them all


def _reason(finding: Finding) -> str:
    source = f' <span class="source">{safe(finding["source"])}</span>' if finding["source"] else ""
    why = f"<b>{safe(finding['check'])}:</b> {safe(finding['why'])}"
    return f'<p class="reason">{sign(finding["outcome"])}{why}{source}</p>'


def _tightest(findings: Iterable[Finding]) -> str:
    known = [f for f in findings if f["margin"] is not None]
    if not known:
        return ""
    least = min(known, key=lambda f: f["margin"])
    return f"; the tightest is {least['check']}, {room(least['margin']).lstrip('+')} to spare"


def _shelf(candidate: Candidate) -> str:
    stock = candidate.get("available")
    cost = candidate.get("landed_cost")
    parts = [f"{stock:g} on the shelf" if stock else "none on the shelf"]
    parts.append(f"{float(cost['amount']):.2f} {cost['currency']} landed" if cost else "no offer")
    parts.append(str(candidate.get("status") or "status not stated"))
    return f'<p class="shelf">{safe(", ".join(parts))}</p>'


def side_by_side(candidates: Sequence[Candidate]) -> str:
    """Every check of every candidate shown: what is there, what is asked, the room left; the worst rows first."""
    if not candidates:
        return ""
    found = [{f["check"]: f for f in c["findings"]} for c in candidates]
    checks = sorted(dict.fromkeys(c for one in found for c in one), key=lambda check: _worst_of(check, found))
    plain = [c for c in checks if _is_bare(c, found)]
    told = _alike((c for c in checks if c not in plain), found)
    rows = "".join(f"<tr><th>{_check(names)}</th>{cells}</tr>" for names, cells in told)
    heads = "".join(f"<th>{badge(c['verdict'])}<br>{safe(c['part_number'])}</th>" for c in candidates)
    return (
        f'<div class="compared"><h3>Side by side</h3><p class="quiet">{_HOW_TO_READ}</p>'
        f'<div class="scroll"><table class="sides"><thead><tr><th>check</th>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table></div>{_bare_passes(plain)}</div>"
    )


_HOW_TO_READ = "What there is, and below it what is asked and the room left."


def _is_bare(check: str, found: Iterable[Mapping[str, Finding]]) -> bool:
    """Whether all who were asked passed, and there is no figure to compare."""
    answers = [one[check] for one in found if check in one]
    return all(f["outcome"] == "pass" and not f["offered"] and not f["required"] for f in answers)


def _bare_passes(checks: list[str]) -> str:
    names = dict.fromkeys(check.partition(", ")[0] for check in checks)
    return f'<p class="quiet">{sign("pass")}All pass, without figures: {safe(", ".join(names))}.</p>' if names else ""


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
    return min(OUTCOMES.index(one[check]["outcome"]) for one in found if check in one)


def _cell(finding: Finding | None) -> str:
    if finding is None:
        return '<td class="quiet">not asked</td>'
    offered = finding["offered"] or WORDS[finding["outcome"]]
    asked = f"asked {finding['required']}" if finding["required"] not in ("", None, offered) else ""
    left = room(finding["margin"]) if finding["margin"] is not None else ""
    under = ", ".join(p for p in (asked, left) if p)
    said = f"{sign(finding['outcome'])}{_figures(offered)}<small>{_figures(under)}</small>"
    return f'<td class="{safe(finding["outcome"])}">{said}</td>'


def _figures(text: str) -> str:
    """With a minus sign before negative numbers."""
    return re.sub(r"(?<![\w.;&#])-(?=\d)", "−", safe(text))


def to_measure(candidates: Iterable[Candidate]) -> str:
    """What would settle each unknown, and for which parts."""
    wanted: dict[str, list[str]] = {}
    for candidate in candidates:
        for f in candidate["findings"]:
            if f["outcome"] == "unknown":
                wanted.setdefault(f"{f['check']}: {f['why']}", []).append(str(candidate["part_number"]))
    settled = tuple(f"{why} ({', '.join(dict.fromkeys(parts))})" for why, parts in wanted.items())
    return bullets("To settle what is unknown", settled, "measure")
