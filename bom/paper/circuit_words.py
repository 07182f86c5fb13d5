"""Knows what is said first of a board's circuit, on a screen and at the head of a drawing alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bom.answers.circuit import AskedOfContact, BoardCircuit


def watch(circuit: BoardCircuit) -> Iterator[tuple[str, str]]:
    """Shorts, loads that run through others, what is not solved, the hardest worked contact; a line each."""
    for short in circuit.shorts:
        yield "✗", f"{on_words(short.on)}: the supply is shorted through {' and '.join(short.through)}"
    for sneak in circuit.sneaks:
        through = f" through {' and '.join(sneak.through)}" if sneak.through else ""
        yield "~", f"{on_words(sneak.on)}: {sneak.load} runs at {sneak.share:.0%}{through}"
    for part in circuit.not_solved:
        yield "?", f"{', '.join((*part.contacts, *part.loads))}: not solved, {part.why}"
    for contact in (name for name, asked in circuit.duty.items() if not asked.loads):
        yield "?", f"{contact} is on nets, and no load there is stated"
    if not circuit.shorts and not circuit.not_solved:
        yield "✓", "no permitted state shorts the supply"
    if circuit.duty:
        name, asked = max(circuit.duty.items(), key=lambda item: _peak(item[1]))
        yield "→", f"hardest worked: {name}, {in_amps(asked.carries)}{_peak_words(asked)}"


def on_words(on: Sequence[str]) -> str:
    """Which units are on, in words."""
    return f"{' and '.join(on)} on" if on else "at rest"


def _peak(asked: AskedOfContact) -> float:
    return max(asked.carries, asked.stall_amps or 0.0, asked.inrush_amps or 0.0)


def _peak_words(asked: AskedOfContact) -> str:
    if (asked.stall_amps or 0.0) >= (asked.inrush_amps or 0.0) > 0 or asked.stall_amps:
        lasting = f" for {asked.stall_seconds:g} s" if asked.stall_seconds is not None else ""
        return f", {in_amps(asked.stall_amps)} at the stall{lasting}"
    return f", {in_amps(asked.inrush_amps)} at switching on" if asked.inrush_amps else ""


def in_amps(value: float | None) -> str:
    """To three figures; nothing where it is not stated."""
    return "" if value is None else f"{value:.3g} A"
