"""A finding is one check's answer, and a verdict is what a list of findings comes to.

There are four answers and *unknown* is one of them: a value that nobody stated never passes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Outcome(StrEnum):
    """What one check answers."""

    PASS = "pass"
    CONDITION = "condition"
    FAIL = "fail"
    UNKNOWN = "unknown"

    __hash__ = str.__hash__  # its word's own: an enum's is Python code, and a match looks outcomes up by the thousand

    @property
    def gravity(self) -> int:
        """How bad it is: 0 for *pass*, then *condition*, *unknown*, and 3 for *fail*.

        >>> max([Outcome.PASS, Outcome.FAIL, Outcome.UNKNOWN], key=lambda outcome: outcome.gravity).value
        'fail'
        """
        return _GRAVITY[self]

    @property
    def words(self) -> str:
        """The outcome as people say it."""
        return self.value


class Verdict(StrEnum):
    """What all checks on one candidate come to."""

    DROP_IN = "drop_in"
    CONDITIONAL = "conditional"
    UNKNOWN = "unknown"
    NO = "no"

    @property
    def words(self) -> str:
        """The verdict as people say it: *drop-in*, *conditional*, *unknown*, *no*."""
        return self.value.replace("_", "-")

    @property
    def outcome(self) -> Outcome:
        """The worst outcome that its findings have."""
        return next(outcome for outcome, verdict in _VERDICT.items() if verdict is self)


@dataclass(frozen=True, slots=True)
class Finding:
    """One check: what was asked (*required*), what the part gives (*offered*) and the room left.

    ``required`` and ``offered`` are text with units, ready to read; ``margin`` is the room left as a share
    of what is required (0.10 = 10 % to spare, negative = short), or None where a share has no meaning.
    ``why`` is one sentence; ``source`` says which published line, rule of thumb or board file decided.
    """

    check: str
    outcome: Outcome
    why: str
    required: str = ""
    offered: str = ""
    margin: float | None = None
    source: str = ""


_GRAVITY = {Outcome.PASS: 0, Outcome.CONDITION: 1, Outcome.UNKNOWN: 2, Outcome.FAIL: 3}
_VERDICT = {
    Outcome.FAIL: Verdict.NO,
    Outcome.UNKNOWN: Verdict.UNKNOWN,
    Outcome.CONDITION: Verdict.CONDITIONAL,
    Outcome.PASS: Verdict.DROP_IN,
}


# What makes a part another part comes before what it bears: its pins, what they join, its coil; then all
# else. Common practice, no source.
_ABOUT = (
    ("goes in", "side of the drawing", "pins"),
    ("connects alike", "coil system", "coil supply", "coil polarity", "units", "contacts"),
    ("coil volts", "pull-in when hot", "highest coil volts", "pull-in", "operate volts"),
)
_PLACE = {check: place for place, checks in enumerate(_ABOUT) for check in checks}


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings in order: the one worst reason first; among equals the smallest margin first."""
    return tuple(sorted(findings, key=lambda f: badness(f.outcome, f.check, f.margin)))


def badness(outcome: Outcome, check: str, margin: float | None) -> tuple[int, int, float]:
    """What reasons are put in order by, the worst first: the outcome, what it is about, the room left.

    >>> pins, heat = (badness(Outcome.FAIL, check, None) for check in ("goes in", "coil power"))
    >>> pins < heat
    True
    """
    return -outcome.gravity, _PLACE.get(check, len(_ABOUT)), _margin_key(margin)


def verdict_of(findings: Iterable[Finding]) -> Verdict:
    """The verdict of a candidate: the worst outcome decides, and nothing checked is *unknown*."""
    outcomes = [f.outcome for f in findings]
    if not outcomes:
        return Verdict.UNKNOWN
    return _VERDICT[max(outcomes, key=lambda outcome: outcome.gravity)]


def narrowest_margin(findings: Iterable[Finding]) -> float | None:
    """The smallest stated margin, or None where no check has one."""
    return min((f.margin for f in findings if f.margin is not None), default=None)


def _margin_key(margin: float | None) -> float:
    return float("inf") if margin is None else margin
