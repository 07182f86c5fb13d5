"""Measures the fit room: the quick test of distances and the exact search, one footprint against many and all pairs.

    python scripts/bench/fit.py             # 300, 1000, 3000 footprints
    python scripts/bench/fit.py 1000        # one size

The footprints are distinct, have four to twelve pins in rows on the trade's pitches and leads of several sizes; one in
twenty is another's twin, turned, renumbered and a few hundredths of a millimetre off. Holes are drilled 0.20 mm wider
than the leads. Times are wall clock on this machine, the best of several runs; look at the ratios, and at how many of
the pairs the quick test lets by that do not go in.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from math import cos, sin
from pathlib import Path
from random import Random
from time import perf_counter
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from bom.boards.board import Hole
from bom.fit.placement import place
from bom.fit.spacing import HoleSpacing, PinSpacing
from bom.relays.footprint import Pin

SIZES = (300, 1000, 3000)
LEADS = (0.5, 0.6, 0.8, 1.0)
ROOM_MM = 0.20  # IPC-2222 level B
STEPS = (2.5, 2.54, 3.2, 3.5, 3.75, 5.0, 5.04, 5.08, 7.5, 7.62, 10.0, 10.16, 12.2, 12.7)
RUNS = 5

T = TypeVar("T")
Pins = tuple[Pin, ...]
Holes = tuple[Hole, ...]


def main() -> None:
    for size in [int(n) for n in sys.argv[1:]] or SIZES:
        footprints = library(size)
        one_against_all(footprints, holes_for(footprints[-1]))
        all_against_all(footprints)


def one_against_all(footprints: list[Pins], asked: Holes) -> None:
    """The holes of one footprint (a twin's) against every footprint: first the quick test, then every placement."""
    quick, near = timed(lambda: let_by(footprints, asked))
    whole, ways = timed(lambda: [place(pins, asked) for pins in let_by(footprints, asked)])
    blunt, _ = timed(lambda: [place(pins, asked) for pins in footprints], 1)
    print(
        f"{len(footprints):6} against one: {whole * 1e3:.1f} ms, of it {quick * 1e3:.1f} ms for the quick test, which "
        f"lets {len(near)} by; {sum(map(bool, ways))} go in; without it {blunt * 1e3:.0f} ms: ratio {blunt / whole:.1f}"
    )


def all_against_all(footprints: list[Pins]) -> None:
    """The quick test alone, all distances worked out once, as a cross-reference does."""
    took, by = timed(lambda: pairs_let_by(footprints), 1)
    pairs = len(footprints) ** 2
    print(f"{len(footprints):6} against all: {took:.2f} s, {took / pairs * 1e6:.2f} us a pair, {by} of {pairs} let by")


def let_by(footprints: list[Pins], asked: Holes) -> list[Pins]:
    spacing = HoleSpacing.of(asked)
    return [pins for pins in footprints if spacing.may_take(PinSpacing.of(pins))]


def pairs_let_by(footprints: list[Pins]) -> int:
    spacings = [PinSpacing.of(pins) for pins in footprints]
    patterns = (HoleSpacing.of(holes_for(pins)) for pins in footprints)
    return sum(holes.may_take(pins) for holes in patterns for pins in spacings)


def timed(work: Callable[[], T], runs: int = RUNS) -> tuple[float, T]:
    times = []
    for _ in range(runs):
        start = perf_counter()
        answer = work()
        times.append(perf_counter() - start)
    return min(times), answer


def library(size: int) -> list[Pins]:
    random = Random(size)
    made = [in_rows(random) for _ in range(size - size // 20)]
    return made + [twin(random, made[n]) for n in random.sample(range(len(made)), size // 20)]


def in_rows(random: Random) -> Pins:
    """Two or three rows of pins as relays have them: far apart, the steps along them of the trade's pitches."""
    count, lead, apart = random.randint(4, 12), random.choice(LEADS), round(random.uniform(5, 21), 2)
    across = [0.0, apart, apart / 2] if random.random() < 0.3 else [0.0, apart]
    along = [0.0]
    while len(along) * len(across) < count + 2:
        along.append(round(along[-1] + random.choice(STEPS), 2))
    spots = random.sample([(x, y) for x in along for y in across], count)
    return tuple(Pin(str(n), x, y, lead) for n, (x, y) in enumerate(spots))


def twin(random: Random, pins: Pins) -> Pins:
    angle, shaken = random.uniform(-3, 3), random.sample(pins, len(pins))
    co, si = cos(angle), sin(angle)
    return tuple(
        Pin(str(n), p.x_mm * co - p.y_mm * si + off(random), p.x_mm * si + p.y_mm * co + off(random), p.lead_mm)
        for n, p in enumerate(shaken)
    )


def off(random: Random) -> float:
    return random.uniform(-0.04, 0.04)


def holes_for(pins: Pins) -> Holes:
    return tuple(Hole(p.name, p.x_mm, p.y_mm, (p.lead_mm or 0.0) + ROOM_MM) for p in pins)


if __name__ == "__main__":
    main()
