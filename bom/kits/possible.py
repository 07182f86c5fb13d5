"""How many kits can be made up from what is available, when kits share parts and substitutes.

Each kit "alone" is a number that does not add up with the others; the joint plan is what can be made side by side.
An integer program, since taking kits in turn can use up the only part that another one takes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from time import monotonic

from bom.solver.program import Program
from bom.solver.statement import INFINITY, Solution
from bom.values.problem import Refused

# Pieces, grams and millimetres are shown to a millionth; finer than that is the solver's float noise. Own choice, and
# no test can tell it from a little more: how large the noise is nobody knows beforehand.
GRAIN = Decimal("0.000001")
# A missing piece outweighs any preference among substitutes, whose ranks are kept below 1 each. Own choice; no test can
# tell it from any other number far above 1.
MISSING = 1000.0

Uses = dict[tuple[str, int, str], Decimal]


@dataclass(frozen=True, slots=True)
class KitNeed:
    """One line of a kit: ``need`` per kit, of any of ``allowed``, best first; parts may be mixed within the line."""

    need: Decimal
    allowed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WantedKit:
    """A kit to be made up: what one is ``value`` d at, and at most how many are wanted (None = as many as can be)."""

    name: str
    lines: tuple[KitNeed, ...]
    value: Decimal = Decimal(1)
    cap: int | None = None


@dataclass(frozen=True, slots=True)
class JointPlan:
    """How many of each kit side by side, their value, and how many of each if it were the only one made (``alone``).

    ``uses`` says how much of a part goes into a kit's line, lines counted from 0: (kit, line, part) to quantity.
    ``proven`` is False where the time ran out before the best was proven.
    """

    value: Decimal
    kits: dict[str, int]
    alone: dict[str, int]
    uses: Uses
    proven: bool = True


@dataclass(frozen=True, slots=True)
class Missing:
    """A kit's line that lacks ``quantity`` of any of ``allowed``."""

    kit: str
    line: int
    allowed: tuple[str, ...]
    quantity: Decimal


SECONDS = 60.0  # no test can wait so long
"""How long the solver may look for the best set of kits. Own choice."""


def possible(stock: Mapping[str, Decimal | int], kits: Sequence[WantedKit], *, seconds: float = SECONDS) -> JointPlan:
    """The most valuable set of kits that the stock makes up. ``stock`` is what is *available*: reserved is not.

    Raises Refused for a kit of which there is no end (no lines that take anything, and no cap).
    """
    counts, proven = _most(stock, kits, seconds)
    alone = {kit.name: counts[kit.name] if len(kits) == 1 else _alone(stock, kit, seconds) for kit in kits}
    value = sum((kit.value * counts[kit.name] for kit in kits), Decimal(0))
    return JointPlan(value, counts, alone, picks(stock, kits, counts)[0], proven)


def how_many(stock: Mapping[str, Decimal | int], kits: Sequence[WantedKit], *, seconds: float = SECONDS) -> int:
    """How many of these kits, all counted alike, the stock makes up. Raises Refused as ``possible`` does."""
    if len(kits) == 1:
        return _alone(stock, kits[0], seconds)
    return sum(_most(stock, [replace(kit, value=Decimal(1)) for kit in kits], seconds)[0].values())


def _alone(stock: Mapping[str, Decimal | int], kit: WantedKit, seconds: float) -> int:
    """Where no two of its lines may take the same part, the scarcest line says it; else it is a program too."""
    if _shares_no_part_within(kit):
        return _limit(stock, kit)
    return _most_together(stock, [kit], seconds)[0][kit.name]


def _shares_no_part_within(kit: WantedKit) -> bool:
    """Whether no two of its lines may take the same part."""
    parts = [part for line in kit.lines for part in set(line.allowed)]
    return len(parts) == len(set(parts))


def lacking(missing: Sequence[Missing]) -> tuple[tuple[tuple[str, ...], Decimal], ...]:
    """What lacks, summed over the lines and kits that the same parts may serve: (parts that may serve, quantity)."""
    answer: dict[frozenset[str], tuple[tuple[str, ...], Decimal]] = {}
    for one in missing:
        parts, before = answer.get(frozenset(one.allowed), (one.allowed, Decimal(0)))
        answer[frozenset(one.allowed)] = (parts, before + one.quantity)
    return tuple(answer.values())


def picks(
    stock: Mapping[str, Decimal | int], kits: Sequence[WantedKit], counts: Mapping[str, int]
) -> tuple[Uses, tuple[Missing, ...]]:
    """Which parts go into so many of each kit, better ones first, and what lacks for them (as little as can be)."""
    program, flow = Program(), _Flow(stock)
    short: dict[tuple[str, int], int] = {}
    for kit in kits:
        for n, line in enumerate(kit.lines):
            wanted = float(line.need * counts[kit.name])
            terms = flow.into(program, kit, n, ranked=True)
            short[kit.name, n] = program.variable(cost=MISSING)
            program.row(wanted, wanted, {**terms, short[kit.name, n]: 1.0})
    flow.limit(program)
    return _uses_and_missing(program.minimise(), flow, kits, short)


def _most(stock: Mapping[str, Decimal | int], kits: Sequence[WantedKit], seconds: float) -> tuple[dict[str, int], bool]:
    """(how many of each, whether that is proven the best). Kits that share no part with others need no program with
    them: each group is decided alone, and one kit alone by its scarcest line."""
    until, made, proven = monotonic() + seconds, dict[str, int](), True
    for some in _sharing_parts(stock, kits):
        if len(some) == 1 and some[0].value > 0 and _shares_no_part_within(some[0]):
            made[some[0].name] = _limit(stock, some[0])
        else:
            found, sure = _most_together(stock, some, max(0.1, until - monotonic()))
            made, proven = made | found, proven and sure
    return {kit.name: made[kit.name] for kit in kits}, proven


def _sharing_parts(stock: Mapping[str, Decimal | int], kits: Sequence[WantedKit]) -> list[list[WantedKit]]:
    """The kits in groups; those of different groups take no part that is there in common."""
    group = list(range(len(kits)))
    taker: dict[str, int] = {}

    def first_of(n: int) -> int:
        while group[n] != n:
            group[n] = n = group[group[n]]
        return n

    for n, kit in enumerate(kits):
        for part in {part for line in kit.lines for part in line.allowed if part in stock}:
            group[first_of(n)] = first_of(taker.setdefault(part, n))
    answer: dict[int, list[WantedKit]] = {}
    for n, kit in enumerate(kits):
        answer.setdefault(first_of(n), []).append(kit)
    return list(answer.values())


def _most_together(
    stock: Mapping[str, Decimal | int], kits: Sequence[WantedKit], seconds: float
) -> tuple[dict[str, int], bool]:
    program, flow = Program(), _Flow(stock)
    made: dict[str, int] = {}
    for kit in kits:
        made[kit.name] = program.variable(0, _limit(stock, kit), integer=True, cost=float(kit.value))
        for n, line in enumerate(kit.lines):
            program.row(0, INFINITY, {**flow.into(program, kit, n), made[kit.name]: -float(line.need)})
    flow.limit(program)
    best = program.maximise(seconds=seconds)
    return {name: best.whole(v) for name, v in made.items()}, best.status == "optimal"


def _limit(stock: Mapping[str, Decimal | int], kit: WantedKit) -> int:
    """The most of a kit that any one of its lines allows, everything else aside."""
    limits = [_there(stock, line) // line.need for line in kit.lines if line.need > 0]
    if kit.cap is not None:
        limits.append(Decimal(kit.cap))
    if not limits:
        raise Refused(f"kit {kit.name}: expected a line that takes a part, or a limit")
    return int(min(limits))


def _there(stock: Mapping[str, Decimal | int], line: KitNeed) -> Decimal:
    return Decimal(sum(_positive(stock[part]) for part in set(line.allowed) if part in stock))


def _positive(quantity: Decimal | int) -> Decimal:
    """More promised than there is counts as nothing, not as a debt of this kit."""
    return max(Decimal(quantity), Decimal(0))


class _Flow:
    """The variables that say how much of a part goes into a line, and the stock that limits them."""

    def __init__(self, stock: Mapping[str, Decimal | int]) -> None:
        self.there = stock
        self.variables: dict[tuple[str, int, str], int] = {}
        self.takers: dict[str, dict[int, float]] = {}

    def into(self, program: Program, kit: WantedKit, n: int, *, ranked: bool = False) -> dict[int, float]:
        """New variables for a line, one per allowed part that is there; later substitutes cost more if ranked."""
        allowed, terms = list(dict.fromkeys(kit.lines[n].allowed)), dict[int, float]()
        for rank, part in enumerate(allowed):
            if there := _positive(self.there.get(part, 0)):
                cost = ranked * rank / len(allowed)
                variable = program.variable(0, float(there), cost=cost)
                self.variables[kit.name, n, part] = variable
                self.takers.setdefault(part, {})[variable] = terms[variable] = 1.0
        return terms

    def limit(self, program: Program) -> None:
        """No more of a part than there is."""
        for part, terms in self.takers.items():
            program.row(-INFINITY, float(_positive(self.there.get(part, 0))), terms)


def _uses_and_missing(
    solution: Solution, flow: _Flow, kits: Sequence[WantedKit], short: Mapping[tuple[str, int], int]
) -> tuple[Uses, tuple[Missing, ...]]:
    uses = {key: q for key, v in flow.variables.items() if (q := _quantity(solution, v))}
    lines = {(kit.name, n): line for kit in kits for n, line in enumerate(kit.lines)}
    missing = tuple(Missing(*key, lines[key].allowed, q) for key, v in short.items() if (q := _quantity(solution, v)))
    return uses, missing


def _quantity(solution: Solution, variable: int) -> Decimal:
    exact = Decimal(repr(solution.values[variable])).quantize(GRAIN)
    whole = exact.to_integral_value()
    return whole if exact == whole else exact.normalize()
