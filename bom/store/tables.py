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
    Double,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    PrimaryKeyConstraint,
    Table,
    Text,
    UniqueConstraint,
    text,
)

from bom.match.search_facts import DERIVED, KIND, NARROWED
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


def _index_where(column: str, condition: str) -> Index:
    """An index of those rows alone that the condition names."""
    return Index(None, column, sqlite_where=text(condition), postgresql_where=text(condition))


def _document(name: str, *more: Column[Any]) -> Table:
    return Table(name, metadata, Column("name", Text, primary_key=True), _text("document"), *more, _text("digest"))


# What few values a relay's search starts from: the pins, the wiring and the words of its sheet; '' = not stated.
kinds = Table(
    "kinds",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    *(_text(name) for name in KIND),
    UniqueConstraint(*KIND, name="uq_kinds"),
)

# Beside what was published: the spelling searched by, the kind, and the numbers of bom.match.search_facts. The narrow
# index holds every fact that a search narrows by, so that it never reads a relay it leaves out.
relays = Table(
    "relays",
    metadata,
    Column("id", Integer, primary_key=True),
    *columns_of(Relay),
    _text("normal_number"),
    _text("search_number", server_default=""),
    Column("kind", Integer, nullable=False, server_default="0"),
    Column("rated_alone", Integer, nullable=False, server_default="0"),
    *(Column(name, Double) for name in DERIVED),
    Index("uq_relays_part", "part_number", "maker", unique=True),
    Index("ix_relays_normal_number", "normal_number"),  # on PostgreSQL with an operator class, by its migration
    Index("ix_relays_narrow", "kind", "series", "rated_alone", *NARROWED, "status"),
)

# What would otherwise be found out afresh: how many relays there are, and which edition of the drawings these are.
marks = Table("marks", metadata, Column("name", Text, primary_key=True), Column("number", BigInteger, nullable=False))

footprints = Table(
    "footprints",
    metadata,
    Column("name", Text, primary_key=True),
    _text("view"),
    Column("body_x_mm", Double),
    Column("body_y_mm", Double),
)
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

# The parts of the catalogue whose number another maker has too; see bom.store.part_names.
shared_numbers = Table(
    "shared_numbers",
    metadata,
    Column("maker", Text, primary_key=True),
    Column("part_number", Text, primary_key=True),
)

boards = _document("boards")
kits = _document("kits")
suppliers = _document("suppliers", Column("feed", Text))

# An offer of a price list has its file and moment from the list where its own are empty. Price breaks are wanted only
# whole, so they are text beside their currency: from:millionths, as in 1:1600000 10:1407500.
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
    _text("currency", server_default=""),
    _text("prices", server_default=""),
    Index(None, "supplier"),
    Index(None, "normal_number"),
)

# A supplier's list as it was last taken: its name, when, how many offers; and when it last failed, and why.
price_lists = Table(
    "price_lists",
    metadata,
    Column("supplier", Text, ForeignKey("suppliers.name", ondelete="CASCADE"), primary_key=True),
    _text("file"),
    Column("seen", Text),
    Column("offers", Integer, nullable=False),
    Column("failed", Text),
    _text("why"),
    _text("digest", server_default=""),
)

# Prices that looked like slips and that somebody said are true: the offer's price breaks as they then stood.
confirmed_prices = Table(
    "confirmed_prices",
    metadata,
    Column("supplier", Text, ForeignKey("suppliers.name", ondelete="CASCADE"), primary_key=True),
    Column("normal_number", Text, primary_key=True),
    Column("prices", Text, primary_key=True),
    Column("currency", Text, primary_key=True),
    Column("day", Date, nullable=False),
)

# What the shop chose once, such as the currency it counts in.
settings = Table("settings", metadata, Column("name", Text, primary_key=True), _text("value"))

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
    Column("expires", Date),
    _text("maker_lot", server_default=""),
    Index(None, "part_number"),
    _index_where("maker_lot", "maker_lot <> ''"),
)

# ``maker`` is that of a promise without a lot; all other entries are of their lot's.
CAME = "kind IN ('in', 'count')"
"""What came in or was counted, written as the index has it."""
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
    _text("drawer", server_default=""),
    _text("customer", server_default=""),
    _text("maker", server_default=""),
    Index(None, "part_number"),
    Index(None, "lot"),
    Index(None, "reference"),
    *(_index_where(column, f"{column} <> ''") for column in ("customer", "drawer")),
    *(_index_where(column, "kind = 'out'") for column in ("reason", "moment")),
    Index("ix_moves_moment_came", "moment", sqlite_where=text(CAME), postgresql_where=text(CAME)),
    _index_where("counters", "counters IS NOT NULL"),
)

# What the entries come to is kept beside them, in the five tables that follow, and written with them; it can always be
# worked out again. See bom.store.running_figures. First each lot of which something is there, and where it lies.
lots_there = Table(
    "lots_there",
    metadata,
    Column("lot", Text, ForeignKey("lots.number"), primary_key=True),
    _text("part_number"),
    _text("maker"),
    _text("drawer"),
    Column("on_hand", BigInteger, nullable=False),
    Column("reserved", BigInteger, nullable=False),
    Column("held", BigInteger, nullable=False),
    Index(None, "part_number"),
)

# What is promised of a part without naming a lot.
promises = Table(
    "promises",
    metadata,
    Column("part_number", Text, primary_key=True),
    Column("maker", Text, primary_key=True),
    Column("reserved", BigInteger, nullable=False),
)

# Every part that was ever in stock, with its books. The maker is stated where two have the number. Amounts are text, as
# in GBP:12500000 EUR:0, layers a line each with their thousandths before them.
books = Table(
    "books",
    metadata,
    Column("part_number", Text, primary_key=True),
    Column("maker", Text, primary_key=True),
    Column("on_hand", BigInteger, nullable=False),
    _text("came_in"),
    _text("average"),
    _text("layers"),
)

# What orders have still to bring; a line that is settled is no longer here.
orders_open = Table(
    "orders_open",
    metadata,
    Column("number", Text, primary_key=True),
    Column("supplier", Text, primary_key=True),
    Column("part_number", Text, primary_key=True),
    Column("maker", Text, primary_key=True),
    Column("thousandths", BigInteger, nullable=False),
    Column("due", Date),
    Index(None, "part_number"),
)

# Jobs, customers and kit lots that pieces went to, and makers' lot codes, where they were written with capitals: found
# however they are typed.
spellings = Table(
    "spellings",
    metadata,
    Column("folded", Text, primary_key=True),
    Column("written", Text, primary_key=True),
)

levels = Table(
    "levels",
    metadata,
    Column("part_number", Text),
    _text("maker", server_default=""),
    Column("reorder_point", BigInteger, nullable=False),
    Column("order_up_to", BigInteger, nullable=False),
    PrimaryKeyConstraint("part_number", "maker", name="pk_levels_by_maker"),
)

# What was used before this ledger began, from a file of the shop's own: for working out levels, never booked.
past_usage = Table(
    "past_usage",
    metadata,
    Column("sequence", Integer, primary_key=True, autoincrement=False),
    _text("file"),
    Column("day", Date, nullable=False),
    _text("part_number"),
    Column("thousandths", BigInteger, nullable=False),
    _text("reason"),
    _text("maker", server_default=""),
    Index(None, "part_number"),
)

# What was ordered (positive) and what of it came or was called off (negative); on order is the sum.
orders = Table(
    "orders",
    metadata,
    Column("sequence", Integer, primary_key=True, autoincrement=False),
    _text("moment"),
    _text("number"),
    _text("supplier"),
    _text("part_number"),
    Column("thousandths", BigInteger, nullable=False),
    Column("due", Date),
    _text("reason"),
    _text("maker", server_default=""),
    Index(None, "part_number"),
    Index(None, "number"),
)

# Kits somebody means to make up (positive), and those made or given up (negative).
planned_kits = Table(
    "planned_kits",
    metadata,
    Column("sequence", Integer, primary_key=True, autoincrement=False),
    _text("moment"),
    _text("kit"),
    Column("count", Integer, nullable=False),
    _text("reason"),
)

# What a kit cost when it was last worked out, to say what changed since.
kit_costs = Table(
    "kit_costs",
    metadata,
    Column("sequence", Integer, primary_key=True, autoincrement=False),
    _text("moment"),
    _text("kit"),
    _text("basis"),
    Column("batch", Integer, nullable=False),
    _text("document"),
    Index(None, "kit"),
)

# What is in each bag of a kit lot, line by line; the lots it came from are in the moves that refer to its number.
kit_lots = Table(
    "kit_lots",
    metadata,
    Column("number", Text, primary_key=True),
    _text("kit"),
    _text("document"),
    Index(None, "kit"),
)

# The shop's files that were booked: their content's mark, and the entries each made, the first and last of a run.
taken_files = Table(
    "taken_files",
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=False),
    _text("kind"),
    _text("name"),
    _text("mark"),
    _text("moment"),
    Column("first_move", Integer, nullable=False),
    Column("last_move", Integer, nullable=False),
    Column("first_order", Integer, nullable=False),
    Column("last_order", Integer, nullable=False),
    Column("undone", Text),
    Index(None, "mark"),
)
