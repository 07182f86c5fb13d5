"""Makes a catalogue folder of any size with invented relays, skewed as real catalogues are, and a board to match at.

    python scripts/bench/make_catalogue.py FOLDER 1000000
    python scripts/bench/make_catalogue.py FOLDER 5000 5000     # with 5 000 distinct footprints, used evenly

300 footprints unless another number is given, their use falling as 1 / rank; 60 wirings; series of some 250 parts: coil
voltages × contacts × sealing × contact material × packing, which changes nothing but the number. Ratings are stated
once a series. One in thirty sheets leaves something out. The same sizes give the same files. Everything is invented.
"""

from __future__ import annotations

import csv
import sys
from bisect import bisect
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate, product
from pathlib import Path
from random import Random

PIN_COUNTS = (5, 8, 4, 10, 6, 14)
FOOTPRINTS, WIRINGS, PER_SERIES = 300, 60, 250
SEATS = {"K1": 5, "K2": 12, "K3": 40}  # position: rank of the footprint it was made for
STEPS = (2.5, 2.54, 3.2, 3.5, 3.75, 5.0, 5.04, 5.08, 7.5, 7.62, 10.0, 10.16)
VOLTS = (12, 24, 5, 6, 9, 48, 3, 18, 60, 110)
MAKERS = [a + b for a, b in product(("Ost", "Kith", "Cor", "Fenn", "Tha", "Hol", "Bry", "Sel"),
                                    ("rel", "mar", "vane", "dale", "wick"))]  # fmt: skip
COLUMNS = [
    "maker",
    "part_number",
    "series",
    "status",
    "footprint",
    "wiring",
    "coil_system",
    "coil_supply",
    "coil_volts",
    "coil_ohms",
    "coil_ohms_tol_pct",
    "operate_volts",
    "release_volts",
    "coil_max_volts",
    "coil_ref_temp_c",
    "coil_suppression",
    "contact_material",
    "min_load_volts",
    "min_load_milliamps",
    "min_load_milliwatts",
    "dielectric_volts",
    "temp_min_c",
    "temp_max_c",
    "sealing",
    "guided",
    "body_length_mm",
    "body_width_mm",
    "body_height_mm",
    "standoff_mm",
    "pin_length_mm",
    "operate_ms",
    "release_ms",
    "mechanical_ops",
    "source",
]


@dataclass(frozen=True)
class Series:
    """What all parts of a series share."""

    maker: str
    name: str
    footprint: int
    watts: float
    height: float
    hottest: int
    coldest: int
    supply: str
    system: str
    silent: str
    status: str
    draw: int


def pins_of(rank: int) -> int:
    return PIN_COUNTS[rank % len(PIN_COUNTS)]


def pin_places(rank: int) -> list[tuple[float, float]]:
    """Two rows, no two footprints alike, some no further apart than 2.50 and 2.54 mm."""
    if rank >= FOOTPRINTS:
        return random_rows(rank)
    count, step = pins_of(rank), rank // len(PIN_COUNTS)
    pitch = (2.54, 2.5, 3.2, 5.08, 5.0)[step % 5]
    across = (7.62, 7.5, 10.16, 10.0, 12.7, 12.5, 15.24, 15.0, 17.78, 20.32)[step // 5 % 10]
    left = (count + 1) // 2
    return [(0.0, round(i * pitch, 3)) for i in range(left)] + [
        (across, round(i * pitch * (1.5 if i else 1.0), 3)) for i in range(count - left)
    ]


def random_rows(rank: int) -> list[tuple[float, float]]:
    """Two rows as relays have them, pins on the trade's pitches; one in twenty is another's twin, 0.04 mm wider."""
    if rank % 20 == 19:
        return [(round(x * 1.004, 3), y) for x, y in random_rows(rank - 18)]  # as many pins
    r, count = Random(rank), pins_of(rank)
    left, across = (count + 1) // 2, round(r.uniform(5.0, 21.0), 2)
    return [*row_of(left, 0.0, r), *row_of(count - left, across, r)]


def row_of(count: int, x: float, r: Random) -> list[tuple[float, float]]:
    return [(x, round(y, 3)) for y in accumulate((r.choice(STEPS) for _ in range(count - 1)), initial=0.0)]


def wiring_of(number: int) -> list[tuple[str, str, str, str, str, str]]:
    """(unit, pole, element, from, to, polarised): coils first, then contacts; ten arrangements for each pin count."""
    count, way = PIN_COUNTS[number % len(PIN_COUNTS)], number // len(PIN_COUNTS)
    order = [str((i * (1 if way % 2 else count - 1) + way // 2) % count + 1) for i in range(count)]
    units = ("A", "B") if count == 10 else ("A",)
    rows, at = [], 0
    for unit in units:
        rows.append((unit, "", "coil", order[at], order[at + 1], "no"))
        at += 2
    poles = iter("123456")
    while count - at >= 2:
        unit = units[min(len(rows) // 3, len(units) - 1)]
        pole = next(poles)
        rows.append((unit, pole, "make", order[at], order[at + 1], ""))
        if (count - at) % 3 == 0 or count - at > 4:
            rows.append((unit, pole, "break", order[at], order[at + 2], ""))
            at += 1
        at += 2
    return rows


def wirings_for(rank: int) -> list[int]:
    return [n for n in range(WIRINGS) if PIN_COUNTS[n % len(PIN_COUNTS)] == pins_of(rank)]


def all_series(relays: int, footprints: int) -> Iterator[Series]:
    """Footprints by a low-discrepancy sequence, so that every size has each rank's share; a given number evenly."""
    shares = list(accumulate(1 / (rank + 1) for rank in range(FOOTPRINTS)))
    for number in range(max(footprints or 30, -(-relays // PER_SERIES))):
        r = Random(number)
        rank = number % footprints if footprints else bisect(shares, (number * 0.6180339887 % 1.0) * shares[-1])
        name = "".join(r.choice("ABCDEFGHJKLMNPRSTUVWXYZ") for _ in range(3)) + f"{number}"
        yield Series(
            r.choice(MAKERS), name, rank, r.choice((0.2, 0.36, 0.45, 0.53, 0.6, 0.8, 0.9)),
            round(r.uniform(8.0, 25.0), 1), r.choice((70, 85, 85, 85, 105)), r.choice((-40, -40, -40, -25, -55)),
            "ac" if r.random() < 0.12 else "dc", "latching-1-coil" if r.random() < 0.08 else "monostable",
            r.choice(("", "", "", "coil_ohms", "temp_max_c", "standoff_mm", "operate_volts")) if r.random() < 0.25
            else "", "obsolete" if r.random() < 0.1 else "active", number,
        )  # fmt: skip


def parts(series: Series) -> Iterator[dict[str, object]]:
    r = Random(series.draw)
    volts = sorted([*r.sample(VOLTS, 8), 12]) if series.draw % 3 else list(VOLTS[:7])
    wirings = r.sample(wirings_for(series.footprint), 3)
    wirings[0] = wirings_for(series.footprint)[series.draw % 3]
    pull_in, share = r.choice((0.65, 0.7, 0.75, 0.8)), r.choice((1.3, 1.5, 1.2))
    for volt, (w, wiring), tight, metal, pack in product(
        dict.fromkeys(volts), enumerate(wirings), ("RT II", "RT III"), ("AgSnO2", "AgNi"), ("", "-R1", "-M5")
    ):
        number = f"{series.name}-{'ABC'[w]}{volt:03}{tight[3:].replace('I', 'i').count('i')}{metal[2]}{pack}"
        row: dict[str, object] = {
            "maker": series.maker, "part_number": number, "series": series.name, "status": series.status,
            "footprint": f"F{series.footprint:03}", "wiring": f"W{wiring:02}", "coil_system": series.system,
            "coil_supply": series.supply, "coil_volts": volt, "coil_ohms": round(volt * volt / series.watts, 1),
            "coil_ohms_tol_pct": 10, "operate_volts": round(volt * pull_in, 2), "release_volts": round(volt * 0.1, 2),
            "coil_max_volts": round(volt * share, 1), "coil_ref_temp_c": 20, "coil_suppression": "none",
            "contact_material": metal, "min_load_volts": 5, "min_load_milliamps": 100 if metal == "AgSnO2" else 10,
            "dielectric_volts": 1000, "temp_min_c": series.coldest, "temp_max_c": series.hottest, "sealing": tight,
            "guided": "no", "body_length_mm": 20, "body_width_mm": 16, "body_height_mm": series.height,
            "standoff_mm": 0.3, "pin_length_mm": 3.5, "operate_ms": 8, "release_ms": 4, "mechanical_ops": 10000000,
            "source": f"{series.maker} sheet {series.name} (invented)",
        }  # fmt: skip
        if series.silent:
            row[series.silent] = None
        yield row


def ratings(series: Series) -> Iterator[tuple[object, ...]]:
    r = Random(-series.draw - 1)
    amps, sheet = r.choice((3, 5, 8, 10, 16, 20, 30)), f"{series.maker} sheet {series.name} (invented)"
    for contact, share in (("make", 1.0), ("break", 0.5)):
        for volts, less in ((14, 1.0), (28, 0.5)):
            line = (series.name, contact, "resistive", "dc", volts, amps * share * less, None, 2 * amps, 3, sheet)
            yield line
        if series.draw % 2:
            yield (series.name, contact, "motor", "dc", 14, amps * share * 0.4, amps * share * 2.5, 2 * amps, 3, sheet)
            yield (series.name, contact, "lamp", "dc", 14, amps * share * 0.25, amps * share * 2.5, None, None, sheet)


def make(folder: Path, relays: int, footprints: int = 0) -> None:
    (folder / "boards").mkdir(parents=True, exist_ok=True)
    save(
        folder / "footprints.csv",
        ["footprint", "pin", "x_mm", "y_mm", "lead_mm", "view"],
        footprint_rows(footprints or FOOTPRINTS),
    )
    save(
        folder / "wirings.csv", ["wiring", "unit", "pole", "element", "from_pin", "to_pin", "polarised"], wiring_rows()
    )
    series = used(list(all_series(relays, footprints)), relays)
    save(folder / "relays.csv", COLUMNS, relay_rows(series, relays))
    head = [
        "applies_to",
        "contact",
        "load",
        "supply",
        "volts",
        "amps",
        "inrush_amps",
        "carry_amps",
        "carry_seconds",
        "source",
    ]
    save(folder / "ratings.csv", head, (line for s in series for line in ratings(s)))
    make_board(folder / "boards")


def used(series: list[Series], relays: int) -> list[Series]:
    """Those that have a part where each has as many."""
    each = -(-relays // len(series))
    return series[: -(-relays // each)]


def relay_rows(series: list[Series], relays: int) -> Iterator[list[object]]:
    """From every series in turn, so that a smaller catalogue has as many series for its size."""
    each = -(-relays // len(series))
    left = relays
    for one in series:
        rows = list(parts(one))
        Random(one.draw + 7).shuffle(rows)
        for row in rows[: min(each, left)]:
            yield [row.get(c) for c in COLUMNS]
            left -= 1


def footprint_rows(footprints: int) -> Iterator[tuple[object, ...]]:
    for rank in range(footprints):
        for pin, (x, y) in enumerate(pin_places(rank), 1):
            yield (f"F{rank:03}", pin, x, y, 0.8, "component")


def wiring_rows() -> Iterator[tuple[object, ...]]:
    for number in range(WIRINGS):
        for row in wiring_of(number):
            yield (f"W{number:02}", *row)
    for ref, rank in SEATS.items():  # what the board expects, hole names standing for pins
        for unit, pole, element, a, b, polarised in wiring_of(wirings_for(rank)[0]):
            yield (f"expected-{ref}", unit, pole, element, f"p{a}", f"p{b}", polarised)


def save(path: Path, head: list[str], rows: Iterator[object]) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(head)
        writer.writerows(rows)  # type: ignore[arg-type]  # every row is a sequence


def make_board(folder: Path) -> None:
    rows = [
        (ref, f"p{pin}", x, y, 1.3, f"net {pin}", "component")
        for ref, rank in SEATS.items()
        for pin, (x, y) in enumerate(pin_places(rank), 1)
    ]
    save(folder / "holes.csv", ["pattern", "hole", "x_mm", "y_mm", "drill_mm", "net", "view"], iter(rows))
    (folder / "bench.toml").write_text(BOARD + "".join(POSITION.format(ref=ref) for ref in SEATS), encoding="utf-8")


BOARD = """[board]
name = "BENCH"
supply = { min_volts = 11.0, nominal_volts = 12.0, max_volts = 14.4 }
ambient_min_c = -20
ambient_max_c = 60
board_thickness_mm = 1.6
lid_clearance_mm = 21.0
holes = "holes.csv"
process = ["wash"]
"""

POSITION = """
[[position]]
ref = "{ref}"
pattern = "{ref}"
wiring = "expected-{ref}"
driver = {{ channel_milliamps = 120, package_milliamps = 500, drop_volts = 0.5, polarity = "low side" }}
units_on_together = 1

[[position.function]]
name = "valve"
unit = "A"
contact = "make"
load = {{ kind = "motor", volts = 14, amps = 2.1, stall_amps = 9, stall_seconds = 0.4, operations_per_day = 120 }}
"""

if __name__ == "__main__":
    make(Path(sys.argv[1]), *map(int, sys.argv[2:]))
