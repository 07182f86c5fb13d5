"""A board whose holes are made for its parts and whose functions come from its circuit is judged as the long one is."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.jobs.replacing.boards import add_board
from bom.jobs.replacing.matching import find_replacements
from bom.store.unit_of_work import Session
from bom.values.difference import Replacing

SHORT = Path(__file__).parents[1] / "data" / "eight" / "os-3.toml"


@pytest.mark.parametrize("ref", ["K1", "K2", "K3"])
def test_every_part_has_the_same_verdict(shop: Session, ref: str) -> None:
    def verdicts() -> dict[str, object]:
        found = find_replacements(shop, position=f"OS-3:{ref}").candidates
        return {f"{one.maker} {one.part_number}": one.verdict for one in found}

    long = verdicts()
    add_board(shop, SHORT, Replacing(True))
    assert verdicts() == long
