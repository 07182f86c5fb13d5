"""The shop's day: a lot's last day, a move's drawer and customer, what is on order, kits planned, kit costs kept."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("lots", sa.Column("expires", sa.Date(), nullable=True))
    for name in ("drawer", "customer"):
        op.add_column("moves", sa.Column(name, sa.Text(), nullable=False, server_default=""))
    make_tables()


def downgrade() -> None:
    raise NotImplementedError("entries would lose their drawers and customers; restore a backup instead")


def make_tables() -> None:
    op.create_table(
        "orders",
        sa.Column("sequence", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("moment", sa.Text(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("part_number", sa.Text(), nullable=False),
        sa.Column("thousandths", sa.BigInteger(), nullable=False),
        sa.Column("due", sa.Date(), nullable=True),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("sequence", name=op.f("pk_orders")),
    )
    op.create_index(op.f("ix_orders_part_number"), "orders", ["part_number"], unique=False)
    op.create_table(
        "planned_kits",
        sa.Column("sequence", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("moment", sa.Text(), nullable=False),
        sa.Column("kit", sa.Text(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("sequence", name=op.f("pk_planned_kits")),
    )
    op.create_table(
        "kit_costs",
        sa.Column("sequence", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("moment", sa.Text(), nullable=False),
        sa.Column("kit", sa.Text(), nullable=False),
        sa.Column("basis", sa.Text(), nullable=False),
        sa.Column("batch", sa.Integer(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("sequence", name=op.f("pk_kit_costs")),
    )
    op.create_index(op.f("ix_kit_costs_kit"), "kit_costs", ["kit"], unique=False)
