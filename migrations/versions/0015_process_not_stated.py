"""What a board goes through counts as not stated where its file named nothing: until now the two were kept alike."""

from __future__ import annotations

import json

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    bind = op.get_bind()
    for name, document in bind.execute(sa.text("SELECT name, document FROM boards")).all():
        board = json.loads(document)
        if board.get("process") == []:
            del board["process"]
            changed = {"n": name, "d": json.dumps(board, ensure_ascii=False)}
            bind.execute(sa.text("UPDATE boards SET document = :d WHERE name = :n"), changed)


def downgrade() -> None:
    bind = op.get_bind()
    for name, document in bind.execute(sa.text("SELECT name, document FROM boards")).all():
        board = json.loads(document) | {"process": json.loads(document).get("process") or []}
        changed = {"n": name, "d": json.dumps(board, ensure_ascii=False)}
        bind.execute(sa.text("UPDATE boards SET document = :d WHERE name = :n"), changed)
