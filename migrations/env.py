"""Runs the migrations: on the connection the program hands over, else on the database the environment names."""

from __future__ import annotations

from alembic import context
from sqlalchemy import Connection

from bom.store.engine import database_url, open_engine
from bom.store.tables import metadata


def run(connection: Connection) -> None:
    context.configure(connection=connection, target_metadata=metadata)
    with context.begin_transaction():
        context.run_migrations()


def start() -> None:
    """``alembic -x db=URL upgrade head`` names a database by hand."""
    handed: Connection | None = context.config.attributes.get("connection")
    if handed is not None:
        run(handed)
        return
    with open_engine(database_url(context.get_x_argument(as_dictionary=True).get("db"))).begin() as connection:
        run(connection)


start()
