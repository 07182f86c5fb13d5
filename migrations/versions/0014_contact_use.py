"""Which way current must flow through a relay's contacts, how often they switch, and what all halves carry at once."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None

NUMBERS = ("most_per_minute", "together_amps")


def upgrade() -> None:
    op.add_column("relays", sa.Column("contact_polarity", sa.Text(), nullable=True))
    for column in NUMBERS:
        op.add_column("relays", sa.Column(column, sa.Double(), nullable=True))


def downgrade() -> None:
    for column in (*reversed(NUMBERS), "contact_polarity"):
        op.drop_column("relays", column)
