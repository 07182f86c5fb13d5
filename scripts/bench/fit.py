"""Measures the sift and the exact search: one footprint against many, all against all, and how both grow.

    python scripts/bench/fit.py             # 300, 1000, 3000, 10000 footprints
    python scripts/bench/fit.py 1000        # one size

The footprints are distinct, have ten pins on the trade's pitches and leads of several sizes; one in twenty is another's
twin, turned, renumbered and a few hundredths of a millimetre off.  Holes are drilled 0.20 mm wider than the leads.
Then the same with four to twelve pins, once in rows as relays have them and once scattered over grids, where a few pins
really do go into many larger patterns; these take the best of three runs.
Times are wall clock on this machine, the best of several runs; look at the ratios to what is measured in the same
run: a vectorised comparison of sorted distances alone, and the computing of those distances, both the usual way
(differences, squares, sum, root, sort) and by this program's own quicker one.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from math import cos, sin
from pathlib import Path
from random import Random
from time import perf_counter
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np

from bom.boards.board import Hole
from bom.fit.crowd import Crowd, Floats, Points, breadth_of, crowds_of_holes, crowds_of_pins, spans_of
from bom.fit.registration import place
from bom.fit.sift import Sifted, sift
from bom.relays.footprint import Pin

SIZES = (300, 1000, 3000, 10000)
PITCHES = ((2.54, 2.54), (2.5, 2.5), (5.08, 3.81), (5.0, 3.5), (3.75, 2.5), (3.2, 2.2))
LEADS = (0.5, 0.6, 0.8, 1.0)
ROOM_MM = 0.20  # IPC-2222 level B
PINS = 10
MIXED = (4, 12)
STEPS = (2.5, 2.54, 3.2, 3.5, 3.75, 5.0, 5.04, 5.08, 7.5, 7.62, 10.0, 10.16, 12.2, 12.7)
RUNS = 15

T = TypeVar("T")
Footprints = list[tuple[Pin, ...]]


def main() -> None:
    for size in [int(n) for n in sys.argv[1:]] or SIZES:
        measure(size)


def measure(size: int) -> None:
    footprints = library(size)
    patterns = [holes_for(f) for f in footprints]
    (pins,), (holes,) = crowds_of_pins(footprints), crowds_of_holes(patterns)
    one_against_all(size, footprints, pins, patterns)
    all_against_all(size, pins, holes)
    for rows in (True, False):
        all_of_mixed_counts(size, rows)


def one_against_all(size: int, footprints: Footprints, pins: Crowd, patterns: list[tuple[Hole, ...]]) -> None:
    """The holes of one footprint (a twin's) against every footprint, and every placement of what goes in."""
    asked = patterns[-1]
    (hole,) = crowds_of_holes([asked])
    loose = float(hole.radius.max() - pins.radius.min()) * 2
    took, ways = timed(lambda: placements(footprints, pins, asked))
    alone, _ = timed(lambda: distances_alone(pins.spans, hole.spans[0], loose))
    print(
        f"{size:6} one against all: {took * 1e3:7.2f} ms ({sum(map(len, ways))} placements, exact);"
        f" comparing sorted distances {alone * 1e3:.2f} ms: ratio {took / alone:.2f}"
    )


def placements(footprints: Footprints, pins: Crowd, asked: tuple[Hole, ...]) -> list[tuple[object, ...]]:
    found = sift((pins,), crowds_of_holes([asked]))
    return [place(footprints[n], asked) for n in found.pins]


def distances_alone(spans: Floats, asked: Floats, loose: float) -> object:
    return np.flatnonzero((np.abs(spans - asked) <= loose).all(axis=1))


def all_against_all(size: int, pins: Crowd, holes: Crowd) -> None:
    took, found = timed(lambda: everything(pins, holes))
    usual, _ = timed(lambda: sorted_distances(pins.spots))
    own, _ = timed(lambda: spans_of(pins.spots))
    print(
        f"{size:6} all against all: {took * 1e3:7.2f} ms ({len(found)} of {size * (size - 1)} pairs may go in,"
        f" {int(found.sure.sum())} certainly); sorted distances {usual * 1e3:.2f} ms: ratio {took / usual:.2f},"
        f" the quicker way {own * 1e3:.2f} ms: ratio {took / own:.2f}"
    )


def all_of_mixed_counts(size: int, rows: bool) -> None:
    """Footprints of four to twelve pins, so that a part may go in where there are more holes than it has pins."""
    random = Random(size)
    footprints = [in_rows(random) if rows else on_a_grid(random, random.randint(*MIXED)) for _ in range(size)]
    pins, holes = crowds_of_pins(footprints), crowds_of_holes([holes_for(f) for f in footprints])
    took, found = timed(lambda: sift(pins, holes, others_only=True), runs=3)
    usual, _ = timed(lambda: [sorted_distances(crowd.spots) for crowd in pins])
    lie = "in rows" if rows else "on grids"
    print(
        f"{size:6} {MIXED[0]} to {MIXED[1]} pins {lie}, all against all: {took * 1e3:.0f} ms"
        f" ({len(found)} of {size * (size - 1)} pairs may go in, {int(found.sure.sum())} certainly);"
        f" sorted distances {usual * 1e3:.2f} ms: ratio {took / usual:.0f},"
        f" for each million pairs {took * 1e9 / size / (size - 1):.1f} ms"
    )


def sorted_distances(spots: Points) -> object:
    xy = np.stack((spots.real, spots.imag), axis=-1)
    one, other = np.triu_indices(spots.shape[1], 1)
    return np.sort(np.sqrt(((xy[:, one] - xy[:, other]) ** 2).sum(axis=-1)), axis=1)


def everything(pins: Crowd, holes: Crowd) -> Sifted:
    """From positions to answers: distances and spreads are computed here too, once, as both are the same spots."""
    spans, breadth = spans_of(pins.spots), breadth_of(pins.spots)
    again = [replace(c, spans=spans, breadth=breadth) for c in (pins, holes)]
    return sift((again[0],), (again[1],), others_only=True)


def timed(work: Callable[[], T], runs: int = RUNS) -> tuple[float, T]:
    times = []
    for _ in range(runs):
        start = perf_counter()
        answer = work()
        times.append(perf_counter() - start)
    return min(times), answer


def library(size: int) -> Footprints:
    random = Random(size)
    made = [footprint(random) for _ in range(size - size // 20)]
    return made + [twin(random, made[n]) for n in random.sample(range(len(made)), size // 20)]


def footprint(random: Random) -> tuple[Pin, ...]:
    return on_a_grid(random, PINS)


def in_rows(random: Random) -> tuple[Pin, ...]:
    """Two or three rows of pins as relays have them: far apart, the steps along them of the trade's pitches."""
    count, lead, apart = random.randint(*MIXED), random.choice(LEADS), round(random.uniform(5, 21), 2)
    across = [0.0, apart, apart / 2] if random.random() < 0.3 else [0.0, apart]
    along = [0.0]
    while len(along) * len(across) < count + 2:
        along.append(round(along[-1] + random.choice(STEPS), 2))
    spots = random.sample([(x, y) for x in along for y in across], count)
    return tuple(Pin(str(n), x, y, lead) for n, (x, y) in enumerate(spots))


def on_a_grid(random: Random, count: int) -> tuple[Pin, ...]:
    """Pins on one pitch, in up to nine columns and seven rows."""
    x, y = random.choice(PITCHES)
    grid = [(column * x, row * y) for column in range(9) for row in range(7)]
    lead = random.choice(LEADS)
    return tuple(Pin(str(n), px, py, lead) for n, (px, py) in enumerate(random.sample(grid, count)))


def twin(random: Random, pins: tuple[Pin, ...]) -> tuple[Pin, ...]:
    angle, shaken = random.uniform(-3, 3), random.sample(pins, len(pins))
    co, si = cos(angle), sin(angle)
    return tuple(
        Pin(str(n), p.x_mm * co - p.y_mm * si + off(random), p.x_mm * si + p.y_mm * co + off(random), p.lead_mm)
        for n, p in enumerate(shaken)
    )


def off(random: Random) -> float:
    return random.uniform(-0.04, 0.04)


def holes_for(pins: tuple[Pin, ...]) -> tuple[Hole, ...]:
    return tuple(Hole(p.name, p.x_mm, p.y_mm, (p.lead_mm or 0.0) + ROOM_MM) for p in pins)


if __name__ == "__main__":
    main()
