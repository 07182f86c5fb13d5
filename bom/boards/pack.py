"""What a board packed to travel holds: plain files in the formats they are always read from, and what marks them whole.

A pack is one zip of a manifest, the board and its holes, the kits for it, and a catalogue folder of what they need.
Prices, suppliers, stock and customers are never in it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256

FORMAT = 1
"""The number that a pack states; a program that knows only lower ones refuses it."""

MANIFEST, BOARD, HOLES = "manifest.toml", "board.toml", "holes.csv"
KITS, CATALOGUE = "kits", "catalogue"
CATALOGUE_FILES = ("relays.csv", "footprints.csv", "wirings.csv", "ratings.csv", "supplies.csv")
_KIT = re.compile(r"kits/[0-9]{3}(-[a-z0-9]+)*\.toml")

MOST_FILES, MOST_BYTES = 500, 8_000_000
"""Of one pack, its files unpacked: more than the largest board with all its kits takes by far. Own choice."""


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack's files by name, as text, without its manifest; ``board`` and ``kits`` are what it says it holds."""

    board: str
    kits: tuple[str, ...]
    files: Mapping[str, str]

    @property
    def content(self) -> str:
        """The mark of its files: SHA-256 (FIPS 180-4) over each name, length and text, by name."""
        mark = sha256()
        for name in sorted(self.files):
            text = self.files[name].encode()
            mark.update(f"{name}\n{len(text)}\n".encode() + text)
        return f"sha256:{mark.hexdigest()}"


def may_hold(name: str) -> bool:
    """Whether a pack may hold a file of this name; no other is read, wherever it would go.

    >>> may_hold("kits/001-valve-drive.toml"), may_hold("../board.toml"), may_hold("board.toml.exe")
    (True, False, False)
    """
    folder, _, file = name.partition("/")
    known = name in (MANIFEST, BOARD, HOLES) or (folder == CATALOGUE and file in CATALOGUE_FILES)
    return known or _KIT.fullmatch(name) is not None


def kit_file(number: int, kit: str) -> str:
    """The name of a kit's file in a pack.

    >>> kit_file(1, "OS-3 valve drive")
    'kits/001-os-3-valve-drive.toml'
    """
    words = re.findall(r"[a-z0-9]+", kit.casefold())
    return f"{KITS}/{number:03}{''.join(f'-{word}' for word in words)}.toml"
