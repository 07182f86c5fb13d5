"""Terminal tables: verdicts by word and sign, reasons wrapped and whole."""

import sys
from typing import Any

import pytest

from bom.paper.terminal import tables

LONG = "At 85 °C the coil needs 10.1 V to operate and the board gives only 9.2 V on a weak battery; measure the drop."


def finding(outcome: str, why: str = "fine", margin: float | None = None) -> dict[str, Any]:
    return {
        "check": "coil",
        "outcome": outcome,
        "required": "10.1 V",
        "offered": "9.2 V",
        "margin": margin,
        "why": why,
        "source": "s",
    }


def candidate(verdict: str, *findings: dict[str, Any], part: str = "OT-1") -> dict[str, Any]:
    cost = {"amount": "2.31", "currency": "EUR"}
    row = {"maker": "Ostrel", "part_number": part, "verdict": verdict, "findings": list(findings)}
    return {**row, "available": 12, "landed_cost": cost}


def answer(*candidates: dict[str, Any]) -> dict[str, Any]:
    return {"requirement": {}, "candidates": list(candidates), "cautions": ["Pads lift."]}


def words(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize(
    ("verdict", "shown"),
    [("drop_in", "✓ drop-in"), ("conditional", "~ conditional"), ("no", "✗ no"), ("unknown", "? unknown")],
)
def test_a_verdict_is_a_sign_and_a_word(verdict: str, shown: str) -> None:
    assert shown in tables.match_table(answer(candidate(verdict)), 100, False)


def test_the_worst_reason_is_the_one_shown() -> None:
    shown = tables.match_table(answer(candidate("no", finding("pass", "good"), finding("fail", "too low"))), 120, False)
    assert "too low" in shown
    assert "good" not in shown


@pytest.mark.parametrize("width", [50, 80, 100, 200])
def test_a_reason_is_wrapped_and_never_cut(width: int) -> None:
    shown = tables.match_table(answer(candidate("no", finding("fail", LONG), part="KM-40/0503-12VDC")), width, False)
    assert max(map(len, shown.splitlines())) <= width
    assert "…" not in shown
    assert all(word in shown for word in ("battery;", "measure", "drop."))


def test_money_cautions_and_stock_are_shown() -> None:
    shown = words(tables.match_table(answer(candidate("drop_in", finding("pass"))), 120, False))
    assert "12 2.31 EUR" in shown
    assert "! Pads lift." in shown


def test_no_candidates_is_a_sentence() -> None:
    assert "No candidate was found." in tables.match_table(answer(), 80, False)


def test_markup_and_escapes_from_outside_have_no_effect() -> None:
    shown = tables.match_table(answer(candidate("no", finding("fail", "[red]x[/] \x1b[31mboo"))), 120, True)
    assert "[red]x[/]" in shown
    assert "\x1b[31mboo" not in shown


def test_findings_come_worst_first_with_their_margin() -> None:
    shown = tables.findings_table([finding("pass"), finding("unknown"), finding("fail", margin=-0.09)], "", 120, False)
    assert shown.index("✗ fail") < shown.index("? unknown") < shown.index("✓ pass")
    assert "-9%" in shown


@pytest.mark.parametrize("width", [48, 56, 64, 72])
def test_a_column_gives_way_only_down_to_its_longest_word(width: int) -> None:
    heads = ["part number", "on hand", "available", "order at, up to", "average GBP", "drawer"]
    shown = tables.simple_table("", heads, [["SAC305-1.0", 4500, 4500, "6000, 30000", "0.0021", "S2"]], width, False)
    assert all(word in shown.split() for word in " ".join(heads).split())
    assert max(map(len, shown.splitlines())) <= width


def test_colour_goes_only_to_a_terminal_without_no_color(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    assert tables.wants_colour()
    monkeypatch.setenv("NO_COLOR", "1")
    assert not tables.wants_colour()


def test_without_a_terminal_a_line_holds_a_hundred(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("COLUMNS", raising=False)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: False, raising=False)
    assert tables.terminal_width() == 100


def test_plain_output_has_no_escapes() -> None:
    assert "\x1b" not in tables.simple_table("T", ["a"], [["x"]], 40, False)
