"""Measures the cross-reference of a catalogue folder: time, pairs, memory, and against proving a sample pair by pair.

    python scripts/bench/cross_reference.py FOLDER [SAMPLE]

The ratio to the sample, run just before in the same process and scaled to all pairs, is what to look at.
"""

from __future__ import annotations

import resource
import sys
from collections import Counter
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from bom.intake.catalogue import read_catalogue
from bom.match.cross_reference import cross_reference, distinct
from bom.match.match import judge
from bom.match.requirement import like


def main(folder: Path, sample: int) -> None:
    catalogue = read_catalogue(folder)[0]
    kin = distinct(catalogue.designs())
    step = max(1, len(kin) // sample)
    start = perf_counter()
    for old in kin[::step]:
        requirement = like(old.design)
        for new in kin[::step]:
            judge(requirement, new.design)
    pair_by_pair = (perf_counter() - start) * (len(kin) / len(kin[::step])) ** 2
    start = perf_counter()
    found = cross_reference(catalogue.designs())
    taken = perf_counter() - start
    verdicts = ", ".join(f"{n} {v.words}" for v, n in Counter(r.verdict for r in found.replacements).items())
    print(f"{len(catalogue.relays)} relays, {len(kin)} designs: {taken:.1f} s, {verdicts}")
    print(f"{pair_by_pair / taken:.0f} times as fast as proving every pair (a sample, scaled: {pair_by_pair:.0f} s)")
    print(f"memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 60)
