"""What a search narrows by: kinds, numbers brought to 20 °C, the spelling searched by, and a trigram index of it."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

KIND = ("footprint", "wiring", "coil_system", "coil_supply", "sealing", "guided", "coil_suppression")
NUMBERS = ("operate_volts_20", "least_ohms_20", "coil_amps", "height_mm")
NARROW = (
    "kind", "series", "rated_alone", *NUMBERS[:2], "coil_max_volts", "coil_ohms", "coil_volts", "coil_amps",
    "operate_volts", "height_mm", "pin_length_mm", "temp_min_c", "temp_max_c", "min_load_volts", "min_load_milliamps",
    "min_load_milliwatts", "status",
)  # fmt: skip


def upgrade() -> None:
    make_tables()
    widen_relays()
    fill()
    op.create_index("ix_relays_narrow", "relays", list(NARROW))
    if op.get_bind().dialect.name == "postgresql":
        trigrams_on_postgresql()
    else:
        trigrams_on_sqlite()


def downgrade() -> None:
    raise NotImplementedError("restore a backup instead")


def make_tables() -> None:
    op.create_table(
        "kinds",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        *(sa.Column(name, sa.Text(), nullable=False) for name in KIND),
        sa.PrimaryKeyConstraint("id", name="pk_kinds"),
        sa.UniqueConstraint(*KIND, name="uq_kinds"),
    )
    op.create_table(
        "seatings",
        sa.Column("asked", sa.Text(), nullable=False),
        sa.Column("edition", sa.BigInteger(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("asked", name="pk_seatings"),
    )
    op.create_table(
        "marks",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("number", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_marks"),
    )


def widen_relays() -> None:
    """One index by part number and maker in place of the constraint: it can be left out while a million rows load."""
    with op.batch_alter_table("relays") as relays:
        relays.add_column(sa.Column("search_number", sa.Text(), nullable=False, server_default=""))
        relays.add_column(sa.Column("kind", sa.Integer(), nullable=False, server_default="0"))
        relays.add_column(sa.Column("rated_alone", sa.Integer(), nullable=False, server_default="0"))
        for name in NUMBERS:
            relays.add_column(sa.Column(name, sa.Double(), nullable=True))
        relays.drop_constraint("uq_relays_maker_part_number", type_="unique")
        relays.drop_index("ix_relays_coil_volts")
        relays.drop_index("ix_relays_footprint")
    op.create_index("uq_relays_part", "relays", ["part_number", "maker"], unique=True)


def fill() -> None:
    """What the new columns hold for relays taken earlier; the formulas are those of bom.match.search_facts."""
    op.execute("UPDATE relays SET search_number = replace(replace(normal_number, '-', ''), '.', '')")
    op.execute("UPDATE relays SET rated_alone = 1 WHERE part_number IN (SELECT applies_to FROM ratings)")
    op.execute("UPDATE relays SET height_mm = body_height_mm + standoff_mm")
    op.execute("UPDATE relays SET coil_amps = coil_volts / coil_ohms WHERE coil_ohms > 0 AND coil_volts <> 0")
    op.execute(
        "UPDATE relays SET operate_volts_20 = operate_volts * (234.5 + 20) / (234.5 + coil_ref_temp_c), "
        "least_ohms_20 = coil_ohms * (1 - coil_ohms_tol_pct / 100) * (234.5 + 20) / (234.5 + coil_ref_temp_c) "
        "WHERE coil_ref_temp_c > -234.5"
    )
    said = ", ".join(f"coalesce({name}, '')" for name in KIND)
    op.execute(
        f"INSERT INTO kinds (id, {', '.join(KIND)}) "
        f"SELECT row_number() OVER (ORDER BY {', '.join(map(str, range(1, 8)))}), * FROM "
        f"(SELECT DISTINCT {said} FROM relays) AS found"
    )
    same = " AND ".join(f"kinds.{name} = coalesce(relays.{name}, '')" for name in KIND)
    op.execute(f"UPDATE relays SET kind = (SELECT id FROM kinds WHERE {same})")
    op.execute("INSERT INTO marks (name, number) SELECT 'relays', count(*) FROM relays")
    op.execute("INSERT INTO marks (name, number) VALUES ('drawings', 1)")


def trigrams_on_sqlite() -> None:
    """Words of three characters by relay (SQLite FTS5, trigram tokenizer); the relay keeps the text itself."""
    op.execute(
        "CREATE VIRTUAL TABLE relay_trigrams USING fts5"
        "(search_number, content='', tokenize='trigram', detail='none', columnsize=0)"
    )
    op.execute("INSERT INTO relay_trigrams (rowid, search_number) SELECT id, search_number FROM relays")
    op.execute("CREATE VIRTUAL TABLE relay_trigram_counts USING fts5vocab(relay_trigrams, row)")


def trigrams_on_postgresql() -> None:
    """pg_trgm is a trusted extension: whoever owns the database may add it (PostgreSQL 13 on).

    Where that is refused, a search reads every number, which is slower and finds the same.
    """
    bind = op.get_bind()
    try:
        with bind.begin_nested():
            bind.execute(sa.text("CREATE EXTENSION IF NOT EXISTS pg_trgm SCHEMA public"))
            schema = bind.scalar(
                sa.text(
                    "SELECT nspname FROM pg_extension JOIN pg_namespace n ON n.oid = extnamespace "
                    "WHERE extname = 'pg_trgm'"
                )
            )
            bind.execute(
                sa.text(f'CREATE INDEX ix_relays_trigrams ON relays USING gin (search_number "{schema}".gin_trgm_ops)')
            )
    except sa.exc.DBAPIError:
        return
