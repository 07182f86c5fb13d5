"""Random worlds: one of the whole ones with its figures shaken, values lost, lines added and the load exchanged.

``random_world(seed)`` is the same for the same seed. What contradicts itself on a sheet is shaken again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from random import Random
from typing import Any

from worlds import CANDIDATE, FITTED, World, all_worlds

from bom.boards.board import Board, Function, Load
from bom.duty.rules import DEFAULT, TABLES, Rule, joined, with_loads
from bom.relays.checks import rating_problems, relay_problems
from bom.relays.relay import Rating, Relay, Sealing, SupplyKind, Suppression

WHOLE = all_worlds()
FACTORS = (0.5, 0.8, 0.95, 1.0, 1.05, 1.25, 2.0)
SHEET = (
    *("coil_ohms", "coil_ohms_tol_pct", "operate_volts", "release_volts", "coil_max_volts", "dielectric_volts"),
    *("min_load_volts", "min_load_milliamps", "min_load_milliwatts", "temp_max_c", "body_height_mm", "standoff_mm"),
    *("pin_length_mm", "operate_ms", "release_ms", "mechanical_ops"),
)
LINE = ("volts", "amps", "inrush_amps", "carry_amps", "carry_seconds", "lr_ms", "temp_c", "operations")
LOAD = ("amps", "stall_amps", "stall_seconds", "inrush_amps", "lr_ms", "brake_amps", "operations_per_day", "life_years")
DC_KINDS = ("resistive", "inductive", "motor", "lamp", "capacitive", "solenoid", "general", "DC-13", "electromagnet")
AC_KINDS = ("resistive", "inductive", "motor", "lamp", "general", "AC-15", "AC-1", "electromagnet")
LOSABLE = (*SHEET, "coil_volts", "coil_ref_temp_c", "coil_suppression", "coil_supply", "coil_system", "sealing")


def random_world(seed: int) -> World:
    """A world of this seed."""
    rng = Random(seed)
    world = rng.choice(WHOLE)
    parts = tuple(_sheet(rng, relay) for relay in world.catalogue.relays)
    lines = tuple(_lines(rng, world, number) for number in (FITTED, CANDIDATE))
    catalogue = replace(world.catalogue, relays=parts, ratings=(*lines[0], *lines[1]))
    return replace(world, catalogue=catalogue, board=_board(rng, world.board), rule=_rule(rng))


def _rule(rng: Random) -> Rule:
    one = rng.choice((DEFAULT, DEFAULT, *TABLES))
    return with_loads(joined((one, rng.choice(TABLES))) if rng.random() < 0.1 else one)


def shaken(rng: Random, whole: Any, names: tuple[str, ...], share: float = 0.15) -> Any:
    """Some of these figures times a factor."""
    chosen = (n for n in names if getattr(whole, n) is not None and rng.random() < share)
    return replace(whole, **{n: getattr(whole, n) * rng.choice(FACTORS) for n in chosen})


def _until(sound: Callable[[Any], Iterator[Any]], make: Callable[[], Any], otherwise: Any) -> Any:
    """The first of a few that does not contradict itself."""
    return next((made for made in (make() for _ in range(20)) if not any(sound(made))), otherwise)


def _sheet(rng: Random, relay: Relay) -> Relay:
    def once() -> Relay:
        made: Any = shaken(rng, relay, SHEET)
        if rng.random() < 0.15:
            made = replace(made, sealing=rng.choice(list(Sealing)))
        if rng.random() < 0.15:
            made = replace(made, coil_suppression=rng.choice(list(Suppression)), suppression_ohms=1000.0)
        lost = {name: None for name in LOSABLE if rng.random() < 0.02}
        return replace(made, **lost)  # type: ignore[no-any-return]

    return _until(relay_problems, once, relay)  # type: ignore[no-any-return]


def _lines(rng: Random, world: World, number: str) -> tuple[Rating, ...]:
    own = [r for r in world.catalogue.ratings if r.applies_to == number]
    many = [_line(rng, r) for r in own if rng.random() > 0.05]
    many += [_line(rng, _of_another_kind(rng, rng.choice(own))) for _ in range(rng.choice((0, 0, 1, 2)))]
    many += [_line(rng, _of_another_test(rng, rng.choice(own))) for _ in range(rng.choice((0, 0, 1, 2)))]
    return tuple(many)


def _line(rng: Random, rating: Rating) -> Rating:
    def once() -> Rating:
        made = shaken(rng, rating, LINE)
        return replace(made, **{n: None for n in LINE[1:] if rng.random() < 0.03})

    return _until(rating_problems, once, rating)  # type: ignore[no-any-return]


def _of_another_kind(rng: Random, rating: Rating) -> Rating:
    kind = rng.choice(DC_KINDS[:-1] if rating.supply is SupplyKind.DC else AC_KINDS[:-1])
    return replace(rating, load=kind, contact=rng.choice(("make", "break", "both")))


def _of_another_test(rng: Random, rating: Rating) -> Rating:
    """The same kind of load at other volts or another temperature, for other amps."""
    times, hot = rng.choice((0.5, 1.0, 2.0)), rng.choice((20.0, 40.0, 70.0, 105.0, None))
    amps = None if rating.amps is None else rating.amps * rng.choice((0.3, 0.7, 1.5))
    inrush = None if rating.inrush_amps is None or amps is None else max(rating.inrush_amps, amps)
    carry = (
        {} if rng.random() < 0.7 or amps is None else {"carry_amps": amps * 2, "carry_seconds": rng.choice((1.0, 20.0))}
    )
    return replace(rating, volts=rating.volts * times, amps=amps, inrush_amps=inrush, temp_c=hot, **carry)


def _board(rng: Random, board: Board) -> Board:
    position = board.positions[0]
    driver = position.driver and shaken(rng, position.driver, ("channel_milliamps", "package_milliamps", "drop_volts"))
    functions = tuple(_function(rng, f) for f in position.functions)
    rise = None if rng.random() < 0.3 else position.coil_rise_k
    position = replace(position, driver=driver, functions=functions, coil_rise_k=rise)
    if rng.random() < 0.1:
        position = replace(position, fitted="")
    supply = shaken(rng, board.supply, ("min_volts",), 0.3)
    warm = shaken(rng, board, ("ambient_max_c", "ambient_min_c", "lid_clearance_mm"), 0.2)
    process = rng.choice((board.process, board.process, (), ("wash",)))
    return replace(warm, supply=supply, positions=(position,), process=process)  # type: ignore[no-any-return]


def _function(rng: Random, function: Function) -> Function:
    load = function.load
    if rng.random() < 0.35:
        load = _another_load(rng, load)
    load = shaken(rng, load, LOAD, 0.3)
    if load.amps is not None:
        peaks = {n: max(load.amps, getattr(load, n)) for n in ("stall_amps", "inrush_amps") if getattr(load, n)}
        load = replace(load, **peaks)
    return replace(function, load=load)


def _another_load(rng: Random, load: Load) -> Load:
    """The same volts and amps of another kind, with what such a load states now and then."""
    kind = rng.choice(DC_KINDS if load.supply is SupplyKind.DC else AC_KINDS)
    amps = load.amps or 1.0
    stated: dict[str, Any] = {"kind": kind, "mixed": (), "stall_amps": None, "inrush_amps": None, "lr_ms": None}
    if rng.random() < 0.3:
        stated["inrush_amps"] = amps * rng.choice((1.5, 3.0, 8.0))
    if kind == "motor":
        stated |= {"stall_amps": amps * rng.choice((2.0, 5.0)), "stall_seconds": rng.choice((None, 0.5, 2.0, 10.0))}
    if kind in ("inductive", "solenoid") and load.supply is SupplyKind.DC:
        stated["lr_ms"] = rng.choice((None, 5.0, 20.0))
    if rng.random() < 0.15:
        stated |= {"kind": "mixed", "mixed": (("lamp", amps / 4), ("resistive", amps / 2), (kind, amps / 4))}
    if stated["mixed"] and kind in ("electromagnet", "DC-13", "AC-15", "AC-1"):
        stated["mixed"] = (("motor", amps / 2), ("resistive", amps / 2))
    return replace(load, **stated)
