"""What a rule of thumb is: a name, the publication it comes from, and its table."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Rule:
    """One publication's table. See ``rule_tables`` for what the two tables mean."""

    name: str
    source: str
    inrush_times: dict[str, tuple[float, float]] = field(default_factory=dict)
    size_times: dict[int, dict[str, float]] = field(default_factory=dict)

    @property
    def cited(self) -> str:
        """The rule as a finding names it."""
        return f"rule “{self.name}”: {self.source}"

    def inrush(self, load: str) -> float | None:
        """Times the running current at switching on; the highest printed, as the safe end. None = not printed."""
        printed = self.inrush_times.get(load)
        return None if printed is None else printed[1]

    def size(self, load: str, volts: float) -> float | None:
        """Smallest resistive rating over running current at a DC system of these volts; None = not printed.

        A table for 12 V serves systems up to 16 V and one for 28 V up to 32 V, the highest supply of a 12 V and
        a 24 V vehicle in ISO 16750-2; above that nothing is printed.
        """
        system = 12 if volts <= 16 else 28 if volts <= 32 else 0
        return self.size_times.get(system, {}).get(load)

    def percent_of_rating(self, load: str, volts: float) -> float | None:
        """The share of a resistive rating that this load may use, in percent."""
        times = self.size(load, volts)
        return None if times is None else 100.0 / times
