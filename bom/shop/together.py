"""Knows what so many of several kits take side by side, and what lacks for them: kits inside that lie there made up
are taken first, and a part that several may take goes to one of them only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.kits.possible import KitNeed, Missing, Uses, WantedKit, lacking, picks
from bom.shop.needs import Needed, needed, what_lacks

if TYPE_CHECKING:
    from bom.answers.kits import Lacking
    from bom.shop.sourcing import Sourcing


@dataclass(frozen=True, slots=True)
class Together:
    """``lines`` are what one of each kit takes, ``uses`` what of the shelf goes where, ``missing`` what lacks."""

    lines: Mapping[str, list[Needed]]
    uses: Uses
    missing: tuple[Missing, ...]


def together(bench: Sourcing, counts: Mapping[str, int]) -> Together:
    """What so many of each kit (by name) take of what is available."""
    opened = _still_to_open(bench, counts)
    lines = {name: _lines(bench, name, opened[name]) for name in counts}
    kits = [WantedKit(name, tuple(KitNeed(n.quantity, n.parts) for n in lines[name])) for name in counts]
    return Together(lines, *picks(bench.stock, kits, counts))


def missing_parts(bench: Sourcing, counts: Mapping[str, int]) -> tuple[tuple[tuple[str, ...], Decimal], ...]:
    """What lacks for so many of each kit side by side: (the parts that may serve, how much)."""
    return lacking(together(bench, counts).missing)


def lacking_for(bench: Sourcing, counts: Mapping[str, int]) -> tuple[Lacking, ...]:
    """What lacks for so many of each kit side by side, with the positions and the reason where no part may serve."""
    found = together(bench, counts)
    every = [line for name in counts for line in found.lines[name]]
    first = {name: sum(len(found.lines[before]) for before in list(counts)[:n]) for n, name in enumerate(counts)}
    missing = [replace(one, line=first[one.kit] + one.line) for one in found.missing]
    return what_lacks(every, missing, bench.expired)


def _still_to_open(bench: Sourcing, counts: Mapping[str, int]) -> dict[str, dict[str, Decimal]]:
    """For each kit, the share of each kit inside it that does not lie there made up."""
    there = {name: bench.stock.get(name, Decimal(0)) for name in bench.kits}
    answer: dict[str, dict[str, Decimal]] = {name: {} for name in counts}
    for name, count in counts.items():
        inside: dict[str, Decimal] = {}
        for line in bench.kits[name].lines:
            if line.kit in there:
                inside[line.kit] = inside.get(line.kit, Decimal(0)) + line.quantity * count
        for kit, wanted in inside.items():
            taken = min(there[kit], wanted)
            there[kit] -= taken
            answer[name][kit] = 1 - taken / wanted
    return answer


def _lines(bench: Sourcing, name: str, opened: Mapping[str, Decimal]) -> list[Needed]:
    """What one of the kit takes of parts, kits inside it only as far as they are still to be opened."""
    return [
        replace(one, quantity=one.quantity * opened.get(one.outermost, Decimal(1)))
        for one in needed(bench.kits[name], bench)
    ]
