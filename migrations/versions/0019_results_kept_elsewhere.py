"""Results lie in a file of their own, found by the edition of the drawings: so it must be no other shop's too."""

from __future__ import annotations

from secrets import randbits

import sqlalchemy as sa
from alembic import op

revision = "0019"
down_revision = "0018"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.drop_table("placements")
    op.drop_table("seatings")
    op.execute(sa.text("UPDATE marks SET number = :number WHERE name = 'drawings'").bindparams(number=randbits(62)))


def downgrade() -> None:
    op.create_table(
        "placements",
        sa.Column("holes", sa.Text(), nullable=False),
        sa.Column("pins", sa.Text(), nullable=False),
        sa.Column("dressing", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("holes", "pins", "dressing", name=op.f("pk_placements")),
    )
    op.create_table(
        "seatings",
        sa.Column("asked", sa.Text(), nullable=False),
        sa.Column("edition", sa.BigInteger(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("asked", name="pk_seatings"),
    )
