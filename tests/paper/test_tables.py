"""Terminal tables: verdicts by word and sign, reasons wrapped and whole."""

import sys
from decimal import Decimal

import pytest

from bom.answers.replacing import Judged
from bom.paper.terminal import tables
from bom.paper.terminal.matches import candidates_table
from bom.values.finding import Finding, Outcome, Verdict
from bom.values.money import Money

LONG = "At 85 °C the coil needs 10.1 V to operate and the board gives only 9.2 V on a weak battery; measure the drop."


def finding(outcome: str, why: str = "fine", margin: float | None = None) -> Finding:
    return Finding("coil", Outcome(outcome), why, "10.1 V", "9.2 V", margin, "s")


def candidate(verdict: str, *findings: Finding, part: str = "OT-1") -> Judged:
    cost = Money.of(Decimal("2.31"), "EUR")
    return Judged("Ostrel", part, None, Verdict(verdict), findings or (finding("pass"),), Decimal(12), cost, ())


def shown(*candidates: Judged, width: int = 120, colour: bool = False) -> str:
    return candidates_table(candidates, width, colour)


def words(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize(
    ("verdict", "words"),
    [("drop_in", "✓ drop-in"), ("conditional", "~ conditional"), ("no", "✗ no"), ("unknown", "? unknown")],
)
def test_a_verdict_is_a_sign_and_a_word(verdict: str, words: str) -> None:
    assert words in shown(candidate(verdict))


def test_the_worst_reason_is_the_one_shown() -> None:
    said = shown(candidate("no", finding("pass", "good"), finding("fail", "too low")))
    assert "too low" in said
    assert "good" not in said


@pytest.mark.parametrize("width", [50, 80, 100, 200])
def test_a_reason_is_wrapped_and_never_cut(width: int) -> None:
    said = shown(candidate("no", finding("fail", LONG), part="KM-40/0503-12VDC"), width=width)
    assert max(map(len, said.splitlines())) <= width
    assert "…" not in said
    assert all(word in said for word in ("battery;", "measure", "drop."))


def test_money_and_stock_are_shown() -> None:
    assert "12 2.31 EUR" in words(shown(candidate("drop_in", finding("pass"))))


def test_no_candidates_is_a_sentence() -> None:
    assert "No candidate was found." in shown()


def test_markup_and_escapes_from_outside_have_no_effect() -> None:
    said = shown(candidate("no", finding("fail", "[red]x[/] \x1b[31mboo")), colour=True)
    assert "[red]x[/]" in said
    assert "\x1b[31mboo" not in said


def test_findings_come_worst_first_with_their_margin() -> None:
    said = tables.findings_table([finding("pass"), finding("unknown"), finding("fail", margin=-0.09)], "", 120, False)
    assert said.index("✗ fail") < said.index("? unknown") < said.index("✓ pass")
    assert "-9%" in said


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


def test_a_table_of_thousands_is_drawn_a_line_a_row_and_keeps_every_word() -> None:
    rows = [(f"PART-{n}", n, "A1, " * (n % 40)) for n in range(tables.LONG + 1)]
    drawn = tables.simple_table("Parts", ["part", "on hand", "drawers"], rows, width=40).splitlines()
    assert drawn[:2] == ["Parts", " part        on hand   drawers"] and len(drawn) == tables.LONG + 4
    assert drawn[-1] == f" PART-{tables.LONG}      {tables.LONG}   –"
    assert tables.simple_table("", ["part"], rows[:2], width=40).splitlines() != drawn
