"""Which rule of thumb was asked for, from the published tables or a shop's own file, and all of them side by side."""

from __future__ import annotations

from pathlib import Path

from bom.answers.catalogue import CategoryListed, RuleListed
from bom.duty.rules import DEFAULT, TABLES, Rule, compared, joined, rule_named, with_loads
from bom.values.problem import Refused

OWN = ".toml"
SYSTEMS = (12.0, 28.0)


def rule_asked(text: str | None) -> Rule:
    """The rule named, the one in the named .toml file, or several joined by `` + ``; the usual one for nothing.

    One that speaks of coils alone is joined by the usual one, so that loads are still judged.
    """
    if text is None:
        return DEFAULT
    return with_loads(joined(tuple(_one(part.strip()) for part in text.split(" + "))))


def _one(text: str) -> Rule:
    if text.lower().endswith(OWN):
        return _own(Path(text))
    try:
        return rule_named(text)
    except KeyError as error:
        raise Refused(f"{error.args[0]}, or a file of your own, as in bench{OWN}") from error


def _own(file: Path) -> Rule:
    from bom.intake.rule_file import read_rule

    if not file.is_file():
        raise Refused(f"expected a rule file, found none at {file}")
    return read_rule(file)


def list_rules(own: str | None = None) -> list[RuleListed | CategoryListed]:
    """Every rule of thumb, the shop's own among them; then the tables that no one chooses: utilisation categories and
    contact rating designations."""
    tables = (*TABLES, *(_own_ones(own) if own else ()))
    return [*(_row(rule) for rule in tables), *_categories(), *_designations()]


def _categories() -> list[CategoryListed]:
    from bom.duty.categories import CATEGORIES

    return [CategoryListed("utilisation category", c.name, c.source, c.prints) for c in CATEGORIES.values()]


def _designations() -> list[CategoryListed]:
    from bom.duty.categories import DESIGNATION_SOURCE, all_designations

    return [
        CategoryListed("contact rating designation", d.name, DESIGNATION_SOURCE, d.prints) for d in all_designations()
    ]


def _own_ones(text: str) -> tuple[Rule, ...]:
    named = [part.strip() for part in text.split(" + ")]
    return tuple(_own(Path(part)) for part in named if part.lower().endswith(OWN))


def _row(rule: Rule) -> RuleListed:
    return RuleListed(
        kind="rule of thumb",
        name=rule.name,
        source=rule.source,
        used_unless_chosen=rule is DEFAULT,
        from_memory=rule.from_memory,
        note=rule.note,
        prints=rule.prints,
        times={f"{volts:g} V": _times(rule, volts) for volts in SYSTEMS},
    )


def _times(rule: Rule, volts: float) -> dict[str, tuple[float, float]]:
    """Lowest and highest figure by load, for the loads on which this rule prints one."""
    loads = dict.fromkeys((*rule.inrush_times, *rule.percent, *(k for t in rule.size_times.values() for k in t)))
    return {load: span for load in loads if (span := compared(load, volts, (rule,)).get(rule.name))}
