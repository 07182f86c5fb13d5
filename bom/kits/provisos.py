"""Knows on what a kit's parts serve: everything their verdicts ask of whoever fits them.

A part that a kit takes may serve on a condition only ("pause between directions"), with something still unknown, or,
out of an old bag, no longer at all. Whoever opens the bag must read that, so every paper of the kit carries it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bom.values.finding import Finding, Outcome, worst_first


@dataclass(frozen=True, slots=True)
class Proviso:
    """What one part is asked at the ``positions`` it goes in at: a finding's outcome and words, never a plain pass."""

    positions: tuple[str, ...]
    part_number: str
    outcome: Outcome
    check: str
    why: str
    source: str = ""

    @property
    def words(self) -> str:
        """On one line, where it goes in first.

        >>> Proviso(("K1", "K2"), "TW2", Outcome.CONDITION, "reversing", "pause between directions").words
        'K1, K2: TW2 serves on condition: pause between directions'
        """
        at = f"{', '.join(self.positions)}: " if self.positions else ""
        return f"{at}{self.part_number} {_SAID[self.outcome]}: {self.why}"


_SAID = {
    Outcome.CONDITION: "serves on condition",
    Outcome.UNKNOWN: "is not proved",
    Outcome.FAIL: "does not serve",
    Outcome.PASS: "serves",
}


def provisos(judged: Iterable[tuple[str, str, Iterable[Finding]]]) -> tuple[Proviso, ...]:
    """From (position, part number, findings): what does not pass, the worst first, positions that are asked the same
    thing together.

    >>> pause = Finding("reversing", Outcome.CONDITION, "pause between directions")
    >>> [(c.positions, c.why) for c in provisos([("K1", "TW2", [pause]), ("K2", "TW2", [pause])])]
    [(('K1', 'K2'), 'pause between directions')]
    """
    asked: dict[tuple[str, Outcome, str], tuple[Finding, list[str]]] = {}
    for position, part, findings in judged:
        for finding in findings:
            if finding.outcome is not Outcome.PASS:
                _, at = asked.setdefault((part, finding.outcome, finding.why), (finding, []))
                at.append(position)
    order = {id(f): n for n, f in enumerate(worst_first(f for f, _ in asked.values()))}
    worst = sorted(asked.items(), key=lambda one: order[id(one[1][0])])
    return tuple(
        Proviso(tuple(dict.fromkeys(filter(None, at))), part, outcome, finding.check, why, finding.source)
        for (part, outcome, why), (finding, at) in worst
    )
