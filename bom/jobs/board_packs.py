"""A board with its kits and the parts they need, packed into one file for another bench, looked at, and taken there.

A kit travels without its terms of trade; where it is known already, the shop's own stay.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from bom.answers.replacing import BoardFileChecked
from bom.boards.board import Board
from bom.boards.pack import BOARD, CATALOGUE, HOLES, KITS, Pack, kit_file
from bom.intake.board_file import take_board
from bom.intake.catalogue import open_catalogue
from bom.intake.kit_file import take_kit
from bom.intake.pack_file import unpacked
from bom.intake.relay_rows import relay_of
from bom.jobs.bench import bench
from bom.jobs.catalogue import add_catalogue, check_catalogue
from bom.jobs.kits.taking import take_stated_kit
from bom.jobs.replacing.board_file import to_state
from bom.jobs.replacing.boards import add_board, check_board
from bom.kits.kit import Kit
from bom.paper.board_files import board_text, kit_text
from bom.paper.csv_out import catalogue_files, holes_text
from bom.paper.pack_out import write_pack
from bom.relays.relay import Relay, SupplyPart
from bom.shop.places import board_typed
from bom.shop.shop import Shop
from bom.store.boards_and_kits import kit as kept_kit
from bom.store.catalogue import catalogue_around, named, named_any, supplies
from bom.values.difference import Difference, Replacing, changes_between
from bom.values.problem import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def pack_board(session: Session, name: str, out: Path) -> list[str]:
    """Write the board's pack; what to tell the user. Nothing is written over."""
    if out.suffix.lower() != ".zip":
        raise Refused(f"expected --out FILE.zip, found {out}")
    if out.exists():
        raise Refused(f"nothing is written over: {out} is there already")
    pack, missing = packed(session, name)
    write_pack(out, pack)
    return [
        f"board {pack.board} with {_counted(len(pack.kits), 'kit')} packed: {out}",
        "prices, suppliers, stock and customers are not in it",
        *(f"note: {part} is not in the catalogue, so it is not in the pack" for part in missing),
    ]


def _counted(count: int, what: str) -> str:
    return f"{count} {what}" + ("" if count == 1 else "s")


def packed(session: Session, name: str) -> tuple[Pack, tuple[str, ...]]:
    """The board's pack, and the parts that it names and the catalogue lacks."""
    shop = Shop(session)
    board = board_typed(shop, name)
    kits = kits_of(shop, board)
    wanted = tuple(dict.fromkeys(_parts_of(board, kits)))
    relays = named_any(session, wanted)
    catalogue = catalogue_around(session, relays, [p.wiring for p in board.positions])
    known = [s for s in supplies(session) if s.part_number in wanted or f"{s.maker} {s.part_number}" in wanted]
    files = {f"{CATALOGUE}/{n}": text for n, text in catalogue_files(replace(catalogue, supplies=tuple(known))).items()}
    files[BOARD] = board_text(board, HOLES)
    if board.patterns:
        files[HOLES] = holes_text(board.patterns.values())
    files |= {kit_file(n, kit.name): kit_text(kit, terms=False) for n, kit in enumerate(kits, 1)}
    missing = tuple(part for part in wanted if not _is_there(part, relays, known))
    return Pack(board.name, tuple(kit.name for kit in kits), files), missing


def kits_of(shop: Shop, board: Board) -> tuple[Kit, ...]:
    """The kits for the board, each after those that go into it."""
    found: dict[str, Kit] = {}

    def add(kit: Kit | None) -> None:
        if kit is not None and kit.name not in found:
            for line in kit.lines:
                add(shop.kits.get(line.kit))
            found[kit.name] = kit

    for kit in sorted(shop.kits.values(), key=lambda one: one.name):
        if kit.board == board.name:
            add(kit)
    return tuple(found.values())


def _parts_of(board: Board, kits: Iterable[Kit]) -> Iterator[str]:
    """Every part that is fitted, goes in, or is accepted by number."""
    yield from (p.fitted for p in board.positions if p.fitted)
    for line in (line for kit in kits for line in kit.lines):
        yield from filter(None, [line.part])
        yield from (word for word in line.accept if any(c.isdigit() for c in word))


def _is_there(part: str, relays: Collection[Relay], known: Collection[SupplyPart]) -> bool:
    names = [(one.maker, one.part_number) for one in relays] + [(one.maker, one.part_number) for one in known]
    return any(part in (number, f"{maker} {number}") for maker, number in names)


def add_pack(session: Session, file: Path, replacing: Replacing | None = None, insist: Sequence[str] = ()) -> list[str]:
    """Take a pack, all of it or nothing; what to tell the user. Raises ProblemsFound with every problem of every file
    in it, and WouldReplace where anything that is known differs and may not be replaced."""
    seen = {part: Replacing(allowed=True) for part in ("catalogue", "board")}
    with unpacked(file) as (pack, folder):
        kits = _read_whole(session, pack, folder, insist)
        relays = [*_changed_relays(session, folder, insist)]
        taken = add_catalogue(session, folder / CATALOGUE, insist=insist, replacing=seen["catalogue"])
        lines = [f"catalogue: {taken.relays} relays, {taken.supplies} supplies", *(f"note: {n}" for n in taken.notes)]
        lines += add_board(session, folder / BOARD, seen["board"])
        for path, kit in kits:
            seen[kit.name] = Replacing(allowed=True)
            lines += take_stated_kit(session, _on_our_terms(session, kit), path, (), seen[kit.name])
    known = {one.what for one in seen["catalogue"].differences}
    told = [one for one in relays if one.what not in known]
    (replacing or Replacing()).settle([*told, *(one for part in seen.values() for one in part.differences)])
    return [*lines, "note: its figures are those of whoever packed it; hold what matters against its data sheet"]


def check_pack(file: Path, rule: str | None = None, insist: Sequence[str] = ()) -> BoardFileChecked:
    """A pack looked at as if it were the only thing a bench had; nothing is taken, and no database touched."""
    with TemporaryDirectory(prefix="bom-look-") as made, bench(f"sqlite:///{made}/bom.db") as session:
        try:
            notes = tuple(line.removeprefix("note: ") for line in add_pack(session, file, None, insist))
        except ProblemsFound as found:
            return BoardFileChecked(str(file), None, found.problems, (), (), None)
        (board,) = Shop(session).boards.values()
        checked = check_board(session, board.name, rule)
        return BoardFileChecked(str(file), board.name, (), notes, to_state(board, checked.positions), checked)


def _read_whole(session: Session, pack: Pack, folder: Path, insist: Sequence[str]) -> list[tuple[Path, Kit]]:
    """Every file of the pack read once, so that all problems are told together; its kits, with the file of each."""
    problems = [*check_catalogue(folder / CATALOGUE, (), insist, session).problems]
    kits = []
    with _hearing(problems):
        if (board := take_board(folder / BOARD).value.name) != pack.board:
            problems.append(Problem(BOARD, 0, "board.name", f"{pack.board}, as the manifest says", board))
    for path in sorted((folder / KITS).iterdir()):
        with _hearing(problems):
            kits.append((path, take_kit(path).value))
    names = tuple(kit.name for _, kit in kits)
    if not problems and names != pack.kits:
        expected = f"the kits of the manifest, {', '.join(pack.kits) or 'none'}"
        problems.append(Problem(KITS, 0, "", expected, ", ".join(names) or "none"))
    if problems:
        raise ProblemsFound(problems)
    return kits


@contextmanager
def _hearing(problems: list[Problem]) -> Iterator[None]:
    """Problems of a file go to the list instead of ending the reading."""
    try:
        yield
    except ProblemsFound as found:
        problems += found.problems


def _changed_relays(session: Session, folder: Path, insist: Sequence[str]) -> Iterator[Difference]:
    """Relays that are known and read differently, in use or not: they come from another bench."""
    for relay in map(relay_of, open_catalogue(folder / CATALOGUE, None, (), insist).relays):
        for kept in named(session, relay.part_number):
            if kept.maker == relay.maker and (changes := tuple(changes_between(kept, relay))):
                yield Difference(f"relay {relay.maker} {relay.part_number}", changes)


def _on_our_terms(session: Session, kit: Kit) -> Kit:
    """The kit with what a pack never carries as this shop has it: terms of trade, fixed costs, the batch it counts in,
    its currency."""
    kept, ours = kept_kit(session, kit.name), Shop(session).settings.currency
    if kept is None:
        return replace(kit, currency=ours or kit.currency)
    each = {(line.position, line.part, line.kit): line.each for line in kept.lines}
    lines = tuple(replace(line, each=each.get((line.position, line.part, line.kit))) for line in kit.lines)
    return replace(
        kit,
        lines=lines,
        market=kept.market,
        packing=kept.packing,
        cost_by=kept.cost_by,
        currency=kept.currency,
        batch=kept.batch,
        attrition_pct=kept.attrition_pct,
    )
