"""A catalogue folder: relays, footprints, wirings, ratings and supplies, each row checked and every
reference followed."""

from __future__ import annotations

import re
from dataclasses import fields
from pathlib import Path

from bom.intake.drawings import footprints_in, wirings_in
from bom.intake.rows import Cells, Report, Taken, rows_of
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint
from bom.relays.relay import (
    CoilSystem,
    Guided,
    Rating,
    Relay,
    Sealing,
    Status,
    SupplyKind,
    SupplyPart,
    Suppression,
)
from bom.relays.wiring import Wiring
from bom.values.problem import Refused

RELAY_COLUMNS = tuple(f.name for f in fields(Relay))
RATING_COLUMNS = tuple(f.name for f in fields(Rating))
SUPPLY_COLUMNS = ("part_number", "name", "maker", "kind", "unit", "status", "source")
SUPPLY_KINDS = ("consumable", "part", "packing", "print")
UNITS = ("g", "mm", "ml", "piece")
CONTACTS = ("make", "break", "both")
LOADS = ("resistive", "inductive", "motor", "lamp", "capacitive", "general")
# Utilisation categories are written AC-1 … AC-15, DC-1 … DC-14, some with a letter (IEC 60947-4-1 and -5-1,
# from memory).
_CATEGORY = re.compile(r"(AC|DC)-\d{1,2}[a-zA-Z]?")

CHOICES = {
    "status": Status,
    "coil_system": CoilSystem,
    "coil_supply": SupplyKind,
    "coil_suppression": Suppression,
    "sealing": Sealing,
    "guided": Guided,
}
TEXTS = ("series", "footprint", "wiring", "contact_material", "source")
_TEMPERATURES = ("coil_ref_temp_c", "temp_min_c", "temp_max_c")
_FROM_ZERO = (
    "coil_ohms_tol_pct",
    "standoff_mm",
    "min_load_volts",
    "min_load_milliamps",
    "min_load_milliwatts",
)
_POSITIVE = tuple(
    c for c in RELAY_COLUMNS if c not in {"maker", "part_number", *CHOICES, *TEXTS, *_TEMPERATURES, *_FROM_ZERO}
)


def read_catalogue(folder: Path) -> Taken[Catalogue]:
    """The catalogue in a folder, with notes on unknown columns; raises ``ProblemsFound`` with all problems
    of all files."""
    if not folder.is_dir():
        raise Refused(f"expected a catalogue folder, found none at {folder}")
    report = Report()
    footprints = footprints_in(folder / "footprints.csv", report)
    wirings = wirings_in(folder / "wirings.csv", report)
    relays = _relays(folder / "relays.csv", footprints, wirings, report)
    ratings = _ratings(folder / "ratings.csv", relays, report)
    supplies = _supplies(folder / "supplies.csv", report)
    return report.taken(Catalogue(relays, footprints, wirings, ratings, supplies))


def is_load(kind: str) -> bool:
    """Whether this is a load kind of the contract, or is written as a utilisation category."""
    return kind in LOADS or _CATEGORY.fullmatch(kind) is not None


def _relays(
    path: Path, footprints: dict[str, Footprint], wirings: dict[str, Wiring], report: Report
) -> tuple[Relay, ...]:
    seen: dict[tuple[str, ...], int] = {}
    mismatched: set[tuple[str, str]] = set()
    relays = []
    for row in rows_of(path, ("maker", "part_number"), RELAY_COLUMNS, report):
        cells = Cells(path.name, row, report)
        relays.append(relay := _relay(cells))
        _only_once(cells, (relay.maker, relay.part_number), seen)
        _check_order(cells, relay)
        _check_references(cells, relay, footprints, wirings, mismatched)
    return tuple(relays)


def _relay(cells: Cells) -> Relay:
    maker, part_number = cells.needed("maker"), cells.part_number("part_number")
    stated: dict[str, object] = {c: cells.choice(c, kind) for c, kind in CHOICES.items()}
    stated |= {c: cells.text(c) for c in TEXTS}
    stated |= {c: cells.number(c) for c in _TEMPERATURES}
    stated |= {c: cells.not_negative(c) for c in _FROM_ZERO}
    stated |= {c: cells.positive(c) for c in _POSITIVE}
    return Relay(maker, part_number, **stated)  # type: ignore[arg-type]  # the columns are the fields, each by its type


def _only_once(cells: Cells, key: tuple[str, ...], seen: dict[tuple[str, ...], int]) -> None:
    if all(key) and key in seen:
        cells.wrong("part_number", f"each part of a maker once (line {seen[key]} has it)", " ".join(key))
    seen.setdefault(key, cells.row.line)


# What must not exceed what, by the meaning of the columns.
_ORDERED = (
    ("temp_min_c", "temp_max_c"),
    ("release_volts", "operate_volts"),
    ("operate_volts", "coil_max_volts"),
    ("coil_volts", "coil_max_volts"),
)


def _check_order(cells: Cells, relay: Relay) -> None:
    for low, high in _ORDERED:
        below, above = getattr(relay, low), getattr(relay, high)
        if below is not None and above is not None and below > above:
            cells.wrong(low, f"at most {high}, which is {above:g}", f"{below:g}")


def _check_references(
    cells: Cells,
    relay: Relay,
    footprints: dict[str, Footprint],
    wirings: dict[str, Wiring],
    mismatched: set[tuple[str, str]],
) -> None:
    footprint, wiring = footprints.get(relay.footprint), wirings.get(relay.wiring)
    if relay.footprint and footprint is None:
        cells.wrong("footprint", "a footprint in footprints.csv", relay.footprint)
    if relay.wiring and wiring is None:
        cells.wrong("wiring", "a wiring in wirings.csv", relay.wiring)
    if footprint and wiring and (relay.footprint, relay.wiring) not in mismatched:
        _check_pins(cells, footprint, wiring, mismatched)


def _check_pins(cells: Cells, footprint: Footprint, wiring: Wiring, mismatched: set[tuple[str, str]]) -> None:
    """Every wired pin is a pin of the footprint; each pair is reported once, at the first relay that has
    it."""
    if strangers := sorted(wiring.pins - {p.name for p in footprint.pins}):
        mismatched.add((footprint.name, wiring.name))
        cells.wrong("wiring", f"only pins of footprint {footprint.name}", ", ".join(strangers))


def _ratings(path: Path, relays: tuple[Relay, ...], report: Report) -> tuple[Rating, ...]:
    names = {r.part_number for r in relays} | {r.series for r in relays if r.series}
    required = ("applies_to", "contact", "load", "supply", "volts")
    rows = rows_of(path, required, RATING_COLUMNS, report)
    return tuple(_rating(Cells(path.name, row, report), names) for row in rows)


def _rating(cells: Cells, names: set[str]) -> Rating:
    applies_to, load = cells.part_number("applies_to"), cells.needed("load")
    if applies_to and applies_to not in names:
        cells.wrong("applies_to", "a part number or series in relays.csv", applies_to)
    if load and not is_load(load):
        cells.wrong("load", "one of: " + " | ".join(LOADS) + ", or a category such as AC-15", load)
    cells.needed("volts"), cells.needed("supply")
    return Rating(
        applies_to,
        cells.one_of("contact", CONTACTS),
        load,
        cells.choice("supply", SupplyKind) or SupplyKind.DC,
        cells.positive("volts") or 0.0,
        temp_c=cells.number("temp_c"),
        power_factor=_power_factor(cells),
        source=cells.text("source"),
        **{c: cells.positive(c) for c in _RATING_NUMBERS},
    )


_RATING_NUMBERS = ("amps", "inrush_amps", "carry_amps", "carry_seconds", "lr_ms", "operations")


def _power_factor(cells: Cells) -> float | None:
    if (found := cells.positive("power_factor")) is not None and found > 1:
        cells.wrong("power_factor", "a number up to 1", cells.text("power_factor"))
    return found


def _supplies(path: Path, report: Report) -> tuple[SupplyPart, ...]:
    """The supplies, none where the file is absent."""
    if not path.exists():
        return ()
    seen: dict[tuple[str, ...], int] = {}
    parts = []
    for row in rows_of(path, ("part_number", "name", "kind", "unit"), SUPPLY_COLUMNS, report):
        cells = Cells(path.name, row, report)
        parts.append(part := _supply_part(cells))
        _only_once(cells, (part.part_number,), seen)
    return tuple(parts)


def _supply_part(cells: Cells) -> SupplyPart:
    return SupplyPart(
        cells.part_number("part_number"),
        cells.needed("name"),
        cells.text("maker"),
        cells.one_of("kind", SUPPLY_KINDS),
        cells.one_of("unit", UNITS),
        cells.choice("status", Status),
        cells.text("source"),
    )
