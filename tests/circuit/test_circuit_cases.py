"""Four boards solved elsewhere, by another nodal analysis of the same clauses: every state, word and current agrees.

What they are is said in tests/data/circuit_cases.json. Its contacts count as 1 mΩ and more, so its amps are up to 2 %
below those of ideal contacts; ours count as 0.1 mΩ.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from bom.boards.board import Load, NetLoad
from bom.circuit.duty import running_amps
from bom.circuit.net_list import Contact, NetList
from bom.circuit.states import Solution, solve
from bom.relays.wiring import Kind

CASES = json.loads((Path(__file__).parent.parent / "data" / "circuit_cases.json").read_text())["cases"]
WITHIN = 0.02


def net_list_of(case: dict[str, Any]) -> NetList:
    volts = case["volts"]
    held = {net: float(volts) if is_ == "supply" else 0.0 for net, is_ in case["nets"].items()}
    contacts = tuple(
        Contact(c["id"], c["unit"].split(".")[0], c["unit"], "", Kind(c["kind"]), (c["a"], c["b"]))
        for c in case["contacts"]
    )
    loads = tuple(
        NetLoad(x["name"], x["plus"], x["minus"], Load("resistive", volts, volts / x["ohms"])) for x in case["loads"]
    )
    return NetList(case["name"], tuple(held.items()), frozenset(), contacts, (), loads, ())


def told(solution: Solution) -> list[dict[str, Any]]:
    """The states in the shape of the cases."""
    return [
        {
            "on": sorted(unit for s in parts for unit in s.on),
            "short": any(s.short for s in parts),
            "loads": {name: str(way) for s in parts for name, way in s.ways.items()},
            "carries": {
                name: pytest.approx(abs(amps), rel=WITHIN)
                for s in parts
                for name, amps in s.through.items()
                if abs(amps) > solution.least_amps
            },
        }
        for parts in solution.states()
    ]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_every_state_is_as_the_case_has_it(case: dict[str, Any]) -> None:
    solution = solve(net_list_of(case))
    assert not solution.unsolved
    assert told(solution) == case["answer"]["states"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_every_contact_carries_makes_and_breaks_what_the_case_says(case: dict[str, Any]) -> None:
    duty = running_amps(solve(net_list_of(case)))
    assert duty.keys() == case["answer"]["duty"].keys()
    for name, wanted in case["answer"]["duty"].items():
        for what, amps in wanted.items():
            assert getattr(duty[name], what) == pytest.approx(amps, rel=WITHIN), (name, what)
