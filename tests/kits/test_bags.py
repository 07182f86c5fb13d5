"""Which parts go into which bag."""

from __future__ import annotations

from decimal import Decimal

import pytest

from bom.kits.bags import Bag, bags
from bom.kits.possible import KitNeed, WantedKit

PAIR = WantedKit("pair", (KitNeed(Decimal(1), ("new", "old")), KitNeed(Decimal(1), ("old", "new"))))


def held(found: tuple[Bag, ...]) -> list[tuple[int, str]]:
    """Bags as (count, parts in the order of the lines)."""
    return [(bag.count, " ".join(part for filling in bag.fillings for part, _ in filling)) for bag in found]


@pytest.mark.parametrize(
    ("new", "old", "count", "packed"),
    [
        (9, 4, 6, [(4, "new new"), (2, "old old")]),
        (9, 3, 6, [(4, "new new"), (1, "old old"), (1, "new old")]),
        (20, 20, 3, [(3, "new new")]),
        (1, 20, 3, [(3, "old old")]),
        (1, 1, 1, [(1, "new old")]),
    ],
)
def test_few_bags_are_mixed_and_better_parts_go_first(
    new: int, old: int, count: int, packed: list[tuple[int, str]]
) -> None:
    found, missing = bags({"new": new, "old": old}, PAIR, count)
    assert (held(found), missing) == (packed, ())


def test_what_lacks_is_named_and_nothing_is_packed() -> None:
    found, missing = bags({"new": 3}, PAIR, 2)
    assert found == () and sum(m.quantity for m in missing) == 1


def test_a_part_that_another_line_needs_is_left_to_it() -> None:
    kit = WantedKit("k", (KitNeed(Decimal(1), ("a", "b")), KitNeed(Decimal(2), ("a",))))
    found, _ = bags({"a": 4, "b": 2}, kit, 2)
    assert held(found) == [(2, "b a")]


def test_wire_is_shared_out_by_weight() -> None:
    kit = WantedKit("k", (KitNeed(Decimal("0.6"), ("wire",)), KitNeed(Decimal(1), ("a", "b"))))
    found, _ = bags({"wire": Decimal("1.8"), "a": 1, "b": 2}, kit, 3)
    assert [(b.count, b.fillings) for b in found] == [
        (1, ((("wire", Decimal("0.6")),), (("a", Decimal(1)),))),
        (2, ((("wire", Decimal("0.6")),), (("b", Decimal(1)),))),
    ]
