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


@pytest.mark.parametrize(
    ("allowed", "stock", "packed"),
    [
        (("a", "b"), {"a": 15, "b": 20}, [(1, "a"), (1, "b")]),  # a mixed bag would take 5 more of the better part
        (("a", "b", "c"), {"a": 15, "b": 1, "c": 20}, [(1, "a"), (1, "c")]),  # and here 6 better ones
    ],
)
def test_no_preference_is_worth_a_mixed_bag(
    allowed: tuple[str, ...], stock: dict[str, int], packed: list[tuple[int, str]]
) -> None:
    found, _ = bags(stock, WantedKit("k", (KitNeed(Decimal(10), allowed),)), 2)
    assert held(found) == packed


def test_the_better_part_goes_where_more_of_it_is_wanted() -> None:
    """The second choice ten times on one line, or once on another: once."""
    kit = WantedKit("k", (KitNeed(Decimal(10), ("x", "y")), KitNeed(Decimal(1), ("x", "z"))))
    assert held(bags({"x": 10, "y": 10, "z": 10}, kit, 1)[0]) == [(1, "x z")]


def test_more_promised_than_there_is_goes_into_no_bag() -> None:
    found, _ = bags({"a": -3, "b": 1, "c": 1}, WantedKit("k", (KitNeed(Decimal(2), ("a", "b", "c")),)), 1)
    assert [bag.fillings for bag in found] == [((("b", Decimal(1)), ("c", Decimal(1))),)]


def test_what_is_left_of_a_part_goes_into_the_next_line() -> None:
    two = KitNeed(Decimal(2), ("a", "b"))
    (bag,) = bags({"a": 3, "b": 1}, WantedKit("k", (two, two)), 1)[0]
    assert bag.fillings == ((("a", Decimal(2)),), (("a", Decimal(1)), ("b", Decimal(1))))


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
