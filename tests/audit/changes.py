"""Changes of a world whose effect on the verdict is certain: for the better, for the worse, or none.

Each takes a seeded ``Random`` and a world, and gives the changed world, or None where it has nothing to change there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, replace
from math import cos, radians, sin
from random import Random
from typing import Any

from worlds import CANDIDATE, FITTED, Ask, World

from bom.boards.board import Driver, Function, KeepOut, Load
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import Rating, Relay, Sealing
from bom.relays.wiring import Element, Wiring
from bom.values.column import Holds, described

Change = Callable[[Random, World], World | None]


# ---- a strictly better part ------------------------------------------------------------------------------------------

BETTER_SHEET: Mapping[str, Callable[[float], float]] = {
    "coil_ohms_tol_pct": lambda v: v * 0.5,
    "operate_volts": lambda v: v * 0.95,
    "coil_max_volts": lambda v: v * 1.2,
    "dielectric_volts": lambda v: v * 2,
    "min_load_volts": lambda v: v * 0.5,
    "min_load_milliamps": lambda v: v * 0.5,
    "min_load_milliwatts": lambda v: v * 0.5,
    "temp_min_c": lambda v: v - 20,
    "temp_max_c": lambda v: v + 20,
    "body_height_mm": lambda v: v * 0.9,
    "operate_ms": lambda v: v * 0.8,
    "mechanical_ops": lambda v: v * 3,
    "hold_volts": lambda v: v * 0.8,
    "coil_kelvin_per_watt": lambda v: v * 0.7,
    "contact_rise_k": lambda v: v * 0.7,
    "contact_rise_amps": lambda v: v * 1.5,
    "coil_contact_volts": lambda v: v * 1.5,
    "between_poles_volts": lambda v: v * 1.5,
    "impulse_volts": lambda v: v * 1.5,
    "most_per_minute": lambda v: v * 2,
    "together_amps": lambda v: v * 1.5,
}
"""What is better on a sheet whatever the board; ohms, release and pin length are not: each suits one board and not
another."""


def better_sheet(rng: Random, world: World) -> World | None:
    """One figure of the candidate's sheet a little better."""
    relay = world.candidate.relay
    name = rng.choice([*BETTER_SHEET, "sealing"])
    value = getattr(relay, name)
    if value is None or (name == "operate_volts" and (relay.release_volts or 0) > value * 0.95):
        return None
    better = _tighter(value) if name == "sealing" else BETTER_SHEET[name](value)
    return with_relay(world, replace(relay, **{name: better}))


def _tighter(sealing: Sealing) -> Sealing:
    return list(Sealing)[min(sealing.rank + 1, len(Sealing) - 1)]


BETTER_LINE: Mapping[str, Callable[[float], float]] = {
    "volts": lambda v: v * 1.2,
    "amps": lambda v: v * 1.3,
    "inrush_amps": lambda v: v * 1.5,
    "carry_amps": lambda v: v * 1.5,
    "carry_seconds": lambda v: v * 2,
    "lr_ms": lambda v: v * 1.5,
    "power_factor": lambda v: v * 0.8,
    "temp_c": lambda v: v + 20,
    "operations": lambda v: v * 3,
}


def better_line(rng: Random, world: World) -> World | None:
    """One figure of one of the candidate's lines better; with its amps what else it makes and carries."""
    place = _one_of_its_lines(rng, world)
    if place is None:
        return None
    rating, name = world.catalogue.ratings[place], rng.choice(list(BETTER_LINE))
    if getattr(rating, name) is None:
        return None
    better = replace(rating, **{name: BETTER_LINE[name](getattr(rating, name))})
    if name == "amps" and rating.inrush_amps is not None:
        better = replace(better, inrush_amps=rating.inrush_amps * 1.3)
    return with_lines(world, _swapped(world.catalogue.ratings, place, better))


def better_in_all(rng: Random, world: World) -> World | None:
    """Every figure of the candidate's sheet better, and all of its lines."""
    relay = world.candidate.relay
    names = [n for n in BETTER_SHEET if n != "operate_volts" and getattr(relay, n) is not None]
    sheet = replace(relay, **{n: BETTER_SHEET[n](getattr(relay, n)) for n in names})
    return with_lines(with_relay(world, sheet), tuple(map(_better_for_ours, world.catalogue.ratings)))


def _better_for_ours(rating: Rating) -> Rating:
    if rating.applies_to != CANDIDATE:
        return rating
    names = [n for n in BETTER_LINE if getattr(rating, n) is not None]
    return replace(rating, **{n: BETTER_LINE[n](getattr(rating, n)) for n in names})


def one_more_line(rng: Random, world: World) -> World | None:
    """Beside one of the candidate's lines another that is as good or better, at the same volts.

    A line for more volts would speak of what nothing spoke of before, and may refuse it.
    """
    place = _one_of_its_lines(rng, world)
    if place is None:
        return None
    rating = world.catalogue.ratings[place]
    names = [n for n in BETTER_LINE if n != "volts" and getattr(rating, n) is not None]
    better = replace(rating, **{n: BETTER_LINE[n](getattr(rating, n)) for n in names if rng.random() < 0.5})
    if better.inrush_amps is not None and better.amps is not None:
        better = replace(better, inrush_amps=max(better.inrush_amps, better.amps))
    return with_lines(world, (*world.catalogue.ratings, better))


def _one_of_its_lines(rng: Random, world: World) -> int | None:
    own = [n for n, r in enumerate(world.catalogue.ratings) if r.applies_to == CANDIDATE]
    return rng.choice(own) if own else None


# ---- a harsher place -------------------------------------------------------------------------------------------------

HARSHER_LOAD: Mapping[str, Callable[[float], float]] = {
    "volts": lambda v: v * 1.3,
    "amps": lambda v: v * 1.3,
    "stall_amps": lambda v: v * 1.5,
    "stall_seconds": lambda v: v * 3,
    "inrush_amps": lambda v: v * 1.5,
    "brake_amps": lambda v: v * 1.5,
    "lr_ms": lambda v: v * 1.5,
    "power_factor": lambda v: v * 0.8,
    "temp_c": lambda v: v + 15,
    "operations_per_day": lambda v: v * 3,
    "operations_per_minute": lambda v: v * 3,
    "life_years": lambda v: v * 2,
    "pause_ms": lambda v: v * 0.5,
}


MAGNETS = ("electromagnet", "DC-13")
"""At more volts and the same amps they are larger, and their category allows them longer to die: IEC 60947-5-1."""


def harsher_load(rng: Random, world: World) -> World | None:
    """One figure of one load harsher; peaks rise with the amps."""
    return _with_load(rng, world, _harsher)


def _harsher(rng: Random, load: Load) -> Load | None:
    name = rng.choice(list(HARSHER_LOAD))
    value = getattr(load, name)
    if value is None or (load.mixed and name == "amps") or (name == "volts" and load.kind in MAGNETS):
        return None
    return _peaks(replace(load, **{name: HARSHER_LOAD[name](value)}))


def _peaks(load: Load) -> Load:
    amps = load.amps or 0.0
    raised = {n: max(amps, v) for n in ("stall_amps", "inrush_amps") if (v := getattr(load, n)) is not None}
    return replace(load, **raised)


def added_share(rng: Random, world: World) -> World | None:
    """One more share of a mixed load."""
    return _with_load(rng, world, _added_share)


def _added_share(rng: Random, load: Load) -> Load | None:
    if not load.mixed or load.amps is None or load.amps > sum(amps for _, amps in load.mixed):
        return None  # a rest that nobody tells is a smaller share of a larger whole
    kind, amps = rng.choice(("lamp", "motor", "resistive", "inductive", "capacitive")), rng.choice((0.2, 1.0, 5.0))
    return _peaks(replace(load, mixed=(*load.mixed, (kind, amps)), amps=load.amps + amps))


def stated_inrush(rng: Random, world: World) -> World | None:
    """An inrush stated that is above all that the rule in use would make of the load."""
    return _with_load(rng, world, lambda _, load: _stated_inrush(world, load))


def _stated_inrush(world: World, load: Load) -> Load | None:
    if load.inrush_amps is not None or load.stall_amps is not None or not load.amps or load.mixed:
        return None
    times = world.rule.times(load.kind, load.volts or 0.0, load.power_factor, load.supply)
    return None if times is None else replace(load, inrush_amps=load.amps * max(times, 1.0) * 1.2)


HARSHER_BOARD: Mapping[str, Callable[[float], float]] = {
    "ambient_max_c": lambda v: v + 15,
    "ambient_min_c": lambda v: v - 15,
    "lid_clearance_mm": lambda v: v * 0.95,
}
HARSHER_SUPPLY: Mapping[str, Callable[[float], float]] = {
    "min_volts": lambda v: v * 0.9,
    "max_volts": lambda v: v * 1.15,
    "jump_volts": lambda v: v * 1.2,
    "crank_volts": lambda v: v * 0.8,
    "dump_volts": lambda v: v * 1.5,
    "dump_ms": lambda v: v * 2,
}
HARSHER_DRIVER: Mapping[str, Callable[[float], float]] = {
    "channel_milliamps": lambda v: v * 0.8,
    "package_milliamps": lambda v: v * 0.4,
    "drop_volts": lambda v: v + 1,
    "off_volts": lambda v: v + 0.5,
    "pulse_ms": lambda v: v * 0.5,
    "breakdown_volts": lambda v: v * 0.6,
    "clamp_volts": lambda v: v * 1.5,
    "hold_volts": lambda v: v * 0.8,
    "pull_in_ms": lambda v: v * 0.5,
}


def harsher_place(rng: Random, world: World) -> World | None:
    """Hotter, colder, weaker, stronger, lower, more at once, or washed."""
    board, position = world.board, world.board.positions[0]
    driver = position.driver or Driver()
    changes = [
        *(replace(board, **new) for new in _each(board, HARSHER_BOARD)),
        *(replace(board, supply=replace(board.supply, **new)) for new in _each(board.supply, HARSHER_SUPPLY)),
        *(
            replace(board, positions=(replace(position, driver=replace(driver, **new)),))
            for new in _each(driver, HARSHER_DRIVER)
        ),
        *(replace(board, positions=(replace(position, **new),)) for new in _each(position, HARSHER_POSITION)),
    ]
    if board.process and "wash" not in board.process:
        changes.append(replace(board, process=(*board.process, "wash")))
    return replace(world, board=rng.choice(changes)) if world.ask is Ask.AT_POSITION else None


HARSHER_POSITION: Mapping[str, Callable[[float], float]] = {
    "coil_rise_k": lambda v: v + 15,
    "units_on_together": lambda v: int(v + 1),
    "impulse_volts": lambda v: v * 1.5,
}


def less_room(rng: Random, world: World) -> World | None:
    """Narrower holes, a stricter level of clearance, or something that stands beside the relay."""
    if world.ask is not Ask.AT_POSITION:
        return None
    board, position = world.board, world.board.positions[0]
    pattern = (board.patterns or {})["p"]
    narrow = replace(pattern, holes=tuple(replace(h, drill_mm=h.drill_mm and h.drill_mm * 0.85) for h in pattern.holes))
    near = KeepOut("neighbour", rng.uniform(-5, 40), rng.uniform(-30, 5), 8.0, 4.0, rng.choice((0.0, 45.0)))
    changes = (
        replace(board, patterns={"p": narrow}),
        replace(board, hole_clearance="A"),
        replace(board, leg_dressing_mm=0.0),
        replace(board, positions=(replace(position, keep_outs=(*position.keep_outs, near)),)),
    )
    return replace(world, board=rng.choice(changes))


def _each(whole: Any, harsher: Mapping[str, Callable[[float], float]]) -> Iterator[dict[str, Any]]:
    for name, change in harsher.items():
        if (value := getattr(whole, name)) is not None:
            yield {name: change(value)}


def better_original(rng: Random, world: World) -> World | None:
    """The fitted part, or the one asked for in place of, offers more: more is asked, and less is excused by it."""
    if rng.random() < 0.5:
        return _better_original_line(rng, world)
    relay = next(r for r in world.catalogue.relays if r.part_number == FITTED)
    name = rng.choice(list(BETTER_SHEET))
    value = getattr(relay, name)
    if value is None or (name == "operate_volts" and (relay.release_volts or 0) > value * 0.95):
        return None
    return with_relay(world, replace(relay, **{name: BETTER_SHEET[name](value)}))


def _better_original_line(rng: Random, world: World) -> World | None:
    places = [n for n, r in enumerate(world.catalogue.ratings) if r.applies_to == FITTED]
    if not places:
        return None
    place = rng.choice(places)
    rating, name = world.catalogue.ratings[place], rng.choice(list(BETTER_LINE))
    if getattr(rating, name) is None:
        return None
    better = _lifted(replace(rating, **{name: BETTER_LINE[name](getattr(rating, name))}))
    return with_lines(world, _swapped(world.catalogue.ratings, place, better))


def _lifted(rating: Rating) -> Rating:
    if rating.inrush_amps is None or rating.amps is None:
        return rating
    return replace(rating, inrush_amps=max(rating.inrush_amps, rating.amps))


# ---- what changes nothing --------------------------------------------------------------------------------------------


def renamed_pins(rng: Random, world: World) -> World | None:
    """The candidate's pins under other names, in its drawing and its wiring."""
    footprints, wirings = world.catalogue.footprints, world.catalogue.wirings
    pins = footprints["new pins"].pins
    names = dict(zip((p.name for p in pins), rng.sample([f"x{n}" for n in range(99)], len(pins)), strict=True))
    drawn = replace(footprints["new pins"], pins=tuple(replace(p, name=names[p.name]) for p in pins))
    wired = Wiring("new wiring", tuple(_renamed(e, names) for e in wirings["new wiring"].elements))
    return with_drawing(with_wiring(world, wired), drawn)


def _renamed(element: Element, names: Mapping[str, str]) -> Element:
    return replace(element, from_pin=names[element.from_pin], to_pin=names[element.to_pin])


def renamed_units(rng: Random, world: World) -> World | None:
    """The candidate's units under other names."""
    wired = world.catalogue.wirings["new wiring"]
    units = dict(zip(wired.units, rng.sample("PQRSTU", len(wired.units)), strict=True))
    elements = tuple(replace(e, unit=units.get(e.unit, e.unit)) for e in wired.elements)
    return with_wiring(world, replace(wired, elements=elements))


def renamed_nets(rng: Random, world: World) -> World | None:
    """Every net of the board under another name."""
    board, prefix = world.board, rng.choice(("N", "ZZ_", "a"))
    pattern = (board.patterns or {})["p"]

    def named(net: str) -> str:
        return net and f"{prefix}{net[::-1]}"

    holes = tuple(replace(h, net=named(h.net)) for h in pattern.holes)
    nets = tuple(replace(n, name=named(n.name)) for n in board.nets)
    loads = tuple(replace(x, plus=named(x.plus), minus=named(x.minus)) for x in board.loads)
    return replace(world, board=replace(board, patterns={"p": replace(pattern, holes=holes)}, nets=nets, loads=loads))


def turned_and_shifted(rng: Random, world: World) -> World | None:
    """The candidate's drawing turned by quarters and shifted: a body's sides run along the drawing's axes."""
    drawn = world.catalogue.footprints["new pins"]
    angle, shift = rng.choice((90.0, 180.0, 270.0)), (rng.uniform(-50, 50), rng.uniform(-50, 50))

    def there(x: float, y: float) -> tuple[float, float]:
        turn = radians(angle)
        return x * cos(turn) - y * sin(turn) + shift[0], x * sin(turn) + y * cos(turn) + shift[1]

    pins = tuple(_placed(p, *there(p.x_mm, p.y_mm), angle) for p in drawn.pins)
    middle = None if drawn.body_mm is None else there(*drawn.body_mm)
    return with_drawing(world, replace(drawn, pins=pins, body_mm=middle))


def _placed(pin: Pin, x: float, y: float, angle: float) -> Pin:
    turned = None if pin.lead_angle_deg is None else (pin.lead_angle_deg + angle) % 360
    return replace(pin, x_mm=x, y_mm=y, lead_angle_deg=turned)


def seen_from_below(rng: Random, world: World) -> World | None:
    """The candidate's drawing made from the other side, and saying so."""
    drawn = world.catalogue.footprints["new pins"]
    if drawn.view is View.SOLDER:
        return with_drawing(world, drawn.from_component_side())
    from_solder = replace(drawn, view=View.SOLDER)
    mirrored = replace(from_solder.from_component_side(), view=View.SOLDER)
    return with_drawing(world, mirrored)


def reordered(rng: Random, world: World) -> World | None:
    """Pins, elements, lines, holes, functions and keep-outs in another order."""
    catalogue, position = world.catalogue, world.board.positions[0]
    footprints = {n: replace(f, pins=_mixed(rng, f.pins)) for n, f in catalogue.footprints.items()}
    wirings = {n: _reordered_wiring(rng, w) for n, w in catalogue.wirings.items()}
    relays, ratings = _mixed(rng, catalogue.relays), _mixed(rng, catalogue.ratings)
    pattern = (world.board.patterns or {})["p"]
    patterns = {"p": replace(pattern, holes=_mixed(rng, pattern.holes))}
    position = replace(position, functions=_mixed(rng, position.functions), keep_outs=_mixed(rng, position.keep_outs))
    return replace(
        world,
        catalogue=replace(catalogue, footprints=footprints, wirings=wirings, relays=relays, ratings=ratings),
        board=replace(world.board, patterns=patterns, positions=(position,)),
    )


def _reordered_wiring(rng: Random, wiring: Wiring) -> Wiring:
    """A unit's first coil sets it and its second resets it, so the coils keep their order."""
    others = tuple(e for e in wiring.elements if e not in wiring.coils)
    return replace(wiring, elements=(*_mixed(rng, others), *wiring.coils))


_SMALL = {"V": "mV", "A": "mA", "ohm": "mohm", "mm": "um", "s": "ms", "H": "mH"}


def in_other_units(rng: Random, world: World) -> World | None:
    """Every figure of the candidate's sheet and lines read from a cell in a thousand times smaller a unit."""
    relay = _read_again(world.candidate.relay)
    ratings = tuple(_read_again(r) if r.applies_to == CANDIDATE else r for r in world.catalogue.ratings)
    return with_lines(with_relay(world, relay), ratings)


def _read_again(whole: Any) -> Any:
    columns = described(type(whole))
    read = {}
    for f in fields(whole):
        column, value = columns[f.name], getattr(whole, f.name)
        if column.holds is Holds.NUMBER and value is not None and column.unit in _SMALL:
            read[f.name] = round(column.read(f"{value * 1000!r} {_SMALL[column.unit]}"), 9)
    return replace(whole, **read)


def one_more_net(rng: Random, world: World) -> World | None:
    """A hole more on the board, of a net that the relay has no pin on."""
    if world.ask is not Ask.AT_POSITION:
        return None
    pattern = (world.board.patterns or {})["p"]
    far = replace(pattern.holes[0], name="far", x_mm=80.0, y_mm=80.0, net="FAR")
    return replace(world, board=replace(world.board, patterns={"p": replace(pattern, holes=(*pattern.holes, far))}))


def _mixed(rng: Random, items: tuple[Any, ...]) -> tuple[Any, ...]:
    return tuple(rng.sample(items, len(items)))


# ---- putting the change back into the world --------------------------------------------------------------------------


def with_relay(world: World, relay: Relay) -> World:
    relays = tuple(relay if r.part_number == relay.part_number else r for r in world.catalogue.relays)
    return replace(world, catalogue=replace(world.catalogue, relays=relays))


def with_lines(world: World, ratings: tuple[Rating, ...]) -> World:
    return replace(world, catalogue=replace(world.catalogue, ratings=ratings))


def with_drawing(world: World, drawn: Footprint) -> World:
    footprints = world.catalogue.footprints | {"new pins": drawn}
    return replace(world, catalogue=replace(world.catalogue, footprints=footprints))


def with_wiring(world: World, wired: Wiring) -> World:
    wirings = world.catalogue.wirings | {"new wiring": wired}
    return replace(world, catalogue=replace(world.catalogue, wirings=wirings))


def _with_load(rng: Random, world: World, change: Callable[[Random, Load], Load | None]) -> World | None:
    position = world.board.positions[0]
    if world.ask is not Ask.AT_POSITION or not position.functions:
        return None
    place = rng.randrange(len(position.functions))
    function: Function = position.functions[place]
    if (load := change(rng, function.load)) is None:
        return None
    functions = _swapped(position.functions, place, replace(function, load=load))
    return replace(world, board=replace(world.board, positions=(replace(position, functions=functions),)))


def _swapped(items: tuple[Any, ...], place: int, item: Any) -> tuple[Any, ...]:
    return (*items[:place], item, *items[place + 1 :])


BETTER: tuple[Change, ...] = (better_sheet, better_line, better_in_all, one_more_line)
WORSE: tuple[Change, ...] = (harsher_load, harsher_place, less_room, added_share, stated_inrush, better_original)
SAME: tuple[Change, ...] = (
    renamed_pins,
    renamed_units,
    renamed_nets,
    turned_and_shifted,
    seen_from_below,
    reordered,
    in_other_units,
    one_more_net,
)
