"""What is said of suppliers' lists: a line each, and nothing that steers a terminal."""

from __future__ import annotations

from bom.answers.buying import ListTaken
from bom.paper.terminal.buying import refreshed_table


def test_what_a_list_says_cannot_steer_the_terminal() -> None:
    one = ListTaken("Osmere", "l.csv", 1, None, "read", failed=False, notes=("\x1b[2Jx\ny",))
    said = refreshed_table([one])
    assert "\x1b" not in said
    assert said.splitlines() == ["Osmere: 1 offer from l.csv (read from its file)", "  \ufffd[2Jx y"]


def test_a_list_that_failed_says_why_line_by_line() -> None:
    one = ListTaken("Osmere", "", 0, None, "", failed=True, notes=("a", "b"))
    assert refreshed_table([one]) == "Osmere: the list was not taken\n  a\n  b"
