"""Part against part, where no board says what is needed: the candidate must offer at least what the original did.

The rule of each check is common practice, no source: equal coil volts, no more coil current, pull-in no later, every
published rating matched or beaten, the same suppression inside, no taller, no larger, no less tight, and as warm and
as cold.
"""

from __future__ import annotations

from collections.abc import Iterator

from bom.match.facts import rated_amps, total
from bom.match.rated_alike import SOURCE, rating_findings
from bom.relays.relay import Design, Relay, Sealing, Suppression
from bom.values.finding import Finding, Outcome

# A data-sheet coil resistance is a nominal value; makers round it, so one percent is the same coil. Common practice,
# no source.
SAME_COIL = 0.01


def alike_findings(candidate: Design, original: Design) -> tuple[Finding, ...]:
    """Every electrical and mechanical comparison of two parts; a value either sheet leaves out gives *unknown*."""
    new, old = candidate.relay, original.relay
    return (
        *_same(new, old),
        _at_most("coil current", _coil_amps(new), _coil_amps(old), "A", SAME_COIL),
        _at_most("pull-in", new.operate_volts, old.operate_volts, "V"),
        _at_least("hottest ambient", new.temp_max_c, old.temp_max_c, "°C"),
        _at_most("coldest ambient", new.temp_min_c, old.temp_min_c, "°C"),
        _at_most("height", _height(new), _height(old), "mm"),
        _sealing(new, old),
        _suppression(new, old),
        *_where_stated(new, old),
        *rating_findings(candidate, original),
    )


def _same(new: Relay, old: Relay) -> Iterator[Finding]:
    yield _equal("coil supply", new.coil_supply, old.coil_supply)
    yield _equal("coil volts", new.coil_volts, old.coil_volts, "V")


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


def _where_stated(new: Relay, old: Relay) -> Iterator[Finding]:
    """What few sheets state; asked for only where the original's does, and a least load where either does: a
    contact that needs more than the original's did may not wet at a load that it served."""
    rows = (
        ("least load volts", "min_load_volts", "V", _at_most),
        ("least load current", "min_load_milliamps", "mA", _at_most),
        ("least load power", "min_load_milliwatts", "mW", _at_most),
        ("highest coil volts", "coil_max_volts", "V", _at_least),
        ("dielectric strength", "dielectric_volts", "V", _at_least),
    )
    for check, name, unit, bound in rows:
        if getattr(old, name) is not None or (bound is _at_most and getattr(new, name) is not None):
            yield bound(check, getattr(new, name), getattr(old, name), unit)


def _coil_amps(relay: Relay) -> float | None:
    return rated_amps(relay.coil_volts, relay.coil_ohms)


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
