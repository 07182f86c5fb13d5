"""Choosing a rule of thumb by its name, and the one used when nobody chooses."""

from __future__ import annotations

from bom.duty.rule import Rule
from bom.duty.rule_tables import TABLES, TEN_SIX

DEFAULT = TEN_SIX

__all__ = ["DEFAULT", "Rule", "rule_named", "rule_names"]


def rule_named(name: str) -> Rule:
    """The rule of this name; KeyError, listing the names there are, for any other."""
    for rule in TABLES:
        if rule.name == name.strip().lower():
            return rule
    raise KeyError(f"no rule “{name}”; there are: {', '.join(rule_names())}")


def rule_names() -> tuple[str, ...]:
    return tuple(rule.name for rule in TABLES)
