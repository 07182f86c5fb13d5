"""The database's first look at a coil reading loses no relay that the proof would name, and does leave most out."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import Engine
from taken_whole import take_catalogue

from bom.duty.identify import NEAR_TIMES, identify
from bom.intake.catalogue import read_catalogue
from bom.relays.relay import Relay
from bom.store.search import coils_near
from bom.store.unit_of_work import work

DEMO = Path(__file__).resolve().parents[2] / "catalogs" / "demo"


def test_no_relay_that_a_reading_may_be_is_left_out(engine: Engine) -> None:
    catalogue = read_catalogue(DEMO)[0]
    with work(engine) as session:
        take_catalogue(session, catalogue)
        for ohms, at_c in ((240.0, 20.0), (90.0, -20.0), (320.0, 23.0), (640.0, 85.0), (1500.0, 45.0)):
            near = coils_near(session, ohms, at_c, NEAR_TIMES)
            assert identify(ohms, at_c, near) == identify(ohms, at_c, catalogue.relays)
            assert len(near) < len(catalogue.relays)


@pytest.mark.parametrize("relay", read_catalogue(DEMO)[0].relays[::9], ids=lambda r: r.part_number)
def test_all_designs_are_each_relays_design(relay: Relay) -> None:
    catalogue = read_catalogue(DEMO)[0]
    assert catalogue.design(relay) in list(catalogue.designs())
