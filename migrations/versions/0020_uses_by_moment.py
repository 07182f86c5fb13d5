"""What went out is found by its moment, so that levels are learnt from two years of use however long the ledger is."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0020"
down_revision = "0019"
branch_labels = None
depends_on = None


def upgrade() -> None:
    out = sa.text("kind = 'out'")
    op.create_index(op.f("ix_moves_moment"), "moves", ["moment"], sqlite_where=out, postgresql_where=out)


def downgrade() -> None:
    op.drop_index(op.f("ix_moves_moment"), table_name="moves")
