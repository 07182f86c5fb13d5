"""Part against part, where no board says what is needed: the candidate must offer at least what the original did.

The rule of each check is common practice, no source: equal coil volts, no more coil current at the least ohms that the
tolerance allows, pull-in no later and release no lower at 20 °C, no slower, as long a mechanical life, the same contact
material, every published rating matched or beaten, the same suppression inside, no taller, no larger, no less tight,
and as warm and as cold.

Ratings are compared line against line. Each line of the original asks for its currents at its volts, for its kind of
load. A line of the candidate answers it where it was tested as hard: at least as hot, for as many operations, with as
much inductance. A line for both contacts speaks for each of them, behind the contact's own. A current or a condition
that the original states and the candidate leaves out is *unknown*: nothing was promised, and nothing was denied.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from unicodedata import normalize

from bom.duty.cautions import is_dangerous
from bom.duty.published_ratings import BOTH, lines_of
from bom.match.search_facts import derived, operate_volts_20, total
from bom.relays.relay import (
    CoilSystem,
    ContactPolarity,
    Design,
    Insulation,
    Mains,
    Rating,
    Relay,
    Sealing,
    SupplyKind,
    Suppression,
)
from bom.relays.wiring import Kind
from bom.values.finding import Finding, Outcome

# A data-sheet coil resistance is a nominal value; makers round it, so one percent is the same coil. Common practice,
# no source.
SAME_COIL = 0.01


def alike_findings(candidate: Design, original: Design) -> tuple[Finding, ...]:
    """Every electrical and mechanical comparison of two parts; a value either sheet leaves out gives *unknown*."""
    new, old = candidate.relay, original.relay
    return (
        *_same(new, old),
        *_coil(new, old),
        *_times(new, old),
        _material(new, old),
        _at_least("hottest ambient", new.temp_max_c, old.temp_max_c, "°C"),
        _at_most("coldest ambient", new.temp_min_c, old.temp_min_c, "°C"),
        _at_most("height", _height(new), _height(old), "mm"),
        _sealing(new, old),
        _suppression(new, old),
        *_where_stated(new, old, dangerous=_on_dangerous_volts(original)),
        *rating_findings(candidate, original),
    )


def _same(new: Relay, old: Relay) -> Iterator[Finding]:
    yield _equal("coil supply", new.coil_supply, old.coil_supply)
    yield _equal("coil volts", new.coil_volts, old.coil_volts, "V")


def _coil(new: Relay, old: Relay) -> Iterator[Finding]:
    """Ohms and volts are brought to 20 °C, since sheets state them at different temperatures; the least ohms that the
    tolerance allows take the most current."""
    yield _at_most_current(derived(new)["least_ohms_20"], derived(old)["least_ohms_20"])
    yield _at_most("pull-in", _at_20_c(new, new.operate_volts), _at_20_c(old, old.operate_volts), "V")
    if old.coil_system not in LATCHING and new.coil_system not in LATCHING:
        yield _at_least("release", _at_20_c(new, new.release_volts), _at_20_c(old, old.release_volts), "V")


def _at_most_current(new: float | None, old: float | None) -> Finding:
    """At the same volts the least ohms take the most current."""
    found = _bounded("coil current", new, old, "Ω", sign=1, slack=SAME_COIL)
    if found.outcome is not Outcome.FAIL:
        return found
    return replace(found, why=f"down to {_show(new, 'Ω')} at 20 °C it takes more current than from {_show(old, 'Ω')}")


LATCHING = (CoilSystem.LATCHING_1_COIL, CoilSystem.LATCHING_2_COIL)
"""They do not let go when their volts fall."""


def _at_20_c(relay: Relay, volts: float | None) -> float | None:
    return operate_volts_20(volts, relay.coil_ref_temp_c)


def _times(new: Relay, old: Relay) -> Iterator[Finding]:
    """No board says how fast it must be, so slower is a condition."""
    for check, ours, theirs in (
        ("time to pull in", new.operate_ms, old.operate_ms),
        ("time to let go", new.release_ms, old.release_ms),
    ):
        found = _at_most(check, ours, theirs, "ms")
        slower = found.outcome is Outcome.FAIL
        yield (
            replace(found, outcome=Outcome.CONDITION, why=f"{found.why}: see that it may be slower")
            if slower
            else found
        )
    yield _at_least("mechanical life", new.mechanical_ops, old.mechanical_ops, "operations")


def _material(new: Relay, old: Relay) -> Finding:
    """Another alloy welds, wears and wets otherwise, which no board's load is there to judge."""
    check, ours, theirs = "contact material", new.contact_material, old.contact_material
    if not ours or not theirs:
        return _not_stated(check, theirs or "not stated", ours, not ours)
    if _plain(ours) == _plain(theirs):
        return Finding(check, Outcome.PASS, "as the original", theirs, ours, None, SOURCE)
    why = f"{ours}, where the original has {theirs}: see that the load suits it"
    return Finding(check, Outcome.CONDITION, why, theirs, ours, None, SOURCE)


def _plain(material: str) -> str:
    """AgSnO₂, AgSnO2 and Ag SnO2 are one material."""
    return "".join(normalize("NFKC", material).casefold().split())


def _suppression(new: Relay, old: Relay) -> Finding:
    """What a coil has inside may be all that protects its driver, and a diode slows the release: a change is a
    condition, since no board says which of the two it is."""
    check, theirs, ours = "coil suppression", old.coil_suppression, new.coil_suppression
    if ours is None or theirs is None:
        return _not_stated(check, _show(theirs), _show(ours), ours is None)
    if ours is theirs:
        return Finding(check, Outcome.PASS, "as the original", theirs.value, ours.value, None, SOURCE)
    if ours is Suppression.NONE:
        why = f"the original has a {theirs.value} inside, this one nothing: see that the driver is protected without it"
    else:
        why = f"{ours.value} inside, where the original has {theirs.value}: it releases at another speed"
    return Finding(check, Outcome.CONDITION, why, theirs.value, ours.value, None, SOURCE)


def _on_dangerous_volts(original: Design) -> bool:
    """Whether it may have switched volts that are dangerous to touch: what holds them off must then be known."""
    return any(is_dangerous(line.volts, line.supply) for line in original.ratings)


_HOLDS_THEM_OFF = ("dielectric_volts", "coil_contact_volts")


def _where_stated(new: Relay, old: Relay, *, dangerous: bool) -> Iterator[Finding]:
    """What few sheets state; asked for only where the original's does, what holds dangerous volts off always, and a
    least load where either does: a contact that needs more than the original's did may not wet at a load that it
    served."""
    rows = (
        ("least load volts", "min_load_volts", "V", _at_most),
        ("least load current", "min_load_milliamps", "mA", _at_most),
        ("least load power", "min_load_milliwatts", "mW", _at_most),
        ("highest coil volts", "coil_max_volts", "V", _at_least),
        ("dielectric strength", "dielectric_volts", "V", _at_least),
        ("insulation, coil to contacts", "coil_contact_volts", "V", _at_least),
        ("insulation, between poles", "between_poles_volts", "V", _at_least),
        ("insulation, impulse", "impulse_volts", "V", _at_least),
        ("switching rate", "most_per_minute", "a minute", _at_least),
        ("halves together", "together_amps", "A", _at_least),
    )
    for check, name, unit, bound in rows:
        always = (dangerous and name in _HOLDS_THEM_OFF) or (bound is _at_most and getattr(new, name) is not None)
        if always or getattr(old, name) is not None:
            yield bound(check, getattr(new, name), getattr(old, name), unit)
    if new.contact_polarity not in (ContactPolarity.EITHER, old.contact_polarity):
        yield _equal("current direction", new.contact_polarity, old.contact_polarity)
    if old.insulation is not None or dangerous:
        yield _insulation(new.insulation, old.insulation)
    if old.hold_volts is not None:
        yield _at_most("hold", new.hold_volts, old.hold_volts, "V")
    if SupplyKind.AC in (new.coil_supply, old.coil_supply):
        yield _frequency(new.coil_hertz, old.coil_hertz)


def _insulation(ours: Insulation | None, theirs: Insulation | None) -> Finding:
    if ours is None or theirs is None:
        return _not_stated("insulation class", _show(theirs), _show(ours), ours is None)
    enough = ours.rank >= theirs.rank
    why = "no worse than the original" if enough else f"{ours} insulation, where the original has {theirs}"
    outcome = Outcome.PASS if enough else Outcome.FAIL
    return Finding("insulation class", outcome, why, f"at least {theirs}", ours, None, SOURCE)


def _frequency(ours: Mains | None, theirs: Mains | None) -> Finding:
    """A coil for both frequencies serves wherever one for either did."""
    if ours is Mains.BOTH and theirs is not None:
        why = "for both frequencies"
        return Finding("coil frequency", Outcome.PASS, why, f"{theirs} Hz", f"{ours} Hz", None, SOURCE)
    return _equal("coil frequency", ours, theirs, "Hz")


def _height(relay: Relay) -> float | None:
    return total(relay.body_height_mm, relay.standoff_mm)


def _equal(check: str, new: object, old: object, unit: str = "") -> Finding:
    if new is None or old is None:
        return _not_stated(check, _show(old, unit), _show(new, unit), new is None)
    outcome = Outcome.PASS if new == old else Outcome.FAIL
    why = "as the original" if new == old else f"{_said(check, new, unit)}, where the original has {_show(old, unit)}"
    return Finding(check, outcome, why, _show(old, unit), _show(new, unit), None, SOURCE)


def _said(check: str, value: object, unit: str) -> str:
    """The quantity and its value, the quantity without the unit that the value carries: *coil 24 V*."""
    return f"{check.removesuffix(' volts') if unit == 'V' else check} {_show(value, unit)}"


def _at_most(check: str, new: float | None, old: float | None, unit: str, slack: float = 0.0) -> Finding:
    return _bounded(check, new, old, unit, sign=-1, slack=slack)


def _at_least(check: str, new: float | None, old: float | None, unit: str) -> Finding:
    return _bounded(check, new, old, unit, sign=1)


def _bounded(check: str, new: float | None, old: float | None, unit: str, sign: int, slack: float = 0.0) -> Finding:
    bound = "at most" if sign < 0 else "at least"
    required = f"{bound} {_show(old, unit)}"
    if new is None or old is None:
        return _not_stated(check, required, _show(new, unit), new is None)
    room = sign * (new - old)
    margin = room / abs(old) if old else None
    if room >= -slack * abs(old):
        return Finding(check, Outcome.PASS, "no worse than the original", required, _show(new, unit), margin, SOURCE)
    why = f"{check} {_show(new, unit)}, where the original has {_show(old, unit)}"
    return Finding(check, Outcome.FAIL, why, required, _show(new, unit), margin, SOURCE)


def _sealing(new: Relay, old: Relay) -> Finding:
    if new.sealing is None or old.sealing is None:
        return _not_stated(
            "sealing", str(old.sealing or "not stated"), str(new.sealing or "not stated"), not new.sealing
        )
    return sealing_at_least(new.sealing, old.sealing)


def sealing_at_least(offered: Sealing, wanted: Sealing) -> Finding:
    """A tighter category serves where a looser one is asked for. Source: IEC 61810-1 categories RT 0 to RT V."""
    enough = offered.rank >= wanted.rank
    why = "tight enough" if enough else f"{offered} is less tight than {wanted}"
    outcome = Outcome.PASS if enough else Outcome.FAIL
    return Finding("sealing", outcome, why, f"at least {wanted}", str(offered), None, "IEC 61810-1 sealing categories")


def _not_stated(check: str, required: str, offered: str, candidate_silent: bool) -> Finding:
    whose = "this part's" if candidate_silent else "the original's"
    why = f"{whose} {check} is not stated: look it up or measure it"
    return Finding(check, Outcome.UNKNOWN, why, required, offered or "not stated", None, SOURCE)


def _show(value: object, unit: str = "") -> str:
    if value is None:
        return "not stated"
    if isinstance(value, float):
        return f"{value:.4g} {unit}".strip()
    return f"{value} {unit}".strip()


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
    for contact in _unrated(original):
        why = f"the original's ratings of the {contact} contact are not stated: look them up"
        yield Finding(f"{contact} contact", Outcome.UNKNOWN, why, "not stated", "", None, SOURCE)
    for asked in original.ratings:
        if contacts := _contacts_of(asked, original):
            yield max((_finding(candidate, asked, contact) for contact in contacts), key=_gravity)


def _unrated(original: Design) -> tuple[Kind, ...]:
    """The contacts that the original has and states nothing of, though it rates another."""
    if not original.ratings or original.wiring is None:
        return ()
    there = dict.fromkeys(e.kind for e in original.wiring.contacts)
    return tuple(kind for kind in there if not any(r.covers(kind) for r in original.ratings))


def _contacts_of(asked: Rating, original: Design) -> tuple[Kind, ...]:
    """The contacts that the original's line speaks for: those that it has, where no line of their own says less."""
    if asked.contact != BOTH:
        return (Kind(asked.contact),)
    wiring = original.wiring
    there = {Kind.MAKE, Kind.BREAK} if wiring is None else {e.kind for e in wiring.contacts}
    of = (kind for kind in (Kind.MAKE, Kind.BREAK) if kind in there)
    return tuple(kind for kind in of if asked in lines_of(original.ratings, kind, asked.supply))


def _gravity(found: Finding) -> tuple[int, float]:
    return found.outcome.gravity, -(found.margin or 0.0)


def _finding(candidate: Design, asked: Rating, contact: Kind) -> Finding:
    check = f"{asked.contact} contact, {asked.load} {asked.volts:g} V {asked.supply}"
    lines = [r for r in lines_of(candidate.ratings, contact, asked.supply) if _is_of_the_kind(r, asked)]
    if not lines:
        return _no_line(candidate, asked, contact, check)
    best, answer = min(((r, _answer(r, asked)) for r in lines), key=lambda pair: _order(pair[1]))
    source = best.source or SOURCE
    return Finding(check, answer.outcome, answer.why, _line_said(asked), _line_said(best), answer.margin, source)


def _no_line(candidate: Design, asked: Rating, contact: Kind, check: str) -> Finding:
    """Nothing is published at these volts: unknown, but refused where it offers too little even at fewer."""
    below = [r for r in lines_of(candidate.ratings, contact, asked.supply) if r.load == asked.load]
    answers = [(r, _answer(r, asked)) for r in below]
    if answers and all(answer.outcome is Outcome.FAIL for _, answer in answers):
        best, answer = min(answers, key=lambda pair: _order(pair[1]))
        why = f"even at {best.volts:g} V: {answer.why}"
        source = best.source or SOURCE
        return Finding(check, Outcome.FAIL, why, _line_said(asked), _line_said(best), answer.margin, source)
    line = f"{asked.load} rating of the {contact} contact at {asked.volts:g} V {asked.supply}"
    why = f"no {line} is published; the original states {_line_said(asked)}"
    return Finding(check, Outcome.UNKNOWN, why, _line_said(asked), "not stated", None, SOURCE)


def _is_of_the_kind(offered: Rating, asked: Rating) -> bool:
    return offered.load == asked.load and offered.volts >= asked.volts


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
        yield _no_less("current", offered.amps, asked.amps, "A")
    if asked.inrush_amps:
        yield _no_less("inrush", offered.inrush_amps or _as_inrush(offered, asked), asked.inrush_amps, "A")
    if asked.carry_amps:
        yield _carried(offered, asked)


def _as_inrush(offered: Rating, asked: Rating) -> float | None:
    """A line that states no inrush makes its running amps at least; less than is asked, it says nothing."""
    return offered.amps if (offered.amps or 0.0) >= (asked.inrush_amps or 0.0) else None


def _carried(offered: Rating, asked: Rating) -> _Answer:
    """A current carried for a shorter time than the original's says nothing of the longer one."""
    need, seconds = asked.carry_amps or 0.0, asked.carry_seconds
    if (offered.amps or 0.0) >= need:
        return _no_less("carried current", offered.amps, need, "A")
    enough = offered.carry_amps is not None and offered.carry_amps >= need
    if offered.carry_amps is None or (enough and _may_be_shorter(offered.carry_seconds, seconds)):
        said = f"carries {_carry(offered)}" if offered.carry_amps is not None else "no carried current is stated"
        return _Answer(Outcome.UNKNOWN, f"{said}; the original {_carry(asked)}: look it up")
    return _no_less("carried current", offered.carry_amps, need, "A")


def _may_be_shorter(offered: float | None, asked: float | None) -> bool:
    """A time that only the candidate states may fall short of one that the original leaves out."""
    return offered is not None if asked is None else (offered or 0.0) < asked


def _conditions(offered: Rating, asked: Rating) -> Iterator[_Answer]:
    """Was the line tested as hard? Fewer operations is less; cooler or less inductive says nothing of the harder."""
    if asked.operations is not None:
        yield _no_less("operations", offered.operations, asked.operations, "operations")
    if asked.temp_c is not None:
        yield _as_hard("at {:g} °C", offered.temp_c, asked.temp_c, 1)
    if asked.lr_ms is not None:
        yield _as_hard("with L/R {:g} ms", offered.lr_ms, asked.lr_ms, 1)
    if asked.power_factor is not None:
        yield _as_hard("at power factor {:g}", offered.power_factor, asked.power_factor, -1)


def _no_less(what: str, offered: float | None, asked: float, unit: str) -> _Answer:
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


def _line_said(rating: Rating) -> str:
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
