"""What the release of a suppressed coil is worked out from: its inductance, its resistor or zener."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

COLUMNS = ("coil_henries", "suppression_ohms", "suppression_volts")


def upgrade() -> None:
    for column in COLUMNS:
        op.add_column("relays", sa.Column(column, sa.Double(), nullable=True))


def downgrade() -> None:
    for column in reversed(COLUMNS):
        op.drop_column("relays", column)
