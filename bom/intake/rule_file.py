"""A shop's own rule of thumb: a TOML file of one ``[rule]`` with a source line, checked whole before it is used.

[rule]
name = "bench lamps"
source = "bench log 2026, forty lamps clamped"      # needed: no figure without one
note = "to 24 V only"
coil_kelvin_per_watt = 45
inrush_times = { lamp = [8, 11], motor = 6 }        # one figure, or the lowest and the highest
percent = { inductive = 40 }                        # of the resistive rating
[rule.size_times.12]                                # 12 V or 28 V system: rating over running current
lamp = 5
"""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from bom.boards.board import BOARD_LOADS
from bom.duty.rules import Rule
from bom.intake.rows import Report, is_note
from bom.intake.tables import Table, read_toml
from bom.values.column import LARGEST, SMALLEST, called, keys, number, text, yes_or_no
from bom.values.column import table as table_key

SYSTEMS = (12, 28)

RULE = keys(
    name=called("The rule's name, which --rule takes.", "bench lamps", needed=True),
    source=text("Where its figures come from: no figure without one.", "bench log 2026, forty lamps", needed=True),
    note=text("A restriction to mind.", "to 24 V only"),
    inrush_times=table_key("Starting over running current of each kind of load.", "{ lamp = [8, 11], motor = 6 }"),
    size_times=table_key("Rating over running current of each kind of load, by system.", "{ 12 = { lamp = 5 } }"),
    percent=table_key("How much of the resistive rating each kind of load may use.", "{ inductive = 40 }"),
    by_power_factor=yes_or_no("Whether an AC rating goes down with the power factor.", "true"),
    coil_kelvin_per_watt=number("", "How many kelvin a coil warms for each watt.", "45", above=0),
)

TIMES = 1.0
"""What the running current is multiplied by is no less."""


def read_rule(path: Path) -> Rule:
    """The rule in this file; raises ``ProblemsFound`` with every problem in it."""
    report = Report()
    if (outer := read_toml(path, report)) is None:
        return report.taken(Rule("", "")).value
    rule = _rule(outer.needed_table("rule"))
    outer.leave()
    return report.taken(rule).value


def _rule(table: Table) -> Rule:
    values = table.values_of(RULE, "inrush_times", "size_times", "percent")
    rule = Rule(
        name=values["name"].lower(),
        source=values["source"],
        inrush_times=_spans(table.table("inrush_times"), TIMES),
        size_times=_sizes(table.table("size_times")),
        percent=_figures(table.table("percent")),
        by_power_factor=values["by_power_factor"],
        coil_kelvin_per_watt=values["coil_kelvin_per_watt"],
        note=values["note"],
    )
    if any(share > 100 for share in rule.percent.values()):
        table.wrong("percent", "shares of the resistive rating to 100", max(rule.percent.values()))
    if not (rule.inrush_times or rule.size_times or rule.percent or rule.by_power_factor or rule.coil_kelvin_per_watt):
        table.wrong("inrush_times", "at least one figure: inrush_times, size_times, percent, coil_kelvin_per_watt")
    return rule


def _sizes(table: Table | None) -> dict[int, dict[str, float]]:
    if table is None:
        return {}
    for key in table.values:
        if key not in map(str, SYSTEMS) and not is_note(key):
            table.wrong(key, "a system of 12 or 28 V", key)
    return {system: _figures(table.table(str(system)), TIMES) for system in SYSTEMS}


def _figures(table: Table | None, least: float = 0.0) -> dict[str, float]:
    return {load: most for load, (_, most) in _spans(table, least).items()}


def _spans(table: Table | None, least: float = 0.0) -> dict[str, tuple[float, float]]:
    """Figures by load: one number, or a list of the lowest and the highest; none below ``least``."""
    if table is None:
        return {}
    spans = {key: _span(table, key, least) for key in table.values if not is_note(key)}
    return {BOARD_LOADS.meant(key) or key: span for key, span in spans.items() if span}


def _span(table: Table, load: str, least: float) -> tuple[float, float] | None:
    if BOARD_LOADS.meant(load) is None:
        table.wrong(load, f"a kind of load, {BOARD_LOADS.expected(load)}", load)
    value = table.get(load)
    ends = value if isinstance(value, list) else [value, value]
    good = len(ends) == 2 and all(isinstance(e, int | Decimal) and not isinstance(e, bool) for e in ends)
    good = good and all(Decimal(e).is_finite() and e > 0 for e in ends)
    if not good or ends[0] > ends[1]:
        table.wrong(load, "a number above 0, or the lowest and the highest of them", value)
        return None
    if ends[1] > LARGEST or ends[0] < SMALLEST:
        table.wrong(load, f"numbers of a likely size, {SMALLEST:g} to {LARGEST:g}", value)
        return None
    if ends[0] < least:
        table.wrong(load, f"{least:g} or more: a start is no less than the running current", value)
        return None
    return float(ends[0]), float(ends[1])
