"""The cautions beside a verdict."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import HEAVY, OLD, design, place, rating

from bom.boards.board import Function, Load, Place, Supply
from bom.duty import cautions as c
from bom.duty.cautions import cautions_for, cautions_for_bag, cautions_together, one_line
from bom.relays.relay import Design, Guided, Sealing, SupplyKind

MOTOR = Load("motor", 14, 2, reversing=True)
MAINS_LAMP = Load("lamp", 230, 1, supply=SupplyKind.AC)
GUARD = design(replace(OLD, guided=Guided.A))


def test_the_usual_cautions_stand_beside_every_part() -> None:
    assert {c.BATTERY, c.SOLDER, c.SAFETY} == set(cautions_for(None, design()))


@pytest.mark.parametrize(("load", "said"), [(MOTOR, c.MOVES), (MOTOR, c.REVERSES), (MAINS_LAMP, c.MAINS)])
def test_a_load_brings_its_own(load: Load, said: str) -> None:
    assert said in cautions_for(place(load=load), design())
    assert said not in cautions_for(None, design())


@pytest.mark.parametrize(
    ("volts", "supply", "said"),
    [
        (48.0, SupplyKind.AC, False),
        (50.0, SupplyKind.AC, True),
        (120.0, SupplyKind.AC, True),
        (None, SupplyKind.AC, True),
        (72.0, SupplyKind.DC, False),
        (75.0, SupplyKind.DC, True),
        (None, SupplyKind.DC, False),
    ],
)
def test_mains_begins_at_the_low_voltage_directives_limits(volts: float | None, supply: SupplyKind, said: bool) -> None:
    assert (c.MAINS in cautions_for(place(load=Load("lamp", volts, 1, supply=supply)), design())) is said


def fed(supply: Supply, polarity: str = "", coil: SupplyKind | None = None) -> tuple[str, ...]:
    there = place()
    driver = replace(there.position.driver, polarity=polarity) if there.position.driver else None
    there = replace(there, board=replace(there.board, supply=supply), position=replace(there.position, driver=driver))
    return cautions_for(there, design(replace(OLD, coil_supply=coil)))


@pytest.mark.parametrize(
    ("supply", "polarity", "coil", "said"),
    [
        (Supply(100, 120, 130), "", SupplyKind.AC, True),
        (Supply(None, 60, None), "", None, True),
        (Supply(40, 48, 60), "", SupplyKind.DC, False),
        (Supply(40, 48, 60), "low side", None, False),
        (Supply(18, 28, 60, code="E"), "", SupplyKind.AC, False),
        (Supply(18, 28, 60, code="Z"), "", SupplyKind.AC, True),
        (Supply(None, None, 80), "", SupplyKind.DC, True),
        (Supply(), "", None, False),
    ],
)
def test_a_board_fed_with_dangerous_volts_brings_mains(
    supply: Supply, polarity: str, coil: SupplyKind | None, said: bool
) -> None:
    assert (c.MAINS in fed(supply, polarity, coil)) is said


@pytest.mark.parametrize(
    ("part", "said"),
    [
        (design(ratings=(rating("make", "resistive", 120, 5, supply=SupplyKind.AC),)), True),
        (design(ratings=(rating("make", "resistive", 48, 5, supply=SupplyKind.AC),)), False),
        (design(ratings=(rating("make", "resistive", 110, 0.3),)), True),
        (design(ratings=(rating("make", "resistive", 60, 0.3),)), False),
        (design(replace(OLD, coil_volts=120, coil_supply=SupplyKind.AC)), True),
        (design(replace(OLD, coil_volts=48)), False),
        (design(replace(OLD, coil_volts=None)), False),
    ],
)
def test_a_part_rated_for_mains_says_so_wherever_it_goes(part: Design, said: bool) -> None:
    assert (c.RATED_FOR_MAINS in cautions_for(None, part)) is said
    assert (c.RATED_FOR_MAINS in cautions_for(place(load=MOTOR), part)) is said


def test_a_guided_part_and_a_washed_board_bring_theirs_the_gravest_first() -> None:
    washed = place()
    washed = replace(washed, board=replace(washed.board, process=("wash",), cautions=("Keep clear.",)))
    said = cautions_for(washed, GUARD)
    assert said[:3] == (c.GUARDED, c.GUIDED, "Keep clear.")
    assert c.UNSEALED in said


@pytest.mark.parametrize(
    ("sealing", "said"), [(None, True), (Sealing.RT_II, True), (Sealing.RT_III, False), (Sealing.RT_IV, False)]
)
def test_a_part_is_wash_tight_from_rt_iii_on(sealing: Sealing | None, said: bool) -> None:
    """IEC 61810-1: RT II is flux proof, RT III wash tight; unstated is not tight."""
    there = place()
    there = replace(there, board=replace(there.board, process=("wash",)))
    assert (c.UNSEALED in cautions_for(there, design(replace(OLD, sealing=sealing)))) is said


def stated_safe(there: Place) -> Place:
    return replace(there, board=replace(there.board, safety=True))


def one_function_safe(there: Place) -> Place:
    functions = (*there.position.functions, Function("g", "A", there.position.functions[0].contact, MOTOR, safety=True))
    return replace(there, position=replace(there.position, functions=functions))


@pytest.mark.parametrize("made_safe", [stated_safe, one_function_safe])
def test_a_board_or_one_function_may_say_that_safety_rests_on_it(made_safe) -> None:  # type: ignore[no-untyped-def]
    there = place(load=MOTOR)
    assert c.GUARDED not in cautions_for(there, design())
    assert cautions_for(made_safe(there), design())[0] == c.GUARDED


def test_a_stand_in_for_a_guided_relay_never_goes_without_its_line() -> None:
    said = cautions_together([(None, GUARD), (None, design(HEAVY))])
    assert one_line(said) == (
        "⚠ guided contacts: only the same kind, fitted by those entitled to; more: bom explain cautions"
    )


def test_several_places_say_each_caution_once_and_no_place_says_the_usual() -> None:
    twice = cautions_together([(place(load=MOTOR), design())] * 2)
    assert len(set(twice)) == len(twice)
    assert cautions_together([]) == cautions_for(None)


def test_one_line_names_every_grave_caution_else_the_first_and_where_the_rest_are() -> None:
    grave = one_line(cautions_for(place(load=MAINS_LAMP), GUARD), "bom match --html FILE")
    assert [grave.count(word) for word in ("safety function", "guided contacts", "dangerous volts", "battery")] == [
        *(1, 1, 1, 0)
    ]
    assert grave.endswith("; more: bom match --html FILE")
    assert one_line(cautions_for(place(load=MOTOR), design())).startswith("⚠ a motor may start by itself: keep clear; ")
    assert one_line(["The board's own."]) == "⚠ The board's own; more: bom explain cautions"
    assert one_line([]) == ""


def test_a_bag_of_consumables_speaks_of_solder_flammables_and_carriers_alone() -> None:
    assert cautions_for_bag([]) == (c.FLAMMABLE, c.SOLDER, c.LEAD, c.CARRIERS)


def test_a_bag_with_relays_adds_what_a_stranger_may_find_at_the_machine() -> None:
    said = cautions_for_bag([(place(load=MOTOR), design())])
    assert {c.MOVES, c.BATTERY, c.NEAR_MAINS, c.TWO_BATTERIES, c.FLAMMABLE, c.LEAD, c.CARRIERS} <= set(said)


def test_every_caution_has_its_few_words() -> None:
    texts = [value for name, value in vars(c).items() if name.isupper() and isinstance(value, str) and name[0] != "_"]
    assert sorted(texts) == sorted(text for _, text in c.all_cautions())
    assert all(len(short) < 80 for short, _ in c.all_cautions())


def test_a_boards_own_cautions_stand_after_those_of_mains_and_before_all_others() -> None:
    assert c.by_gravity(["own", c.SOLDER, c.RATED_FOR_MAINS]) == (c.RATED_FOR_MAINS, "own", c.SOLDER)
