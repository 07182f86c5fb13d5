"""What each job found, as values: paper shows them, ``--json`` prints them, nothing between knows a string key.

A field is a JSON key of its own name. Two marks on a field say where that is not all: ``field(metadata=INLAID)`` is
for a value whose own keys stand among its neighbours', and ``field(metadata=WHERE_STATED)`` for a key that is there
only where it has something to say (not None, not an empty text, not an empty row).
"""

from __future__ import annotations

from collections.abc import Mapping

MARK = "json"
INLAID: Mapping[str, str] = {MARK: "inlaid"}
WHERE_STATED: Mapping[str, str] = {MARK: "where stated"}
STATED_INLAID: Mapping[str, str] = {MARK: "stated, inlaid"}
"""Of a value that is inlaid, only what it states."""
