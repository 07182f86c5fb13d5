"""How a number is held against its limit, and what is said when a number is missing.

The one rule all of duty shares lives here: a part that is outside the stated window, but no worse than the part
that has worked there since the factory, is a condition and not a failure.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from bom.values.finding import Finding, Outcome

ROUNDING = 1e-9  # no test can tell its size: far below what a meter shows, far above what arithmetic loses
"""How far two figures that should be equal may be apart, in their own unit or as a share."""


def room(need: float, limit: float) -> float:
    """The room left as a share of what is needed; negative = short. ``need`` must be above zero.

    >>> room(10, 12), room(10, 9)
    (0.2, -0.1)
    """
    return (limit - need) / need


def held(
    check: str,
    need: float,
    limit: float,
    unit: str,
    why: str,
    source: str = "",
    fitted: tuple[float, float] | None = None,
) -> Finding:
    """``need`` against ``limit``, both in ``unit``: pass, fail, or condition where the fitted part is no better.

    ``fitted`` is (need, limit) of the part fitted at the factory, where known. A candidate that has at least the
    fitted part's room, when both are outside the stated window, changes nothing for the worse: the window may be
    stated too widely, and the box has worked. It is a *condition* that says so. Without a fitted part to compare
    with, or with less room than it, outside is *fail*. (Common practice, no source.)
    """
    margin = room(need, limit)
    outcome, said = _judged(margin, fitted, why, unit)
    return Finding(check, outcome, said, amount(need, unit), amount(limit, unit), margin, source)


def _judged(margin: float, fitted: tuple[float, float] | None, why: str, unit: str) -> tuple[Outcome, str]:
    if margin >= -ROUNDING:
        return Outcome.PASS, why
    if fitted is None or margin < room(*fitted) - ROUNDING:
        return Outcome.FAIL, why
    theirs = f"{amount(fitted[0], unit)} against {amount(fitted[1], unit)}"
    return Outcome.CONDITION, no_worse("is outside the stated window too", theirs, why)


_NO_WORSE = "no worse than the fitted part, which "


def no_worse(how: str, theirs: str, why: str) -> str:
    """Why a part that would be refused is a condition: the fitted part would be refused as well."""
    return f"{_NO_WORSE}{how} ({theirs}): {why}"


def held_alone(found: Finding) -> Finding:
    """The finding about the fitted part itself, which is no measure of itself: outside the window is *fail*."""
    if found.outcome is not Outcome.CONDITION or not found.why.startswith(_NO_WORSE):
        return found
    return replace(found, outcome=Outcome.FAIL, why=found.why.partition("): ")[2])


def known(value: float | None) -> float:
    """A value that is known to be stated where this is asked; AssertionError else, so that no gap counts as zero.

    >>> known(2.5)
    2.5
    """
    assert value is not None, "asked before it was known to be stated"
    return value


def unknown(check: str, wanted: Mapping[str, object], why: str = "") -> Finding:
    """Which of the ``wanted`` values (None = missing) must be measured or looked up before this can be answered."""
    missing = ", ".join(name for name, value in wanted.items() if value is None)
    said = f"not stated: {missing}; measure it or look it up"
    return Finding(check, Outcome.UNKNOWN, f"{why}; {said}" if why else said)


def a(words: str) -> str:
    """The words with their article: a motor, an inductive, an AC-15."""
    return f"{'an' if words[:1].lower() in 'aeiou' else 'a'} {words}"


def amount(value: float, unit: str) -> str:
    """A number with its unit, to as many places as the bench can use."""
    places = 0 if abs(value) >= 200 else 1 if abs(value) >= 20 else 2
    return f"{value:.{places}f} {unit}"
