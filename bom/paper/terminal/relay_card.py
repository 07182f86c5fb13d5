"""Knows how one relay is laid out on a screen: a line for its coil, its contacts, its body, with units; then its
ratings, its coil over temperature, and what nobody stated."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from string import Formatter
from typing import Any

from bom.paper.terminal.tables import simple_table
from bom.paper.terminal.take_care import take_care

Answer = Mapping[str, Any]

_LINES: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("series", ("{series}", "{status}")),
    (
        "coil",
        (
            "{coil_volts:g} V {coil_supply}",
            "{coil_ohms:g} Ω",
            "±{coil_ohms_tol_pct:g} %",
            "at {coil_ref_temp_c:g} °C",
            "{coil_system}",
            "operates at {operate_volts:g} V",
            "releases at {release_volts:g} V",
            "at most {coil_max_volts:g} V",
            "suppression inside: {coil_suppression}",
            "{suppression_ohms:g} Ω across it",
            "{suppression_volts:g} V zener",
            "{coil_henries:g} H",
        ),
    ),
    (
        "contacts",
        (
            "{contacts}",
            "units: {units}",
            "{contact_material}",
            "guided: {guided}",
            "least load {min_load_volts:g} V",
            "least load {min_load_milliamps:g} mA",
            "least load {min_load_milliwatts:g} mW",
            "insulation {dielectric_volts:g} V",
        ),
    ),
    (
        "body",
        (
            "{body_length_mm:g} mm long",
            "{body_width_mm:g} mm wide",
            "{body_height_mm:g} mm high",
            "standoff {standoff_mm:g} mm",
            "{sealing}",
            "from {temp_min_c:g} °C",
            "to {temp_max_c:g} °C",
        ),
    ),
    ("pins", ("{pins}", "{pin_length_mm:g} mm long", "footprint {footprint}", "wiring {wiring}")),
    ("speed", ("operates in {operate_ms:g} ms", "releases in {release_ms:g} ms", "{mechanical_ops:,.0f} operations")),
    ("source", ("{source}",)),
)
_BELOW = (
    "maker", "part_number", "ratings", "pinout", "terminals", "note", "coil_over_temperature", "release_by_suppression",
    "not_stated", "cautions",
)  # fmt: skip


def relay_card(answer: Answer) -> str:
    """Everything stated, then what is not, then the cautions of the part."""
    title = f"{answer['maker']} {answer['part_number']}"
    missing = ", ".join(key.replace("_", " ") for key in answer["not_stated"])
    parts = (
        simple_table(title, ["", ""], [*_facts(answer)]),
        _pins(answer),
        _ratings(answer["ratings"]),
        _over_temperature(answer.get("coil_over_temperature") or []),
        _release(answer.get("release_by_suppression") or []),
        f"Not stated: {missing}\n" if missing else "",
        take_care(answer["cautions"]),
    )
    return "\n".join(part for part in parts if part)


def _facts(answer: Answer) -> Iterator[tuple[str, str]]:
    """A line a subject; whatever has no line of its own comes last, so that nothing stated is left out."""
    said = {key for _, phrases in _LINES for phrase in phrases for key in _keys(phrase)}
    for name, phrases in _LINES:
        if line := ", ".join(phrase.format_map(answer) for phrase in phrases if _stated(answer, phrase)):
            yield name, line
    yield from ((k.replace("_", " "), str(v)) for k, v in answer.items() if k not in said and k not in _BELOW)


def _keys(phrase: str) -> list[str]:
    return [key for _, key, _, _ in Formatter().parse(phrase) if key]


def _stated(answer: Answer, phrase: str) -> bool:
    return all(answer.get(key) not in (None, "") for key in _keys(phrase))


def _ratings(lines: list[Answer]) -> str:
    """What each contact is published for; whose figures they are stands below, once."""
    if not lines:
        return "No rating is stated: nothing is known of what its contacts carry.\n"
    rows = [
        (r["contact"], r["load"], _at(r), _amps(r["amps"]), _peaks(r), _degrees(r["temp_c"]), _times(r["operations"]))
        for r in lines
    ]
    table = simple_table("Ratings", ["contact", "load", "at", "amps", "peaks", "ambient", "operations"], rows)
    sources = dict.fromkeys(f"{r['source']} ({r['applies_to']})" for r in lines if r["source"])
    return table + simple_table("", ["", ""], [("source", source) for source in sources])


def _at(line: Answer) -> str:
    kind = str(line["supply"] or "").upper()
    parts = (
        "volts not stated" if line["volts"] is None else f"{line['volts']:g} V {kind}".strip(),
        "" if line["lr_ms"] is None else f"L/R {line['lr_ms']:g} ms",
        "" if line["power_factor"] is None else f"power factor {line['power_factor']:g}",
    )
    return ", ".join(part for part in parts if part)


def _peaks(line: Answer) -> str:
    inrush, carry, seconds = line["inrush_amps"], line["carry_amps"], line["carry_seconds"]
    for_seconds = "" if seconds is None else f" for {seconds:g} s"
    said = (
        "" if inrush is None else f"makes {inrush:g} A",
        "" if carry is None else f"carries {carry:g} A{for_seconds}",
    )
    return ", ".join(part for part in said if part)


def _amps(amps: float | None) -> str:
    return "not stated" if amps is None else f"{amps:g} A"


def _degrees(temp_c: float | None) -> str:
    return "not stated" if temp_c is None else f"{temp_c:g} °C"


def _times(operations: float | None) -> str:
    return "not stated" if operations is None else f"{operations:,.0f}"


def _pins(answer: Answer) -> str:
    """Every pin with what it is, where it stands, and what its number means where a standard says so."""
    by_number = {row["pin"]: row["meaning"] for row in answer.get("terminals") or ()}
    columns = ["pin", "is", "at mm, component side", "by its number"]
    rows = [[p["pin"], p["is"], _places(p), by_number.get(p["pin"], "")] for p in answer.get("pinout") or ()]
    shown = len(columns) if by_number else len(columns) - 1
    note = f"{answer['note']}\n" if answer.get("note") else ""
    return (simple_table("Pins", columns[:shown], [row[:shown] for row in rows]) if rows else "") + note


def _places(pin: Answer) -> str:
    return "not stated" if pin["x_mm"] is None else f"{pin['x_mm']:g} / {pin['y_mm']:g}"


def _over_temperature(rows: list[Answer]) -> str:
    shown = [(r["temp_c"], r["least_ohms"], r["most_ohms"], r["operate_volts"], r["release_volts"]) for r in rows]
    columns = ["°C", "least Ω", "most Ω", "operates at V", "releases at V"]
    return simple_table("Coil over temperature, by copper", columns, shown) if shown else ""


def _release(rows: list[Answer]) -> str:
    shown = [(r["suppression"], r["decay_ms"], r["release_ms"], r["driver_sees_volts"], r["not_stated"]) for r in rows]
    columns = ["suppression", "current decays in ms", "releases in ms", "driver sees V", "not stated"]
    return simple_table("How it would release with each suppression", columns, shown) if shown else ""
