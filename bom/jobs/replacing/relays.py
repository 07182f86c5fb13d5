"""Looking relays up: by part number, by facts, and by what the bench measured."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.catalogue import (
    CoilAtTemperature,
    Identified,
    InsideShown,
    Missed,
    PinShown,
    RelayIdentified,
    RelayShown,
    ReleaseWith,
    TellingMeasurement,
    TerminalMeaning,
)
from bom.duty.bench_reading import Seen, coil_reading
from bom.duty.cautions import BENCH_COIL, SAFETY, by_gravity, cautions_for, grave_of_part, one_line
from bom.duty.coil_window import coil_at
from bom.duty.identify import NEAR_TIMES, identify
from bom.duty.release import decays
from bom.duty.terminals import OLDER_87, control_meanings, meanings
from bom.jobs.replacing.finding import relay_listed
from bom.paper.writing import write_text
from bom.relays.footprint import VIEW, View
from bom.relays.pinout import pinout
from bom.relays.relay import Design, Relay, SupplyKind
from bom.shop.places import design_called
from bom.shop.shop import Shop
from bom.store.catalogue import all_drawings, drawings_named
from bom.store.search import coils_near, every_coil
from bom.values.problem import Refused
from bom.values.quantity import read

if TYPE_CHECKING:
    from bom.duty.identify import Possibility
    from bom.duty.release import Decay
    from bom.relays.catalogue import Catalogue
    from bom.store.unit_of_work import Session


def show_relay(session: Session, text: str) -> RelayShown:
    """Everything stated of one relay, its wiring and ratings, and what is not stated."""
    return relay_shown(design_called(Shop(session), text))


def relay_shown(design: Design) -> RelayShown:
    """Everything stated of a part, which need not be in the catalogue."""
    listed, (terminals, note) = relay_listed(design), _terminals(design)
    return RelayShown(
        relay=design.relay,
        inside=InsideShown(listed.units, listed.contacts, listed.pins),
        ratings=design.ratings,
        pinout=tuple(PinShown(use.pin, use.uses, use.x_mm, use.y_mm) for use in pinout(design)),
        terminals=terminals,
        note=note,
        coil_over_temperature=_coil(design),
        release_by_suppression=_release(design),
        cautions=cautions_for(None, design),
        not_stated=tuple(f.name for f in fields(Relay) if getattr(design.relay, f.name) in (None, "")),
    )


SHOWN_AT_C = (-40.0, -20.0, 0.0, 20.0, 40.0, 60.0, 85.0)


def _coil(design: Design) -> tuple[CoilAtTemperature, ...]:
    """A DC coil over temperature by copper's line; nothing where its sheet states no temperature."""

    relay = design.relay
    if relay.coil_supply is not SupplyKind.DC or relay.coil_ref_temp_c is None:
        return ()
    return tuple(
        CoilAtTemperature(
            temp_c=p.temp_c,
            least_ohms=_rounded(p.least_ohms, 1),
            most_ohms=_rounded(p.most_ohms, 1),
            operate_volts=_rounded(p.operate_volts, 2),
            release_volts=_rounded(p.release_volts, 2),
        )
        for p in (coil_at(relay, t) for t in SHOWN_AT_C)
    )


def _release(design: Design) -> tuple[ReleaseWith, ...]:
    """What each suppression would do to the release, from the coil's rated volts."""

    volts = design.relay.coil_volts
    if volts is None or design.relay.coil_supply is not SupplyKind.DC:
        return ()
    return tuple(map(_decay, decays(design.relay, volts)))


def _decay(decay: Decay) -> ReleaseWith:
    return ReleaseWith(
        suppression=decay.suppression,
        decay_in_l_over_r=_rounded(decay.times_lr, 2),
        decay_ms=_rounded(decay.milliseconds, 1),
        release_ms=_rounded(decay.with_mechanism_ms, 1),
        driver_sees_volts=_rounded(decay.peak_volts, 1),
        not_stated=", ".join(decay.missing),
    )


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)


def draw_relay(session: Session, text: str, file: Path) -> None:
    """The relay's pins with its coils and contacts, from both sides, as an SVG; refused where no drawing has them."""
    draw_design(design_called(Shop(session), text), file)


def draw_design(design: Design, file: Path) -> None:
    """The pins of a part, which need not be in the catalogue."""
    from bom.paper.pictures.pinout import pinout_drawing

    relay = design.relay
    if design.footprint is None:
        raise Refused(f"{relay.part_number} names no footprint that the catalogue has: measure its pins")
    length, width = relay.body_length_mm, relay.body_width_mm
    body = (length, width) if length and width else None
    care = (
        "As its data sheet draws it: prove the pins with a meter before power.",
        one_line(cautions_for(None, design)),
    )
    title = f"{relay.maker} {relay.part_number}"
    write_text(file, pinout_drawing(title, design.footprint, design.wiring, pinout(design), body, care))


def _terminals(design: Design) -> tuple[tuple[TerminalMeaning, ...], str]:
    """What the pins' numbers mean, where they are road-vehicle ones or those of control gear, and a note on them.

    A second coil has numbers that control gear would give a contact: what the wiring calls a coil is none.
    """

    pins = tuple(sorted(design.wiring.pins)) if design.wiring else ()
    vehicle = meanings(pins)
    coils = {pin for coil in design.wiring.coils for pin in coil.pins} - {"A1", "A2"} if design.wiring else set()
    known = vehicle or control_meanings(tuple(pin for pin in pins if pin not in coils))
    return tuple(TerminalMeaning(pin, words) for pin, words in known.items()), OLDER_87 if vehicle else ""


@dataclass(frozen=True, slots=True)
class Reading:
    """What was typed of an unknown relay, as typed; None or empty = not measured."""

    ohms: str | None = None
    at: str = "20 °C"
    other_way: str | None = None
    size: str | None = None
    pins: int | None = None
    grid: str | None = None
    click: str | None = None
    let_go: str | None = None
    text: str | None = None
    joined: str | None = None
    coil: str | None = None
    side: str | None = None


def identify_relay(session: Session, reading: Reading) -> Identified:
    """Which catalogue relays a coil reading may be, what fits and what does not, and what to measure next.

    A coil that is open or was not measured tells nothing: then whatever else was seen decides, and must be there.
    """

    ohms, at, seen = coil_ohms(reading), temperature(reading.at), seen_in(reading)
    if ohms is None and not seen.without_coil:
        raise Refused(
            "an open coil tells nothing: expected --ohms of a sound one, or --print, --size, --grid or --pins"
        )
    relays = _worth_weighing(session, ohms, at, seen)
    answer = identify(ohms, at, replace(_drawings_of(session, relays), relays=relays).designs(), seen)
    of_parts = (text for c in answer.candidates for text in grave_of_part(Design(c.relay, None, None)))
    return Identified(
        ohms_at_20=_rounded(answer.ohms_at_20, 1),
        candidates=tuple(map(_identified, answer.candidates)),
        near_misses=tuple(map(_identified, answer.near_misses)),
        measure_next=answer.measure_next,
        telling=tuple(TellingMeasurement(t.ask, round(t.left, 1)) for t in answer.telling),
        cautions=by_gravity((BENCH_COIL, SAFETY, *of_parts)),
    )


def _worth_weighing(session: Session, ohms: float | None, at: float, seen: Seen) -> tuple[Relay, ...]:

    if ohms is None:
        return every_coil(session)
    return coils_near(session, coil_reading(ohms, seen.ohms_other_way), at, NEAR_TIMES)


_FEW = 2_000
"""Relays for which their drawings are asked by name; for more it is quicker to read them all."""


def _drawings_of(session: Session, relays: Sequence[Relay]) -> Catalogue:
    if len(relays) > _FEW:
        return all_drawings(session)
    return drawings_named(session, {(relay.footprint, relay.wiring) for relay in relays})


OPEN = frozenset({"open", "ol", "o.l", "o.l.", "0l", "inf", "∞"})
"""What meters show, and people write, for no connection. From memory."""


def is_open(text: str | None) -> bool:
    """Whether the reading says that nothing conducts."""
    return text is not None and text.strip().casefold() in OPEN


def coil_ohms(reading: Reading) -> float | None:
    """The reading that counts as --ohms; None = the coil told nothing, open or not measured."""
    if reading.ohms is None or is_open(reading.ohms):
        return None
    if is_open(reading.other_way):
        return None
    return above_zero(reading.ohms, "ohm", "--ohms")


def _other_way(reading: Reading) -> float | None:
    """The reading that counts as the other way round: where that one is open, the first one is the one that reads."""
    if is_open(reading.other_way):
        first = None if is_open(reading.ohms) else reading.ohms
        return _if_given(first, "ohm", "--ohms")
    if reading.other_way is not None and reading.ohms is None:
        raise Refused("--ohms-other-way: expected --ohms beside it, open where the meter showed OL")
    return _if_given(reading.other_way, "ohm", "--ohms-other-way")


def seen_in(reading: Reading) -> Seen:
    """The typed measurements as numbers; refuses what is no amount, or not above zero."""

    length, width, height = _sides(reading.size)
    grid = _grid(reading.grid)
    if reading.text is not None and not any(c.isalnum() for c in reading.text):
        raise Refused(f"--print: expected at least one letter or figure that can be read, found {reading.text!r}")
    return Seen(
        length_mm=length,
        width_mm=width,
        height_mm=height,
        pins=reading.pins,
        click_volts=_if_given(reading.click, "V", "--click"),
        print_text=reading.text or "",
        ohms_other_way=_other_way(reading),
        grid=grid,
        let_go_volts=_if_given(reading.let_go, "V", "--let-go"),
        joined=_joined(reading.joined, grid),
        coil_pins=_coil_pins(reading.coil, grid),
        side=_side(reading.side, grid),
    )


Pair = tuple[int, int]


def _joined(text: str | None, grid: Sequence[object]) -> tuple[Pair, ...] | None:
    """Every two pins that read no ohms at rest, by their numbers in the grid; ``none`` where none do."""
    if text is None:
        return None
    if text.strip().casefold() == "none":
        return ()
    return tuple(_pair(pair, "--joined", grid) for pair in re.split(r"[\s,;]+", text.strip()) if pair)


def _coil_pins(text: str | None, grid: Sequence[object]) -> Pair | None:
    return None if text is None else _pair(text.strip(), "--coil", grid)


def _pair(text: str, option: str, grid: Sequence[object]) -> Pair:
    _with_grid(option, grid)
    one, dash, other = text.partition("-")
    numbers = [int(n) for n in (one, other) if n.isascii() and n.isdigit() and 1 <= int(n) <= len(grid)]
    if not dash or len(numbers) != 2 or numbers[0] == numbers[1]:
        raise Refused(f"{option}: expected two of the grid's {len(grid)} pins, as in 1-2, found {text!r}")
    return numbers[0], numbers[1]


def _side(text: str | None, grid: Sequence[object]) -> View | None:
    if text is None:
        return None
    _with_grid("--side", grid)
    if (meant := VIEW.words.meant(text)) is None or meant == View.UNKNOWN:
        raise Refused(f"--side: expected component or solder, found {text!r}")
    return View(meant)


def _with_grid(option: str, grid: Sequence[object]) -> None:
    if not grid:
        raise Refused(f"{option}: expected --grid beside it, whose pins are numbered 1, 2, … as they are written")


def _if_given(text: str | None, unit: str, option: str) -> float | None:
    return None if text is None else above_zero(text, unit, option)


def above_zero(text: str, unit: str, option: str) -> float:
    """A measured amount; a comma is refused, since nobody can tell a decimal sign from a thousands mark for certain."""
    if "," in text:
        raise Refused(
            f"{option}: expected the decimal sign as a point, as in {text.replace(',', '.')!r}, found {text!r}"
        )
    if (value := read(text, unit)) <= 0:
        raise Refused(f"{option}: expected an amount above zero, found {text!r}")
    return value


def temperature(text: str) -> float:
    """Degrees Celsius a bench can have; copper's line means nothing far outside."""
    at = read(text, "degC")
    if not COLDEST_BENCH_C <= at <= HOTTEST_BENCH_C:
        raise Refused(f"--at: expected {COLDEST_BENCH_C:g} to {HOTTEST_BENCH_C:g} °C, found {text!r}")
    return at


COLDEST_BENCH_C, HOTTEST_BENCH_C = -60.0, 200.0
"""Outside these a reading was mistyped: common practice, no source."""


def _sides(text: str | None) -> tuple[float | None, float | None, float | None]:
    """Length, width and height from ``18 x 17 x 14``, mm unless said; a ``?`` or an end left out is not measured."""
    if text is None:
        return None, None, None
    parts = [p.strip() for p in re.split(r"[x×*]", text.lower().removesuffix("mm"))]
    if not 1 <= len(parts) <= 3:
        raise Refused(f"--size: expected length x width x height, as in '18 x 17 x 14', found {text!r}")
    if not any(p.strip("?") for p in parts):
        raise Refused(f"--size: expected at least one side measured, as in '18 x 17 x ?', found {text!r}")
    sides = [None if p in ("", "?") else above_zero(p, "mm", "--size") for p in parts]
    length, width, height = [*sides, None, None][:3]
    return length, width, height


def _grid(text: str | None) -> tuple[tuple[float, float], ...]:
    """Pin centres from ``0/0 0/10 12/5``, in mm from any corner."""
    if not text:
        return ()
    return tuple(_centre(pair, text) for pair in re.split(r"[\s;]+", text.strip()) if pair)


def _centre(pair: str, text: str) -> tuple[float, float]:
    x, slash, y = pair.partition("/")
    if not slash:
        raise Refused(f"--grid: expected pin centres as x/y in mm, as in '0/0 0/10 12/5', found {text!r}")
    return read(x, "mm"), read(y, "mm")


def _identified(candidate: Possibility) -> RelayIdentified:
    return RelayIdentified(
        maker=candidate.relay.maker,
        part_number=candidate.relay.part_number,
        coil_ohms=candidate.relay.coil_ohms,
        off=_rounded(candidate.off, 4),
        assumed=candidate.assumed,
        fits=tuple(c.what for c in candidate.fits),
        misses=tuple(Missed(c.what, c.measured, c.stated) for c in candidate.misses),
        not_stated=tuple(c.what for c in candidate.compared if c.fits is None),
    )
