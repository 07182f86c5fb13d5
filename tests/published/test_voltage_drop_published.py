"""Volts that may be lost on the way, as printed.

Sources: FAA, AC 43.13-1B, change 1 (2001), table 11-6, allowable voltage drop, continuous operation, whose limits its
tables 11-7 and 11-8 work with; Bentley Publishers, BMW 3 Series (E46) Service Manual 1999-2005, Electrical System,
General, voltage drop testing, which ascribes its limits to SAE; ABYC E-11, 11.14.2.6; Panasonic, Automotive relays CT
and CP (2022), contact data.
"""

from __future__ import annotations

import pytest

from bom.duty.before_parts import BOATS, CIRCUIT, CONTACT, FAA, JOINT, NEW_CONTACT, SMALL_JOINT, feed_limits


@pytest.mark.parametrize(("nominal", "printed"), [(12, 0.5), (14, 0.5), (24, 1.0), (28, 1.0), (115, 4.0), (200, 7.0)])
def test_the_way_there_and_back_by_the_faa(nominal: float, printed: float) -> None:
    (limit,) = [limit for limit in feed_limits(nominal) if limit.source == FAA]
    assert limit.volts == printed


@pytest.mark.parametrize("between", [8.9, 16.1, 17.9, 32.1, 99, 131, 179, 221])
def test_the_faa_says_nothing_of_other_systems(between: float) -> None:
    assert FAA not in [limit.source for limit in feed_limits(between)]


@pytest.mark.parametrize("edge", [9.0, 16.0, 18.0, 32.0, 100.0, 130.0, 180.0, 220.0])
def test_a_systems_range_takes_in_its_ends(edge: float) -> None:
    assert FAA in [limit.source for limit in feed_limits(edge)]


def test_boats_lose_three_percent_where_it_is_critical_and_ten_elsewhere() -> None:
    boats = {limit.source: limit.volts for limit in feed_limits(12) if limit.source.startswith(BOATS)}
    assert boats == {f"{BOATS}, critical": pytest.approx(0.36), f"{BOATS}, other": pytest.approx(1.2)}


def test_joints_and_contacts_by_the_car_manual() -> None:
    assert [limit.volts for limit in (SMALL_JOINT, JOINT, CONTACT, CIRCUIT)] == [0.0, 0.1, 0.3, 1.0]


def test_a_new_relays_contact_by_its_sheet() -> None:
    assert NEW_CONTACT.volts == 0.2
