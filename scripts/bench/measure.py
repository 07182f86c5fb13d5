"""Measures the measure room: how far places are off that callipers or a picture gave, and how often they say so.

    python scripts/bench/measure.py             # 1000 random patterns of each kind
    python scripts/bench/measure.py 100

Patterns have 4 to 10 holes, 2.5 mm apart or more, in a box of 30 mm x 20 mm; each reading is off by up to 0.05 mm, any
value as likely. *From three*, or four: each hole is spanned from all of three or four that lie far apart. *Just held*:
random spans, as few as hold the pattern, and up to nine to spare; many of these have no one answer, and must say so.
Mistakes: one reading is 0.4 mm or more off. A scan is at 600 dots an inch, marks off by up to 1.5 pixels; photos are
tilted by up to 35 degrees, marks off by up to 2 pixels of about 43 a mm.

*Within* is the share of patterns of which every hole lies within its stated error: 95 % are promised.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tests"))

import numpy as np
from made_patterns import FOCAL, HIGH, WIDE, Made, made, marks, off, read, scattered, seen, turn_of

from bom.measure.answer import Open, Pattern
from bom.measure.pattern import find_pattern
from bom.measure.picture import Lens, Pictured, Taken, find_in_picture
from bom.measure.spans import Measured

ERROR_MM = 0.05
Answer = tuple[np.ndarray, Pattern | Open]


def main() -> None:
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    told("from three", many, lambda dice: solved(measured_from(dice, 3)))
    told("from four", many, lambda dice: solved(measured_from(dice, 4)))
    told("just held", many, lambda dice: solved(made(dice, int(dice.integers(4, 11)), int(dice.integers(0, 10)))))
    mistakes(many, 3)
    mistakes(many, 4)
    for taken, spans, lens in (
        (Taken.SCAN, 1, False),
        (Taken.SCAN, 2, False),
        (Taken.STRETCHED, 6, False),
        (Taken.PHOTO, 5, False),
        (Taken.PHOTO, 9, False),
        (Taken.PHOTO, 5, True),
    ):
        name = f"{taken.value}, {spans} span{'s' if spans > 1 else ''}{', lens known' if lens else ''}"
        told(name, many // 5, lambda dice, how=(taken, spans, lens): pictured(dice, *how))


def solved(case: Made) -> Answer:
    return case.points, find_pattern(case.measured)


def measured_from(dice: np.random.Generator, many: int) -> Made:
    """Every hole from so many that lie far apart, these from each other."""
    count = int(dice.integers(many + 1, 11))
    points = scattered(dice, count)
    names = tuple(f"h{n}" for n in range(count))
    turn = turn_of(names, points)
    far = [names.index(n) for n in (turn.a, turn.b, turn.c)]
    apart = np.linalg.norm(points[:, None] - points[far], axis=2).min(axis=1)
    far += [int(n) for n in np.argsort(-apart)[: many - 3]]
    pairs = sorted({(min(f, n), max(f, n)) for f in far for n in range(count) if n != f})
    spans = tuple(read(dice, points, names, pair, ERROR_MM) for pair in pairs)
    return Made(points, Measured(names, spans, turns=(turn,)))


def told(name: str, many: int, answer: Callable[[np.random.Generator], Answer]) -> None:
    """One line: how many are answered, how far off, how often within what is stated."""
    came: Counter[str] = Counter()
    offs: list[float] = []
    stated: list[float] = []
    within: list[bool] = []
    began = perf_counter()
    for seed in range(many):
        points, found = answer(np.random.default_rng(seed))
        came["answered" if isinstance(found, Pattern) else found.lacks.value] += 1
        if isinstance(found, Pattern):
            far, errors = off(points, found), np.array([s.error_mm for s in found.spots])
            offs += far.tolist()
            stated += errors.tolist()
            within.append(bool((far <= errors).all()))
    took = (perf_counter() - began) / many
    print(
        f"{name}: off {np.median(offs):.3f} mm (median), {np.quantile(offs, 0.95):.3f} mm (95 %), {max(offs):.2f} mm "
        f"at most; stated {np.median(stated):.3f} mm (median); within {np.mean(within):.1%}; {took * 1e3:.0f} ms each\n"
        f"    {', '.join(f'{what} {count}' for what, count in came.most_common())}"
    )


def mistakes(many: int, far: int) -> None:
    came: dict[str, Counter[str]] = {}
    for seed in range(many):
        dice = np.random.default_rng(seed)
        case = measured_from(dice, far)
        spans = list(case.measured.spans)
        nth, size = int(dice.integers(len(spans))), float(dice.choice([0.4, 1.0, 5.0]))
        way = 1.0 if spans[nth].mm < size + 1 else float(dice.choice([-1.0, 1.0]))
        spans[nth] = replace(spans[nth], mm=spans[nth].mm + way * size)
        found = find_pattern(replace(case.measured, spans=tuple(spans)))
        came.setdefault(f"{size:g} mm", Counter())[_judged(found, spans[nth])] += 1
    for size, counts in sorted(came.items()):
        print(
            f"from {far}, a mistake of {size}: {', '.join(f'{what} {count}' for what, count in counts.most_common())}"
        )


def _judged(found: Pattern | Open, wrong: object) -> str:
    if isinstance(found, Open):
        return found.lacks.value
    named = [m.span for m in found.mistakes]
    if named == [wrong]:
        return "named"
    if wrong in named:
        return "named with others"
    return "another named" if named else "told that nothing checks it" if wrong in found.unchecked else "not noticed"


def pictured(dice: np.random.Generator, taken: Taken, spans: int, lens: bool) -> Answer:
    count = int(dice.integers(5, 11))
    points, names = scattered(dice, count), tuple(f"h{n}" for n in range(count))
    pairs = sorted(combinations(range(count), 2), key=lambda p: -float(np.hypot(*(points[p[0]] - points[p[1]]))))
    chosen = pairs[: max(2 * spans, 6)]
    dice.shuffle(chosen)
    readings = tuple(read(dice, points, names, pair, ERROR_MM) for pair in chosen[:spans])
    error_px = 2.0 if taken is Taken.PHOTO else 1.5
    shot = marks(dice, names, seen(dice, points, taken), error_px)
    known = Lens(FOCAL * float(dice.uniform(0.98, 1.02)), WIDE, HIGH) if lens else None
    return points, find_in_picture(Pictured(shot, error_px, Measured(names, readings), taken, known))


if __name__ == "__main__":
    main()
