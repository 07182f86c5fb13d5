"""Invented parts and boards for the duty tests."""

from __future__ import annotations

from dataclasses import replace

from bom.boards.board import Board, Driver, Function, HolePattern, Load, Place, Position, Supply
from bom.relays.relay import Design, Rating, Relay, SupplyKind
from bom.relays.wiring import Kind
from bom.values.finding import Finding, Outcome

OLD = Relay(
    "Ostrel",
    "TW2-12S",
    coil_supply=SupplyKind.DC,
    coil_volts=12,
    coil_ohms=240,
    coil_ohms_tol_pct=10,
    operate_volts=8.4,
    release_volts=1.2,
    coil_ref_temp_c=20,
    temp_min_c=-40,
    temp_max_c=85,
)
HEAVY = replace(OLD, maker="Corvane", part_number="DUO-12H", coil_ohms=160)
V24 = replace(OLD, part_number="TW2-24S", coil_volts=24, coil_ohms=960, operate_volts=16.8)
DRIVER = Driver(channel_milliamps=80, package_milliamps=350, drop_volts=0.9, polarity="low side", suppression="diode")


def rating(contact: str, load: str, volts: float, amps: float, **more: object) -> Rating:
    stated: dict[str, object] = {"supply": SupplyKind.DC, "temp_c": 85, "operations": 1e5, "source": "sheet"}
    return Rating("TW2", contact, load, volts=volts, amps=amps, **(stated | more))  # type: ignore[arg-type]


TWIN_RATINGS = (
    rating("make", "resistive", 14, 20, carry_amps=35, carry_seconds=3),
    rating("break", "resistive", 14, 10),
)


def design(relay: Relay = OLD, ratings: tuple[Rating, ...] = TWIN_RATINGS) -> Design:
    return Design(relay, None, None, ratings)


def place(
    supply: tuple[float, float] = (11.0, 14.4),
    ambient: tuple[float, float] = (-20, 70),
    load: Load | None = None,
    contact: Kind = Kind.MAKE,
    units: int = 4,
) -> Place:
    board = Board("B", supply=Supply(supply[0], 12, supply[1]), ambient_min_c=ambient[0], ambient_max_c=ambient[1])
    functions = () if load is None else (Function("f", "A", contact, load),)
    position = Position("K1", "p", driver=DRIVER, units_on_together=units, functions=functions)
    return Place(board, position, HolePattern("p", ()), None)


def named(findings: tuple[Finding, ...], start: str) -> Finding:
    return next(f for f in findings if f.check.startswith(start))


def outcome(findings: tuple[Finding, ...], start: str) -> Outcome:
    return named(findings, start).outcome
