"""A shop's own rule of thumb: its file written from a few answers, and looked at before it is used."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from bom.answers.catalogue import FileChecked
from bom.boards.board import BOARD_LOADS
from bom.duty.rules import Rule
from bom.intake.rule_file import RULE, TIMES, read_rule
from bom.jobs.new_files import answered, file_for, named, one_of_each
from bom.paper.toml_out import Section, drafted, keys_of
from bom.paper.writing import write_new
from bom.values.column import Column, number
from bom.values.problem import ProblemsFound, Refused


@dataclass(frozen=True, slots=True)
class RuleAnswers:
    """What was answered, as it was typed. ``source`` says where the figures come from: no rule without one.

    Each of ``inrush`` is ``LOAD=TIMES`` or ``LOAD=LEAST..MOST`` of the running current; each of ``percent``
    ``LOAD=PERCENT`` of the resistive rating; ``kelvin`` is how far a coil warms for each watt.
    """

    source: str = ""
    inrush: Sequence[str] = ()
    percent: Sequence[str] = ()
    kelvin: str = ""
    note: str = ""


def new_rule(name: str, answers: RuleAnswers, out: Path | None = None) -> Path:
    """Write the rule's file; nothing is written over. Refuses answers that no rule can have."""
    name = named(RULE["name"], name)
    file = file_for(name, out)
    stated = {"name": name, **figures_of(answers)}
    if stated["source"] is None:
        raise Refused(
            "expected --source TEXT: where the figures come from, as in 'bench log 2026, forty lamps clamped'"
        )
    if not any(stated[key] for key in ("inrush_times", "percent", "coil_kelvin_per_watt")):
        raise Refused("expected a figure: --inrush LOAD=TIMES, --percent LOAD=PERCENT or --kelvin K")
    write_new({file: drafted(_opening(file), [Section("[rule]", keys_of(RULE, RULE, stated))])})
    return file


def figures_of(answers: RuleAnswers) -> dict[str, object]:
    """What was answered, by key; refuses what no rule can have."""
    return {
        "source": answered(RULE["source"], answers.source, "--source"),
        "note": answered(RULE["note"], answers.note, "--note"),
        "inrush_times": _figures(answers.inrush, _TIMES, "--inrush") or None,
        "percent": _figures(answers.percent, _SHARE, "--percent") or None,
        "coil_kelvin_per_watt": answered(RULE["coil_kelvin_per_watt"], answers.kelvin, "--kelvin"),
    }


_TIMES = number("", "Starting over running current.", "6", least=TIMES)
_SHARE = number("", "Percent of the resistive rating.", "40", above=0, most=100)


def _figures(texts: Iterable[str], column: Column, option: str) -> dict[str, object]:
    """Load to its figure, or to the lowest and the highest of two."""
    found: dict[str, object] = {}
    for load, text in one_of_each(list(texts), option, "LOAD=FIGURE, as in lamp=9..12").items():
        if (word := BOARD_LOADS.meant(load)) is None:
            raise Refused(f"{option}: expected a kind of load, {BOARD_LOADS.expected(load)}, found {load!r}")
        figures = [answered(column, part, option) for part in text.split("..")]
        if None in figures or len(figures) > 2 or figures != sorted(figures, key=float):  # type: ignore[arg-type]
            raise Refused(f"{option}: expected a figure, or LEAST..MOST, found {load}={text}")
        found[word] = figures if len(figures) > 1 else figures[0]
    return found


def _opening(file: Path) -> tuple[str, ...]:
    return (
        "A shop's own rule of thumb. What was measured on few pieces holds for few: say in the source how many.",
        f"It is used by: bom board check BOARD --rule {file}. Every key: bom explain rule.toml.",
    )


def check_rule_file(file: Path) -> FileChecked:
    """A rule's file read as --rule would read it."""
    try:
        rule = read_rule(file)
    except ProblemsFound as found:
        return FileChecked(str(file), "rule", None, found.problems, (), ())
    return FileChecked(str(file), "rule", rule.name, (), (), tuple(_silent(rule)))


def _silent(rule: Rule) -> Iterable[str]:
    """Kinds of load that start on more than they run on, of which the rule says nothing."""
    known = {*rule.inrush_times, *rule.percent, *(load for sizes in rule.size_times.values() for load in sizes)}
    if left := [load for load in ("lamp", "motor", "capacitive", "inductive") if load not in known]:
        yield f"of {', '.join(left)} it says nothing: join another to it, as in --rule 'times ten lamp + FILE'"
