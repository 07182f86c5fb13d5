"""The sift against the exact search: nothing that goes in is lost, nothing is sure that does not go in."""

from __future__ import annotations

from math import cos, pi, sin
from random import Random

import numpy as np
import pytest

from bom.boards.board import Hole
from bom.fit.crowd import breadth_of, crowds_of_holes, crowds_of_pins, mirrored_crowd
from bom.fit.registration import mirrored, place
from bom.fit.sift import sift
from bom.relays.footprint import Pin

GRID = [(x * 2.5, y * 2.5) for x in range(6) for y in range(5)]
Points = list[tuple[float, float]]


def moved(random: Random, points: Points, off: float) -> Points:
    angle = random.choice((0.0, pi / 2, random.uniform(-3, 3)))
    co, si = cos(angle), sin(angle)
    turned = [(x * co - y * si, x * si + y * co) for x, y in random.sample(points, len(points))]
    return [(x + random.uniform(-off, off), y + random.uniform(-off, off)) for x, y in turned]


def pins(random: Random, points: Points) -> tuple[Pin, ...]:
    flat = random.random() < 0.3
    width = 0.9 if flat else None
    return tuple(
        Pin(str(n), x, y, random.choice((0.5, 0.8, 0.9)), width, random.uniform(0, 180) if flat else None)
        for n, (x, y) in enumerate(moved(random, points, random.choice((0.0, 0.05, 0.15, 0.2))))
    )


def holes(random: Random, points: Points) -> tuple[Hole, ...]:
    more = [*points, *(p for p in random.sample(GRID, random.randint(0, 2)) if p not in points)]
    return tuple(
        Hole(str(n), x, y, random.choice((1.0, 1.2, 1.3))) for n, (x, y) in enumerate(moved(random, more, 0.1))
    )


def drawings(seed: int, many: int = 40) -> tuple[list[tuple[Pin, ...]], list[tuple[Hole, ...]]]:
    random = Random(seed)
    shapes = [random.sample(GRID, random.randint(1, 7)) for _ in range(12)]
    return (
        [pins(random, random.choice(shapes)) for _ in range(many)],
        [holes(random, random.choice(shapes)) for _ in range(many // 2)],
    )


@pytest.mark.parametrize(("seed", "limit"), [(1, 0.0), (2, 0.0), (3, 0.1), (4, 0.3)])
def test_the_sift_agrees_with_the_exact_search(seed: int, limit: float) -> None:
    footprints, patterns = drawings(seed)
    found = sift(crowds_of_pins(footprints), crowds_of_holes(patterns), limit)
    pairs = list(zip(found.pins.tolist(), found.holes.tolist(), strict=True))
    goes = {(i, j) for i, p in enumerate(footprints) for j, h in enumerate(patterns) if place(p, h, limit)}
    assert goes and goes <= set(pairs) and len(pairs) < 2 * len(goes)
    assert {pair for pair, sure in zip(pairs, found.sure, strict=True) if sure} <= goes


@pytest.mark.parametrize(("seed", "pitch", "limit"), [(1, 2.54, 0.0), (2, 5.0, 0.3), (3, 1.0, 0.0), (4, 700.0, 0.1)])
def test_few_pins_among_many_holes_agree_with_the_exact_search(seed: int, pitch: float, limit: float) -> None:
    """Two to six pins, also in a line, in patterns of up to twenty holes, one of them absurdly long."""
    random = Random(seed)
    grid = [(x * pitch, y * pitch) for x in range(6) for y in range(5 if seed % 2 else 1)]
    footprints = [pins(random, random.sample(grid, random.randint(2, 5))) for _ in range(20)]
    patterns = [holes(random, random.sample(grid, random.randint(5, len(grid) * 2 // 3 + 1))) for _ in range(8)]
    patterns.append(tuple(Hole(str(n), x * 1e5, y, 1.2) for n, (x, y) in enumerate(grid)))
    found = sift(crowds_of_pins(footprints), crowds_of_holes(patterns), limit)
    pairs = list(zip(found.pins.tolist(), found.holes.tolist(), strict=True))
    goes = {(i, j) for i, p in enumerate(footprints) for j, h in enumerate(patterns) if place(p, h, limit)}
    assert goes <= set(pairs) and len(set(pairs)) == len(pairs)
    assert {pair for pair, sure in zip(pairs, found.sure, strict=True) if sure} <= goes


def test_one_pattern_alone_is_sifted_alike() -> None:
    footprints, patterns = drawings(5)
    crowds = crowds_of_pins(footprints)
    together = sift(crowds, crowds_of_holes(patterns))
    for number, pattern in enumerate(patterns[:10]):
        alone = sift(crowds, crowds_of_holes([pattern]))
        assert set(alone.pins.tolist()) == set(together.pins[together.holes == number].tolist())


def test_mirrored_crowds_are_of_mirrored_pins() -> None:
    footprints, patterns = drawings(6)
    turned = sift(tuple(map(mirrored_crowd, crowds_of_pins(footprints))), crowds_of_holes(patterns))
    plain = sift(crowds_of_pins([mirrored(p) for p in footprints]), crowds_of_holes(patterns))
    assert set(zip(turned.pins, turned.holes, strict=True)) == set(zip(plain.pins, plain.holes, strict=True))


def test_among_themselves_no_drawing_is_its_own_match() -> None:
    spots: list[Points] = [[(0, 0), (10, 0), (10, 4)], [(0, 0), (10, 0), (10, 4.05)], [(0, 0), (12, 0), (3, 4)]]
    footprints = [[Pin(str(n), x, y, 0.8) for n, (x, y) in enumerate(s)] for s in spots]
    patterns = [[Hole(str(n), x, y, 1.0) for n, (x, y) in enumerate(s)] for s in spots]
    found = sift(crowds_of_pins(footprints), crowds_of_holes(patterns), others_only=True)
    assert set(zip(found.pins.tolist(), found.holes.tolist(), strict=True)) == {(0, 1), (1, 0)}


def test_what_is_not_stated_is_never_sure_and_never_lost() -> None:
    pin, hole = [Pin("1", 0, 0), Pin("2", 10, 0, 0.8)], [Hole("a", 0, 0, 1.3), Hole("b", 0, 10.9)]
    found = sift(crowds_of_pins([pin]), crowds_of_holes([hole]))
    assert len(found) == 1 and not found.sure.any()


def test_the_spread_is_that_of_the_singular_values() -> None:
    """Against numpy's own decomposition."""
    spots = np.random.default_rng(1).uniform(-9, 9, (5, 7, 2))
    spots -= spots.mean(axis=1, keepdims=True)
    expected = np.linalg.svd(spots, compute_uv=False) / 7**0.5
    assert breadth_of(spots[..., 0] + 1j * spots[..., 1]) == pytest.approx(expected)
