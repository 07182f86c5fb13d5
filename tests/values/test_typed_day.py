"""A day as people type it: taken where it can only be one day."""

from __future__ import annotations

from datetime import date

import pytest

from bom.values.typed_day import day_typed

ONE_DAY = [
    "2026-12-15", "2026/12/15", "15.12.2026", "15. 12. 2026", "15.12.26", "15/12/2026", "12/15/2026", "15-12-2026",
    "15 Dec 2026", "15 December 2026", "15-Dec-26", "15th December, 2026", "Tue 15 Dec 2026", "Dec 15, 2026",
    "December 15th, 2026", "15. Dezember 2026", "15 décembre 2026", "15 de diciembre de 2026", " 15  dicembre 2026 ",
]  # fmt: skip


@pytest.mark.parametrize("text", ONE_DAY)
def test_a_day_is_read_in_any_form_that_is_only_one_day(text: str) -> None:
    assert day_typed(text) == date(2026, 12, 15)


def test_a_day_that_is_the_same_either_way_is_one_day() -> None:
    assert day_typed("4/4/2027") == date(2027, 4, 4)


@pytest.mark.parametrize(
    "text",
    ["", "3/4/2027", "03-04-2027", "3/4/27", "15/12/26", "31.2.2026", "15/13/2026", "0.1.2026", "15 Dex 2026",
     "end of year", "Dec 2026", "2026", "45000", "KW 50"],
)  # fmt: skip
def test_what_is_no_day_or_could_be_two_is_none(text: str) -> None:
    assert day_typed(text) is None
