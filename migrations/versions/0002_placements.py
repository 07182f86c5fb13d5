"""How pins go into holes, kept for each pair of drawings; a changeover on its way over; the middle of a body."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("elements", sa.Column("transfer", sa.Text(), nullable=True))
    op.add_column("footprints", sa.Column("body_x_mm", sa.Double(), nullable=True))
    op.add_column("footprints", sa.Column("body_y_mm", sa.Double(), nullable=True))
    op.create_table(
        "placements",
        sa.Column("holes", sa.Text(), nullable=False),
        sa.Column("pins", sa.Text(), nullable=False),
        sa.Column("dressing", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("holes", "pins", "dressing", name=op.f("pk_placements")),
    )


def downgrade() -> None:
    op.drop_table("placements")
    op.drop_column("footprints", "body_y_mm")
    op.drop_column("footprints", "body_x_mm")
    op.drop_column("elements", "transfer")
