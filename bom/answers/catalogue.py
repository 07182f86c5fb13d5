"""What was found in the catalogue, and of folders and databases that were taken or checked; the rules of thumb.

None is *not stated*, *not known* or *not measured*.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from bom.answers import INLAID, STATED_INLAID, WHERE_STATED

if TYPE_CHECKING:
    from bom.relays.relay import Rating, Relay, Status, Suppression
    from bom.values.difference import Change, Difference
    from bom.values.problem import Problem


@dataclass(frozen=True, slots=True)
class RelayListed:
    """A relay in a line."""

    maker: str
    part_number: str
    coil_volts: float | None
    coil_ohms: float | None
    units: int | None
    contacts: str | None
    pins: int | None
    status: Status | None


@dataclass(frozen=True, slots=True)
class RelaysFound:
    """The relays found, of ``total`` in all; how the number was ``read``, and a ``hint`` where nothing was found."""

    relays: tuple[RelayListed, ...]
    total: int
    read: str
    hint: str


@dataclass(frozen=True, slots=True)
class PinShown:
    """A pin, what it is, and where it stands in mm from the component side."""

    pin: str
    is_: str
    x_mm: float | None
    y_mm: float | None


@dataclass(frozen=True, slots=True)
class TerminalMeaning:
    """What a pin's number means by a standard."""

    pin: str
    meaning: str


@dataclass(frozen=True, slots=True)
class CoilAtTemperature:
    """A coil at one temperature, by copper: the least and most ohms, the volts at which it operates and releases."""

    temp_c: float
    least_ohms: float | None
    most_ohms: float | None
    operate_volts: float | None
    release_volts: float | None


@dataclass(frozen=True, slots=True)
class ReleaseWith:
    """What a suppression makes of the release; ``not_stated`` is what it cannot be worked out without."""

    suppression: Suppression
    decay_in_l_over_r: float | None
    decay_ms: float | None
    release_ms: float | None
    driver_sees_volts: float | None
    not_stated: str


@dataclass(frozen=True, slots=True)
class InsideShown:
    """How many units and pins a relay has, and what its contacts are; None where no drawing says."""

    units: int | None
    contacts: str | None
    pins: int | None


@dataclass(frozen=True, slots=True)
class RelayShown:
    """All that is stated of one relay: its own facts, its ratings and pins, and what follows for its coil."""

    relay: Relay = field(metadata=STATED_INLAID)
    inside: InsideShown = field(metadata=INLAID)
    ratings: tuple[Rating, ...]
    pinout: tuple[PinShown, ...]
    terminals: tuple[TerminalMeaning, ...] = field(metadata=WHERE_STATED)
    note: str = field(metadata=WHERE_STATED)
    coil_over_temperature: tuple[CoilAtTemperature, ...] = field(metadata=WHERE_STATED)
    release_by_suppression: tuple[ReleaseWith, ...] = field(metadata=WHERE_STATED)
    cautions: tuple[str, ...]
    not_stated: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BlankCost:
    """A value that a part leaves blank: the ``checks`` that answer no better than ``outcome`` for it, and ``where``."""

    column: str
    checks: tuple[str, ...]
    outcome: str
    where: str


@dataclass(frozen=True, slots=True)
class RelayStated:
    """One relay as it was stated and understood: all of it, the drawings that are new with it, how it differs from the
    part that it is ``like`` and from what is kept of it, what its blanks cost, and how many values were typed."""

    relay: RelayShown = field(metadata=INLAID)
    new_footprint: str
    new_wiring: str
    like: str
    differs: tuple[Change, ...]
    notes: tuple[str, ...]
    would_replace: tuple[Difference, ...]
    blanks: tuple[BlankCost, ...]
    typed: int
    taken: bool = False


@dataclass(frozen=True, slots=True)
class Missed:
    """What was measured and what the sheet states, where they differ."""

    what: str
    measured: str
    stated: str


@dataclass(frozen=True, slots=True)
class RelayIdentified:
    """A relay it may be: how far its coil is ``off`` the reading (share), what fits and misses, what was assumed."""

    maker: str
    part_number: str
    coil_ohms: float | None
    off: float | None
    assumed: tuple[str, ...]
    fits: tuple[str, ...]
    misses: tuple[Missed, ...]
    not_stated: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TellingMeasurement:
    """A measurement not yet made, and how many candidates it would leave on average."""

    measure: str
    leaves_on_average: float


@dataclass(frozen=True, slots=True)
class Identified:
    """The reading at 20 °C (None = the coil told nothing), what it may be, what is near, what to measure next."""

    ohms_at_20: float | None
    candidates: tuple[RelayIdentified, ...]
    near_misses: tuple[RelayIdentified, ...]
    measure_next: str
    telling: tuple[TellingMeasurement, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RuleListed:
    """A rule of thumb: what it prints, in words, and its lowest and highest figure by system volts and load."""

    kind: str
    name: str
    source: str
    used_unless_chosen: bool
    from_memory: bool
    note: str
    prints: str
    times: Mapping[str, Mapping[str, tuple[float, float]]]


@dataclass(frozen=True, slots=True)
class CategoryListed:
    """A row of a table that no one chooses: a utilisation category, a contact rating designation."""

    kind: str
    name: str
    source: str
    prints: str
    times: Mapping[str, Mapping[str, tuple[float, float]]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PartMade:
    """A part that a series sheet makes, and whether it is ``known``: *new*, *as known* or *changed*; then in what."""

    maker: str
    part_number: str
    coil_volts: float | None
    coil_ohms: float | None
    operate_volts: float | None
    release_volts: float | None
    coil_max_volts: float | None
    status: Status | None
    known: str
    changes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CatalogueTaken:
    """A catalogue folder or a series sheet taken: how many rows each file has, how many were new, changed or known
    already; of a sheet the ``parts`` it makes."""

    folder: str
    relays: int
    footprints: int
    wirings: int
    ratings: int
    supplies: int
    added: int
    updated: int
    unchanged: int
    notes: tuple[str, ...]
    replaced: tuple[Difference, ...]
    parts: tuple[PartMade, ...] = field(default=(), metadata=WHERE_STATED)


@dataclass(frozen=True, slots=True)
class Guide:
    """A walk through a job, as Markdown; ``about`` is its first sentence."""

    name: str
    about: str
    text: str


@dataclass(frozen=True, slots=True)
class FileChecked:
    """A file that is written by hand, looked at and not taken: a *kit*, a *supplier*, a *rule*.

    ``name`` is None where it could not be read. ``problems`` are of the file itself; ``wrong`` is what the shop's own
    data say against it, a sentence each.
    """

    file: str
    kind: str
    name: str | None
    problems: tuple[Problem, ...]
    wrong: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def good(self) -> bool:
        """Whether it would be taken as it is."""
        return not (self.problems or self.wrong)


@dataclass(frozen=True, slots=True)
class CatalogueChecked:
    """A catalogue folder or a series sheet read and not taken; ``relays`` is None where there are problems. Of a sheet
    the ``parts`` it makes, and what it ``would_change`` besides."""

    folder: str
    relays: int | None
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]
    parts: tuple[PartMade, ...] = field(default=(), metadata=WHERE_STATED)
    would_change: tuple[Difference, ...] = field(default=(), metadata=WHERE_STATED)


@dataclass(frozen=True, slots=True)
class DatabaseChecked:
    """What is wrong with the database, and the version that this program needs."""

    version_needed: str
    problems: tuple[str, ...]
