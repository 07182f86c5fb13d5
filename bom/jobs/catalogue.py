"""Catalogue folders taken into the database, checked without taking, and written out again."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from bom.values.problem import ProblemsFound

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def add_catalogue(session: Session, folder: Path) -> dict[str, Any]:
    """Take a folder: how many rows were added, updated, unchanged. Raises ProblemsFound with every problem."""
    from bom.intake.catalogue import read_catalogue
    from bom.store.catalogue import take_catalogue

    catalogue, notes = read_catalogue(folder)
    changes = take_catalogue(session, catalogue)
    return {
        "folder": str(folder),
        "relays": len(catalogue.relays),
        "footprints": len(catalogue.footprints),
        "wirings": len(catalogue.wirings),
        "ratings": len(catalogue.ratings),
        "supplies": len(catalogue.supplies),
        "added": changes.added,
        "updated": changes.updated,
        "unchanged": changes.unchanged,
        "notes": list(notes),
    }


def check_catalogue(folder: Path) -> dict[str, Any]:
    """Every problem and note of a folder; nothing is taken."""
    from bom.intake.catalogue import read_catalogue

    try:
        catalogue, notes = read_catalogue(folder)
    except ProblemsFound as found:
        return {"folder": str(folder), "relays": None, "problems": list(found.problems), "notes": []}
    return {"folder": str(folder), "relays": len(catalogue.relays), "problems": [], "notes": list(notes)}


def export_catalogue(session: Session, folder: Path) -> int:
    """Write the contract's CSV files; how many relays went out."""
    from bom.paper.csv_out import write_catalogue
    from bom.store.catalogue import whole_catalogue

    catalogue = whole_catalogue(session)
    folder.mkdir(parents=True, exist_ok=True)
    write_catalogue(folder, catalogue)
    return len(catalogue.relays)
