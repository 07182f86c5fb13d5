"""Rules of thumb: what each publication prints of loads at switching on and of contacts that may carry them, as data.

A rule says only what its publication prints; what it is silent on is None or absent. Where publications disagree each
keeps its own figure, and ``compared`` puts them side by side. A rule is chosen by its name; ``DEFAULT`` is used when
nobody chooses.

``inrush_times`` is the peak at switching on over the running current, (lowest, highest) printed; it is held
against the contact's resistive make rating. ``size_times`` is what the running current is multiplied by to get the
smallest resistive rating that may carry it, by load and system volts; ``percent`` the same at any volts, as the share
of the resistive rating. ``by_power_factor``: inductive amps are the resistive ones times the load's power factor.
``coil_kelvin_per_watt``: how warm a coil gets itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from bom.boards.board import Load
from bom.duty.sources import DERATING_PAGE, INDUCTIVE_ANSWER, LOAD_TYPES, OUTPUT_MODULE, RATINGS_ANSWER, SNAP_SWITCHES
from bom.relays.relay import SupplyKind
from bom.values.finding import Finding, Outcome

T = TypeVar("T")

CITED = "rule “"
"""What a finding's source begins with where a rule of thumb decides it."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One publication's tables. The head of this file says what they mean.

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
        return f"{CITED}{self.name}”: {self.source}{memory}"

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
        # a system that no rule prints; no test can tell which of those, so it may as well be `0`
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


TEN_SIX = Rule(
    name="times ten lamp, times six motor",
    source=f"{LOAD_TYPES.cited}: compare the inrush with the resistive rating",
    inrush_times={"resistive": (1, 1), "lamp": (10, 10), "motor": (6, 6)},
)

SNAP_SWITCH = Rule(
    name="up to five",
    source=f"{SNAP_SWITCHES.cited}, slide 13: inductive 2, lamp or motor up to 5",
    inrush_times={"resistive": (1, 1), "inductive": (2, 2), "lamp": (5, 5), "motor": (5, 5)},
)

RELAY_OUTPUT = Rule(
    name="relay output module",
    source=f"{OUTPUT_MODULE.cited}, page 8: inrush by kind of load",
    inrush_times={
        "resistive": (1, 1),
        "solenoid": (10, 20),
        "motor": (5, 10),
        "lamp": (10, 15),
        "mercury lamp": (3, 3),
        "sodium lamp": (1, 3),
        "capacitive": (20, 40),
        "led supply": (20, 40),
        "transformer": (5, 15),
    },
    note="a LED supply is taken as the capacitive load that its input is: common practice, no source",
)

MILITARY_LAMP = Rule(
    name="twelve-fold lamp test",
    source="MIL-R-5757J, 4.6.20.3: lamp load simulated by making 12 times rated for 15 to 20 ms at 28 V DC",
    inrush_times={"lamp": (12, 12)},
)

AIRCRAFT = Rule(
    name="aircraft switch derating",
    source="FAA AC 43.13-1B, Table 11-4, switch derating factors",
    size_times={
        12: {"lamp": 5, "inductive": 2, "resistive": 1, "motor": 2},
        28: {"lamp": 8, "inductive": 4, "resistive": 2, "motor": 3},
    },
    note="a switch derated for AC does not serve DC",
)

FORTY_PERCENT = Rule(
    name="forty percent inductive",
    source=f"{INDUCTIVE_ANSWER.cited}: 5 A resistive, 2 A inductive at cos φ 0.4 or L/R 7 ms",
    percent={"resistive": 100, "inductive": 40},
    note="inductive to cos φ 0.4 and L/R 7 ms",
    to_lr_ms=7,
    from_power_factor=0.4,
)

POWER_FACTOR = Rule(
    name="power factor",
    source=f"{RATINGS_ANSWER.cited}: 10 A at 250 V AC becomes 4 A at cos φ 0.4, 7 A at 0.7",
    by_power_factor=True,
)

HALF_STRESS = Rule(
    name="half stress",
    source=f"{DERATING_PAGE.cited}: contact stress ratio 0.50 at most; coil volts not derated",
    percent={"resistive": 50},
)

EQUAL_STRESS = Rule(
    name="equal stress",
    source="MIL-HDBK-217F, 13.1, load stress factors 0.8, 0.4 and 0.2 of resistive, inductive and lamp loads",
    percent={"resistive": 100, "inductive": 50, "lamp": 25},
    from_memory=True,
    note="it prints failure factors; the shares, worked out from them, are those at which the factors are equal",
)

LEVEL_TWO = Rule(
    name="reliability level two",
    source="RADC-TR-84-254, contact current of rated resistive, level II",
    percent={"resistive": 75, "inductive": 40},
    from_memory=True,
    note="confirm against the report before anything rests on it; its 75 % for capacitive loads is not taken, since it "
    "does not tell their peak at switching on",
)

WARM_COIL = Rule(
    name="warm coil",
    source="common practice, no source: a small relay's coil gains about 50 K for each watt",
    coil_kelvin_per_watt=50.0,
    note="measure the rise by the coil's resistance instead where you can",
)

TABLES: tuple[Rule, ...] = (
    TEN_SIX,
    SNAP_SWITCH,
    RELAY_OUTPUT,
    MILITARY_LAMP,
    AIRCRAFT,
    FORTY_PERCENT,
    POWER_FACTOR,
    HALF_STRESS,
    EQUAL_STRESS,
    LEVEL_TWO,
    WARM_COIL,
)


DEFAULT = TEN_SIX


def refused_by_rule(found: Finding) -> bool:
    """Whether a rule of thumb refuses, and no published figure does: its name stands first in the source."""
    return found.outcome is Outcome.FAIL and found.source.startswith(CITED)


def rule_named(name: str) -> Rule:
    """The rule of this name, or several joined by `` + ``; KeyError, listing the names there are, for any other."""
    return joined(tuple(map(_one_named, name.split(" + "))))


def with_loads(rule: Rule) -> Rule:
    """The rule, joined by the usual one where it speaks of coils alone."""
    speaks = rule.inrush_times or rule.size_times or rule.percent or rule.by_power_factor
    return rule if speaks else joined((rule, DEFAULT))


def _one_named(name: str) -> Rule:
    for rule in TABLES:
        if rule.name == name.strip().lower():
            return rule
    raise KeyError(f"no rule “{name}”; there are {', '.join(f'“{known}”' for known in rule_names())}")


def rule_names() -> tuple[str, ...]:
    return tuple(rule.name for rule in TABLES)


# any volts of a 12 V system do: no test can tell `12.0` from 13
def compared(load: str, volts: float = 12.0, rules: tuple[Rule, ...] = TABLES) -> dict[str, tuple[float, float]]:
    """What each rule multiplies this load's running current by, (lowest, highest) printed, for those that print it."""
    found = {}
    for rule in rules:
        if load in rule.inrush_times:
            found[rule.name] = rule.inrush_times[load]
        elif (size := rule.size(load, volts)) is not None:
            found[rule.name] = (size, size)
    return found


def others_say(rule: Rule, load: str, volts: float) -> str:
    """How far the other publications' figures for this load range, in words; empty where none prints another."""
    ours = rule.times(load, volts)
    spans = [span for span in compared(load, volts).values() if span != (ours, ours)]
    if ours is None or not spans:
        return ""
    low, high = min(s[0] for s in spans), max(s[1] for s in spans)
    return f"others print {low:.3g}" if low == high else f"others print {low:.3g} to {high:.3g}"
