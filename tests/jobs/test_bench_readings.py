"""What is typed of an unmarked relay's pins: numbers of the grid, and nothing that is not there."""

from __future__ import annotations

import pytest

from bom.jobs.replacing.relays import Reading, seen_in
from bom.relays.footprint import View
from bom.values.problem import Refused

GRID = "0/0 0/10 5/4 12/0 12/10"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"joined": "3-5"}, "--joined: expected --grid beside it"),
        ({"side": "solder"}, "--side: expected --grid beside it"),
        ({"grid": GRID, "joined": "3"}, "--joined: expected two of the grid's 5 pins, as in 1-2, found '3'"),
        ({"grid": GRID, "joined": "3-3"}, "--joined: expected two of the grid's 5 pins"),
        ({"grid": GRID, "coil": "0-2"}, "--coil: expected two of the grid's 5 pins"),
        ({"grid": GRID, "coil": "1-6"}, "found '1-6'"),
        ({"grid": GRID, "side": "unknown"}, "--side: expected component or solder"),
    ],
)
def test_a_meters_word_on_pins_that_are_not_there_is_refused(typed: dict[str, str], said: str) -> None:
    with pytest.raises(Refused, match=said):
        seen_in(Reading(ohms="240", **typed))


def test_a_meters_words_are_read_by_the_grids_numbers() -> None:
    seen = seen_in(Reading(ohms="240", grid=GRID, joined="3-5, 1-2", coil="1-2", side="Solder"))
    assert (seen.joined, seen.coil_pins, seen.side) == (((3, 5), (1, 2)), (1, 2), View.SOLDER)
    assert seen_in(Reading(ohms="240", grid=GRID, joined="none")).joined == ()
