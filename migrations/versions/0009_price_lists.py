"""Offers carry their price breaks themselves; a supplier's list knows its file and moment; the shop's own settings."""

from __future__ import annotations

from itertools import groupby

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("offers", sa.Column("currency", sa.Text(), nullable=False, server_default=""))
    op.add_column("offers", sa.Column("prices", sa.Text(), nullable=False, server_default=""))
    move_breaks()
    op.drop_table("breaks")
    make_tables()
    enter_lists()


def downgrade() -> None:
    raise NotImplementedError("price breaks moved into their offers; restore a backup instead")


def move_breaks() -> None:
    """Each offer's breaks as text, *from:millionths* in their order."""
    breaks = sa.table("breaks", *map(sa.column, ("offer", "place", "from_quantity", "millionths", "currency")))
    offers = sa.table("offers", *map(sa.column, ("id", "currency", "prices")))
    connection = op.get_bind()
    rows = connection.execute(sa.select(breaks).order_by(breaks.c.offer, breaks.c.place)).all()
    for offer, steps in groupby(rows, lambda row: row.offer):
        mine = list(steps)
        prices = " ".join(f"{s.from_quantity}:{s.millionths}" for s in mine)
        connection.execute(offers.update().where(offers.c.id == offer).values(currency=mine[0].currency, prices=prices))


def make_tables() -> None:
    op.create_table(
        "price_lists",
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("file", sa.Text(), nullable=False),
        sa.Column("seen", sa.Text(), nullable=True),
        sa.Column("offers", sa.Integer(), nullable=False),
        sa.Column("failed", sa.Text(), nullable=True),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(
            ["supplier"], ["suppliers.name"], name=op.f("fk_price_lists_supplier"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("supplier", name=op.f("pk_price_lists")),
    )
    op.create_table(
        "settings",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_settings")),
    )


def enter_lists() -> None:
    """What is known of the lists that the offers came from."""
    op.execute(
        "INSERT INTO price_lists (supplier, file, seen, offers, why) "
        "SELECT supplier, max(file), max(seen), count(*), '' FROM offers WHERE valid_until IS NULL GROUP BY supplier"
    )
