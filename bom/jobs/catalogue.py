"""Catalogue folders and series sheets taken into the database, checked without taking, and written out again.

What a folder would change of what others use is told, each with those it concerns: drawings, ratings and supplies that
are kept already, and relays that a board, a kit or the shelf has.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields
from functools import cached_property, partial
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.catalogue import CatalogueChecked, CatalogueTaken, PartMade
from bom.intake.catalogue import is_sheet, is_sheet_name, open_catalogue
from bom.intake.relay_rows import Drawings, relay_of
from bom.paper.csv_out import write_catalogue
from bom.paper.series_out import series_text
from bom.paper.writing import write_text
from bom.relays.catalogue import Catalogue
from bom.relays.relay import Rating, Relay
from bom.shop.places import design_called
from bom.shop.readings import how_read, remember
from bom.shop.shop import Shop
from bom.store.boards_and_kits import boards, kits
from bom.store.catalogue import (
    all_but_relays,
    all_drawings,
    catalogue_around,
    each_relay,
    kept_of,
    named_any,
    relays_of_series,
    relays_with,
    series_known,
    take_all_but_relays,
)
from bom.store.marks import marked
from bom.store.on_order import on_order
from bom.store.part_names import part_names
from bom.store.relay_rows import coils_of, mark_rated, remove_relay, take_rows
from bom.store.running_figures import mark_shared
from bom.store.shelf import levels_wanted, numbers_booked, part_of_each_lot
from bom.store.shop_files import past_usage
from bom.values.column import nearest
from bom.values.difference import Difference, Replacing, changes_between, some
from bom.values.part_number import normal, same
from bom.values.problem import ProblemsFound, Refused
from bom.values.reading import AS_THEY_ARE, HowAsked, HowRead

if TYPE_CHECKING:
    from bom.intake.catalogue import CatalogueFolder
    from bom.intake.long_table import BytesTold
    from bom.intake.relay_rows import Values
    from bom.store.unit_of_work import Session


def add_catalogue(
    session: Session,
    folder: Path,
    told: BytesTold | None = None,
    leave_out: Sequence[str] = (),
    insist: Sequence[str] = (),
    replacing: Replacing | None = None,
    asked: HowAsked = AS_THEY_ARE,
) -> CatalogueTaken:
    """Take a folder: how many rows were added, updated, unchanged. Raises ProblemsFound with every problem, and
    WouldReplace where what others use would change and may not.

    Relays may name footprints and wirings that the database has, beside those of the folder.

    ``told`` hears how many bytes of relays.csv have been read, and how many there are. Relays are stored as they are
    read; a problem in the last line undoes the first one too, with the caller's transaction. To take the folder again
    changes nothing, so one that was interrupted is simply taken again.
    """

    changes_seen = replacing or Replacing()
    how = how_read(session, asked)
    opened = _opened(folder, told, leave_out, insist, session, how)
    rest, parts = _rest_of(opened), _parts_made(session, folder, opened)
    differences, in_use = list(changed_rest(session, rest)), RelaysInUse(session)
    changes = take_all_but_relays(session, rest) + take_rows(session, _while_good(opened), in_use.compare)
    changes_seen.settle(in_order([*differences, *in_use.differences]))
    mark_rated(session)
    mark_shared(session)
    remember(session, how)
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
        parts=parts,
    )


def _rest_of(opened: CatalogueFolder) -> Catalogue:
    return Catalogue((), opened.footprints, opened.wirings, opened.ratings, opened.supplies)


def _parts_made(session: Session | None, path: Path, opened: CatalogueFolder) -> tuple[PartMade, ...]:
    """The parts that a series sheet makes, each beside what is kept of it; none of a folder, which may have many."""
    if not is_sheet(path) or opened.report.problems:
        return ()
    made = [relay_of(part.values) for part in opened.relays.sheets]
    kept = [] if session is None else named_any(session, [relay.part_number for relay in made])
    there = {(relay.maker, relay.part_number): relay for relay in kept}
    return tuple(_part_made(relay, there.get((relay.maker, relay.part_number))) for relay in made)


def _part_made(relay: Relay, kept: Relay | None) -> PartMade:
    changes = () if kept is None else tuple(map(str, changes_between(kept, relay)))
    return PartMade(
        maker=relay.maker,
        part_number=relay.part_number,
        coil_volts=relay.coil_volts,
        coil_ohms=relay.coil_ohms,
        operate_volts=relay.operate_volts,
        release_volts=relay.release_volts,
        coil_max_volts=relay.coil_max_volts,
        status=relay.status,
        known="new" if kept is None else "changed" if changes else "as known",
        changes=changes,
    )


def _opened(
    folder: Path,
    told: BytesTold | None,
    leave_out: Sequence[str],
    insist: Sequence[str],
    session: Session | None,
    how: HowRead,
) -> CatalogueFolder:
    """The folder, its relays beside what the database already has."""

    if session is None:
        return open_catalogue(folder, told, leave_out, insist, how=how)
    kept = all_drawings(session)
    drawings = Drawings(kept.footprints, kept.wirings)
    # Into an empty catalogue relays are copied while the file is read, and PostgreSQL answers nothing meanwhile.
    kept_coils = partial(coils_of, session) if marked(session, "relays") else (lambda families: ())
    return open_catalogue(folder, told, leave_out, insist, drawings, kept_coils, how)


def _while_good(opened: CatalogueFolder) -> Iterator[Values]:
    """Rows to store until the first problem; from there on the rest is only read, for its problems, and all refused."""
    for row in opened.relays:
        if not opened.report.problems:
            yield row
    opened.settle()


def check_catalogue(
    folder: Path,
    leave_out: Sequence[str] = (),
    insist: Sequence[str] = (),
    session: Session | None = None,
    asked: HowAsked = AS_THEY_ARE,
) -> CatalogueChecked:
    """Every problem and note of a folder; nothing is taken. With a session, drawings and coils that its database has
    count as they would when the folder is taken."""
    opened = _opened(folder, None, leave_out, insist, session, how_read(session, asked))
    for _ in opened.relays:
        pass
    try:
        notes = opened.settle()
    except ProblemsFound as found:
        return CatalogueChecked(str(folder), None, tuple(found.problems), tuple(opened.report.notes))
    parts = _parts_made(session, folder, opened)
    changes = changed_rest(session, _rest_of(opened)) if session is not None and is_sheet(folder) else ()
    return CatalogueChecked(str(folder), opened.relays.count, (), notes, parts, tuple(changes))


def forget_relay(session: Session, typed: str) -> str:
    """Take a relay out again, its maker and number; refused while a board, a kit, the shelf, an order, a level or what
    was used before rests on it."""

    relay = design_called(Shop(session), typed).relay
    called = f"{relay.maker} {relay.part_number}"
    name = part_names(session).name(relay.part_number, relay.maker)
    if resting := [*Users(session).of(relay.part_number, relay.maker), *_booked(session, name)]:
        raise Refused(f"{called} stays: {'; '.join(resting)}")
    remove_relay(session, relay.maker, relay.part_number)
    return called


def _booked(session: Session, part: str) -> Iterator[str]:

    if orders := [o.number for o in on_order(session, part)]:
        yield some(orders, "order")
    if part in levels_wanted(session):
        yield f"a level (bom stock level {part!r} --none takes it off)"
    if past_usage(session, part):
        yield "what was used before the ledger began"


def export_catalogue(session: Session, folder: Path) -> int:
    """Write the contract's CSV files; how many relays went out."""

    return write_catalogue(folder, all_but_relays(session), each_relay(session))


def export_series(session: Session, names: Sequence[str], out: Path) -> tuple[Path, ...]:
    """Write a sheet for each series that is named, by its name, its maker, or both; the files that were written.

    ``out`` is the file of the one sheet, or a catalogue folder that keeps sheets in its *series*.
    """
    families = {key: relays for name in names for key, relays in _series_called(session, name).items()}
    if is_sheet_name(out) and len(families) > 1:
        called = some([" ".join(key) for key in families], "sheet")
        raise Refused(f"expected one series for one file, found {called}; name a folder to write them all")
    paths = [out] if is_sheet_name(out) else [out / "series" / name for name in _file_names(families)]
    sheets = [series_text(relays, catalogue_around(session, relays)) for relays in families.values()]
    texts = dict(zip(paths, sheets, strict=True))
    for path, text in texts.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        write_text(path, text)
    return tuple(texts)


def _series_called(session: Session, name: str) -> dict[tuple[str, str], list[Relay]]:
    """Maker and series to its relays, of every series that the name may mean."""
    families: dict[tuple[str, str], list[Relay]] = {}
    for relay in relays_of_series(session, name):
        families.setdefault((relay.maker, relay.series), []).append(relay)
    if not families:
        known = [*dict.fromkeys(word for pair in series_known(session) for word in (*pair, " ".join(pair)))]
        near = nearest(name, known)
        raise Refused(f"expected a series or a maker{f' (is {near!r} meant?)' if near else ''}, found {name!r}")
    return families


def _file_names(families: Iterable[tuple[str, str]]) -> list[str]:
    """A plain file name for each maker's series, numbered where two would be alike."""
    names: dict[str, None] = {}
    for family in families:
        plain = re.sub(r"[^a-z0-9]+", "-", " ".join(family).casefold()).strip("-") or "series"
        free = (plain if n == 1 else f"{plain}-{n}" for n in count(1))
        names[next(name for name in free if name not in names)] = None
    return [f"{name}.toml" for name in names]


_FIELDS = tuple(f.name for f in fields(Relay))


def changed_rest(session: Session, taken: Catalogue) -> Iterator[Difference]:
    """The footprints, wirings, ratings and supplies that are kept and read differently."""

    kept = kept_of(session, taken)
    for name in taken.footprints.keys() & kept.footprints.keys():
        changes = tuple(changes_between(kept.footprints[name], taken.footprints[name]))
        if changes:
            yield Difference(f"footprint {name}", changes, _users(_relays_with(session, "footprint", name)))
    for name in taken.wirings.keys() & kept.wirings.keys():
        changes = tuple(changes_between(kept.wirings[name], taken.wirings[name]))
        if changes:
            concerns = _users(_relays_with(session, "wiring", name), _positions_wired(session, name))
            yield Difference(f"wiring {name}", changes, concerns)
    yield from _changed_ratings(session, kept.ratings, taken.ratings)
    yield from _changed_supplies(session, kept, taken)


def _changed_ratings(session: Session, kept: Iterable[Rating], taken: Iterable[Rating]) -> Iterator[Difference]:
    before, after = _by_owner(kept), _by_owner(taken)
    for owner in before.keys() & after.keys():
        if changes := tuple(changes_between(before[owner], after[owner], "rating")):
            concerns = (_relays_with(session, "series", owner), _relays_with(session, "part_number", owner))
            yield Difference(f"ratings of {owner}", changes, _users(*concerns))


def _by_owner(ratings: Iterable[Rating]) -> dict[str, tuple[Rating, ...]]:
    answer: dict[str, tuple[Rating, ...]] = {}
    for rating in ratings:
        answer[rating.applies_to] = (*answer.get(rating.applies_to, ()), rating)
    return answer


def _changed_supplies(session: Session, kept: Catalogue, taken: Catalogue) -> Iterator[Difference]:
    before = {(s.maker, s.part_number): s for s in kept.supplies}
    pairs = ((before.get((s.maker, s.part_number)), s) for s in taken.supplies)
    changed = [(s, changes) for there, s in pairs if there and (changes := tuple(changes_between(there, s)))]
    if not changed:
        return
    users = Users(session)
    for supply, changes in changed:
        yield Difference(f"supply {supply.part_number}", changes, users.of(supply.part_number, supply.maker))


def _users(*said: str) -> tuple[str, ...]:
    return tuple(filter(None, said))


def _relays_with(session: Session, column: str, value: str) -> str:

    count, first = relays_with(session, column, value)
    return some(first, "relay", count=count)


def _positions_wired(session: Session, wiring: str) -> str:

    return some([f"{b.name}:{p.ref}" for b in boards(session) for p in b.positions if p.wiring == wiring], "position")


class Users:
    """Who has which part: the positions it is fitted at, the kits that take it, the lots of it."""

    def __init__(self, session: Session) -> None:
        self.session = session
        fitted = [(f"{b.name}:{p.ref}", p.fitted) for b in boards(session) for p in b.positions if p.fitted]
        lines = [(kit.name, line) for kit in kits(session) for line in kit.lines]
        taken = [(kit, word) for kit, line in lines for word in (line.part, *line.accept) if word]
        self.fitted, self.taken = _by_normal(fitted), _by_normal(taken)
        self.booked = _by_normal(("", number) for number in numbers_booked(session))

    def of(self, number: str, maker: str) -> tuple[str, ...]:
        """A sentence for each kind of user of the part."""

        def have_it(users: Mapping[str, list[tuple[str, str]]]) -> list[tuple[str, str]]:
            """Those who name the part by its number, or by its maker and number."""
            keys = dict.fromkeys((normal(number), normal(f"{maker} {number}")))
            return [one for key in keys for one in users.get(key, ())]

        lots = part_of_each_lot(self.session, [spelled for _, spelled in have_it(self.booked)])
        whole = f"{maker} {number}"
        return _users(
            some([place for place, _ in have_it(self.fitted)], "position"),
            some([*dict.fromkeys(kit for kit, _ in have_it(self.taken))], "kit"),
            some([lot for lot, part in lots if same(part, number) or same(part, whole)], "lot"),
        )


def _by_normal(users: Iterable[tuple[str, str]]) -> dict[str, list[tuple[str, str]]]:
    """(user, the part as it names it), by the one spelling of the part."""
    answer: dict[str, list[tuple[str, str]]] = {}
    for user, part in users:
        answer.setdefault(normal(part), []).append((user, part))
    return answer


class RelaysInUse:
    """Notices, as rows are stored, which of the relays that somebody has read differently. Who has what is asked only
    once a relay does."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.differences: list[Difference] = []

    @cached_property
    def users(self) -> Users:
        return Users(self.session)

    def compare(self, kept: Values, row: Values) -> None:
        pairs = zip(_FIELDS, kept, row, strict=False)  # behind the fields follows what a search goes by
        changes = [c for name, old, new in pairs for c in changes_between(old, new, name)]
        maker, number = row[0], row[1]
        if changes and (concerns := self.users.of(number, maker)):
            self.differences.append(Difference(f"relay {maker} {number}", tuple(changes), concerns))


def in_order(differences: Iterable[Difference]) -> list[Difference]:
    """Drawings and ratings first, since they reach furthest; by name."""
    return sorted(differences, key=lambda one: (one.what.startswith(("relay", "supply")), one.what))
