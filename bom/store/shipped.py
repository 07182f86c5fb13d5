"""Where the data that comes with the program lies: inside an installed copy, else at the top of a checkout."""

from __future__ import annotations

from pathlib import Path

from bom.values.problem import Refused

_PACKAGE = Path(__file__).resolve().parent.parent


def shipped(name: str) -> Path:
    """The folder ``name`` (*migrations*, *catalogs*) as installed, else as checked out."""
    for place in (_PACKAGE / "_shipped" / name, _PACKAGE.parent / name):
        if place.exists():
            return place
    raise Refused(f"expected {name} to come with the program, found neither {_PACKAGE / '_shipped'} nor a checkout")
