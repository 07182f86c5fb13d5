"""Narrowing never loses a candidate and never promises less than a part turns out to be: against the full scan."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bom.intake.board_file import take_board
from bom.intake.catalogue import read_catalogue
from bom.match.lazy_ranking import by_ratings
from bom.match.match import judge
from bom.match.necessary_conditions import meets, necessary, promise, seated
from bom.match.requirement import Requirement, at_position, like, within
from bom.relays.catalogue import Catalogue
from bom.relays.relay import CoilSystem, Design, Guided, Relay, Sealing, SupplyKind
from bom.shop.places import place_at
from bom.values.finding import Verdict, narrowest_margin

DEMO = Path(__file__).resolve().parents[2] / "catalogs" / "demo"
VERDICTS = list(Verdict)
SPECS: tuple[dict[str, object], ...] = (
    {"coil_volts": 12.0, "contacts": "changeover", "units": 2, "max_height_mm": 15.0, "sealing_at_least": "RT III"},
    {"min_temp_max_c": 85.0, "max_coil_ohms": 400.0, "coil_supply": "dc", "pins": 5, "min_make_amps": 5.0},
    {"series": "TW2", "guided": "no"},
)
CHANGES: dict[str, st.SearchStrategy[Any]] = {
    "coil_supply": st.sampled_from([None, *SupplyKind]),
    "coil_system": st.sampled_from([None, *CoilSystem]),
    "sealing": st.sampled_from([None, *Sealing]),
    "guided": st.sampled_from([None, *Guided]),
    **{
        name: st.one_of(st.none(), st.floats(low, high))
        for name, low, high in (
            ("coil_volts", 5, 50), ("coil_ohms", 20, 2000), ("coil_ohms_tol_pct", 0, 20), ("operate_volts", 2, 20),
            ("coil_max_volts", 8, 40), ("coil_ref_temp_c", 15, 40), ("temp_min_c", -60, 20), ("temp_max_c", 20, 130),
            ("body_height_mm", 5, 30), ("standoff_mm", 0, 1), ("pin_length_mm", 0.5, 6), ("min_load_volts", 1, 30),
            ("min_load_milliamps", 1, 9000),
        )
    },
}  # fmt: skip


@cache
def demo() -> Catalogue:
    return read_catalogue(DEMO)[0]


@cache
def requirements() -> tuple[Requirement, ...]:
    catalogue, asked = demo(), [like(d) for d in list(demo().designs())[::6]]
    for file in sorted((DEMO / "boards").glob("*.toml")):
        board, _ = take_board(file)
        for position in board.positions:
            found = catalogue.named(position.fitted)
            fitted = catalogue.design(found[0]) if found else None
            asked.append(at_position(board, position.ref, fitted, place_at(catalogue, board, position.ref)))
    return (*asked, *map(within, SPECS))


@cache
def conditions(number: int) -> tuple[Any, ...]:
    return necessary(requirements()[number])


def held(number: int, design: Design) -> Verdict:
    requirement, wanted = requirements()[number], conditions(number)
    proved = judge(requirement, design)
    if proved.verdict is Verdict.NO:
        return proved.verdict
    seat = seated(requirement, design.footprint, design.wiring)
    assert seat is not Verdict.NO and meets(wanted, design.relay), proved.findings
    best = promise(wanted, design.relay, seat)
    assert VERDICTS.index(best.verdict) <= VERDICTS.index(proved.verdict), proved.findings
    margin = narrowest_margin(proved.findings)
    assert margin is None or margin <= best.margin + 1e-6
    rated = by_ratings(requirement, design.wiring, design.ratings)
    assert VERDICTS.index(rated.verdict) <= VERDICTS.index(proved.verdict), proved.findings
    assert margin is None or margin <= rated.margin + 1e-9
    return proved.verdict


def test_nothing_is_lost_of_the_demo_catalogue() -> None:
    verdicts = [held(n, d) for n in range(len(requirements())) for d in demo().designs()]
    assert sum(v is not Verdict.NO for v in verdicts) > len(requirements())


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_nothing_is_lost_of_parts_that_never_were(data: st.DataObject) -> None:
    design = demo().design(data.draw(st.sampled_from(demo().relays)))
    columns = data.draw(st.lists(st.sampled_from(sorted(CHANGES)), max_size=3, unique=True))
    changed: Relay = replace(design.relay, **{c: data.draw(CHANGES[c]) for c in columns})
    held(data.draw(st.integers(0, len(requirements()) - 1)), replace(design, relay=changed))


@pytest.mark.parametrize("number", range(3))
def test_a_part_narrows_by_its_coil_and_its_room(number: int) -> None:
    columns = {c.column for c in conditions(number)}
    assert {"coil_volts", "operate_volts_20", "sealing"} <= columns


def test_a_position_narrows_by_more_than_ten_facts() -> None:
    at = next(n for n, r in enumerate(requirements()) if r.place is not None and r.place.board.name == "OS-3")
    assert len({c.column for c in conditions(at)}) > 10
