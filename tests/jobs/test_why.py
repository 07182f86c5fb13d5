"""A part the user thought of: every finding, in the list or not; and the list's counts, order and limit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from bom.jobs.bench import bench
from bom.jobs.demo import load_shop
from bom.jobs.replacing.matching import find_replacements, why_part
from bom.paper.terminal.matches import match_table, why_table
from bom.values.problem import Refused


@pytest.fixture(scope="module")
def session(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with bench(f"sqlite:///{tmp_path_factory.mktemp('why') / 'bom.db'}") as session:
        list(load_shop(session, demo_folder))
        yield session


@pytest.mark.parametrize(
    ("part", "verdict", "first"),
    [
        ("duo 12b", "no", "connects alike"),
        ("DUO-12H", "no", "coil current when cold"),
        ("K2R-12S", "drop_in", None),
        ("TW2-12S", "drop_in", None),
    ],
)
def test_why_gives_every_finding_of_one_part(session: Any, part: str, verdict: str, first: str | None) -> None:
    answer = why_part(session, part, position="OS-3:K1")
    (candidate,) = answer.candidates
    assert candidate.verdict == verdict
    assert first is None or candidate.findings[0].check == first
    assert len(candidate.findings) == sum(answer.why.outcomes.values())


def test_why_agrees_with_the_list(session: Any) -> None:
    listed = {c.part_number: c for c in find_replacements(session, like_part="TW2-12S").candidates}
    for part in ("DUO-12H", "K2R-12S"):
        (alone,) = why_part(session, part, like_part="TW2-12S").candidates
        assert alone == listed[part]


def test_why_in_words_names_what_stands_against_it_and_what_passed(session: Any) -> None:
    said = why_table(why_part(session, "DUO-12H", position="OS-3:K1"))
    assert said.startswith("Corvane DUO-12H at OS-3:K1, fitted with Ostrel TW2-12S: no (1 against it")
    assert "118.6 mA" in said and "Passed, the narrowest first" in said


def test_what_several_functions_are_told_alike_is_told_once(session: Any) -> None:
    said = why_table(why_part(session, "KSR-12S", position="OS-3:K1"))
    assert said.count("9.00 A          6.00 A") == 1
    assert "opens; left" in said


def test_of_a_part_that_may_serve_the_list_says_how_much_more_there_is_to_see_to(session: Any) -> None:
    said = match_table(find_replacements(session, position="HT-24:K1"))
    assert "more: --why)" in " ".join(said.split())
    assert "more: --why)" not in match_table(find_replacements(session, position="OS-3:K1"))


def test_why_names_what_a_search_would_leave_it_unread_for(session: Any) -> None:
    answer = why_part(session, "TW2-12F", position="OS-3:K1")
    assert answer.why.left_unread == ("sealing must be RT III or RT IV or RT V, is RT II",)
    assert "leaves it unread: sealing must be" in why_table(answer)
    volts = why_part(session, "TW2-24S", like_part="TW2-12S").why.left_unread
    assert "coil volts must be at most 12, is 24" in volts
    assert why_part(session, "K2R-12S", position="OS-3:K1").why.left_unread == ()


def test_why_of_a_part_nobody_knows_suggests_one(session: Any) -> None:
    with pytest.raises(Refused, match="did you mean TW2-12S"):
        why_part(session, "TW2-I2S", position="OS-3:K1")


def test_a_part_wired_otherwise_is_never_nearer_than_one_rated_otherwise(session: Any) -> None:
    refused = [c for c in find_replacements(session, position="OS-3:K1").candidates if c.verdict == "no"]
    otherwise = {"connects alike", "coil polarity", "coil system", "goes in", "side of the drawing"}
    wired = [any(f.check in otherwise and f.outcome == "fail" for f in c.findings) for c in refused]
    assert wired == sorted(wired)
    assert refused[0].part_number == "TW2-12F"


def test_a_limit_does_not_change_what_is_counted(session: Any) -> None:
    answer = find_replacements(session, position="OS-3:K1")
    head = match_table(answer).splitlines()[0]
    assert match_table(replace(answer, candidates=answer.candidates[:1])).splitlines()[0] == head
