"""Boards taken, shown, and checked: is what is fitted at each position right for what it must do?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.replacing import BoardChecked, BoardListed, BoardShown, PositionChecked, ProtectedLoad
from bom.boards.board import Board, HolePattern, Place, Position
from bom.circuit.functions import as_its_circuit_tells, unknown_units
from bom.circuit.net_list import net_list
from bom.circuit.states import solve
from bom.circuit.watch import shorts
from bom.duty.before_parts import before_parts
from bom.duty.cautions import by_gravity, cautions_together, one_line
from bom.duty.coil_window import coil_window
from bom.duty.contact_picture import contact_pictures
from bom.duty.load_protection import protection_for
from bom.duty.margins import held_alone
from bom.duty.paired_contacts import is_guarded
from bom.duty.placed_functions import misplaced
from bom.duty.rules import Rule
from bom.fit.answer import counted
from bom.intake.board_file import take_board
from bom.intake.board_holes import KnownPins
from bom.jobs.replacing.matching import rule_asked
from bom.match.match import judge
from bom.match.requirement import at_position
from bom.paper.writing import write_text
from bom.relays.catalogue import Catalogue
from bom.relays.relay import Design
from bom.relays.wiring import Wiring
from bom.shop.board_drawn import drawn_board
from bom.shop.places import board_typed, fitted_design, place_at, whose_is_fitted, wirings_at
from bom.shop.shop import Shop
from bom.store.boards_and_kits import kits
from bom.store.catalogue import all_drawings, catalogue_around, named
from bom.values.difference import Difference, Replacing, changes_between, some
from bom.values.finding import Finding, Outcome, Verdict, verdict_of, worst_first
from bom.values.part_number import suggest
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.duty.before_parts import BeforeParts
    from bom.store.unit_of_work import Session


def add_board(
    session: Session, file: Path, replacing: Replacing | None = None, leave_out: Sequence[str] = ()
) -> list[str]:
    """Take a board file; what to tell the user, a line each. Raises ProblemsFound, and WouldReplace where the board is
    kept with something else in it and may not be replaced."""
    from bom.store.boards_and_kits import board as kept_board
    from bom.store.boards_and_kits import take_board as keep_board

    board, notes = take_board(file, leave_out, partial(known_pins, session))
    catalogue = catalogue_of(session, board)
    if wrong := strangers_in(board, catalogue):
        raise Refused(f"{file.name}: {'; '.join(wrong)}")
    if (kept := kept_board(session, board.name)) is not None:
        changes = tuple(changes_between(kept, board))
        difference = Difference(f"board {board.name}", changes, _who_uses(session, board.name))
        (replacing or Replacing()).settle([difference])
    keep_board(session, board)
    return [
        f"board {board.name}: {counted(len(board.positions), 'position')}{', unchanged' if kept == board else ''}",
        *(f"note: {note}" for note in (*notes, *notes_on(board, catalogue, all_drawings(session).wirings))),
    ]


def known_pins(session: Session, part: str) -> KnownPins | None:
    """The pins of the part that a text names, where all relays that it may mean have one drawing and one wiring."""
    relays = named(session, part)
    drawn = {(relay.footprint, relay.wiring) for relay in relays}
    if len(drawn) != 1:
        return None
    ((footprint, wiring),) = drawn
    found = catalogue_around(session, relays).footprints.get(footprint)
    return None if found is None else KnownPins(found, wiring)


def strangers_in(board: Board, catalogue: Catalogue) -> list[str]:
    """What the board names that nobody can have meant: a number that two makers share, a unit that no position has."""
    whose = [f"{p.ref}: {why}" for p in board.positions if (why := whose_is_fitted(catalogue, board, p.ref))]
    never = unknown_units(board, wirings_at(catalogue, board))
    return [*whose, *([f"[[never]] names {'; '.join(never)}"] if never else [])]


def _who_uses(session: Session, board: str) -> tuple[str, ...]:

    return tuple(filter(None, [some([kit.name for kit in kits(session) if kit.board == board], "kit")]))


def notes_on(board: Board, catalogue: Catalogue, known: Mapping[str, Wiring]) -> Iterator[str]:
    """Wirings that nobody has, functions on contacts that the wiring of their position does not have, and fitted parts
    that are not in the catalogue; ``known`` are all wirings."""
    for position in board.positions:
        if position.wiring and position.wiring not in known:
            yield f"{position.ref}: wiring {position.wiring} is not in the catalogue{_meant(position.wiring, known)}"
        elif wiring := known.get(position.wiring) or _fitted_wiring(catalogue, board, position.ref):
            yield from (f"{position.ref}, {name}: {why}" for name, why in misplaced(position.functions, wiring))
    for part in (p.fitted for p in board.positions if p.fitted and not catalogue.named(p.fitted)):
        yield f"fitted part {part} is not in the catalogue"


def _fitted_wiring(catalogue: Catalogue, board: Board, ref: str) -> Wiring | None:
    fitted = fitted_design(catalogue, board, ref)
    return fitted.wiring if fitted else None


def _meant(text: str, known: Iterable[str]) -> str:
    near = suggest(text, known)
    return f"; did you mean {' or '.join(near)}?" if near else ""


def list_boards(session: Session) -> list[BoardListed]:
    """Every board in a line: name, title, how many positions and repairs."""
    return [BoardListed(b.name, b.title, len(b.positions), len(b.repairs)) for b in Shop(session).boards.values()]


def forget_board(session: Session, name: str) -> str:
    """Take a board out again, its name as its file spells it; refused while a kit is for it."""
    from bom.store.boards_and_kits import forget_board as forget

    board = board_named(session, name).name
    if users := [kit.name for kit in kits(session) if kit.board == board]:
        raise Refused(f"{board} is the board of {', '.join(users)}: bom kit forget NAME first")
    forget(session, board)
    return board


def board_named(session: Session, name: str) -> Board:
    """The board of this name as typed; refused, naming those there are, where there is none."""
    return board_typed(Shop(session), name)


def catalogue_of(session: Session, board: Board) -> Catalogue:
    """As much of the catalogue as the board names: its fitted parts, and the wirings of its positions."""

    fitted = dict.fromkeys(p.fitted for p in board.positions if p.fitted)
    return catalogue_around(
        session, [relay for part in fitted for relay in named(session, part)], [p.wiring for p in board.positions]
    )


def show_board(session: Session, name: str) -> BoardShown:
    """The board as its file states it, with what to check before parts are changed and what its loads need."""
    board = board_named(session, name)
    catalogue = catalogue_of(session, board)
    board = as_its_circuit_tells(board, wirings_at(catalogue, board))
    return BoardShown(
        name=board.name,
        title=board.title,
        supply=board.supply,
        ambient_c=(board.ambient_min_c, board.ambient_max_c),
        process=board.process or (),
        positions=board.positions,
        nets=board.nets,
        loads=board.loads,
        never=board.never,
        repairs=board.repairs,
        before_parts=tuple(b for p in board.positions for b in checks_before(catalogue, board, p.ref)),
        protection=tuple(p for position in board.positions for p in load_protections(catalogue, board, position)),
        cautions=cautions_of(catalogue, board),
    )


def draw_whole_board(session: Session, name: str, file: Path) -> Path:
    """Draw every position of the board in its place, from both sides, as an SVG into the file; its path."""
    from bom.paper.pictures.board_picture import board_drawing

    board = board_named(session, name)
    catalogue = catalogue_of(session, board)
    cautions = cautions_of(catalogue, board)
    told = as_its_circuit_tells(board, wirings_at(catalogue, board))
    write_text(file, board_drawing(drawn_board(catalogue, told), [one_line(cautions)] if cautions else []))
    return file


def checks_before(catalogue: Catalogue, board: Board, ref: str) -> tuple[BeforeParts, ...]:
    """The order of checks before the relay at this position is blamed."""

    position = board.position(ref)
    place = Place(board, position, HolePattern("", ()), None) if position else None
    return before_parts(place, fitted_design(catalogue, board, ref)) if place else ()


def load_protections(catalogue: Catalogue, board: Board, position: Position) -> list[ProtectedLoad]:
    """What to add at each bare inductive load of the position; nothing where safety rests on it, as that is for its
    maker."""

    place = Place(board, position, HolePattern("", ()), None)
    fitted = fitted_design(catalogue, board, position.ref)
    if is_guarded(place, fitted):
        return []
    found = [protection_for(function, fitted) for function in position.functions]
    return [ProtectedLoad(position.ref, p) for p in found if p]


def check_board(session: Session, name: str, rule: str | None = None) -> BoardChecked:
    """Every position's fitted part judged where it sits; ``fails`` names the positions whose verdict is no."""
    if not name:
        raise Refused("expected a board's name, or --rules")
    board = board_named(session, name)
    return board_checked(board, catalogue_of(session, board), rule_asked(rule))


def board_checked(board: Board, catalogue: Catalogue, chosen: Rule) -> BoardChecked:
    """The board with what is fitted judged by this rule; the catalogue has all that the board names."""
    positions = tuple(_checked(catalogue, board, p.ref, chosen) for p in board.positions)
    shorted = shorts(solve(net_list(board, wirings_at(catalogue, board)))) if board.loads else ()
    board = as_its_circuit_tells(board, wirings_at(catalogue, board))
    return BoardChecked(
        board=board.name,
        rule=chosen.name,
        positions=positions,
        before_parts=tuple(b for p in board.positions for b in checks_before(catalogue, board, p.ref)),
        fails=tuple(p.ref for p in positions if p.verdict is Verdict.NO),
        cautions=(*(s.caution for s in shorted), *cautions_of(catalogue, board, chosen)),
    )


def _checked(catalogue: Catalogue, board: Board, ref: str, rule: Rule) -> PositionChecked:
    fitted = fitted_design(catalogue, board, ref)
    if fitted is None:
        return PositionChecked(ref, None, Verdict.UNKNOWN, (_nothing_fitted(catalogue, board, ref),))
    found = judge(at_position(board, ref, fitted, place_at(catalogue, board, ref)), fitted, rule)
    findings = worst_first(map(held_alone, found.findings))
    return PositionChecked(ref, fitted.relay.part_number, verdict_of(findings), findings)


def _nothing_fitted(catalogue: Catalogue, board: Board, ref: str) -> Finding:
    """Why a position cannot be judged: no part is stated there, or nobody knows the one that is."""
    position = board.position(ref)
    part = position.fitted if position else ""
    why = f"fitted part {part} is not in the catalogue" if part else "the board file states no fitted part"
    why = whose_is_fitted(catalogue, board, ref) or why
    return Finding("fitted part", Outcome.UNKNOWN, why, "a part of the catalogue", part or "not stated")


def cautions_of(catalogue: Catalogue, board: Board, rule: Rule | None = None) -> tuple[str, ...]:
    """The board's own, those that its positions' loads and parts bring, and the rule of the verdicts; gravest first."""

    together = [
        (Place(board, position, HolePattern("", ()), None), fitted_design(catalogue, board, position.ref))
        for position in board.positions
    ]
    return by_gravity((*board.cautions, *cautions_together(together, rule)))


def draw_board(session: Session, name: str, folder: Path, rule: str | None = None) -> list[str]:
    """An SVG of the coil window and of the contacts of every fitted part, into the folder; the files' names."""
    board, chosen = board_named(session, name), rule_asked(rule)
    catalogue = catalogue_of(session, board)
    folder.mkdir(parents=True, exist_ok=True)
    return [file for p in board.positions for file in _drawn(catalogue, board, p.ref, folder, chosen)]


def _drawn(catalogue: Catalogue, board: Board, ref: str, folder: Path, rule: Rule) -> list[str]:

    if (fitted := fitted_design(catalogue, board, ref)) is None:
        return []
    pictures = duty_pictures(fitted, place_at(catalogue, board, ref), rule)
    files = [folder / f"{_file_name(board.name, ref)}-{n}.svg" for n in range(1, len(pictures) + 1)]
    for file, (_, svg) in zip(files, pictures, strict=True):
        write_text(file, svg)
    return [str(file) for file in files]


def _file_name(*words: str) -> str:
    """Letters, digits and hyphens only, so that a board's name never leads out of the folder."""
    return "-".join("".join(c if c.isalnum() or c == "-" else "_" for c in word) for word in words)


def duty_pictures(
    design: Design, place: Place, rule: Rule, original: Design | None = None
) -> tuple[tuple[str, str], ...]:
    """Captions with the coil window and the contact pictures of this part at this place."""
    from bom.paper.pictures.duty_pictures import coil_picture, contact_picture

    window = coil_window(design, place, rule, original.relay if original else None)
    name = f"coil-{place.position.ref}-{design.relay.maker}-{design.relay.part_number}"
    coil = ("Does the coil pull in, and bear its volts?", coil_picture(window, _plain(name)))
    contacts = [("Do the contacts live?", contact_picture(p)) for p in contact_pictures(design, place, rule)]
    return (coil, *contacts)


def _plain(name: str) -> str:
    """A name fit for an SVG's reference, and another for every other name."""
    return "".join(c if c.isascii() and c.isalnum() else f"_{ord(c):x}" for c in name)
