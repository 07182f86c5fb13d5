"""What the picture of a coil window shows, as plain numbers: volts and ohms against the ambient, the working area.

Degrees Celsius, volts and ohms. Nothing here draws; the figures are those that the findings rest on, so the picture
never says other than its findings. None = not stated, and ``missing`` names it in words.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from bom.boards.board import Driver, Place
from bom.duty.coil_drive import LATCHING
from bom.duty.coil_heat import COPPER_K, operate_volts_at, rise_at
from bom.duty.margins import known
from bom.duty.rules import DEFAULT, Rule
from bom.relays.relay import Design, Relay, SupplyKind

STEPS = 24
"""Parts the temperature axis is cut into: copper's line is straight, the warm coil's nearly so."""


@dataclass(frozen=True, slots=True)
class CoilPoint:
    """The coil at one ambient: volts to operate from rest, again after being on, to release, at most; least and most
    ohms, tolerance in."""

    temp_c: float
    operate_volts: float | None = None
    operate_volts_warm: float | None = None
    release_volts: float | None = None
    max_volts: float | None = None
    least_ohms: float | None = None
    most_ohms: float | None = None


@dataclass(frozen=True, slots=True)
class CoilWindow:
    """Volts against temperature. ``points`` rise in temperature and reach a little beyond the board's ambient.

    ``supply_volts``: the least the coil gets (lowest supply less the driver's drop) and the most (highest supply).
    ``working_area``: corners (°C, volts) of the area where the coil surely operates and bears its volts, inside the
    board's ambient and supply; empty where there is none. ``tight``: the corner nearest to a limit.
    """

    part: str
    place: str
    points: tuple[CoilPoint, ...]
    supply_volts: tuple[float | None, float | None]
    nominal_volts: float | None
    jump_volts: float | None
    ambient_c: tuple[float | None, float | None]
    working_area: tuple[tuple[float, float], ...]
    tight: tuple[float, float] | None
    missing: tuple[str, ...]
    source: str
    supply: SupplyKind = SupplyKind.DC


def coil_window(design: Design, place: Place, rule: Rule = DEFAULT, fitted: Relay | None = None) -> CoilWindow:
    """The coil window of this design here; an AC coil's shows the volts from which it surely operates.

    ``fitted`` is the part that a rise stated for the position was taken on, where another is drawn.
    """
    relay, board, driver = design.relay, place.board, place.position.driver or Driver()
    low, high = board.supply.min_volts, board.supply.max_volts
    least = None if low is None or driver.drop_volts is None else low - driver.drop_volts
    points = tuple(_coil_point(design, place, rule, t, fitted) for t in _temperatures(place))
    inside = [p for p in points if _within(p.temp_c, board.ambient_min_c, board.ambient_max_c)]
    area = _area(inside, least, high)
    return CoilWindow(
        part=relay.part_number,
        place=f"{board.name}:{place.position.ref}",
        points=points,
        supply_volts=(least, high),
        nominal_volts=board.supply.nominal_volts,
        jump_volts=board.supply.jump_volts,
        ambient_c=(board.ambient_min_c, board.ambient_max_c),
        working_area=area,
        tight=_tight(inside, least),
        missing=_coil_missing(relay, place, least),
        source=relay.source,
        supply=relay.coil_supply or SupplyKind.DC,
    )


def _temperatures(place: Place) -> list[float]:
    """Evenly over the ambient and a tenth beyond it, with 20 °C and both ends among them."""
    cold = -20.0 if place.board.ambient_min_c is None else place.board.ambient_min_c
    hot = 85.0 if place.board.ambient_max_c is None else place.board.ambient_max_c
    spare = max(5.0, (hot - cold) / 10)
    start, span = cold - spare, hot - cold + 2 * spare
    steps = (start + span * n / STEPS for n in range(STEPS + 1))
    even = {round(step, 3) for step in steps}  # no test can tell a thousandth of a degree from less
    return sorted({*even, cold, hot, 20.0} if start < 20 < start + span else {*even, cold, hot})


def _within(temp_c: float, cold: float | None, hot: float | None) -> bool:
    return (cold is None or temp_c >= cold) and (hot is None or temp_c <= hot)


def coil_at(relay: Relay, temp_c: float) -> CoilPoint:
    """A DC coil at this temperature, at rest; what its sheet leaves out is None.

    >>> relay = Relay("Kithmar", "K2R-12S", operate_volts=8.4, release_volts=1.2, coil_ref_temp_c=20)
    >>> hot = coil_at(relay, 85)
    >>> round(hot.operate_volts, 2), round(hot.release_volts, 2)
    (10.55, 1.51)
    """
    operate = _scaled(relay, relay.operate_volts, temp_c)
    release = _scaled(relay, relay.release_volts, temp_c)
    least, most = (_ohms(relay, side, temp_c) for side in (-1, 1))
    return CoilPoint(temp_c, operate, None, release, relay.coil_max_volts, least, most)


def ac_coil_at(relay: Relay, temp_c: float) -> CoilPoint:
    """An AC coil at this temperature: heat raises its operate volts by no more than copper's ohms, and cold is not
    counted on to lower them; its release is not told."""
    stated, scaled = relay.operate_volts, _scaled(relay, relay.operate_volts, temp_c)
    at_most = None if stated is None or scaled is None else max(stated, scaled)
    return CoilPoint(temp_c, at_most, max_volts=relay.coil_max_volts)


def _coil_point(design: Design, place: Place, rule: Rule, temp_c: float, fitted: Relay | None) -> CoilPoint:
    relay = design.relay
    if relay.coil_supply is SupplyKind.AC:
        return ac_coil_at(relay, temp_c)
    rise = None if relay.coil_system in LATCHING else rise_at(design, place, rule, temp_c, fitted)
    warm = None if rise is None else _scaled(relay, relay.operate_volts, temp_c + rise.kelvin)
    return replace(coil_at(relay, temp_c), operate_volts_warm=warm)


def _ohms(relay: Relay, side: int, temp_c: float) -> float | None:
    if relay.coil_ohms is None or relay.coil_ohms_tol_pct is None:
        return None
    return _scaled(relay, relay.coil_ohms * (1 + side * relay.coil_ohms_tol_pct / 100), temp_c)


def _scaled(relay: Relay, volts: float | None, temp_c: float) -> float | None:
    if volts is None or relay.coil_ref_temp_c is None or temp_c <= -COPPER_K:
        return None
    return operate_volts_at(volts, relay.coil_ref_temp_c, temp_c)


def _area(points: list[CoilPoint], least: float | None, high: float | None) -> tuple[tuple[float, float], ...]:
    """Between what the coil needs (or the least it gets, where that is more) and the most it bears and may get."""
    if least is None or high is None or any(p.operate_volts is None for p in points):
        return ()
    rows = [(p.temp_c, max(least, _needed(p)), min(high, p.max_volts or high)) for p in points]
    open_ones = [row for row in rows if row[1] <= row[2]]
    return tuple([(t, low) for t, low, _ in open_ones] + [(t, top) for t, _, top in reversed(open_ones)])


def _needed(point: CoilPoint) -> float:
    return point.operate_volts_warm or known(point.operate_volts)


def _tight(points: list[CoilPoint], least: float | None) -> tuple[float, float] | None:
    """The hottest ambient at the least volts: where a DC coil is nearest to not operating."""
    return None if least is None or not points else (points[-1].temp_c, least)


def _coil_missing(relay: Relay, place: Place, least: float | None) -> tuple[str, ...]:
    wanted = {
        "operate volts": relay.operate_volts,
        # an AC coil need not state its own; any number is stated, so no test can tell which
        "release volts": 0.0 if relay.coil_supply is SupplyKind.AC else relay.release_volts,
        "highest coil volts": relay.coil_max_volts,
        "temperature the coil data hold at": relay.coil_ref_temp_c,
        "lowest supply less the driver's drop": least,
        "highest supply volts": place.board.supply.max_volts,
        "lowest ambient": place.board.ambient_min_c,
        "highest ambient": place.board.ambient_max_c,
    }
    return tuple(name for name, value in wanted.items() if value is None)
