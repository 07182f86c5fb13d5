"""Knows how a board, a place on it and what it switches are said in words, with units; what is not stated says so."""

from __future__ import annotations

from bom.boards.board import Board, Driver, Function, Load, Place

Pairs = tuple[tuple[str, str], ...]


def board_facts(board: Board) -> Pairs:
    """The board's supply, ambient, room and what is done to it, by name."""
    supply = board.supply
    volts = _span(supply.min_volts, supply.max_volts, "V")
    if supply.nominal_volts is not None:
        volts = f"{volts}, nominal {supply.nominal_volts:g} V"
    return (
        ("supply", volts + (f" (code {supply.code})" if supply.code else "")),
        ("ambient", _span(board.ambient_min_c, board.ambient_max_c, "°C")),
        ("room under the lid", _mm(board.lid_clearance_mm)),
        ("board thickness", _mm(board.board_thickness_mm)),
        ("the finished board gets", ", ".join(board.process)),
    )


def place_facts(place: Place) -> Pairs:
    """The same with what is fitted there and what drives it."""
    driver = place.position.driver or Driver()
    return (
        ("fitted", place.position.fitted or "not stated"),
        *board_facts(place.board),
        ("driver", _driver(driver)),
        ("coils on together", str(place.position.units_on_together or "not stated")),
    )


def _driver(driver: Driver) -> str:
    parts = (
        ("{:g} mA a channel", driver.channel_milliamps),
        ("{:g} mA in all", driver.package_milliamps),
        ("{:g} V drop", driver.drop_volts),
    )
    stated = [words.format(value) for words, value in parts if value is not None]
    stated += [t for t in (driver.polarity, f"suppression: {driver.suppression}" if driver.suppression else "") if t]
    return ", ".join(stated) or "not stated"


def function_words(function: Function) -> tuple[str, str, str]:
    """A function's name, its contact and its load."""
    pole = f", pole {function.pole}" if function.pole else ""
    return function.name, f"unit {function.unit}{pole}, {function.contact}", _load(function.load)


def _load(load: Load) -> str:
    """The load in one line, with what is not stated left out."""
    stall = f" for {load.stall_seconds:g} s" if load.stall_seconds is not None else ""
    parts = [
        f"{load.kind}, {load.supply.upper()}",
        _with(load.volts, "V"),
        _with(load.amps, "A"),
        f"inrush {load.inrush_amps:g} A" if load.inrush_amps is not None else "",
        f"stalled {load.stall_amps:g} A{stall}" if load.stall_amps is not None else "",
        f"L/R {load.lr_ms:g} ms" if load.lr_ms is not None else "",
        f"power factor {load.power_factor:g}" if load.power_factor is not None else "",
        "reversing" if load.reversing else "",
        f"{load.operations_per_day:g} times a day" if load.operations_per_day is not None else "",
        f"suppression: {load.suppression}" if load.suppression else "",
    ]
    return ", ".join(p for p in parts if p)


def _with(value: float | None, unit: str) -> str:
    return f"{unit} not stated" if value is None else f"{value:g} {unit}"


def _span(low: float | None, high: float | None, unit: str) -> str:
    if low is None and high is None:
        return "not stated"
    ends = ("not stated" if v is None else f"{v:g}".replace("-", "−") for v in (low, high))
    return f"{' to '.join(ends)} {unit}"


def _mm(value: float | None) -> str:
    return "not stated" if value is None else f"{value:g} mm"
