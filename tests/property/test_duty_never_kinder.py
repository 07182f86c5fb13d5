"""More load, more heat, a weaker supply or less on the data sheet never make duty kinder."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from bom.boards.board import Board, Driver, Function, HolePattern, Load, Place, Position, Supply
from bom.duty.categories import all_designations
from bom.duty.check import duty_findings
from bom.duty.coil_heat import balanced_rise
from bom.duty.contact_life import operations
from bom.duty.load_protection import SERIES, at_least
from bom.duty.published_ratings import best_offer
from bom.relays.relay import Design, Rating, Relay, SupplyKind
from bom.relays.wiring import Kind
from bom.values.finding import Finding, Outcome, Verdict, verdict_of

RANK = [Verdict.DROP_IN, Verdict.CONDITIONAL, Verdict.UNKNOWN, Verdict.NO]
RELAY = Relay(
    *("M", "x"),
    coil_supply=SupplyKind.DC,
    coil_volts=12,
    coil_ohms=240,
    coil_ohms_tol_pct=10,
    operate_volts=8.4,
    release_volts=1.2,
    coil_max_volts=20,
    coil_ref_temp_c=20,
    temp_min_c=-40,
    temp_max_c=105,
    min_load_volts=5,
    min_load_milliamps=100,
)
LINES = tuple(
    Rating("x", "make", kind, SupplyKind.DC, volts, amps, temp_c=105, operations=1e5, source="sheet")
    for kind, volts, amps in (("resistive", 14, 20), ("resistive", 60, 2), ("motor", 14, 8), ("lamp", 14, 6))
)
amps, volts = st.floats(0.2, 40), st.floats(6, 80)
loads = st.builds(
    Load,
    st.sampled_from(["resistive", "motor", "lamp", "inductive", "capacitive"]),
    volts,
    amps,
    operations_per_day=st.just(20.0),
)


def place(load: Load, low: float = 10.0, high: float = 14.4, hot: float = 70.0) -> Place:
    board = Board("B", supply=Supply(low, 12, high), ambient_min_c=-20, ambient_max_c=hot)
    driver = Driver(channel_milliamps=90, package_milliamps=350, drop_volts=0.5)
    position = Position("K1", "p", driver=driver, units_on_together=1)
    position = replace(position, functions=(Function("f", "A", Kind.MAKE, load),))
    return Place(board, position, HolePattern("p", ()), None)


def found(load: Load, **more: float) -> tuple[Finding, ...]:
    return duty_findings(Design(RELAY, None, None, LINES), place(load, **more))


def worse_or_same(before: tuple[Finding, ...], after: tuple[Finding, ...]) -> bool:
    return RANK.index(verdict_of(after)) >= RANK.index(verdict_of(before))


@given(loads, st.floats(1, 3))
def test_more_current_is_never_kinder(load: Load, times: float) -> None:
    more = replace(load, amps=(load.amps or 0.0) * times)
    skip = "minimum load"  # more current keeps a contact cleaner
    before, after = ([f for f in found(x) if not f.check.startswith(skip)] for x in (load, more))
    assert worse_or_same(tuple(before), tuple(after))


@given(loads, st.floats(0, 3), st.floats(0, 30))
def test_a_weaker_supply_and_more_heat_are_never_kinder(load: Load, less: float, warmer: float) -> None:
    assert worse_or_same(found(load), found(load, low=10.0 - less, hot=70.0 + warmer))


NEEDED = (
    "coil_supply",
    "coil_ohms",
    "coil_ohms_tol_pct",
    "operate_volts",
    "coil_ref_temp_c",
    "temp_min_c",
    "temp_max_c",
)


@given(loads, st.sampled_from(NEEDED))
def test_a_sheet_that_leaves_out_what_is_asked_never_passes(load: Load, field: str) -> None:
    nothing: dict[str, None] = {field: None}
    less = duty_findings(Design(replace(RELAY, **nothing), None, None, LINES), place(load))  # type: ignore[arg-type]
    assert verdict_of(less) in (Verdict.UNKNOWN, Verdict.NO)
    assert any(f.outcome is Outcome.UNKNOWN for f in less)


@given(loads, volts)
def test_more_volts_are_never_offered_more_amps(load: Load, higher: float) -> None:
    low, high = sorted((load.volts or 0.0, higher))
    offers = [best_offer(LINES, replace(load, volts=v)) for v in (low, high)]
    if offers[0] and offers[1] and offers[0].kind == offers[1].kind:
        assert offers[1].amps <= offers[0].amps * (1 + 1e-9)
    assert offers[0] is not None or offers[1] is None


@given(st.sampled_from(all_designations()), volts, volts)
def test_a_designation_never_gives_more_at_more_volts_nor_above_its_thermal_current(
    code: object, a: float, b: float
) -> None:
    low, high = sorted((a, b))
    at_low, at_high = code.break_amps(low), code.break_amps(high)  # type: ignore[attr-defined]
    assert at_high <= at_low <= code.thermal_amps  # type: ignore[attr-defined]


@given(amps, amps)
def test_fewer_amps_never_wear_a_contact_faster(a: float, b: float) -> None:
    few, many = sorted((a, b))
    lasting = []
    for current in (few, many):
        load = Load("resistive", 14, current, operations_per_day=1)
        offer = best_offer(LINES, load)
        assert offer is not None
        lasting.append(operations(Function("f", "A", Kind.MAKE, load), offer, LINES, RELAY))
    assert lasting[0].most >= lasting[1].most
    assert lasting[0].least >= lasting[1].least


@given(st.floats(1e-6, 1e9), st.sampled_from(sorted(SERIES)))
def test_a_preferred_value_is_the_next_one_up(value: float, series: int) -> None:
    above = at_least(value, series)
    assert value * (1 - 1e-6) <= above <= value * 10 ** (1.2 / series) * 1.05


@settings(max_examples=50)
@given(st.floats(20, 2000), st.floats(5, 40), st.floats(-40, 100), st.floats(1, 100))
def test_a_coils_rise_is_the_heat_it_makes(ohms: float, supply: float, ambient: float, per_watt: float) -> None:
    rise = balanced_rise(ohms, 20, supply, ambient, per_watt)
    watts = supply**2 / (ohms * (234.5 + ambient + rise) / 254.5)
    assert abs(rise - per_watt * watts) < 1e-6 * max(1.0, rise)
