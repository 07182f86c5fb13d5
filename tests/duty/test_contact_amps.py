"""What a contact bears, from its load alone, or from the board solved as a circuit."""

from __future__ import annotations

import pytest

from bom.boards.board import ContactAmps, Function, Load
from bom.relays.wiring import Kind


@pytest.mark.parametrize(
    ("load", "duty"),
    [
        (Load("resistive", 14, 5), ContactAmps(5, None, 5)),
        (Load("lamp", 14, 2, inrush_amps=20), ContactAmps(2, 20, 2)),
        (Load("motor", 14, 2, stall_amps=9, stall_seconds=0.4), ContactAmps(2, 9, 2, 9, 0.4)),
        (Load("motor", 14, 2, stall_amps=9, inrush_amps=12), ContactAmps(2, 12, 2, 9)),
        (Load("motor", 14, 2, stall_amps=9, stops_at_end=True), ContactAmps(2, 9, 9, 9)),
        (Load("motor", 14, 2, stops_at_end=True), ContactAmps(2, None, None)),
        (Load("motor"), ContactAmps()),
    ],
)
def test_a_load_alone_asks_what_it_draws(load: Load, duty: ContactAmps) -> None:
    assert Function("f", "A", Kind.MAKE, load).duty == duty


def test_what_the_circuit_gives_comes_before_what_the_load_asks() -> None:
    solved = ContactAmps(carries=2, makes=0, breaks=0)
    assert Function("f", "B", Kind.BREAK, Load("motor", 14, 2, stall_amps=9), solved=solved).duty is solved
