"""Taking a catalogue, giving it back, searching and narrowing it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sqlalchemy import Engine
from taken_whole import take_catalogue

from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import CoilSystem, Guided, Rating, Relay, Sealing, Status, SupplyKind, SupplyPart
from bom.relays.wiring import Element, Kind, Wiring
from bom.store.catalogue import Changes, named, whole_catalogue
from bom.store.unit_of_work import look, work

RELAY = Relay(
    "Ostrel",
    "OT-2_12",
    "OT",
    Status.NOT_FOR_NEW_DESIGNS,
    "twin10",
    "twin",
    CoilSystem.MONOSTABLE,
    SupplyKind.DC,
    12.0,
    254.1,
    sealing=Sealing.RT_III,
    guided=Guided.A,
    operate_ms=0.1 + 0.2,
    source="sheet 3",
)
OTHER = Relay("Kithmar", "K12", coil_volts=24.0)
CATALOGUE = Catalogue(
    (RELAY, OTHER),
    {
        "twin10": Footprint(
            "twin10", (Pin("2", 0.0, 2.54, 0.8), Pin("1", 0.0, 0.0, 0.5, 1.2, 90.0)), View.SOLDER, (1.0, -2.5)
        )
    },
    {"twin": Wiring("twin", (Element("1", "", Kind.COIL, "1", "2", True), Element("1", "a", Kind.MAKE, "3", "4")))},
    (
        Rating("OT", "make", "motor", SupplyKind.DC, 14.0, 20.0, source="p. 2"),
        Rating("OT", "both", "AC-15", SupplyKind.AC, 230.0),
    ),
    (SupplyPart("FLUX-5", "flux", "Corvane", "consumable", "ml", Status.ACTIVE),),
)


def take(engine: Engine, catalogue: Catalogue) -> Changes:
    with work(engine) as session:
        return take_catalogue(session, catalogue)


def test_a_catalogue_comes_back_exactly_as_it_went_in(engine: Engine) -> None:
    assert take(engine, CATALOGUE) == Changes(added=6)
    with look(engine) as session:
        assert whole_catalogue(session) == CATALOGUE


def test_taking_it_again_changes_nothing(engine: Engine) -> None:
    take(engine, CATALOGUE)
    assert take(engine, CATALOGUE) == Changes(unchanged=6)


@pytest.mark.parametrize(
    "edited",
    [
        replace(CATALOGUE, relays=(RELAY, replace(OTHER, coil_ohms=1440.0, status=Status.OBSOLETE))),
        replace(CATALOGUE, footprints={"twin10": Footprint("twin10", (Pin("1", 0.0, 0.0),))}),
        replace(CATALOGUE, wirings={"twin": Wiring("twin", (Element("1", "", Kind.BRIDGE, "1", "2"),))}),
        replace(CATALOGUE, ratings=CATALOGUE.ratings[:1]),
        replace(CATALOGUE, supplies=(replace(CATALOGUE.supplies[0], unit="g"),)),
    ],
)
def test_what_reads_differently_replaces_what_was_stored(engine: Engine, edited: Catalogue) -> None:
    take(engine, CATALOGUE)
    assert take(engine, edited) == Changes(updated=1, unchanged=5)
    with look(engine) as session:
        assert whole_catalogue(session) == edited


def test_another_catalogue_leaves_the_first_in_place(engine: Engine) -> None:
    take(engine, CATALOGUE)
    take(engine, Catalogue((Relay("Corvane", "C1"),)))
    with look(engine) as session:
        assert len(whole_catalogue(session).relays) == 3


def test_a_part_is_named_in_any_spelling(engine: Engine) -> None:
    take(engine, CATALOGUE)
    with look(engine) as session:
        assert named(session, "ot-2-12") == (RELAY,)
