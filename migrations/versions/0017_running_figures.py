"""What the ledger's entries come to is kept beside them, and what a trace or an undo looks for is found by an index."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None

SOME = {
    "customer": "customer <> ''",
    "drawer": "drawer <> ''",
    "reason": "kind = 'out'",
    "counters": "counters IS NOT NULL",
}


def upgrade() -> None:
    """The tables are left empty: the program fills them from the entries once all migrations have run."""
    op.create_table(
        "lots_there",
        sa.Column("lot", sa.Text(), nullable=False),
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("part_number", "maker", "drawer")),
        *(sa.Column(name, sa.BigInteger(), nullable=False) for name in ("on_hand", "reserved", "held")),
        sa.ForeignKeyConstraint(["lot"], ["lots.number"], name=op.f("fk_lots_there_lot")),
        sa.PrimaryKeyConstraint("lot", name=op.f("pk_lots_there")),
    )
    op.create_index(op.f("ix_lots_there_part_number"), "lots_there", ["part_number"])
    op.create_table(
        "promises",
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("part_number", "maker")),
        sa.Column("reserved", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("part_number", "maker", name=op.f("pk_promises")),
    )
    op.create_table(
        "books",
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("part_number", "maker")),
        sa.Column("on_hand", sa.BigInteger(), nullable=False),
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("came_in", "average", "layers")),
        sa.PrimaryKeyConstraint("part_number", "maker", name=op.f("pk_books")),
    )
    op.create_table(
        "orders_open",
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("number", "supplier", "part_number", "maker")),
        sa.Column("thousandths", sa.BigInteger(), nullable=False),
        sa.Column("due", sa.Date(), nullable=True),
        sa.PrimaryKeyConstraint("number", "supplier", "part_number", "maker", name=op.f("pk_orders_open")),
    )
    op.create_index(op.f("ix_orders_open_part_number"), "orders_open", ["part_number"])
    op.create_table(
        "spellings",
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("folded", "written")),
        sa.PrimaryKeyConstraint("folded", "written", name=op.f("pk_spellings")),
    )
    op.create_index(op.f("ix_orders_number"), "orders", ["number"])
    for column, where in SOME.items():
        some = sa.text(where)
        op.create_index(op.f(f"ix_moves_{column}"), "moves", [column], sqlite_where=some, postgresql_where=some)
    op.execute("INSERT INTO marks (name, number) VALUES ('running figures to fill', 1)")


def downgrade() -> None:
    for column in SOME:
        op.drop_index(op.f(f"ix_moves_{column}"), table_name="moves")
    op.drop_index(op.f("ix_orders_number"), table_name="orders")
    for table in ("spellings", "orders_open", "books", "promises", "lots_there"):
        op.drop_table(table)
    op.execute("DELETE FROM marks WHERE name = 'running figures to fill'")
