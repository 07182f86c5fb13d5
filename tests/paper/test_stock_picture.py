"""A part's stock over time: what the picture says, and that it says it without colour."""

from __future__ import annotations

import re
from datetime import date
from xml.etree import ElementTree

from bom.paper.pictures.stock_picture import StockStory, daily, stock_picture

TODAY = date(2026, 3, 1)
STEPS = ((date(2026, 1, 1), 20.0), (date(2026, 1, 20), 4.0), (date(2026, 2, 1), 0.0), (date(2026, 2, 10), 12.0))


def story(**more: object) -> StockStory:
    came = (date(2026, 1, 1), date(2026, 2, 10))
    given = {"point": 6.0, "up_to": 20.0, "level_by": "reckoned", "per_day": 0.2, "came": came}
    return StockStory("TW2-12S", "piece", TODAY, STEPS, **{**given, **more})  # type: ignore[arg-type]


def words(svg: str) -> list[str]:
    return ["".join(t.itertext()) for t in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]


def test_it_says_what_is_there_and_when_to_order() -> None:
    said = words(stock_picture(story()))
    assert "12 pieces on hand on 2026-03-01, 6 used in 30 days" in said
    assert {"order at 6", "up to 20", "(reckoned)", "today"} <= set(said)


def test_a_spell_with_nothing_left_and_an_order_due_are_marked() -> None:
    svg = stock_picture(story(coming=((date(2026, 3, 20), 30.0), (date(2026, 2, 1), 5.0))))
    assert svg.count('class="out"') == 2  # the spell and the key
    assert svg.count('class="due"') == 3 and svg.count('class="came"') == 3


def test_it_needs_no_colour() -> None:
    colours = re.findall(r"#([0-9a-f]{6}|[0-9a-f]{3})\b", stock_picture(story()))
    assert colours and all(len(set(c)) == 1 or c[:2] == c[2:4] == c[4:] for c in colours)


def test_a_part_without_level_use_or_past_is_drawn_too() -> None:
    empty = StockStory("=A1 <b>", "g", TODAY, ())
    assert "=A1 <b>: stock over time" in words(stock_picture(empty))


def test_changes_of_one_day_are_one_step() -> None:
    days = [(date(2026, 1, 2), -3.0), (date(2026, 1, 1), 10.0), (date(2026, 1, 2), -1.0)]
    assert daily(days) == ((date(2026, 1, 1), 10.0), (date(2026, 1, 2), 6.0))
