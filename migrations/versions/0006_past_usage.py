"""The maker's lot code on a lot; what was used before the ledger began."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("lots", sa.Column("maker_lot", sa.Text(), nullable=False, server_default=""))
    op.create_table(
        "past_usage",
        sa.Column("sequence", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("file", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("part_number", sa.Text(), nullable=False),
        sa.Column("thousandths", sa.BigInteger(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("sequence", name=op.f("pk_past_usage")),
    )
    op.create_index(op.f("ix_past_usage_part_number"), "past_usage", ["part_number"], unique=False)


def downgrade() -> None:
    op.drop_table("past_usage")
    op.drop_column("lots", "maker_lot")
