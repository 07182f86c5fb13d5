"""What came in and what was counted is found by its moment, so that a journal reads its own days alone."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0021"
down_revision = "0020"
branch_labels = None
depends_on = None


def upgrade() -> None:
    came = sa.text("kind IN ('in', 'count')")
    op.create_index("ix_moves_moment_came", "moves", ["moment"], sqlite_where=came, postgresql_where=came)


def downgrade() -> None:
    op.drop_index("ix_moves_moment_came", table_name="moves")
