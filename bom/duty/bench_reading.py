"""What the bench measured on an unmarked relay, held against what a catalogue relay states: fits, misses, or silent.

Only a stated value can miss; what the catalogue leaves out is *not stated* and keeps the relay in. Ohms, volts,
millimetres and degrees Celsius throughout.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import dist

from bom.duty.bench_pins import Grid, Numbered, Pair, is_coil, joined_at_rest, measured_groups, ways_over
from bom.duty.coil_heat import ohms_at, operate_volts_at
from bom.duty.margins import ROUNDING, known
from bom.relays.footprint import Footprint, View
from bom.relays.relay import Design, Relay, Suppression

USUAL_REFERENCE_C = 20.0
"""Where coil data state no temperature; common practice, no source (some makers use 23 or 25)."""

USUAL_TOLERANCE_PCT = 10.0
"""Where coil data state no tolerance; common practice, no source."""

NEAR_SIZE_MM = 1.5
"""By how much a measured side may miss and still be a near miss; common practice, no source."""

NEAR_VOLTS_TIMES = 1.25
"""By how much the volts of a click may miss and still be a near miss; common practice, no source."""

SIZE_SLACK_MM = 0.5
"""How far a body or a pin distance measured with a caliper may be off its drawing; common practice, no source."""

LEAST_CLICK_SHARE = 0.4
"""A sound relay does not click below this share of its stated (highest) operate volts; common practice, no source."""

ONE_WAY_SHARE = 0.05
"""Two readings further apart than this share are not one bare winding: a diode conducts one way round. Common
practice, no source."""

_READ_AS = str.maketrans("ILOQSBZ", "1100582")
"""Characters taken for each other in worn print; from memory."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What else was measured or read, None or empty = not.

    ``ohms_other_way``: the coil with the meter's leads exchanged; ``grid``: pin centres (x, y) in mm from any corner
    and either side; ``click_volts``: where it clicked, ``let_go_volts``: where it let go; a ``?`` in ``print_text``
    stands for a character that could not be read; ``coil_silent``: it is open, or nobody measured it. By the grid's
    numbers, from 1: ``joined`` every two pins that read no ohms at rest (empty = none do), ``coil_pins`` those that the
    coil lies between. ``side``: from which side the grid was looked at.
    """

    length_mm: float | None = None
    width_mm: float | None = None
    height_mm: float | None = None
    pins: int | None = None
    click_volts: float | None = None
    print_text: str = ""
    ohms_other_way: float | None = None
    grid: tuple[tuple[float, float], ...] = ()
    let_go_volts: float | None = None
    coil_silent: bool = False
    joined: tuple[Pair, ...] | None = None
    coil_pins: Pair | None = None
    side: View | None = None

    @property
    def numbered(self) -> bool:
        """Whether anything was said of the grid's pins by their numbers, or of the side they were looked at from."""
        return self.joined is not None or self.coil_pins is not None or self.side is not None

    @property
    def without_coil(self) -> bool:
        """Whether anything that needs no coil was seen: print, body, pins."""
        sizes = (self.length_mm, self.width_mm, self.height_mm, self.pins)
        return bool(self.print_text or self.grid) or any(s is not None for s in sizes)


@dataclass(frozen=True, slots=True)
class Compared:
    """One measurement against one relay; ``fits`` None = the catalogue does not state it. ``near``: a miss by little,
    which a slip of the hand or a worn part would explain."""

    what: str
    measured: str
    stated: str
    fits: bool | None
    near: bool = True


def reference_c(relay: Relay) -> float:
    return USUAL_REFERENCE_C if relay.coil_ref_temp_c is None else relay.coil_ref_temp_c


def tolerance(relay: Relay) -> float:
    """As a share."""
    stated = relay.coil_ohms_tol_pct
    return (USUAL_TOLERANCE_PCT if stated is None else stated) / 100


def coil_reading(ohms: float, other_way: float | None) -> float:
    """The winding alone: where a diode conducts one way round, the higher reading."""
    return ohms if other_way is None else max(ohms, other_way)


def conducts_one_way(ohms: float | None, other_way: float | None) -> bool | None:
    """Whether the two readings tell of a diode; None = not measured both ways. Open (None) one way round and not the
    other is a diode beside a broken winding."""
    if other_way is None:
        return None
    if ohms is None:
        return True
    return abs(ohms - other_way) > ONE_WAY_SHARE * max(ohms, other_way)


def expected_ohms(relay: Relay) -> float | None:
    """What a meter reads on a sound coil: the winding, with a suppression resistor beside it where one is stated."""
    if not relay.coil_ohms or relay.coil_suppression is not Suppression.RESISTOR or not relay.suppression_ohms:
        return relay.coil_ohms or None
    return relay.coil_ohms * relay.suppression_ohms / (relay.coil_ohms + relay.suppression_ohms)


def off_by(relay: Relay, ohms: float, at_c: float) -> float | None:
    """How far the reading is off the stated coil, as a share of it, both at the sheet's temperature."""
    stated = expected_ohms(relay)
    return None if stated is None else ohms_at(ohms, at_c, reference_c(relay)) / stated - 1


def compare(design: Design, ohms: float | None, at_c: float, seen: Seen) -> tuple[Compared, ...]:
    """Every measurement that was made, against this relay; ohms None = the coil told nothing."""
    relay = design.relay
    rows = [] if ohms is None else [_coil(relay, coil_reading(ohms, seen.ohms_other_way), at_c)]
    if (one_way := conducts_one_way(ohms, seen.ohms_other_way)) is not None:
        rows.append(_both_ways(relay, one_way))
    rows += [*_size(relay, seen), *_pins(design, seen), *_volts(relay, seen, at_c)]
    if seen.print_text:
        rows.append(_print(relay, seen.print_text))
    return tuple(rows)


def _coil(relay: Relay, ohms: float, at_c: float) -> Compared:
    off = off_by(relay, ohms, at_c)
    at = reference_c(relay)
    measured = f"{ohms_at(ohms, at_c, at):.4g} Ω at {at:g} °C"
    if off is None:
        return Compared("coil", measured, "not stated", None)
    stated = f"{known(expected_ohms(relay)):.4g} Ω ±{tolerance(relay):.0%}"
    return Compared("coil", measured, stated, abs(off) <= tolerance(relay) + ROUNDING)


def _both_ways(relay: Relay, one_way: bool) -> Compared:
    """A diode shows where the readings differ; where they agree a meter's volts may just not have opened it."""
    measured = "differs with the leads exchanged" if one_way else "the same with the leads exchanged"
    own = relay.coil_suppression
    if own is None:
        return Compared("coil both ways", measured, "not stated", None)
    stated = f"suppression {own.value}"
    if own is Suppression.DIODE:
        return Compared("coil both ways", measured, stated, True if one_way else None)
    return Compared("coil both ways", measured, stated, not one_way)


def _size(relay: Relay, seen: Seen) -> Iterator[Compared]:
    """Length and width may have been taken either way round."""
    drawn, taken = (relay.body_length_mm, relay.body_width_mm), (seen.length_mm, seen.width_mm)
    if taken != (None, None):
        stated = None if None in drawn and _sides_near(taken, drawn) else _sides_near(taken, drawn)
        yield Compared("body", _by(taken), _by(drawn), stated, _sides_near(taken, drawn, NEAR_SIZE_MM))
    if seen.height_mm is not None:
        height = relay.body_height_mm
        fits, close = near(seen.height_mm, height), near(seen.height_mm, height, NEAR_SIZE_MM)
        yield Compared("height", _by((seen.height_mm,)), _by((height,)), None if height is None else fits, close)


Sides = tuple[float | None, float | None]


def _sides_near(taken: Sides, drawn: Sides, slack_mm: float = SIZE_SLACK_MM) -> bool:
    ways = (taken, taken[::-1])
    return any(all(near(side, stated, slack_mm) for side, stated in zip(way, drawn, strict=True)) for way in ways)


def _by(sides: tuple[float | None, ...]) -> str:
    if all(s is None for s in sides):
        return "not stated"
    return " × ".join("?" if s is None else f"{s:g}" for s in sides) + " mm"


def near(measured: float | None, stated: float | None, slack_mm: float = SIZE_SLACK_MM) -> bool:
    return measured is None or stated is None or abs(measured - stated) <= slack_mm + ROUNDING


def _pins(design: Design, seen: Seen) -> Iterator[Compared]:
    count, drawn = pin_count(design), design.footprint
    if seen.pins is not None:
        shown = "not stated" if count is None else f"{count}"
        close = count is not None and abs(count - seen.pins) <= 1
        yield Compared("pins", f"{seen.pins}", shown, None if count is None else count == seen.pins, close)
    if not seen.grid:
        return
    if drawn is None:
        yield Compared("pin grid", f"{len(seen.grid)} pins", "not stated", None)
        return
    close = grids_alike(seen.grid, centres(drawn), NEAR_SIZE_MM)
    ways = list(ways_over(seen.grid, drawn, seen.side)) if seen.numbered else []
    fits = bool(ways) if seen.side else grids_alike(seen.grid, centres(drawn))
    yield Compared("pin grid", f"{len(seen.grid)} pins", drawn.name, fits, close)
    if ways:
        yield from _by_meter(design, seen, ways)


def _by_meter(design: Design, seen: Seen, ways: Sequence[Numbered]) -> Iterator[Compared]:
    """The way over the drawing in which the wiring answers best."""
    answers = [[*_joined(design, seen, way), *_coil_pins(design, seen, way)] for way in ways]
    yield from min(answers, key=lambda rows: sum(row.fits is False for row in rows))


def _joined(design: Design, seen: Seen, way: Numbered) -> Iterator[Compared]:
    """A make contact that is welded, or a break contact that is worn, answers for one group of pins."""
    if seen.joined is None:
        return
    said = ", ".join(f"{a} and {b}" for a, b in seen.joined) or "none"
    stated, measured = joined_at_rest(design), measured_groups(seen.joined, way)
    if stated is None:
        yield Compared("joined at rest", said, "not stated", None)
        return
    number = {name: n for n, name in way.items()}
    shown = ", ".join(" and ".join(str(n) for n in sorted(number[p] for p in group)) for group in stated[0]) or "none"
    close = min(len(measured ^ groups) for groups in stated) <= 1
    yield Compared("joined at rest", said, shown, measured in stated, close)


def _coil_pins(design: Design, seen: Seen, way: Numbered) -> Iterator[Compared]:
    if seen.coil_pins is None:
        return
    said, wiring = f"{seen.coil_pins[0]} and {seen.coil_pins[1]}", design.wiring
    if wiring is None:
        yield Compared("coil between", said, "not stated", None)
        return
    number = {name: n for n, name in way.items()}
    shown = ", ".join(f"{min(pair)} and {max(pair)}" for c in wiring.coils if (pair := [number[p] for p in c.pins]))
    yield Compared("coil between", said, shown or "no coil", is_coil(seen.coil_pins, way, wiring), near=False)


def pin_count(design: Design) -> int | None:
    return None if design.footprint is None else len(design.footprint.pins)


def centres(footprint: Footprint) -> tuple[tuple[float, float], ...]:
    return tuple((p.x_mm, p.y_mm) for p in footprint.pins)


def grids_alike(a: Grid, b: Grid, slack_mm: float = SIZE_SLACK_MM) -> bool:
    """Whether all distances between pins agree, longest with longest: turned or seen from the other side is alike."""
    if len(a) != len(b):
        return False
    ours, theirs = (sorted(dist(p, q) for p, q in combinations(grid, 2)) for grid in (a, b))
    return all(near(x, y, slack_mm) for x, y in zip(ours, theirs, strict=True))


def _volts(relay: Relay, seen: Seen, at_c: float) -> Iterator[Compared]:
    if seen.click_volts is not None:
        yield _click(relay, seen.click_volts, at_c)
    if seen.let_go_volts is not None:
        yield _let_go(relay, seen.let_go_volts, at_c)


def _click(relay: Relay, click: float, at_c: float) -> Compared:
    """It clicks at or below its stated operate volts, which are a maximum, but not far below."""
    measured = f"{click:g} V"
    if relay.operate_volts is None:
        return Compared("click", measured, "not stated", None)
    most = operate_volts_at(relay.operate_volts, reference_c(relay), at_c)
    stated = f"at most {most:.3g} V at {at_c:g} °C"
    close = LEAST_CLICK_SHARE * most / NEAR_VOLTS_TIMES <= click <= most * NEAR_VOLTS_TIMES
    return Compared("click", measured, stated, LEAST_CLICK_SHARE * most <= click <= most, close)


def _let_go(relay: Relay, volts: float, at_c: float) -> Compared:
    """It lets go at or above its stated release volts, which are a minimum."""
    if relay.release_volts is None:
        return Compared("let go", f"{volts:g} V", "not stated", None)
    least = operate_volts_at(relay.release_volts, reference_c(relay), at_c)
    return Compared(
        "let go",
        f"{volts:g} V",
        f"at least {least:.3g} V at {at_c:g} °C",
        volts >= least,
        volts * NEAR_VOLTS_TIMES >= least,
    )


def _print(relay: Relay, text: str) -> Compared:
    """What could be read occurs in the maker or part number; spaces and hyphens aside, look-alikes taken as one. With
    one character otherwise it is near."""
    wrong = min(
        _characters_off(bare(text), bare(of))
        for of in (relay.part_number, relay.maker, relay.maker + relay.part_number)
    )
    return Compared("print", text, f"{relay.maker} {relay.part_number}", wrong == 0, wrong == 1 < len(bare(text)))


def bare(text: str) -> str:
    return "".join(c for c in text.upper() if c.isalnum() or c == "?").translate(_READ_AS)


def _characters_off(text: str, inside: str) -> int:
    """In how many characters the text differs from what it is most like inside the other; all, where it is longer."""
    starts = range(len(inside) - len(text) + 1)
    return min(
        # a text that is too long is off by several characters: no test can tell by how many, nor what is taken for `1`
        (sum(c not in ("?", inside[at + i]) for i, c in enumerate(text)) for at in starts),
        default=len(text) + 1,
    )
