"""Choosing a rule of thumb by its name, the one used when nobody chooses, and what the rules print side by side."""

from __future__ import annotations

from bom.duty.figures.rule import Rule, joined
from bom.duty.figures.rule_tables import TABLES, TEN_SIX

DEFAULT = TEN_SIX

__all__ = ["DEFAULT", "TABLES", "Rule", "compared", "joined", "others_say", "rule_named", "rule_names", "with_loads"]


def rule_named(name: str) -> Rule:
    """The rule of this name, or several joined by `` + ``; KeyError, listing the names there are, for any other."""
    return joined(tuple(map(_one_named, name.split(" + "))))


def with_loads(rule: Rule) -> Rule:
    """The rule, joined by the usual one where it speaks of coils alone."""
    speaks = rule.inrush_times or rule.size_times or rule.percent or rule.by_power_factor
    return rule if speaks else joined((rule, DEFAULT))


def _one_named(name: str) -> Rule:
    for rule in TABLES:
        if rule.name == name.strip().lower():
            return rule
    raise KeyError(f"no rule “{name}”; there are {', '.join(f'“{known}”' for known in rule_names())}")


def rule_names() -> tuple[str, ...]:
    return tuple(rule.name for rule in TABLES)


def compared(load: str, volts: float = 12.0, rules: tuple[Rule, ...] = TABLES) -> dict[str, tuple[float, float]]:
    """What each rule multiplies this load's running current by, (lowest, highest) printed, for those that print it."""
    found = {}
    for rule in rules:
        if load in rule.inrush_times:
            found[rule.name] = rule.inrush_times[load]
        elif (size := rule.size(load, volts)) is not None:
            found[rule.name] = (size, size)
    return found


def others_say(rule: Rule, load: str, volts: float) -> str:
    """How far the other publications' figures for this load range, in words; empty where none prints another."""
    ours = rule.times(load, volts)
    spans = [span for span in compared(load, volts).values() if span != (ours, ours)]
    if ours is None or not spans:
        return ""
    low, high = min(s[0] for s in spans), max(s[1] for s in spans)
    return f"others print {low:.3g}" if low == high else f"others print {low:.3g} to {high:.3g}"
