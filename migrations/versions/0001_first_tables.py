"""The first tables: catalogue, documents, offers, and a ledger whose entries can be added but never changed."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

LEDGER = ("lots", "moves")


def upgrade() -> None:
    make_tables()
    if op.get_bind().dialect.name == "postgresql":
        guard_on_postgresql()
    else:
        guard_on_sqlite()


def guard_on_sqlite() -> None:
    """Whoever tries to change an entry is refused by the database itself."""
    for table in LEDGER:
        for deed in ("UPDATE", "DELETE"):
            name = f"{table}_never_change" if deed == "UPDATE" else f"{table}_never_go"
            op.execute(
                f"CREATE TRIGGER {name} BEFORE {deed} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, 'entries of {table} are added, never changed'); END"
            )


def guard_on_postgresql() -> None:
    op.execute(
        "CREATE FUNCTION ledger_refuses() RETURNS trigger LANGUAGE plpgsql AS $$ "
        "BEGIN RAISE EXCEPTION 'entries of % are added, never changed', TG_TABLE_NAME; END $$"
    )
    for table in LEDGER:
        for name, deed in (("change", "UPDATE"), ("go", "DELETE OR TRUNCATE")):
            op.execute(
                f"CREATE TRIGGER {table}_never_{name} BEFORE {deed} ON {table} "
                "FOR EACH STATEMENT EXECUTE FUNCTION ledger_refuses()"
            )


def downgrade() -> None:
    raise NotImplementedError("there is nothing before the first tables; restore a backup instead")


def make_tables() -> None:
    op.create_table(
        "boards",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_boards")),
    )
    op.create_table(
        "footprints",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("view", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_footprints")),
    )
    op.create_table(
        "kits",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_kits")),
    )
    op.create_table(
        "levels",
        sa.Column("part_number", sa.Text(), nullable=False),
        sa.Column("reorder_point", sa.BigInteger(), nullable=False),
        sa.Column("order_up_to", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("part_number", name=op.f("pk_levels")),
    )
    op.create_table(
        "lots",
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("part_number", sa.Text(), nullable=False),
        sa.Column("maker", sa.Text(), nullable=False),
        sa.Column("drawer", sa.Text(), nullable=False),
        sa.Column("date_code", sa.Text(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("cost_millionths", sa.BigInteger(), nullable=True),
        sa.Column("cost_currency", sa.Text(), nullable=True),
        sa.Column("received", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_lots")),
    )
    op.create_index(op.f("ix_lots_part_number"), "lots", ["part_number"], unique=False)
    op.create_table(
        "rates",
        sa.Column("base", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("currency", sa.Text(), nullable=False),
        sa.Column("worth", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("base", "day", "currency", name=op.f("pk_rates")),
    )
    op.create_table(
        "ratings",
        sa.Column("applies_to", sa.Text(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("contact", sa.Text(), nullable=False),
        sa.Column("load", sa.Text(), nullable=False),
        sa.Column("supply", sa.Text(), nullable=False),
        sa.Column("volts", sa.Double(), nullable=False),
        sa.Column("amps", sa.Double(), nullable=True),
        sa.Column("inrush_amps", sa.Double(), nullable=True),
        sa.Column("carry_amps", sa.Double(), nullable=True),
        sa.Column("carry_seconds", sa.Double(), nullable=True),
        sa.Column("lr_ms", sa.Double(), nullable=True),
        sa.Column("power_factor", sa.Double(), nullable=True),
        sa.Column("temp_c", sa.Double(), nullable=True),
        sa.Column("operations", sa.Double(), nullable=True),
        sa.Column("source", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("applies_to", "place", name=op.f("pk_ratings")),
    )
    op.create_table(
        "relays",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("maker", sa.Text(), nullable=False),
        sa.Column("part_number", sa.Text(), nullable=False),
        sa.Column("series", sa.Text(), nullable=False),
        sa.Column("status", sa.Text(), nullable=True),
        sa.Column("footprint", sa.Text(), nullable=False),
        sa.Column("wiring", sa.Text(), nullable=False),
        sa.Column("coil_system", sa.Text(), nullable=True),
        sa.Column("coil_supply", sa.Text(), nullable=True),
        sa.Column("coil_volts", sa.Double(), nullable=True),
        sa.Column("coil_ohms", sa.Double(), nullable=True),
        sa.Column("coil_ohms_tol_pct", sa.Double(), nullable=True),
        sa.Column("operate_volts", sa.Double(), nullable=True),
        sa.Column("release_volts", sa.Double(), nullable=True),
        sa.Column("coil_max_volts", sa.Double(), nullable=True),
        sa.Column("coil_ref_temp_c", sa.Double(), nullable=True),
        sa.Column("coil_suppression", sa.Text(), nullable=True),
        sa.Column("contact_material", sa.Text(), nullable=False),
        sa.Column("min_load_volts", sa.Double(), nullable=True),
        sa.Column("min_load_milliamps", sa.Double(), nullable=True),
        sa.Column("min_load_milliwatts", sa.Double(), nullable=True),
        sa.Column("dielectric_volts", sa.Double(), nullable=True),
        sa.Column("temp_min_c", sa.Double(), nullable=True),
        sa.Column("temp_max_c", sa.Double(), nullable=True),
        sa.Column("sealing", sa.Text(), nullable=True),
        sa.Column("guided", sa.Text(), nullable=True),
        sa.Column("body_length_mm", sa.Double(), nullable=True),
        sa.Column("body_width_mm", sa.Double(), nullable=True),
        sa.Column("body_height_mm", sa.Double(), nullable=True),
        sa.Column("standoff_mm", sa.Double(), nullable=True),
        sa.Column("pin_length_mm", sa.Double(), nullable=True),
        sa.Column("operate_ms", sa.Double(), nullable=True),
        sa.Column("release_ms", sa.Double(), nullable=True),
        sa.Column("mechanical_ops", sa.Double(), nullable=True),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("normal_number", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_relays")),
        sa.UniqueConstraint("maker", "part_number", name=op.f("uq_relays_maker_part_number")),
    )
    op.create_index(op.f("ix_relays_coil_volts"), "relays", ["coil_volts"], unique=False)
    op.create_index(op.f("ix_relays_footprint"), "relays", ["footprint"], unique=False)
    op.create_index(
        op.f("ix_relays_normal_number"),
        "relays",
        ["normal_number"],
        unique=False,
        postgresql_ops={"normal_number": "text_pattern_ops"},
    )
    op.create_table(
        "suppliers",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("feed", sa.Text(), nullable=True),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_suppliers")),
    )
    op.create_table(
        "supplies",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("maker", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("status", sa.Text(), nullable=True),
        sa.Column("source", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_supplies")),
        sa.UniqueConstraint("maker", "part_number", name=op.f("uq_supplies_maker_part_number")),
    )
    op.create_table(
        "wirings",
        sa.Column("name", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_wirings")),
    )
    op.create_table(
        "elements",
        sa.Column("wiring", sa.Text(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("pole", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("from_pin", sa.Text(), nullable=False),
        sa.Column("to_pin", sa.Text(), nullable=False),
        sa.Column("polarised", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["wiring"], ["wirings.name"], name=op.f("fk_elements_wiring"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("wiring", "place", name=op.f("pk_elements")),
    )
    op.create_table(
        "moves",
        sa.Column("sequence", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("moment", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("part_number", sa.Text(), nullable=False),
        sa.Column("lot", sa.Text(), nullable=True),
        sa.Column("thousandths", sa.BigInteger(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("reference", sa.Text(), nullable=False),
        sa.Column("counters", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["counters"], ["moves.sequence"], name=op.f("fk_moves_counters")),
        sa.ForeignKeyConstraint(["lot"], ["lots.number"], name=op.f("fk_moves_lot")),
        sa.PrimaryKeyConstraint("sequence", name=op.f("pk_moves")),
    )
    op.create_index(op.f("ix_moves_lot"), "moves", ["lot"], unique=False)
    op.create_index(op.f("ix_moves_part_number"), "moves", ["part_number"], unique=False)
    op.create_index(op.f("ix_moves_reference"), "moves", ["reference"], unique=False)
    op.create_table(
        "offers",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("part_number", sa.Text(), nullable=False),
        sa.Column("normal_number", sa.Text(), nullable=False),
        sa.Column("maker", sa.Text(), nullable=False),
        sa.Column("supplier_code", sa.Text(), nullable=False),
        sa.Column("stock", sa.BigInteger(), nullable=True),
        sa.Column("moq", sa.BigInteger(), nullable=False),
        sa.Column("multiple", sa.BigInteger(), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=True),
        sa.Column("incremental", sa.Boolean(), nullable=False),
        sa.Column("valid_until", sa.Date(), nullable=True),
        sa.Column("seen", sa.Text(), nullable=True),
        sa.Column("file", sa.Text(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["supplier"], ["suppliers.name"], name=op.f("fk_offers_supplier"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_offers")),
    )
    op.create_index(op.f("ix_offers_normal_number"), "offers", ["normal_number"], unique=False)
    op.create_index(op.f("ix_offers_supplier"), "offers", ["supplier"], unique=False)
    op.create_table(
        "pins",
        sa.Column("footprint", sa.Text(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("x_mm", sa.Double(), nullable=False),
        sa.Column("y_mm", sa.Double(), nullable=False),
        sa.Column("lead_mm", sa.Double(), nullable=True),
        sa.Column("lead_width_mm", sa.Double(), nullable=True),
        sa.Column("lead_angle_deg", sa.Double(), nullable=True),
        sa.ForeignKeyConstraint(["footprint"], ["footprints.name"], name=op.f("fk_pins_footprint"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("footprint", "place", name=op.f("pk_pins")),
    )
    op.create_table(
        "breaks",
        sa.Column("offer", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("from_quantity", sa.BigInteger(), nullable=False),
        sa.Column("millionths", sa.BigInteger(), nullable=False),
        sa.Column("currency", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["offer"], ["offers.id"], name=op.f("fk_breaks_offer"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("offer", "place", name=op.f("pk_breaks")),
    )
