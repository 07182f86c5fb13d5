"""Knows how relays look in a terminal: a line each where many are found; one with all that is stated of it, in lines
for its coil, its contacts and its body, with units; and what an unmarked one may be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from string import Formatter

from bom.answers.catalogue import (
    CoilAtTemperature,
    Identified,
    PinShown,
    RelayIdentified,
    RelayListed,
    RelayShown,
    ReleaseWith,
)
from bom.paper.terminal.cautions import take_care
from bom.paper.terminal.tables import simple_table
from bom.relays.relay import Rating


def relays_table(rows: Sequence[RelayListed]) -> str:
    """Relays found, a line each."""
    if not rows:
        return "No relay was found."
    names = [f.name for f in fields(RelayListed)]
    shown = [[getattr(row, name) for name in names] for row in rows]
    return simple_table("", [name.replace("_", " ") for name in names], shown)


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
            "holds down to {hold_volts:g} V",
            "at most {coil_max_volts:g} V",
            "{coil_hertz} Hz",
            "{coil_kelvin_per_watt:g} K for each watt",
            "{contact_rise_k:g} K more",
            "at {contact_rise_amps:g} A through its contacts",
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
            "current one way: {contact_polarity}",
            "switches its load {most_per_minute:g} times a minute at most",
            "{together_amps:g} A in every half at once",
            "{dielectric_volts:g} V over the open contact",
            "{coil_contact_volts:g} V between coil and contacts",
            "{between_poles_volts:g} V between poles",
            "insulation: {insulation}",
            "impulse {impulse_volts:g} V",
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
_TITLE = ("maker", "part_number")


def relay_card(answer: RelayShown) -> str:
    """Everything stated and what follows for its coil, then what is not, then the cautions of the part."""
    missing = ", ".join(name.replace("_", " ") for name in answer.not_stated)
    parts = (
        stated_of(answer),
        _over_temperature(answer.coil_over_temperature),
        _release(answer.release_by_suppression),
        f"Not stated: {missing}\n" if missing else "",
        take_care(answer.cautions),
    )
    return "\n".join(part for part in parts if part)


def stated_of(answer: RelayShown) -> str:
    """Its facts, pins and ratings, as stated."""
    title = f"{answer.relay.maker} {answer.relay.part_number}"
    parts = (simple_table(title, ["", ""], [*_facts(answer)]), _pins(answer), _ratings(answer.ratings))
    return "\n".join(part for part in parts if part)


def _facts(answer: RelayShown) -> Iterator[tuple[str, str]]:
    """A line a subject; whatever has no line of its own comes last, so that nothing stated is left out."""
    named = {f.name: getattr(of, f.name) for of in (answer.relay, answer.inside) for f in fields(of)}
    facts = {name: value for name, value in named.items() if value not in (None, "")}
    said = set(_TITLE)
    for subject, phrases in _LINES:
        if told := [phrase for phrase in phrases if _is_stated(facts, phrase)]:
            said |= {name for phrase in told for name in _names(phrase)}
            yield subject, ", ".join(phrase.format_map(facts) for phrase in told)
    yield from ((name.replace("_", " "), str(value)) for name, value in facts.items() if name not in said)


def _names(phrase: str) -> list[str]:
    return [name for _, name, _, _ in Formatter().parse(phrase) if name]


def _is_stated(facts: Mapping[str, object], phrase: str) -> bool:
    return all(name in facts for name in _names(phrase))


def _ratings(lines: Sequence[Rating]) -> str:
    """What each contact is published for; whose figures they are stands below, once."""
    if not lines:
        return "No rating is stated: nothing is known of what its contacts carry.\n"
    rows = [
        (r.contact, r.load, _at(r), _amps(r.amps), _peaks(r), _degrees(r.temp_c), _times(r.operations)) for r in lines
    ]
    table = simple_table("Ratings", ["contact", "load", "at", "amps", "peaks", "ambient", "operations"], rows)
    sources = dict.fromkeys(f"{r.source} ({r.applies_to})" for r in lines if r.source)
    return table + simple_table("", ["", ""], [("source", source) for source in sources])


def _at(line: Rating) -> str:
    kind = str(line.supply or "").upper()
    parts = (
        "volts not stated" if line.volts is None else f"{line.volts:g} V {kind}".strip(),
        "" if line.lr_ms is None else f"L/R {line.lr_ms:g} ms",
        "" if line.power_factor is None else f"power factor {line.power_factor:g}",
    )
    return ", ".join(part for part in parts if part)


def _peaks(line: Rating) -> str:
    for_seconds = "" if line.carry_seconds is None else f" for {line.carry_seconds:g} s"
    said = (
        "" if line.inrush_amps is None else f"makes {line.inrush_amps:g} A",
        "" if line.carry_amps is None else f"carries {line.carry_amps:g} A{for_seconds}",
    )
    return ", ".join(part for part in said if part)


def _amps(amps: float | None) -> str:
    return "not stated" if amps is None else f"{amps:g} A"


def _degrees(temp_c: float | None) -> str:
    return "not stated" if temp_c is None else f"{temp_c:g} °C"


def _times(operations: float | None) -> str:
    return "not stated" if operations is None else f"{operations:,.0f}"


def _pins(answer: RelayShown) -> str:
    """Every pin with what it is, where it stands, and what its number means where a standard says so."""
    by_number = {one.pin: one.meaning for one in answer.terminals}
    columns = ["pin", "is", "at mm, component side", "by its number"]
    rows = [[p.pin, p.is_, _places(p), by_number.get(p.pin, "")] for p in answer.pinout]
    shown = len(columns) if by_number else len(columns) - 1
    note = f"{answer.note}\n" if answer.note else ""
    return (simple_table("Pins", columns[:shown], [row[:shown] for row in rows]) if rows else "") + note


def _places(pin: PinShown) -> str:
    return "not stated" if pin.x_mm is None else f"{pin.x_mm:g} / {pin.y_mm:g}"


def _over_temperature(rows: Sequence[CoilAtTemperature]) -> str:
    shown = [(r.temp_c, r.least_ohms, r.most_ohms, r.operate_volts, r.release_volts) for r in rows]
    columns = ["°C", "least Ω", "most Ω", "operates at V", "releases at V"]
    return simple_table("Coil over temperature, by copper", columns, shown) if shown else ""


def _release(rows: Sequence[ReleaseWith]) -> str:
    shown = [(r.suppression, r.decay_ms, r.release_ms, r.driver_sees_volts, r.not_stated) for r in rows]
    columns = ["suppression", "current decays in ms", "releases in ms", "driver sees V", "not stated"]
    return simple_table("How it would release with each suppression", columns, shown) if shown else ""


def identified_table(answer: Identified) -> str:
    """What the reading comes to, every relay it may be, the near misses, what to measure next, the cautions."""
    ohms = answer.ohms_at_20
    head = _SILENT if ohms is None else f"The coil is {ohms} Ω at 20 °C.\n"
    may_be = _may_be(answer.candidates) or "No relay in the catalogue fits all that was measured.\n"
    return head + may_be + _missed(answer.near_misses) + _next(answer) + "\n" + take_care(answer.cautions)


_SILENT = "The coil told nothing, open or not measured: these are by the rest alone.\n"
_LISTED = 20


def _off(share: float | None) -> str:
    return "–" if share is None else f"{share:+.1%}"


def _may_be(candidates: Sequence[RelayIdentified]) -> str:
    columns = ["maker", "part number", "coil Ω", "off", "fits", "not stated", "assumed"]
    rows = [
        (
            *(c.maker, c.part_number, c.coil_ohms, _off(c.off)),
            *(", ".join(c.fits), ", ".join(c.not_stated), "; ".join(c.assumed)),
        )
        for c in candidates[:_LISTED]
    ]
    more = len(candidates) - len(rows)
    tail = f"... and {more} more; --json names them.\n" if more > 0 else ""
    return simple_table("May be", columns, rows) + tail if rows else ""


def _missed(candidates: Sequence[RelayIdentified]) -> str:
    """Those that miss in one thing, and by what."""
    rows = [(c.maker, c.part_number, _off(c.off), m.what, m.measured, m.stated) for c in candidates for m in c.misses]
    columns = ["maker", "part number", "coil off", "does not fit", "measured", "stated"]
    return simple_table("Nearly: one thing does not fit", columns, rows) if rows else ""


def _next(answer: Identified) -> str:
    """The next measurement, with how many relays it and the others would leave."""
    if not answer.measure_next:
        return ""
    count = len(answer.candidates)
    left = "".join(f"  {t.measure}: leaves {t.leaves_on_average:g} of {count} on average\n" for t in answer.telling)
    return f"Measure next: {answer.measure_next}\n{left}"
