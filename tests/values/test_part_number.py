"""Part-number spelling: what is one part, and what only looks alike."""

from __future__ import annotations

import pytest

from bom.values.part_number import normal, run_together, same, suggest

KNOWN = ["TW2-12S", "TW2-12F", "TW2-24S", "TW2L-12S", "SAC305-1.0"]


@pytest.mark.parametrize(
    "text", ["tw2 12s", "TW2-12S", "TW2-12S/TR", "TW2–12S", " tw2_12s-tr ", "ＴＷ２-12S", "TW2 - 12S"]
)
def test_spellings_of_one_part_are_one_part(text: str) -> None:
    assert same(text, "TW2-12S")


@pytest.mark.parametrize("text", ["TW2-12F", "TW2-24S", "TW2L-12S", "TW2-I2S", "TW21-2S", ""])
def test_other_parts_stay_other_parts(text: str) -> None:
    assert not same(text, "TW2-12S")


@pytest.mark.parametrize(("a", "b", "one"), [("KR-2", "KR2", True), ("K.R 2", "KR2", True), ("X-1.0", "X-10", False)])
def test_a_hyphen_is_nothing_unless_digits_are_on_both_sides(a: str, b: str, one: bool) -> None:
    assert same(a, b) is one


def test_empty_is_not_the_same_as_empty() -> None:
    assert not same("", " - ")


def test_a_makers_own_ending_is_cut_only_when_named() -> None:
    assert normal("KR2-B50", ("-B50",)) == normal("KR2")
    assert normal("KR2-B50") != normal("KR2")


@pytest.mark.parametrize("text", ["TW2-I2S", "TW2-l2S", "TW212S"])
def test_a_look_alike_is_suggested_first(text: str) -> None:
    assert suggest(text, KNOWN)[0] == "TW2-12S"


def test_one_wrong_character_is_suggested_and_the_part_itself_is_not() -> None:
    assert suggest("TW2-12S", KNOWN) == ["TW2-12F", "TW2L-12S"]
    assert suggest("TW2-21S", KNOWN) == ["TW2-12S", "TW2-24S"]
    assert suggest("WHOLLY-OTHER", KNOWN) == []


def test_no_more_than_asked_for_is_suggested() -> None:
    assert suggest("TW2-12X", KNOWN, most=1) == ["TW2-12F"]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("tw212s", ["TW2-12S"]), ("TW2L12S", ["TW2L-12S"]), ("sac30510", ["SAC305-1.0"]), ("K112", ["K1-12", "K11-2"]),
        ("TW21-2S", []), ("TW2-I2S", []), ("", []),
    ],
)  # fmt: skip
def test_a_number_run_together_is_each_part_it_may_be(text: str, found: list[str]) -> None:
    assert run_together(text, [*KNOWN, "K1-12", "K11-2", "K1-12"]) == found
