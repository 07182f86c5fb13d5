"""Prices that looked like slips and that somebody confirmed."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "confirmed_prices",
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("normal_number", sa.Text(), nullable=False),
        sa.Column("prices", sa.Text(), nullable=False),
        sa.Column("currency", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(
            ["supplier"], ["suppliers.name"], name=op.f("fk_confirmed_prices_supplier"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("supplier", "normal_number", "prices", "currency", name=op.f("pk_confirmed_prices")),
    )


def downgrade() -> None:
    op.drop_table("confirmed_prices")
