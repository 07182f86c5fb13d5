"""Knows which needs of a program belong together because they may be served by the same offers, and what is theirs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from bom.buying.model import Columns, Model


@dataclass(slots=True)
class Group:
    """Needs that share offers, the columns of those offers and the rows that hold nothing else."""

    needs: list[str] = field(default_factory=list)
    columns: list[Columns] = field(default_factory=list)
    rows: list[int] = field(default_factory=list)

    def numbers(self) -> list[int]:
        return [n for at in self.columns for n in at.numbers]


def groups_of(model: Model) -> list[Group]:
    """Needs joined through every offer that may serve several, the quickest to decide first.

    An offer that serves none is in no group.
    """
    leads = _leaders(model)
    groups: dict[str, Group] = {}
    for need, leader in leads.items():
        groups.setdefault(leader, Group()).needs.append(need)
    home: dict[int, Group] = {}
    for at in model.columns:
        if at.used:
            group = groups[leads[next(iter(at.used))]]
            group.columns.append(at)
            home.update(dict.fromkeys(at.numbers, group))
    _share_rows(model, home)
    return sorted(groups.values(), key=lambda group: len(group.needs))


def _leaders(model: Model) -> dict[str, str]:
    """Need to the one need that stands for its group (union and find)."""
    leader = {n.id: n.id for n in model.needs}

    def led_by(need: str) -> str:
        while leader[need] != need:
            leader[need] = need = leader[leader[need]]
        return need

    for at in model.columns:
        for other in at.used:
            leader[led_by(other)] = led_by(next(iter(at.used)))
    return {need: led_by(need) for need in leader}


def _share_rows(model: Model, home: Mapping[int, Group]) -> None:
    program, joining = model.program, set(model.joining)
    for row in range(len(program.row_lower)):
        start = program.starts[row]
        if row not in joining and start < program.starts[row + 1] and (group := home.get(program.indices[start])):
            group.rows.append(row)
