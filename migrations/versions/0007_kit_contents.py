"""What is in each bag of a kit lot, line by line."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "kit_lots",
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("kit", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_kit_lots")),
    )
    op.create_index(op.f("ix_kit_lots_kit"), "kit_lots", ["kit"], unique=False)


def downgrade() -> None:
    op.drop_table("kit_lots")
