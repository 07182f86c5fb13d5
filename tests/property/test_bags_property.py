"""However kits are packed: every line gets its due, no part is used twice, and no fewer bags could be mixed."""

from __future__ import annotations

from decimal import Decimal
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from bom.kits.bags import bags
from bom.kits.possible import KitNeed, WantedKit

PARTS = ("a", "b", "c")
LINES = st.lists(st.tuples(st.integers(1, 2), st.sets(st.sampled_from(PARTS), min_size=1)), min_size=1, max_size=3)
STOCK = st.fixed_dictionaries({part: st.integers(0, 7) for part in PARTS})


def kit_of(lines: list[tuple[int, set[str]]]) -> WantedKit:
    return WantedKit("k", tuple(KitNeed(Decimal(need), tuple(sorted(allowed))) for need, allowed in lines))


@settings(max_examples=30, deadline=None)
@given(LINES, STOCK, st.integers(1, 3))
def test_every_line_gets_its_due_and_nothing_is_used_twice(
    lines: list[tuple[int, set[str]]], stock: dict[str, int], count: int
) -> None:
    found, missing = bags(stock, kit_of(lines), count)
    assert bool(found) != bool(missing)
    used = dict.fromkeys(PARTS, Decimal(0))
    for bag in found:
        for (need, allowed), filling in zip(lines, bag.fillings, strict=True):
            assert sum(q for _, q in filling) == need and {part for part, _ in filling} <= allowed
            for part, quantity in filling:
                assert quantity == int(quantity)
                used[part] += bag.count * quantity
    assert all(used[part] <= stock[part] for part in PARTS)
    assert sum(bag.count for bag in found) == (count if found else 0)


@settings(max_examples=20, deadline=None)
@given(STOCK, st.integers(1, 4))
def test_no_way_of_packing_pairs_has_fewer_mixed_bags(stock: dict[str, int], count: int) -> None:
    found, _ = bags(stock, kit_of([(1, {"a", "b", "c"}), (1, {"a", "b", "c"})]), count)
    mixed = sum(bag.count for bag in found if len({part for filling in bag.fillings for part, _ in filling}) > 1)
    plain = max(
        (sum(k) for k in product(*(range(stock[p] // 2 + 1) for p in PARTS)) if sum(k) <= count),
        default=0,
    )
    assert mixed == (count - plain if found else 0)
