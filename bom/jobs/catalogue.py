"""Catalogue folders taken into the database, checked without taking, and written out again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.catalogue import CatalogueChecked, CatalogueTaken
from bom.jobs.catalogue_changes import RelaysInUse, Users, changed_rest, in_order
from bom.relays.catalogue import Catalogue
from bom.values.difference import Replacing, some
from bom.values.problem import ProblemsFound, Refused

if TYPE_CHECKING:
    from bom.intake.catalogue import CatalogueFolder
    from bom.intake.long_table import Told
    from bom.intake.relay_rows import Values
    from bom.store.unit_of_work import Session


def add_catalogue(
    session: Session,
    folder: Path,
    told: Told | None = None,
    leave_out: Sequence[str] = (),
    insist: Sequence[str] = (),
    replacing: Replacing | None = None,
) -> CatalogueTaken:
    """Take a folder: how many rows were added, updated, unchanged. Raises ProblemsFound with every problem, and
    WouldReplace where what others use would change and may not.

    Relays may name footprints and wirings that the database has, beside those of the folder.

    ``told`` hears how many bytes of relays.csv have been read, and how many there are. Relays are stored as they are
    read; a problem in the last line undoes the first one too, with the caller's transaction. To take the folder again
    changes nothing, so one that was interrupted is simply taken again.
    """
    from bom.store.catalogue import take_all_but_relays
    from bom.store.part_names import mark_shared
    from bom.store.relay_rows import mark_rated, take_rows

    changes_seen = replacing or Replacing()
    opened = _opened(folder, told, leave_out, insist, session)
    rest = Catalogue((), opened.footprints, opened.wirings, opened.ratings, opened.supplies)
    differences, in_use = list(changed_rest(session, rest)), RelaysInUse(session)
    changes = take_all_but_relays(session, rest) + take_rows(session, in_use.watch(_while_good(opened)))
    changes_seen.settle(in_order([*differences, *in_use.differences]))
    mark_rated(session)
    mark_shared(session)
    return CatalogueTaken(
        folder=str(folder),
        relays=opened.relays.count,
        footprints=len(opened.footprints),
        wirings=len(opened.wirings),
        ratings=len(opened.ratings),
        supplies=len(opened.supplies),
        added=changes.added,
        updated=changes.updated,
        unchanged=changes.unchanged,
        notes=opened.settle(),
        replaced=changes_seen.differences,
    )


def _opened(
    folder: Path, told: Told | None, leave_out: Sequence[str], insist: Sequence[str], session: Session | None
) -> CatalogueFolder:
    """The folder, its relays beside what the database already has."""
    from bom.intake.catalogue import open_catalogue
    from bom.intake.relay_rows import Drawings
    from bom.store.catalogue import all_drawings
    from bom.store.relay_rows import coils_of

    if session is None:
        return open_catalogue(folder, told, leave_out, insist)
    kept = all_drawings(session)
    drawings = Drawings(kept.footprints, kept.wirings)
    return open_catalogue(folder, told, leave_out, insist, drawings, partial(coils_of, session))


def _while_good(opened: CatalogueFolder) -> Iterator[Values]:
    """Rows to store until the first problem; from there on the rest is only read, for its problems, and all refused."""
    for row in opened.relays:
        if not opened.report.problems:
            yield row
    opened.settle()


def check_catalogue(
    folder: Path, leave_out: Sequence[str] = (), insist: Sequence[str] = (), session: Session | None = None
) -> CatalogueChecked:
    """Every problem and note of a folder; nothing is taken. With a session, drawings and coils that its database has
    count as they would when the folder is taken."""
    opened = _opened(folder, None, leave_out, insist, session)
    for _ in opened.relays:
        pass
    try:
        notes = opened.settle()
    except ProblemsFound as found:
        return CatalogueChecked(str(folder), None, tuple(found.problems), tuple(opened.report.notes))
    return CatalogueChecked(str(folder), opened.relays.count, (), notes)


def forget_relay(session: Session, typed: str) -> str:
    """Take a relay out again, its maker and number; refused while a board, a kit, the shelf, an order, a level or what
    was used before rests on it."""
    from bom.shop.places import design_called
    from bom.shop.shop import Shop
    from bom.store.part_names import part_names
    from bom.store.relay_rows import remove_relay

    relay = design_called(Shop(session), typed).relay
    called = f"{relay.maker} {relay.part_number}"
    name = part_names(session).name(relay.part_number, relay.maker)
    if resting := [*Users(session).of(relay.part_number, relay.maker), *_booked(session, name)]:
        raise Refused(f"{called} stays: {'; '.join(resting)}")
    remove_relay(session, relay.maker, relay.part_number)
    return called


def _booked(session: Session, part: str) -> Iterator[str]:
    from bom.store.on_order import on_order
    from bom.store.shelf import levels_wanted
    from bom.store.shop_files import past_usage

    if orders := [o.number for o in on_order(session, part)]:
        yield some(orders, "order")
    if part in levels_wanted(session):
        yield f"a level (bom stock level {part!r} --none takes it off)"
    if past_usage(session, part):
        yield "what was used before the ledger began"


def export_catalogue(session: Session, folder: Path) -> int:
    """Write the contract's CSV files; how many relays went out."""
    from bom.paper.csv_out import write_catalogue
    from bom.store.catalogue import all_but_relays, each_relay

    return write_catalogue(folder, all_but_relays(session), each_relay(session))
