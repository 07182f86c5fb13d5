"""The tables: catalogue rows as published, documents, offers, and the ledger that is only ever added to.

Money is integer millionths and a currency, quantities are integer thousandths, moments are ISO 8601 text: SQLite
keeps ``Numeric`` as a float and forgets time zones. Boards, kits and suppliers are documents (JSON text of the
dataclass as read from its file), because they are always wanted whole; ``digest`` is that of the file. A relay may
name a footprint or wiring that is not here yet (it then answers *unknown*), so those two names are no foreign keys.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Date,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

from bom.relays.footprint import Pin
from bom.relays.relay import Rating, Relay, SupplyPart
from bom.relays.wiring import Element
from bom.store.rows import columns_of

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)


def _text(name: str, **options: Any) -> Column[str]:
    return Column(name, Text, nullable=False, **options)


def _part_of(name: str, owner: str) -> tuple[Column[str], Column[int]]:
    """The owner's name, and the place in the owner's list, which together are the key."""
    link = ForeignKey(owner, ondelete="CASCADE")
    return Column(name, Text, link, primary_key=True), Column("place", Integer, primary_key=True)


def _document(name: str, *more: Column[Any]) -> Table:
    return Table(name, metadata, Column("name", Text, primary_key=True), _text("document"), *more, _text("digest"))


relays = Table(
    "relays",
    metadata,
    Column("id", Integer, primary_key=True),
    *columns_of(Relay),
    _text("normal_number"),
    UniqueConstraint("maker", "part_number"),
    Index(None, "normal_number", postgresql_ops={"normal_number": "text_pattern_ops"}),
    Index(None, "coil_volts"),
    Index(None, "footprint"),
)

footprints = Table("footprints", metadata, Column("name", Text, primary_key=True), _text("view"))
pins = Table("pins", metadata, *_part_of("footprint", "footprints.name"), *columns_of(Pin))

wirings = Table("wirings", metadata, Column("name", Text, primary_key=True))
elements = Table("elements", metadata, *_part_of("wiring", "wirings.name"), *columns_of(Element))

ratings = Table(
    "ratings",
    metadata,
    Column("applies_to", Text, primary_key=True),
    Column("place", Integer, primary_key=True),
    *columns_of(Rating, but=("applies_to",)),
)

supplies = Table(
    "supplies",
    metadata,
    Column("id", Integer, primary_key=True),
    *columns_of(SupplyPart),
    UniqueConstraint("maker", "part_number"),
)

boards = _document("boards")
kits = _document("kits")
suppliers = _document("suppliers", Column("feed", Text))

offers = Table(
    "offers",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("supplier", Text, ForeignKey("suppliers.name", ondelete="CASCADE"), nullable=False),
    _text("part_number"),
    _text("normal_number"),
    _text("maker"),
    _text("supplier_code"),
    Column("stock", BigInteger),
    Column("moq", BigInteger, nullable=False),
    Column("multiple", BigInteger, nullable=False),
    Column("lead_days", Integer),
    Column("incremental", Boolean, nullable=False),
    Column("valid_until", Date),
    Column("seen", Text),
    _text("file"),
    Column("line", Integer, nullable=False),
    Index(None, "supplier"),
    Index(None, "normal_number"),
)

breaks = Table(
    "breaks",
    metadata,
    Column("offer", Integer, ForeignKey("offers.id", ondelete="CASCADE"), primary_key=True),
    Column("place", Integer, primary_key=True),
    Column("from_quantity", BigInteger, nullable=False),
    Column("millionths", BigInteger, nullable=False),
    _text("currency"),
)

# What one unit of a currency was worth in the base on a day; worth is decimal text, exact as published.
rates = Table(
    "rates",
    metadata,
    Column("base", Text, primary_key=True),
    Column("day", Date, primary_key=True),
    Column("currency", Text, primary_key=True),
    _text("worth"),
    _text("source"),
)

lots = Table(
    "lots",
    metadata,
    Column("number", Text, primary_key=True),
    _text("part_number"),
    _text("maker"),
    _text("drawer"),
    _text("date_code"),
    _text("supplier"),
    Column("cost_millionths", BigInteger),
    Column("cost_currency", Text),
    Column("received", Text),
    Index(None, "part_number"),
)

moves = Table(
    "moves",
    metadata,
    Column("sequence", Integer, primary_key=True, autoincrement=False),
    _text("moment"),
    _text("kind"),
    _text("part_number"),
    Column("lot", Text, ForeignKey("lots.number")),
    Column("thousandths", BigInteger, nullable=False),
    _text("reason"),
    _text("reference"),
    Column("counters", Integer, ForeignKey("moves.sequence")),
    Index(None, "part_number"),
    Index(None, "lot"),
    Index(None, "reference"),
)

levels = Table(
    "levels",
    metadata,
    Column("part_number", Text, primary_key=True),
    Column("reorder_point", BigInteger, nullable=False),
    Column("order_up_to", BigInteger, nullable=False),
)
