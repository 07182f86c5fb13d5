"""A database from before pins had an error keeps them as drawn, and takes measured ones from then on."""

from __future__ import annotations

from dataclasses import replace

from alembic import command
from sqlalchemy import text
from taken_whole import take_catalogue

from bom.relays.catalogue import Catalogue
from bom.store.catalogue import drawings_named
from bom.store.engine import migration_config, open_engine, ready_engine
from bom.store.unit_of_work import WRITES, work

OLD_PIN = {"footprint": "F", "place": 0, "name": "1", "x_mm": 1.0, "y_mm": 2.0, "lead_mm": 0.6}


def test_pins_of_before_count_as_drawn(url: str) -> None:
    engine = open_engine(url)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        command.upgrade(migration_config(connection), "0015")
        connection.execute(text("INSERT INTO footprints (name, view) VALUES ('F', 'component')"))
        columns = ", ".join(OLD_PIN)
        values = ", ".join(f":{name}" for name in OLD_PIN)
        connection.execute(text(f"INSERT INTO pins ({columns}) VALUES ({values})"), OLD_PIN)
    engine.dispose()
    with work(ready_engine(url)) as session:
        kept = drawings_named(session, [("F", "")]).footprints["F"]
        assert [(p.name, p.lead_mm, p.error_mm) for p in kept.pins] == [("1", 0.6, None)]
        measured = replace(kept, name="G", pins=(replace(kept.pins[0], error_mm=0.04),))
        take_catalogue(session, Catalogue((), {"G": measured}, {}, ()))
        assert drawings_named(session, [("G", "")]).footprints["G"] == measured
