"""How long a contact lasts, told in operations and years: small worlds with invented figures, worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import design, named, place, rating

from bom.boards.board import ContactAmps, Load
from bom.duty.check import contact_findings
from bom.relays.relay import Rating
from bom.values.finding import Finding

TWENTY_AMPS = rating("make", "resistive", 14, 20, operations=100_000)


def found_for(load: Load, *lines: Rating, solved: ContactAmps | None = None) -> tuple[Finding, ...]:
    at = place(load=load)
    functions = tuple(replace(function, solved=solved) for function in at.position.functions)
    return contact_findings(design(ratings=lines), replace(at, position=replace(at.position, functions=functions)))


@pytest.mark.parametrize(
    ("why", "makes", "breaks", "wears"),
    [
        ("another contact switches, this one only carries", 0, 0, False),
        ("it makes, and another breaks", 1, 0, True),
        ("another makes, and it breaks", 0, 1, True),
        ("nobody knows what it makes", None, 0, True),
        ("nobody knows what it breaks", 0, None, True),
    ],
)
def test_a_contact_that_makes_or_breaks_wears(why: str, makes: float | None, breaks: float | None, wears: bool) -> None:
    solved = ContactAmps(carries=5, makes=makes, breaks=breaks)
    found = found_for(Load("resistive", 14, 5, operations_per_day=100), TWENTY_AMPS, solved=solved)
    assert any(f.check == "life, f" for f in found) is wears, why


@pytest.mark.parametrize(("years", "told"), [(None, "last 5 years of 54.8 a day"), (2, "last 2 years of 137 a day")])
def test_where_nobody_counts_the_operations_those_that_the_years_allow_are_told(years: float | None, told: str) -> None:
    """100 000 operations are 54.8 on each of 5 times 365 days, and 137 on each of 2 times 365."""
    found = named(found_for(Load("resistive", 14, 20, life_years=years), TWENTY_AMPS), "life")
    assert f"100,000 operations {told}" in found.why


def test_of_the_points_above_the_load_the_longest_life_is_the_least() -> None:
    """What lasts 300 000 operations at 10 A lasts as many at 8 A, and 1.25 to the 1.53 = 1.41 times that at most."""
    lines = TWENTY_AMPS, rating("make", "resistive", 14, 10, operations=300_000)
    found = named(found_for(Load("resistive", 14, 8, operations_per_day=100), *lines), "life")
    assert found.why.startswith("300,000 to 422,000 operations")


@pytest.mark.parametrize("solved", [None, ContactAmps(carries=0.05, makes=0.05, breaks=0)])
def test_a_few_milliamps_are_counted_as_they_are(solved: ContactAmps | None) -> None:
    load = Load("resistive", 14, 0.05, operations_per_day=100)
    found = named(found_for(load, rating("make", "resistive", 14, 0.2, operations=100_000), solved=solved), "life")
    assert "most by slope 1.53 of life over amps; 5 years are asked" in found.why
