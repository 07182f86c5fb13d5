"""A pattern out of a picture: scale, stretch and perspective are found with the places, or asked for."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, islice
from math import hypot

import numpy as np
import pytest
from made_patterns import FOCAL, HIGH, WIDE, marks, off, read, scattered, seen, within

from bom.measure.answer import Lacks, Open, Pattern
from bom.measure.picture import Lens, Mark, Pictured, PictureNetwork, Taken, find_in_picture, lens_of
from bom.measure.spans import Measured, Span

HOLES = 8


def pictured(
    seed: int, taken: Taken, spans: int, error_px: float = 1.5, lens: Lens | None = None
) -> tuple[np.ndarray, Pictured]:
    """Eight holes, a picture of them, and the longest spans of them in directions as they come."""
    dice = np.random.default_rng(seed)
    points, names = scattered(dice, HOLES), tuple(f"h{n}" for n in range(HOLES))
    pairs = sorted(combinations(range(HOLES), 2), key=lambda p: -float(np.hypot(*(points[p[0]] - points[p[1]]))))
    chosen = pairs[: max(2 * spans, 6)]
    dice.shuffle(chosen)
    readings = tuple(read(dice, points, names, pair, 0.03) for pair in islice(chosen, spans))
    shot = marks(dice, names, seen(dice, points, taken), error_px)
    return points, Pictured(shot, error_px, Measured(names, readings), taken, lens)


@pytest.mark.parametrize(
    ("taken", "spans", "lens"),
    [
        (Taken.SCAN, 1, None),
        (Taken.SCAN, 2, None),
        (Taken.STRETCHED, 6, None),
        (Taken.PHOTO, 9, None),
        (Taken.PHOTO, 7, Lens(FOCAL, WIDE, HIGH)),
    ],
)
def test_places_lie_about_within_their_errors(taken: Taken, spans: int, lens: Lens | None) -> None:
    known = []
    for seed in range(8):
        points, picture = pictured(seed, taken, spans, lens=lens)
        if isinstance(found := find_in_picture(picture), Pattern):
            known.append(within(points, found))
            assert off(points, found).max() < 2 * found.widest_mm
    assert len(known) >= 5 and sum(known) >= len(known) - 1


@pytest.mark.parametrize(
    ("taken", "spans", "more"),
    [(Taken.SCAN, 0, 1), (Taken.STRETCHED, 2, 1), (Taken.PHOTO, 2, 3), (Taken.PHOTO, 4, 1)],
)
def test_what_ties_the_picture_down_is_asked_for(taken: Taken, spans: int, more: int) -> None:
    _, picture = pictured(3, taken, spans)
    found = find_in_picture(picture)
    assert isinstance(found, Open) and found.lacks is Lacks.PERSPECTIVE
    assert (found.at_least, len(found.measure)) == (more, more)


def test_a_card_of_known_sides_ties_a_photo_down_and_is_no_part_of_the_pattern() -> None:
    dice = np.random.default_rng(2)
    points = np.vstack((scattered(dice, 6), np.array([[-3, -3], [37, -3], [37, 22], [-3, 22]])))
    names = (*(f"h{n}" for n in range(6)), *"pqrs")
    sides = [("p", "q", 40.0), ("q", "r", 25.0), ("r", "s", 40.0), ("s", "p", 25.0)]
    across = [("p", "r", hypot(40, 25)), ("q", "s", hypot(40, 25))]
    card = tuple(Span(a, b, mm, 0.05) for a, b, mm in (*sides, *across))
    shot = marks(dice, names, seen(dice, points, Taken.PHOTO), 1.0)
    found = find_in_picture(Pictured(shot, 1.0, Measured(names, card), Taken.PHOTO, helpers=frozenset("pqrs")))
    assert isinstance(found, Pattern)
    assert [s.name for s in found.spots] == list(names[:6])
    assert within(points[:6], found)


@pytest.mark.parametrize("taken", Taken)
def test_slopes_are_the_differences_of_what_is_off(taken: Taken) -> None:
    _, picture = pictured(1, taken, 5, lens=Lens(FOCAL, WIDE, HIGH))
    network = PictureNetwork(picture)
    start = network.starts()[0]
    steps = 1e-7 * np.eye(len(start))
    by_steps = (network.off(start + steps) - network.off(start - steps)).T / 2e-7
    many = network.readings - (2 if network.focal else 0)  # what the lens says is followed by differences anyway
    assert network.slopes(start[None])[0][:many] == pytest.approx(by_steps[:many], rel=1e-4, abs=0.05)


def test_a_span_that_is_wrong_is_named_on_a_picture_too() -> None:
    points, picture = pictured(5, Taken.SCAN, 6)
    spans = picture.measured.spans
    wrong = replace(spans[2], mm=spans[2].mm + 1.5)
    told = replace(picture.measured, spans=(*spans[:2], wrong, *spans[3:]))
    found = find_in_picture(replace(picture, measured=told))
    assert isinstance(found, Pattern)
    assert [m.span for m in found.mistakes] == [wrong] and within(points, found)


def test_a_scan_of_three_marks_by_hand() -> None:
    """At 10 pixels a mm: 5 mm to the right, 12 mm down."""
    shot = (Mark("a", 100, 100), Mark("b", 150, 100), Mark("c", 100, 220))
    told = Measured(tuple("abc"), (Span("a", "b", 5.0, 0.01),))
    found = find_in_picture(Pictured(shot, 0.1, told, Taken.SCAN))
    assert isinstance(found, Pattern)
    assert [(round(s.x_mm, 3), round(s.y_mm, 3)) for s in found.spots] == [(0, 0), (5, 0), (0, 12)]


def test_a_lens_as_on_small_film() -> None:
    """36 mm wide film behind 36 mm of lens shows as many pixels as the picture of the same shape is wide."""
    assert lens_of(36.0, 3600, 2400).focal_px == pytest.approx(3600, rel=1e-3)
