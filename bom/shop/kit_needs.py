"""What kits take, line by line, and in which ways: a kit inside one opened, or taken made up as it lies there; alone,
or several side by side, so that a part which several may take goes to one of them only; and what lacks for so many.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import combinations

from bom.answers.kits import Lacking
from bom.kits.kit import Kit, Line
from bom.kits.possible import KitNeed, Missing, Uses, WantedKit, lacking, picks
from bom.shop.amounts import plain
from bom.shop.sourcing import Sourcing
from bom.values.problem import Refused


@dataclass(frozen=True, slots=True)
class Needed:
    """What one kit takes for a line of its own or of a kit inside it: ``quantity`` of any of ``parts``, best first.

    ``inside`` is the kit inside it that the line belongs to, else empty; ``outermost`` the kit line of the outer kit
    that it comes through. A kit inside that is taken made up is a line
    whose only part is that kit.
    """

    line: Line
    parts: tuple[str, ...]
    quantity: Decimal
    inside: str = ""
    why_none: str = ""
    outermost: str = ""


@dataclass(frozen=True, slots=True)
class Way:
    """One way to pack a kit, as the lines it takes."""

    lines: tuple[Needed, ...]

    def wanted(self, name: str, value: Decimal = Decimal(1)) -> WantedKit:
        """The way as the question how many can be packed so."""
        return WantedKit(name, tuple(KitNeed(one.quantity, one.parts) for one in self.lines), value)


MOST_INSIDE = 4
"""So many kits inside one are weighed, made up or opened; more are opened. Own choice: the ways double with each."""


def ways(kit: Kit, sourcing: Sourcing) -> list[Way]:
    """Every way to pack the kit, those that take most kits made up first; in the last all are opened."""
    sourcing.expect([kit])
    there = [line.kit for line in kit.lines if line.kit and sourcing.stock.get(line.kit)]
    made = list(dict.fromkeys(there))[:MOST_INSIDE]
    subsets = [frozenset(some) for n in range(len(made), -1, -1) for some in combinations(made, n)]
    return [Way(tuple(needed(kit, sourcing, made_up=some))) for some in subsets]


def needed(
    kit: Kit,
    sourcing: Sourcing,
    times: Decimal = Decimal(1),
    above: tuple[str, ...] = (),
    made_up: frozenset[str] = frozenset(),
) -> Iterator[Needed]:
    """What one kit takes, line by line, kits inside it opened but for those ``made_up``.

    Refused: a kit that holds itself, named, a kit inside that is not known, a part in another unit than it is kept in.
    """
    if kit.name in above:
        raise Refused(f"a kit cannot hold itself: {' > '.join([*above[above.index(kit.name) :], kit.name])}")
    for line in kit.lines:
        if not line.kit:
            _same_unit(kit, line, sourcing)
            parts, inside = sourcing.served_by(kit, line), kit.name if above else ""
            why = "" if parts else sourcing.why_none(kit, line)
            yield Needed(line, parts, line.quantity * times, inside, why, (*above[1:], inside)[0])
        elif line.kit in made_up:
            yield Needed(line, (line.kit,), line.quantity * times)
        elif line.kit in sourcing.kits:
            yield from needed(sourcing.kits[line.kit], sourcing, times * line.quantity, (*above, kit.name))
        else:
            raise Refused(f"kit {kit.name!r} holds kit {line.kit!r}, which is not known")


def _same_unit(kit: Kit, line: Line, sourcing: Sourcing) -> None:
    part = sourcing.shop.part(line.part)
    kept = line.unit if part is None else sourcing.unit(line.part)
    if kept != line.unit:
        raise Refused(f"part {line.part} is kept in {kept} and kit {kit.name!r} takes it by the {line.unit}")


def what_lacks(
    lines: Sequence[Needed], missing: Iterable[Missing], expired: Mapping[str, Decimal]
) -> tuple[Lacking, ...]:
    """What lacks, lines that the same parts may serve added up, with the reason where no part may, or where what is
    there of them is ``expired`` (part to quantity)."""
    found: dict[frozenset[str], Lacking] = {}
    for one in missing:
        line = lines[one.line]
        key = frozenset(one.allowed) or frozenset([line.line.position])
        if key in found:
            found[key] = replace(found[key], quantity=found[key].quantity + one.quantity)
            continue
        alike = [other for other in lines if set(other.parts) == set(line.parts)] if line.parts else [line]
        places = dict.fromkeys(other.line.position for other in alike if other.line.position)
        why = line.why_none or _expired(one.allowed, expired, line.line.unit)
        found[key] = Lacking(tuple(one.allowed), one.quantity, line.line.unit, tuple(places), why)
    return tuple(found.values())


def _expired(parts: Sequence[str], expired: Mapping[str, Decimal], unit: str) -> str:
    """As in: 100 there, expired."""
    there = [part for part in parts if expired.get(part)]
    shown = [f"{plain(expired[part], unit)}{f' of {part}' if len(parts) > 1 else ''} there, expired" for part in there]
    return "; ".join(shown)


@dataclass(frozen=True, slots=True)
class Together:
    """``lines`` are what one of each kit takes, ``uses`` what of the shelf goes where, ``missing`` what lacks."""

    lines: Mapping[str, list[Needed]]
    uses: Uses
    missing: tuple[Missing, ...]


def together(sourcing: Sourcing, counts: Mapping[str, int]) -> Together:
    """What so many of each kit (by name) take of what is available."""
    sourcing.expect(sourcing.kits[name] for name in counts)
    opened = _still_to_open(sourcing, counts)
    lines = {name: _lines(sourcing, name, opened[name]) for name in counts}
    kits = [WantedKit(name, tuple(KitNeed(n.quantity, n.parts) for n in lines[name])) for name in counts]
    return Together(lines, *picks(sourcing.stock, kits, counts))


def missing_parts(sourcing: Sourcing, counts: Mapping[str, int]) -> tuple[tuple[tuple[str, ...], Decimal], ...]:
    """What lacks for so many of each kit side by side: (the parts that may serve, how much)."""
    return lacking(together(sourcing, counts).missing)


def lacking_for(sourcing: Sourcing, counts: Mapping[str, int]) -> tuple[Lacking, ...]:
    """What lacks for so many of each kit side by side, with the positions and the reason where no part may serve."""
    found = together(sourcing, counts)
    every = [line for name in counts for line in found.lines[name]]
    first = {name: sum(len(found.lines[before]) for before in list(counts)[:n]) for n, name in enumerate(counts)}
    missing = [replace(one, line=first[one.kit] + one.line) for one in found.missing]
    return what_lacks(every, missing, sourcing.expired)


def _still_to_open(sourcing: Sourcing, counts: Mapping[str, int]) -> dict[str, dict[str, Decimal]]:
    """For each kit, the share of each kit inside it that does not lie there made up."""
    inner = {line.kit for name in counts for line in sourcing.kits[name].lines if line.kit in sourcing.kits}
    there = {name: sourcing.stock.get(name, Decimal(0)) for name in inner}
    answer: dict[str, dict[str, Decimal]] = {name: {} for name in counts}
    for name, count in counts.items():
        inside: dict[str, Decimal] = {}
        for line in sourcing.kits[name].lines:
            if line.kit in there:
                inside[line.kit] = inside.get(line.kit, Decimal(0)) + line.quantity * count
        for kit, wanted in inside.items():
            taken = min(there[kit], wanted)
            there[kit] -= taken
            answer[name][kit] = 1 - taken / wanted
    return answer


def _lines(sourcing: Sourcing, name: str, opened: Mapping[str, Decimal]) -> list[Needed]:
    """What one of the kit takes of parts, kits inside it only as far as they are still to be opened."""
    return [
        replace(one, quantity=one.quantity * opened.get(one.outermost, Decimal(1)))
        for one in needed(sourcing.kits[name], sourcing)
    ]
