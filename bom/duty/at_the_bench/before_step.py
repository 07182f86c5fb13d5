"""One check before parts are changed, and what the board file states of a load's currents in words."""

from __future__ import annotations

from dataclasses import dataclass

from bom.boards.board import Load

PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Step:
    """One check: what is looked at, what to do, what right looks like, and where its figures come from."""

    what: str
    do: str
    right: str
    source: str


def currents(load: Load) -> str:
    """What the board file states of the load's currents."""
    if load.amps is None:
        return "it runs; its running amps are not stated, so note them down"
    said = f"it runs on about {load.amps:g} A"
    if load.stall_amps is not None:
        said += f", and stalled takes no more than {load.stall_amps:g} A"
    if load.inrush_amps is not None:
        said += f", after a start of no more than {load.inrush_amps:g} A"
    return said
