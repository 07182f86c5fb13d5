"""Knows how verdicts look in a terminal: what may serve, why a part does not, a whole board at a glance, whether pins
go into holes, and which part may be replaced by which."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bom.answers.replacing import (
    BoardGlance,
    CrossReferenced,
    FitFound,
    Judged,
    Matched,
    PairFound,
    PositionGlance,
    WhyPart,
)
from bom.paper.for_the_eye import money
from bom.paper.terminal.cautions import in_a_line, in_few_words, take_care
from bom.paper.terminal.tables import Column, simple_table, table
from bom.values.finding import Finding, Outcome, Verdict, worst_first

NEAR_MISSES = 8


def match_table(answer: Matched, *, every: bool = False) -> str:
    """Candidates that may serve, then the nearest misses, then the cautions."""
    shown = answer.refused if every else answer.refused[:NEAR_MISSES]
    head = f"What may serve {answer.requirement.asked}: {_counted(answer)}\n{_not_proved_yet(answer)}"
    more = answer.counts[Verdict.NO] - len(shown)
    rest = "--all shows them" if answer.more is None else "--why PART says why one is"
    tail = f"... and {more} more refused; {rest}.\n" if more else ""
    misses = "Refused, nearest first\n" + candidates_table(shown) if shown else ""
    care = take_care(answer.cautions)
    return head + candidates_table(answer.serving) + misses + tail + (f"\n{care}" if care else "") + _before(answer)


def candidates_table(candidates: Sequence[Judged], width: int | None = None, colour: bool | None = None) -> str:
    """Each candidate with its verdict and the one worst reason."""
    rows = [(c.verdict, c.maker, c.part_number, c.available, money(c.landed_cost), _worst(c)) for c in candidates]
    return table(_CANDIDATE, rows, width, colour) if rows else "No candidate was found.\n"


_CANDIDATE = (
    *(Column("verdict"), Column("maker"), Column("part number"), Column("available", "right")),
    *(Column("landed cost", "right"), Column("why", prose=True)),
)


def _worst(candidate: Judged) -> str:
    """The one worst reason; of a part that may serve also how much more there is to see to."""
    worst, *_ = worst_first(candidate.findings)
    if worst.outcome is Outcome.PASS:
        return f"all {len(candidate.findings)} checks pass"
    more = len(_told_once(f for f in candidate.findings if f.outcome is not Outcome.PASS)) - 1
    return f"{worst.why} (and {more} more: --why)" if more and candidate.verdict is not Verdict.NO else worst.why


def _before(answer: Matched) -> str:
    """Where the checks stand that come before a part is blamed: they are many, and a board's own."""
    steps = max((len(group.steps) for group in answer.before_parts), default=0)
    where = f"bom board show {answer.requirement.board}"
    return f"\nBefore a part is blamed: {steps} checks in their order, {where}\n" if steps else ""


def _not_proved_yet(answer: Matched) -> str:
    """How many more there are than are shown of a long catalogue: counted exactly, or no more than so many."""
    if not (more := answer.more):
        return ""
    shown = len(answer.serving)
    if answer.more_proved:
        return f"The best {shown} are shown; {more} more are not refused: --limit {shown + more} shows them all.\n"
    return f"The best {shown} are proved; at most {more} more may serve, not proved yet: --limit proves more.\n"


def _counted(answer: Matched) -> str:
    """How many of each verdict there are in all, however many are shown."""
    return ", ".join(f"{answer.counts[verdict]} {verdict.words}" for verdict in Verdict)


def why_table(answer: Matched) -> str:
    """One part's findings: what is no pass with its reason and source, the worst first, then the rest in short."""
    [candidate], why = answer.candidates, answer.why
    unread = "; ".join(why.left_unread) if why else ""
    search = f"A search of a long catalogue leaves it unread: {unread}.\n" if unread else ""
    parts = (_open(candidate.open) + search, take_care(answer.cautions), *_passed(candidate.passed))
    head = f"{candidate.name} {answer.requirement.asked}: {candidate.verdict.words} ({_outcomes(why)})\n"
    return head + "\n\n".join(part.strip("\n") for part in parts if part) + "\n"


_COUNTED = {
    Outcome.FAIL: "against it",
    Outcome.UNKNOWN: "unknown",
    Outcome.CONDITION: "with a condition",
    Outcome.PASS: "passed",
}


def _outcomes(why: WhyPart | None) -> str:
    found = why.outcomes.items() if why else ()
    return ", ".join(f"{count} {_COUNTED[outcome]}" for outcome, count in found if count)


def _open(findings: Sequence[Finding]) -> str:
    rows = [(f.outcome, _of_all(names), f.required, f.offered, _why(f)) for names, f in _told_once(findings)]
    return simple_table("", ["outcome", "check", "required", "offered", "why"], rows) if rows else ""


def _told_once(findings: Iterable[Finding]) -> list[tuple[list[str], Finding]]:
    """Findings that say the same of several functions as one, with the names they go by, in their order."""
    rows: dict[object, tuple[list[str], Finding]] = {}
    for f in findings:
        kind, _, of = f.check.partition(", ")
        key = (kind, f.outcome, f.why, f.required, f.offered) if of else f.check
        rows.setdefault(key, ([], f))[0].append(f.check)
    return list(rows.values())


def _of_all(names: list[str]) -> str:
    """One check of several functions: its name once, then theirs."""
    first, *rest = names
    return "; ".join((first, *(name.partition(", ")[2] for name in rest)))


def _why(finding: Finding) -> str:
    return f"{finding.why} [{finding.source}]" if finding.source else finding.why


def _passed(findings: Sequence[Finding]) -> tuple[str, str]:
    """Those with room to tell, functions that come to the same in one row; the rest by name only."""
    measured = _alike(sorted((f for f in findings if f.margin is not None), key=lambda f: f.margin or 0.0))
    rows = [(_name(names), f.required, f.offered, f"{f.margin:+.0%}") for names, f in measured]
    plain = dict.fromkeys(f.check.partition(", ")[0] for f in findings if f.margin is None)
    return (
        simple_table("Passed, the narrowest first", ["check", "required", "offered", "room"], rows) if rows else "",
        simple_table("", ["", ""], [("passed too", ", ".join(plain))]) if plain else "",
    )


def _alike(findings: Iterable[Finding]) -> list[tuple[list[str], Finding]]:
    """Findings of one check with the same figures, with the names they go by."""
    rows: dict[object, tuple[list[str], Finding]] = {}
    for f in findings:
        key = (f.check.partition(", ")[0], f.required, f.offered, f.margin)
        rows.setdefault(key, ([], f))[0].append(f.check)
    return list(rows.values())


def _name(names: list[str]) -> str:
    check, _, function = names[0].partition(", ")
    return names[0] if len(names) == 1 or not function else f"{check}, {len(names)} functions"


def glance_table(answer: BoardGlance) -> str:
    """A whole board: each position with the best that was found for it."""
    rows = [(p.position, ", ".join(p.functions), _nearest(p)) for p in answer.positions]
    return simple_table(answer.title, ["position", "functions", "nearest"], rows) + in_a_line(answer.cautions)


def _nearest(position: PositionGlance) -> str:
    if position.verdict is None:
        return "nothing found"
    return f"{position.maker} {position.part_number}: {position.verdict.words}"


PINS_ONLY = "Pins only, and no approval: coil, contacts and load are judged by bom match."


def fit_table(answer: FitFound) -> str:
    """The outcome and its reason, which pin goes into which hole, every other finding, what was asked of the nets."""
    lines = [f"{answer.outcome.words}: {answer.why}"]
    if answer.assignment:
        lines.append(_placed(answer))
        lines.append(f"pins into holes: {', '.join(f'{pin} → {hole}' for pin, hole in answer.assignment.items())}")
    lines += [_finding(f) for f in answer.findings if f.why != answer.why or _joined(f)]
    lines += [_NETS[answer.nets]]
    lines += [f"Drawn at true size: {answer.drawing}"] if answer.drawing else []
    return "\n".join([*lines, f"{PINS_ONLY}\n{in_a_line(answer.cautions)}".rstrip()])


def _placed(answer: FitFound) -> str:
    play = "not known" if answer.play_mm is None else f"{answer.play_mm:.3f} mm"
    x, y = answer.shift_mm or (0.0, 0.0)
    return f"turned by {answer.rotation_deg or 0.0:.2f}°, moved by ({x:.3f}, {y:.3f}) mm, smallest play {play}"


def _finding(finding: Finding) -> str:
    return f"{finding.check}: {finding.outcome.words}, {finding.why}{_joined(finding)}"


def _joined(finding: Finding) -> str:
    """Where the nets differ: what is joined in that state, on the board and with this part."""
    if finding.check != "connects alike" or not finding.offered:
        return ""
    return f" (on the board {finding.required}; with this part {finding.offered})"


_NETS = {
    "proved": "Nets: proved, state by state, by the wirings named.",
    "differ": "Nets: tried state by state; they differ.",
    "unknown": "Nets: asked, and not known.",
    "not asked": "Nets: not asked. --wirings FILE with --candidate and --original proves them.",
    "not reached": "Nets: not tried, since the pins do not go in.",
}


ONE_WAY = (
    "Each row was proved by itself and in this direction only. Nothing follows through a third part: where A may be "
    "replaced by B and B by C, look for A and C."
)
_LISTED = 12


def cross_reference_table(answer: CrossReferenced) -> str:
    """The pairs, then who has one source or none left, then the parts with a caution of their own."""
    pairs = answer.replacements
    rows = [(p.part_number, p.by_part_number, p.by_maker, p.verdict.words, p.why) for p in pairs[:_LISTED]]
    columns = ["part number", "may be replaced by", "its maker", "verdict", "worst reason"]
    shown = simple_table("", columns, rows) if rows else "No part may stand in for another.\n"
    more = len(pairs) - len(rows)
    tail = f"... and {more} more pairs; --out FILE writes them all.\n" if more > 0 else ""
    count = f"{answer.designs} designs of {answer.parts} parts. {ONE_WAY}\n"
    return shown + tail + _thin(answer) + count + _care(answer)


def _care(answer: CrossReferenced) -> str:
    """The gravest of all, then the parts with a caution of their own: a stand-in for them is never bought without."""
    parts: dict[str, list[str]] = {}
    for caution, pair in _each_caution(answer.replacements):
        parts.setdefault(caution, []).append(pair.part_number)
    own = "".join(f"⚠ {', '.join(dict.fromkeys(named))}: {in_few_words([text])}\n" for text, named in parts.items())
    return own + in_a_line([text for text in answer.cautions if text not in parts])


def _each_caution(pairs: Iterable[PairFound]) -> Iterable[tuple[str, PairFound]]:
    return ((caution, pair) for pair in pairs for caution in pair.cautions)


def _thin(answer: CrossReferenced) -> str:
    """Designs with no active source, or one only."""
    thin = [s for s in answer.standings if s.sources < 2]
    rows = [(s.maker, s.part_number, s.status, s.standing, s.drop_ins) for s in thin[:_LISTED]]
    columns = ["maker", "part number", "status", "standing", "active parts that drop in"]
    more = len(thin) - len(rows)
    tail = f"... and {more} more; --out FILE writes them all.\n" if more > 0 else ""
    return (simple_table("One source or none active", columns, rows) + tail) if rows else ""
