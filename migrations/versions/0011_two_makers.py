"""Two makers of one number are two parts: promises, orders, levels and past usage say the maker; files taken once."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for table in ("moves", "orders", "past_usage"):
        op.add_column(table, sa.Column("maker", sa.Text(), nullable=False, server_default=""))
    key_levels_by_maker()
    for table in ("orders", "past_usage", "levels"):
        op.execute(f"UPDATE {table} SET maker = {SOLE_MAKER.format(table=table)}")
    fill_promises()
    make_tables()


def downgrade() -> None:
    raise NotImplementedError("levels of two makers' parts would fall together; restore a backup instead")


SOLE_MAKER = (
    "coalesce((SELECT min(maker) FROM (SELECT part_number, maker FROM relays UNION SELECT part_number, maker "
    "FROM supplies) AS parts WHERE parts.part_number = {table}.part_number HAVING count(DISTINCT maker) = 1), '')"
)
"""The maker of a number that only one makes; of a number that two make nobody can say any more whose was meant."""


def key_levels_by_maker() -> None:
    op.rename_table("levels", "old_levels")
    op.create_table(
        "levels",
        sa.Column("part_number", sa.Text(), nullable=False),
        sa.Column("maker", sa.Text(), server_default="", nullable=False),
        sa.Column("reorder_point", sa.BigInteger(), nullable=False),
        sa.Column("order_up_to", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("part_number", "maker", name="pk_levels_by_maker"),
    )
    op.execute(
        "INSERT INTO levels (part_number, reorder_point, order_up_to) "
        "SELECT part_number, reorder_point, order_up_to FROM old_levels"
    )
    op.drop_table("old_levels")


def fill_promises() -> None:
    """A promise without a lot has nothing else that says its maker. The guard is lifted for this alone."""
    promised = f"UPDATE moves SET maker = {SOLE_MAKER.format(table='moves')} WHERE lot IS NULL"
    if op.get_bind().dialect.name == "postgresql":
        op.execute("ALTER TABLE moves DISABLE TRIGGER moves_never_change")
        op.execute(promised)
        op.execute("ALTER TABLE moves ENABLE TRIGGER moves_never_change")
        return
    guard = op.get_bind().scalar(sa.text("SELECT sql FROM sqlite_master WHERE name = 'moves_never_change'"))
    op.execute("DROP TRIGGER moves_never_change")
    op.execute(promised)
    op.execute(guard)


def make_tables() -> None:
    op.create_table(
        "shared_numbers",
        sa.Column("maker", sa.Text(), nullable=False),
        sa.Column("part_number", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("maker", "part_number", name=op.f("pk_shared_numbers")),
    )
    op.execute(
        "INSERT INTO shared_numbers (maker, part_number) SELECT maker, part_number FROM relays WHERE normal_number IN "
        "(SELECT normal_number FROM relays GROUP BY normal_number HAVING count(DISTINCT maker) > 1) "
        "UNION SELECT maker, part_number FROM supplies WHERE part_number IN "
        "(SELECT part_number FROM supplies GROUP BY part_number HAVING count(DISTINCT maker) > 1)"
    )
    op.create_table(
        "taken_files",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("mark", sa.Text(), nullable=False),
        sa.Column("moment", sa.Text(), nullable=False),
        sa.Column("first_move", sa.Integer(), nullable=False),
        sa.Column("last_move", sa.Integer(), nullable=False),
        sa.Column("first_order", sa.Integer(), nullable=False),
        sa.Column("last_order", sa.Integer(), nullable=False),
        sa.Column("undone", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_taken_files")),
    )
    op.create_index(op.f("ix_taken_files_mark"), "taken_files", ["mark"], unique=False)
