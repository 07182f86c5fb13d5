"""Published ratings, line against line: does one part state at least what the other does, under conditions as hard?

Each line of the original asks for its currents at its volts, for its kind of load. A line of the candidate answers it
where it was tested as hard: at least as hot, for as many operations, with as much inductance. A current or a condition
that the original states and the candidate leaves out is *unknown*: nothing was promised, and nothing was denied.
Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from bom.relays.relay import Design, Rating
from bom.values.finding import Finding, Outcome

SOURCE = "common practice, no source: at least what the original offers"
_SEVERITY = (Outcome.PASS, Outcome.UNKNOWN, Outcome.FAIL)


@dataclass(frozen=True, slots=True)
class _Answer:
    """What one line says to one figure that is asked for; ``margin`` as a share, None where it has no meaning."""

    outcome: Outcome
    why: str = ""
    margin: float | None = None


def rating_findings(candidate: Design, original: Design) -> Iterator[Finding]:
    """One finding for each published line of the original; *unknown* where it publishes none."""
    if not original.ratings:
        why = "the original's contact ratings are not stated: look them up"
        yield Finding("contact ratings", Outcome.UNKNOWN, why, "not stated", "", None, SOURCE)
    for asked in original.ratings:
        yield _finding(candidate.ratings, asked)


def _finding(offered: Iterable[Rating], asked: Rating) -> Finding:
    check = f"{asked.contact} contact, {asked.load} {asked.volts:g} V {asked.supply}"
    lines = [r for r in offered if _is_of_the_kind(r, asked)]
    if not lines:
        line = f"{asked.load} rating published at {asked.volts:g} V {asked.supply}"
        why = f"no {line}; the original states {_said(asked)}"
        return Finding(check, Outcome.UNKNOWN, why, _said(asked), "not stated", None, SOURCE)
    best, answer = min(((r, _answer(r, asked)) for r in lines), key=lambda pair: _order(pair[1]))
    source = best.source or SOURCE
    return Finding(check, answer.outcome, answer.why, _said(asked), _said(best), answer.margin, source)


def _is_of_the_kind(offered: Rating, asked: Rating) -> bool:
    return (
        offered.load == asked.load
        and offered.supply == asked.supply
        and offered.volts >= asked.volts
        and offered.contact in ("both", asked.contact)
    )


def _order(answer: _Answer) -> tuple[int, float]:
    return _SEVERITY.index(answer.outcome), -(answer.margin or 0.0)


def _answer(offered: Rating, asked: Rating) -> _Answer:
    """The worst of what the line says to each figure, with the smallest room of all."""
    currents = tuple(_currents(offered, asked))
    if not currents:
        return _Answer(Outcome.UNKNOWN, "the original's line states no current: look it up")
    answers = (*currents, *_conditions(offered, asked))
    worst = max(answers, key=_order)
    margins = [a.margin for a in answers if a.margin is not None]
    why = worst.why or "rated as high as the original"
    return _Answer(worst.outcome, why, min(margins, default=None))


def _currents(offered: Rating, asked: Rating) -> Iterator[_Answer]:
    if asked.amps:
        yield _at_least("current", offered.amps, asked.amps, "A")
    if asked.inrush_amps:
        yield _at_least("inrush", offered.inrush_amps or _as_inrush(offered, asked), asked.inrush_amps, "A")
    if asked.carry_amps:
        yield _carried(offered, asked)


def _as_inrush(offered: Rating, asked: Rating) -> float | None:
    """A line that states no inrush makes its running amps at least; less than is asked, it says nothing."""
    return offered.amps if (offered.amps or 0.0) >= (asked.inrush_amps or 0.0) else None


def _carried(offered: Rating, asked: Rating) -> _Answer:
    """A current carried for a shorter time than the original's says nothing of the longer one."""
    need, seconds = asked.carry_amps or 0.0, asked.carry_seconds
    if (offered.amps or 0.0) >= need:
        return _at_least("carried current", offered.amps, need, "A")
    enough = offered.carry_amps is not None and offered.carry_amps >= need
    if offered.carry_amps is None or (enough and _may_be_shorter(offered.carry_seconds, seconds)):
        said = f"carries {_carry(offered)}" if offered.carry_amps is not None else "no carried current is stated"
        return _Answer(Outcome.UNKNOWN, f"{said}; the original {_carry(asked)}: look it up")
    return _at_least("carried current", offered.carry_amps, need, "A")


def _may_be_shorter(offered: float | None, asked: float | None) -> bool:
    """A time that only the candidate states may fall short of one that the original leaves out."""
    return offered is not None if asked is None else (offered or 0.0) < asked


def _conditions(offered: Rating, asked: Rating) -> Iterator[_Answer]:
    """Was the line tested as hard? Fewer operations is less; cooler or less inductive says nothing of the harder."""
    if asked.operations is not None:
        yield _at_least("operations", offered.operations, asked.operations, "operations")
    if asked.temp_c is not None:
        yield _as_hard("at {:g} °C", offered.temp_c, asked.temp_c, 1)
    if asked.lr_ms is not None:
        yield _as_hard("with L/R {:g} ms", offered.lr_ms, asked.lr_ms, 1)
    if asked.power_factor is not None:
        yield _as_hard("at power factor {:g}", offered.power_factor, asked.power_factor, -1)


def _at_least(what: str, offered: float | None, asked: float, unit: str) -> _Answer:
    if offered is None:
        return _Answer(Outcome.UNKNOWN, f"its {what} is not stated; the original's is {asked:,g} {unit}: look it up")
    margin = offered / asked - 1.0
    if offered >= asked:
        return _Answer(Outcome.PASS, "", margin)
    return _Answer(Outcome.FAIL, f"{what} {offered:,g} {unit}, the original {asked:,g} {unit}", margin)


def _as_hard(words: str, offered: float | None, asked: float, sign: int) -> _Answer:
    """``sign`` 1: more is harder; -1: less is."""
    theirs = words.format(asked)
    if offered is None:
        return _Answer(Outcome.UNKNOWN, f"the original is rated {theirs}, this line does not say: look it up")
    if sign * (offered - asked) >= 0:
        return _Answer(Outcome.PASS)
    return _Answer(Outcome.UNKNOWN, f"rated {words.format(offered)}, the original {theirs}: look up the maker's curve")


def _said(rating: Rating) -> str:
    parts = [f"{rating.amps:g} A" if rating.amps is not None else ""]
    parts.append(f"inrush {rating.inrush_amps:g} A" if rating.inrush_amps else "")
    parts.append(_carry(rating) if rating.carry_amps is not None else "")
    parts.append(f"at {rating.temp_c:g} °C" if rating.temp_c is not None else "")
    parts.append(f"L/R {rating.lr_ms:g} ms" if rating.lr_ms is not None else "")
    parts.append(f"power factor {rating.power_factor:g}" if rating.power_factor is not None else "")
    parts.append(f"{rating.operations:,g} operations" if rating.operations is not None else "")
    return ", ".join(p for p in parts if p) or "no current"


def _carry(rating: Rating) -> str:
    span = f" for {rating.carry_seconds:g} s" if rating.carry_seconds is not None else ""
    return f"{rating.carry_amps:g} A{span}"
