"""A shop's own rule of thumb."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.intake.rule_file import read_rule
from bom.values.problem import ProblemsFound, Refused

GOOD = """
[rule]
name = "Bench lamps"
source = "bench log 2026, forty lamps clamped"
note = "to 24 V"
coil_kelvin_per_watt = 45
inrush_times = { lamp = [8, 11], motor = 6 }
percent = { inductive = 40 }
[rule.size_times.12]
lamp = 5
"""


def written(folder: Path, text: str) -> Path:
    file = folder / "rule.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_rule_file_becomes_a_rule(tmp_path: Path) -> None:
    rule = read_rule(written(tmp_path, GOOD))
    assert (rule.name, rule.inrush("lamp"), rule.inrush("motor")) == ("bench lamps", 11, 6)
    assert (rule.size("lamp", 14), rule.size("inductive", 230), rule.coil_kelvin_per_watt) == (5, 2.5, 45)
    assert "bench log 2026" in rule.cited


@pytest.mark.parametrize(
    ("old", "new", "line", "expected"),
    [
        ('source = "bench log 2026, forty lamps clamped"\n', "", 2, "text"),
        ("motor = 6", "motor = -6", 7, "above 0"),
        ("motor = 6", "motor = 0.6", 7, "1 or more"),
        ("[8, 11]", "[0.8, 11]", 7, "1 or more"),
        ("[8, 11]", "[11, 8]", 7, "lowest and the highest"),
        ("motor = 6", "kettle = 6", 7, "kind of load"),
        ("inductive = 40", "inductive = 140", 8, "to 100"),
        ("size_times.12", "size_times.48", 9, "12 or 28 V"),
    ],
)
def test_what_is_wrong_is_named_with_its_line(tmp_path: Path, old: str, new: str, line: int, expected: str) -> None:
    file = written(tmp_path, GOOD.replace(old, new))
    with pytest.raises(ProblemsFound) as found:
        read_rule(file)
    assert [p.line for p in found.value.problems if expected in p.expected][:1] == [line]


def test_a_key_that_nobody_reads_is_refused_not_dropped(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="percents"):
        read_rule(written(tmp_path, GOOD.replace("percent =", "percents =")))


def test_a_rule_without_a_figure_is_no_rule(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match="at least one figure"):
        read_rule(written(tmp_path, '[rule]\nname = "x"\nsource = "y"\n'))
