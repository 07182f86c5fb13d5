"""What the tech's jobs found: what may serve and why, what is fitted where, whether pins go in, what replaces what.

Findings, verdicts and money are the pure rooms' own; None is *not known*, *not asked*, or *nothing found*.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.answers import INLAID, WHERE_STATED
from bom.values.finding import Finding, Outcome, Verdict

if TYPE_CHECKING:
    from bom.boards.board import Net, NetLoad, Position, Repair, Supply
    from bom.duty.before_parts import BeforeParts
    from bom.duty.load_protection import LoadProtection
    from bom.relays.relay import Status
    from bom.values.money import Money
    from bom.values.problem import Problem


@dataclass(frozen=True, slots=True)
class MatchAsked:
    """What was asked: in words, the part to replace, the board's position and what it switches, or a spec's bounds."""

    asked: str
    replaces: str | None
    board: str | None
    position: str | None
    functions: tuple[str, ...]
    bounds: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Judged:
    """One part with its verdict and every finding, the worst first; what lies there of it, and what one costs landed.

    ``cautions`` are the grave ones of the part itself.
    """

    maker: str
    part_number: str
    status: Status | None
    verdict: Verdict
    findings: tuple[Finding, ...]
    available: Decimal
    landed_cost: Money | None
    cautions: tuple[str, ...]

    @property
    def name(self) -> str:
        """Maker and part number."""
        return f"{self.maker} {self.part_number}"

    @property
    def serves(self) -> bool:
        """Whether nothing refuses it."""
        return self.verdict is not Verdict.NO

    @property
    def open(self) -> tuple[Finding, ...]:
        """The findings that are no pass."""
        return tuple(f for f in self.findings if f.outcome is not Outcome.PASS)

    @property
    def passed(self) -> tuple[Finding, ...]:
        """The findings that are one."""
        return tuple(f for f in self.findings if f.outcome is Outcome.PASS)


@dataclass(frozen=True, slots=True)
class WhyPart:
    """The part that was thought of: how many of its findings come to what, and what leaves it unread in a search."""

    maker: str
    part_number: str
    outcomes: Mapping[Outcome, int] = field(metadata=INLAID)
    left_unread: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Matched:
    """The candidates in rank order, and how many there are of each verdict in all.

    ``more`` may serve besides, in a catalogue too long to prove whole: exactly so many, and counted in ``counts`` too,
    where they are ``more_proved``; else at most so many. Both are None where every relay was proved. ``why`` is there
    where one part was asked about.
    """

    requirement: MatchAsked
    counts: Mapping[Verdict, int]
    candidates: tuple[Judged, ...]
    cautions: tuple[str, ...]
    before_parts: tuple[BeforeParts, ...]
    more: int | None = field(default=None, metadata=WHERE_STATED)
    more_proved: bool | None = field(default=None, metadata=WHERE_STATED)
    why: WhyPart | None = field(default=None, metadata=WHERE_STATED)

    @property
    def serving(self) -> tuple[Judged, ...]:
        """The candidates that nothing refuses."""
        return tuple(c for c in self.candidates if c.serves)

    @property
    def refused(self) -> tuple[Judged, ...]:
        """The others, nearest first."""
        return tuple(c for c in self.candidates if not c.serves)


@dataclass(frozen=True, slots=True)
class PositionGlance:
    """A position of a board with the best that was found for it; None where nothing was."""

    position: str
    functions: tuple[str, ...]
    maker: str | None
    part_number: str | None
    verdict: Verdict | None
    counts: Mapping[Verdict, int]


@dataclass(frozen=True, slots=True)
class BoardGlance:
    """A whole board: each position with its best candidate."""

    title: str
    positions: tuple[PositionGlance, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BoardListed:
    """A board in a line: how many positions and repairs it has."""

    name: str
    title: str
    positions: int
    repairs: int


@dataclass(frozen=True, slots=True)
class ProtectedLoad:
    """What to add at a bare inductive load of this position."""

    position: str
    protection: LoadProtection = field(metadata=INLAID)


@dataclass(frozen=True, slots=True)
class BoardShown:
    """A board as its file states it, what to check before parts are changed, what its loads need; ambient in °C.

    The functions of its positions are as its circuit tells them, where the file states ``loads`` between nets.
    """

    name: str
    title: str
    supply: Supply
    ambient_c: tuple[float | None, float | None]
    process: tuple[str, ...]
    positions: tuple[Position, ...]
    nets: tuple[Net, ...]
    loads: tuple[NetLoad, ...]
    never: tuple[tuple[str, ...], ...]
    repairs: tuple[Repair, ...]
    before_parts: tuple[BeforeParts, ...]
    protection: tuple[ProtectedLoad, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PositionChecked:
    """The fitted part judged where it sits; ``fitted`` is None where no known part is stated."""

    ref: str
    fitted: str | None
    verdict: Verdict
    findings: tuple[Finding, ...]

    @property
    def open(self) -> tuple[Finding, ...]:
        """The findings that are no pass."""
        return tuple(f for f in self.findings if f.outcome is not Outcome.PASS)


@dataclass(frozen=True, slots=True)
class BoardChecked:
    """Every position of a board under one rule of thumb; ``fails`` are those whose verdict is no."""

    board: str
    rule: str
    positions: tuple[PositionChecked, ...]
    before_parts: tuple[BeforeParts, ...]
    fails: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ToState:
    """Something that nobody has stated yet: where in the board's files it stands, what it is, and what waits for it."""

    where: str
    what: str
    positions: tuple[str, ...]
    opens: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BoardFileChecked:
    """A board's file as it stands: its problems, or what is fitted judged and what to state ``next``.

    ``board`` is None where the file could not be read, ``checked`` where it could not be taken.
    """

    file: str
    board: str | None
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]
    next: tuple[ToState, ...]
    checked: BoardChecked | None


@dataclass(frozen=True, slots=True)
class FitFound:
    """Whether pins go into holes: the best placement in mm and degrees, pin to hole, and every finding.

    ``nets`` says what came of the wirings: *proved*, *differ*, *unknown*, *not asked* or *not reached*; ``drawing`` is
    the file it was drawn into.
    """

    outcome: Outcome
    play_mm: float | None
    rotation_deg: float | None
    shift_mm: tuple[float, float] | None
    assignment: Mapping[str, str]
    mirrored_fits: bool
    why: str
    findings: tuple[Finding, ...]
    nets: str
    drawing: str | None
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PairFound:
    """A design that may (or may not) be replaced by another: the verdict, the narrowest margin, the worst reason.

    Each is named by its first part; ``same_design`` are its other parts.
    """

    maker: str
    part_number: str
    status: Status | None
    same_design: tuple[str, ...]
    by_maker: str
    by_part_number: str
    by_status: Status | None
    by_same_design: tuple[str, ...]
    verdict: Verdict
    margin: float | None
    why: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StandingFound:
    """Where a design stands: the makers of active parts that drop in for it, and those parts."""

    maker: str
    part_number: str
    status: Status | None
    same_design: tuple[str, ...]
    standing: str
    sources: int
    makers: tuple[str, ...]
    drop_ins: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CrossReferenced:
    """The pairs that were asked for, of so many designs and parts, and where each design stands."""

    designs: int
    parts: int
    replacements: tuple[PairFound, ...]
    standings: tuple[StandingFound, ...]
    cautions: tuple[str, ...]
