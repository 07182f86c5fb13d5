"""How far a pin may lie off its place where it was measured."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("pins", sa.Column("error_mm", sa.Double(), nullable=True))


def downgrade() -> None:
    op.drop_column("pins", "error_mm")
