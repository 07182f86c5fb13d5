"""What a rule of thumb is: a name, the publication it comes from, and its tables.

A rule says only what its publication prints; what it is silent on is None.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from bom.boards.board import Load
from bom.relays.relay import SupplyKind

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Rule:
    """One publication's tables. See ``rule_tables`` for what they mean.

    ``to_lr_ms`` and ``from_power_factor`` bound the inductive loads that its percentages speak of.
    ``from_memory``: the publication was not at hand when the figures were written down. ``note`` is a restriction
    the publication makes. ``parts`` are the rules this one was joined of, the first to speak of a load being used.
    """

    name: str
    source: str
    inrush_times: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    size_times: Mapping[int, Mapping[str, float]] = field(default_factory=dict)
    percent: Mapping[str, float] = field(default_factory=dict)
    by_power_factor: bool = False
    coil_kelvin_per_watt: float | None = None
    from_memory: bool = False
    note: str = ""
    to_lr_ms: float | None = None
    from_power_factor: float | None = None
    parts: tuple[Rule, ...] = ()

    @property
    def cited(self) -> str:
        """The rule as a finding names it."""
        memory = ", from memory" if self.from_memory else ""
        return f"rule “{self.name}”: {self.source}{memory}"

    @property
    def prints(self) -> str:
        """All its figures in one line of words."""
        said = [f"inrush of {_spans(self.inrush_times)}"] if self.inrush_times else []
        for system, sizes in self.size_times.items():
            said += [f"rating over running current at {system} V: {_figures(sizes)}"] if sizes else []
        said += [f"percent of the resistive rating: {_figures(self.percent)}"] if self.percent else []
        said += ["inductive AC amps: resistive times the power factor"] if self.by_power_factor else []
        per_watt = self.coil_kelvin_per_watt
        said += [f"a coil warms by {per_watt:g} K for each watt"] if per_watt is not None else []
        return "; ".join(said)

    def inrush(self, load: str) -> float | None:
        """Times the running current at switching on; the highest printed, as the safe end. None = not printed."""
        printed = self.inrush_times.get(load)
        return None if printed is None else printed[1]

    def size(
        self, load: str, volts: float, power_factor: float | None = None, supply: SupplyKind | None = None
    ) -> float | None:
        """Smallest resistive rating over running current; None = not printed for this load at these volts.

        A table for 12 V serves systems up to 16 V and one for 28 V up to 32 V, the highest supply of a 12 V and
        a 24 V vehicle in ISO 16750-2; above that nothing is printed, nor for AC. A percentage holds at any volts, and
        the power factor speaks for inductive AC loads alone. ``supply`` None = not told apart.
        """
        system = 12 if volts <= 16 else 28 if volts <= 32 else 0
        printed = None if supply is SupplyKind.AC else self.size_times.get(system, {}).get(load)
        if printed is None and load in self.percent:
            printed = 100.0 / self.percent[load]
        if printed is None and self._by_power_factor(load, supply) and power_factor:
            printed = 1.0 / power_factor
        return printed

    def _by_power_factor(self, load: str, supply: SupplyKind | None) -> bool:
        return self.by_power_factor and load == "inductive" and supply is not SupplyKind.DC

    def times(
        self, load: str, volts: float, power_factor: float | None = None, supply: SupplyKind | None = None
    ) -> float | None:
        """What the running current is multiplied by before it is held against a resistive rating: the inrush where
        the rule prints one, else the size."""
        for part in self.parts:
            if (printed := part.times(load, volts, power_factor, supply)) is not None:
                return printed
        return None if self.parts else self.inrush(load) or self.size(load, volts, power_factor, supply)

    def speaking_of(self, load: Load) -> Rule:
        """The rule that this one uses for the load: of joined ones, the first that prints a figure for it."""
        # Volts that nobody states are taken as 0; no test can tell that from 0.1 V, both being a 12 V system.
        asked = load.kind, load.volts or 0.0, load.power_factor, load.supply
        return next((part for part in self.parts if part.times(*asked) is not None), self)

    @property
    def speaking_of_coils(self) -> Rule:
        """Of joined rules the first that says how warm a coil gets."""
        return next((part for part in self.parts if part.coil_kelvin_per_watt is not None), self)


def _figures(table: Mapping[str, float]) -> str:
    return ", ".join(f"{load} {value:g}" for load, value in table.items())


def _spans(table: Mapping[str, tuple[float, float]]) -> str:
    return ", ".join(f"{load} {span_words(span)}" for load, span in table.items())


def span_words(span: tuple[float, float]) -> str:
    low, high = span
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def joined(rules: Iterable[Rule]) -> Rule:
    """Several rules as one: where two print a figure for the same load, the one named first is used."""
    several = tuple(rules)
    if len(several) == 1:
        return several[0]
    return Rule(
        " + ".join(r.name for r in several),
        "; ".join(r.source for r in several),
        _first(r.inrush_times for r in several),
        {system: _first(r.size_times.get(system, {}) for r in several) for system in (12, 28)},
        _first(r.percent for r in several),
        any(r.by_power_factor for r in several),
        next((r.coil_kelvin_per_watt for r in several if r.coil_kelvin_per_watt is not None), None),
        any(r.from_memory for r in several),
        "; ".join(r.note for r in several if r.note),
        next((r.to_lr_ms for r in several if r.to_lr_ms is not None), None),
        next((r.from_power_factor for r in several if r.from_power_factor is not None), None),
        several,
    )


def _first(tables: Iterable[Mapping[str, T]]) -> dict[str, T]:
    merged: dict[str, T] = {}
    for table in tables:
        merged = {**table, **merged}
    return merged
