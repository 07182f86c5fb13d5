"""Results kept so that nothing is worked out twice: placements, and what may serve at a place.

Results lie in a file of their own in the user's cache folder, so that whoever only reads from a shop writes nothing to
it, and where that file cannot be read or written nothing is lost but time. A result is found by all that it rests on,
so that a change of any of it asks for another one, whichever shop it is for: a placement goes by the pins and the
holes; which footprints and wirings may serve goes by the place, the rule, the program that judged, and the edition of
the drawings (``bom.store.marks``).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from datetime import date, timedelta
from itertools import islice
from typing import Any

from bom.fit.placement_cache import GeometryKey, Placements
from bom.store.documents import decode, encode
from bom.store.engine import cache_folder

_FILE = "worked-out.sqlite"
_AT_ONCE = 500  # keys in one question
_KEPT_DAYS = 60  # own choice; what is older is worked out again

_TABLES = (
    "CREATE TABLE IF NOT EXISTS placements (holes TEXT, pins TEXT, dressing TEXT, document TEXT, day TEXT,"
    " PRIMARY KEY (holes, pins, dressing)) WITHOUT ROWID",
    "CREATE TABLE IF NOT EXISTS seatings (asked TEXT, edition INTEGER, document TEXT, day TEXT,"
    " PRIMARY KEY (asked, edition)) WITHOUT ROWID",
)


def stored_placements(holes: Collection[str], pins: Collection[str] | None = None) -> dict[GeometryKey, Placements]:
    """Everything tried in the holes of these keys, or what was tried there with the pins of these keys."""
    found: dict[GeometryKey, Placements] = {}
    for some_holes in _pieces(holes):
        asked = f"SELECT pins, holes, dressing, document FROM placements WHERE holes IN ({_marks(some_holes)})"
        for some in [[]] if pins is None else _pieces(pins):
            among = f" AND pins IN ({_marks(some)})" if some else ""
            for key_pins, key_holes, dressing, document in _ask(asked + among, [*some_holes, *some]):
                found[key_pins, key_holes, dressing] = decode(Placements, document)
    return found


def store_placements(tried: Mapping[GeometryKey, Placements]) -> None:
    """Keep these. What was worked out once is never worked out otherwise, but there may be more of it later."""
    rows = [(holes, pins, dressing, encode(found)) for (pins, holes, dressing), found in tried.items()]
    _keep("placements", rows)


def kept_seating(asked: str, edition: int) -> str | None:
    """The document kept for this question and edition, or None."""
    found = _ask("SELECT document FROM seatings WHERE asked = ? AND edition = ?", (asked, edition))
    return found[0][0] if found else None


def keep_seatings(found: Mapping[tuple[str, int], str]) -> None:
    """Keep the documents for these questions and editions."""
    _keep("seatings", [(*key, document) for key, document in found.items()])


def _ask(question: str, values: Sequence[str | int]) -> list[Any]:
    file = cache_folder() / _FILE
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True, timeout=0)) as kept:
            return kept.execute(question, values).fetchall()
    except sqlite3.Error:
        return []


def _keep(table: str, rows: Sequence[Sequence[str | int]]) -> None:
    """It waits for nobody: while another program writes there, nothing is kept."""
    file, today = cache_folder() / _FILE, date.today()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with closing(sqlite3.connect(file, timeout=0)) as kept, kept:
            kept.execute("PRAGMA journal_mode = WAL")
            for made in _TABLES:
                kept.execute(made)
            kept.execute(f"DELETE FROM {table} WHERE day < ?", ((today - timedelta(days=_KEPT_DAYS)).isoformat(),))
            dated = [(*row, today.isoformat()) for row in rows]
            kept.executemany(f"INSERT OR REPLACE INTO {table} VALUES ({_marks(dated[0]) if dated else ''})", dated)
    except sqlite3.OperationalError:
        return
    except sqlite3.DatabaseError:
        file.unlink(missing_ok=True)  # it is damaged, or something else
    except OSError:
        return


def _pieces(keys: Iterable[str]) -> Iterator[list[str]]:
    left = iter(sorted(keys))
    while some := list(islice(left, _AT_ONCE)):
        yield some


def _marks(values: Sequence[object]) -> str:
    return ", ".join("?" * len(values))
