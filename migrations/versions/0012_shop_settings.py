"""What was guessed of the shop becomes its settings: its currency and its tax position; said at the next writing."""

from __future__ import annotations

import json

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    bind = op.get_bind()
    kits = [json.loads(d) for d in bind.scalars(sa.text("SELECT document FROM kits ORDER BY name"))]
    kept = dict(bind.execute(sa.text("SELECT name, value FROM settings")).all())
    currency = kept.get("base currency") or guessed_currency(bind, kits)
    taxed = {bool(kit["market"]["tax_registered"]) for kit in kits if kit.get("market")}
    found = {"currency": currency, "tax_registered": ("yes" if True in taxed else "no") if taxed else ""}
    said = ", ".join(f"{name} {value}" for name, value in found.items() if value)
    bind.execute(sa.text("DELETE FROM settings WHERE name = 'base currency'"))
    rows = {**found, "taken over": said}
    for name, value in rows.items():
        if value:
            bind.execute(sa.text("INSERT INTO settings (name, value) VALUES (:n, :v)"), {"n": name, "v": value})


def guessed_currency(bind: sa.Connection, kits: list[dict[str, object]]) -> str:
    """As it was guessed until now: the first kit's, supplier's or lot's."""
    suppliers = [json.loads(d) for d in bind.scalars(sa.text("SELECT document FROM suppliers ORDER BY name"))]
    stated = [str(thing.get("currency") or "") for thing in (*kits, *suppliers)]
    lot = sa.text("SELECT cost_currency FROM lots WHERE cost_currency IS NOT NULL ORDER BY number LIMIT 1")
    return next(filter(None, stated), "") or bind.scalar(lot) or ""


def downgrade() -> None:
    op.execute("UPDATE settings SET name = 'base currency' WHERE name = 'currency'")
    op.execute("DELETE FROM settings WHERE name <> 'base currency'")
