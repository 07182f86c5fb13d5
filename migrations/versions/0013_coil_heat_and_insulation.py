"""How warm a coil gets, down to what it holds and at which frequency, and what its insulation bears."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None

NUMBERS = (
    "hold_volts",
    "coil_kelvin_per_watt",
    "contact_rise_k",
    "contact_rise_amps",
    "coil_contact_volts",
    "between_poles_volts",
    "impulse_volts",
)
WORDS = ("coil_hertz", "insulation")


def upgrade() -> None:
    for column in NUMBERS:
        op.add_column("relays", sa.Column(column, sa.Double(), nullable=True))
    for column in WORDS:
        op.add_column("relays", sa.Column(column, sa.Text(), nullable=True))


def downgrade() -> None:
    for column in (*WORDS, *reversed(NUMBERS)):
        op.drop_column("relays", column)
