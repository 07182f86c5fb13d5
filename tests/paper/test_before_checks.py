"""The checks before a part is blamed, said once for several positions."""

from __future__ import annotations

from typing import Any

import pytest

from bom.duty.before_parts import BeforeParts, Step
from bom.paper.before_checks import checks_of


def group(position: str, *steps: tuple[str, str, str], caution: str = "live", function: str = "f") -> BeforeParts:
    return BeforeParts(position, (function,), tuple(Step(*words, "s; t") for words in steps), caution)


FUSE = ("fuse", "measure it", "sound")


@pytest.mark.parametrize(
    ("groups", "rows"),
    [
        ((group("K1", FUSE), group("K2", FUSE)), [FUSE]),
        ((group("K1", FUSE), group("K2")), [("fuse", "K1: measure it", "sound")]),
        (
            (group("K1", ("load", "run it", "2 A; steady")), group("K2", ("load", "run it", "3 A; steady"))),
            [("load", "run it", "K1: 2 A\nK2: 3 A\nsteady")],
        ),
        (
            (group("K1", ("load", "run it", "2 A")), group("K2", ("load", "run it", "2 A")), group("K3")),
            [("load", "K1, K2: run it", "2 A")],
        ),
        (
            (group("K1", ("coil", "on 2 A, measure", "low")), group("K2", ("coil", "on 3 A, measure", "low"))),
            [("coil", "K1: on 2 A\nK2: on 3 A\nmeasure", "low")],
        ),
        (
            (group("K1", ("own", "plug", "sound"), ("own", "lug", "sound"), FUSE), group("K2", FUSE)),
            [("own", "K1: plug\nK1: lug", "sound"), FUSE],
        ),
        (
            (group("K1", FUSE, function="a"), group("K1", ("fuse", "measure it", "blown"), function="b")),
            [("fuse", "measure it", "K1 a: sound\nK1 b: blown")],
        ),
    ],
)
def test_only_what_differs_is_said_for_each(groups: tuple[BeforeParts, ...], rows: list[Any]) -> None:
    assert list(checks_of(groups).rows) == rows


def test_a_check_of_one_position_stays_before_what_follows_it_there() -> None:
    first, second = group("K1", FUSE), group("K2", ("own", "lug", "sound"), FUSE)
    assert [what for what, _, _ in checks_of((first, second)).rows] == ["own", "fuse"]


def test_cautions_and_sources_are_said_once() -> None:
    checks = checks_of((group("K1", FUSE), group("K2", FUSE, caution="mains"), group("K3", FUSE)))
    assert (checks.cautions, checks.sources) == (("live", "mains"), ("s", "t"))


def test_a_caution_that_another_holds_is_not_said_again() -> None:
    checks = checks_of((group("K1", FUSE), group("K2", FUSE, caution="never bypass; live")))
    assert checks.cautions == ("never bypass; live",)


def test_nothing_to_check_is_nothing() -> None:
    assert checks_of(()).rows == ()
