"""A board's file looked at as it grows: everything wrong in it, what would be judged today, and what to state next.

What a finding leaves open is told by the key that would close it, in the order in which a bench comes by it: first
the part, then the holes, what is switched, the supply, the driver, the box round it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.replacing import BoardFileChecked, PositionChecked, ToState
from bom.boards.board import Board, Driver, Position
from bom.intake.board_file import take_board
from bom.intake.board_holes import nobody
from bom.jobs.replacing.boards import board_checked, catalogue_of, known_pins, notes_on, strangers_in
from bom.jobs.replacing.matching import rule_asked
from bom.relays.catalogue import Catalogue
from bom.store.catalogue import all_drawings
from bom.values.finding import Outcome
from bom.values.problem import Problem, ProblemsFound

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def check_board_file(
    session: Session | None, file: Path, rule: str | None = None, leave_out: Sequence[str] = ()
) -> BoardFileChecked:
    """The file read as taking it would read it; nothing is taken. Without a session no part is known."""
    try:
        board, notes = take_board(file, leave_out, nobody if session is None else partial(known_pins, session))
    except ProblemsFound as found:
        return BoardFileChecked(str(file), None, found.problems, (), (), None)
    catalogue = Catalogue() if session is None else catalogue_of(session, board)
    if strangers := strangers_in(board, catalogue):
        problems = tuple(Problem(file.name, 0, "", why) for why in strangers)
        return BoardFileChecked(str(file), board.name, problems, (), (), None)
    known = {} if session is None else all_drawings(session).wirings
    checked = board_checked(board, catalogue, rule_asked(rule))
    said = (*notes, *notes_on(board, catalogue, known))
    return BoardFileChecked(str(file), board.name, (), said, to_state(board, checked.positions), checked)


def to_state(board: Board, positions: Sequence[PositionChecked]) -> tuple[ToState, ...]:
    """What to state next, what is needed first at the top; each with the positions and the checks that wait for it."""
    waiting: dict[tuple[str, str], dict[str, tuple[str, ...]]] = {}
    for checked in positions:
        for wanted, check in _wanted_at(board, checked):
            at = waiting.setdefault(wanted, {})
            at[checked.ref] = (*at.get(checked.ref, ()), check)
    if not board.positions:
        waiting["[[position]]", "each relay's place: ref, pattern, and the part fitted there"] = {}
    found = [
        ToState(where, what, tuple(at), tuple(dict.fromkeys(check for checks in at.values() for check in checks)))
        for (where, what), at in waiting.items()
    ]
    return tuple(sorted(found, key=lambda one: _ORDER.get(one.where, len(_ORDER))))


def _wanted_at(board: Board, checked: PositionChecked) -> Iterator[tuple[tuple[str, str], str]]:
    """(where, what) that is wanted, and the check that waits for it."""
    position = board.position(checked.ref)
    if checked.fitted is None:
        part = position.fitted if position else ""
        what = f"{part}: bom relay show {part!r} must know it" if part else "the part fitted at the factory"
        yield ((_CATALOGUE if part else "position fitted"), what), "all of its checks"
        known = {where: what for _, where, what in (*_KEYS, *_BY_THE_FITTED)}
        yield from (((where, known[where]), "checks of any part") for where in _left_blank(board, position))
        return
    blank = _blank(board, position)
    for finding in checked.findings:
        said, unknown = f"{finding.check}: {finding.why}", finding.outcome is Outcome.UNKNOWN
        told = _BY_THE_FITTED if finding.outcome is Outcome.PASS else (*_KEYS, *_BY_THE_FITTED)
        # What the board states is not what waits: then it is the part that leaves something unsaid.
        keys = [(key, what) for phrase, key, what in told if phrase in said and blank.get(key, True)]
        for wanted in keys or ([("", finding.why)] if unknown else []):
            yield wanted, finding.check


def _left_blank(board: Board, position: Position | None) -> Iterator[str]:
    """Keys without which no part can be judged there, whichever it is: what to measure while the box is open."""
    yield from (where for where, is_blank in _blank(board, position).items() if is_blank)


def _blank(board: Board, position: Position | None) -> Mapping[str, bool]:
    """Whether each of these keys is left blank, at this position or for the whole board."""
    driver, supply = (position.driver if position else None) or Driver(), board.supply
    pattern = board.pattern_of(position) if position else None
    functions = position.functions if position else ()
    return {
        "holes drill_mm": pattern is None or any(hole.drill_mm is None for hole in pattern.holes),
        "position function": not functions and not board.loads,
        "load volts": any(f.load.volts is None for f in functions),
        "load amps": any(f.load.amps is None for f in functions),
        "supply min_volts": supply.min_volts is None,
        "supply max_volts": supply.max_volts is None,
        "board ambient_max_c": board.ambient_max_c is None,
        "board ambient_min_c": board.ambient_min_c is None,
        "driver drop_volts": driver.drop_volts is None,
        "driver channel_milliamps": driver.channel_milliamps is None,
        "driver package_milliamps": driver.package_milliamps is None,
        "position units_on_together": position is None or position.units_on_together is None,
        "board lid_clearance_mm": board.lid_clearance_mm is None,
        "board board_thickness_mm": board.board_thickness_mm is None,
        "board process": board.process is None,
    }


_CATALOGUE = "the catalogue"
_KEYS = (
    ("measure the drill", "holes drill_mm", "the finished diameter of each hole"),
    ("what the board expects", "position wiring", "what the board expects there"),
    ("contacts: not stated: what ", "position function", "what each contact switches"),
    ("load volts", "load volts", "the volts of each load"),
    ("running amps", "load amps", "what each load takes while it runs"),
    ("stall amps", "load stall_amps", "what each motor takes while it is held"),
    ("stall current", "load stall_amps", "what each motor takes while it is held"),
    ("pause_ms", "load pause_ms", "how long the electronics waits between the directions"),
    ("lowest supply", "supply min_volts", "the lowest supply, or code"),
    ("highest supply volts", "supply max_volts", "the highest supply, or code"),
    ("highest ambient", "board ambient_max_c", "the hottest it gets round the relays"),
    ("hottest ambient", "board ambient_max_c", "the hottest it gets round the relays"),
    ("lowest ambient", "board ambient_min_c", "the coldest it gets round the relays"),
    ("coldest ambient", "board ambient_min_c", "the coldest it gets round the relays"),
    ("driver drop", "driver drop_volts", "what the driver keeps of the supply"),
    ("driver's drop", "driver drop_volts", "what the driver keeps of the supply"),
    ("channel limit", "driver channel_milliamps", "the most that one coil may draw"),
    ("package limit", "driver package_milliamps", "the most that its coils may draw together"),
    ("coil current when cold: the driver's limit", "driver channel_milliamps", "the most that one coil may draw"),
    (
        "package current when cold: the driver's",
        "driver package_milliamps",
        "the most that its coils may draw together",
    ),
    ("units on together", "position units_on_together", "how many of its units are on at once"),
)
"""What a finding says is missing, where in the board's files that is stated, and what to look for."""

_BY_THE_FITTED = (
    ("the lid is not stated", "board lid_clearance_mm", "from the board's surface to the lid"),
    ("board's thickness is not stated", "board board_thickness_mm", "how thick the board is"),
    (": as tight as the fitted part", "board process", "what the finished board goes through; [] where nothing"),
)
"""Where nobody states it a part is held against the fitted one, which is no measure of itself."""

_ORDER = {
    where: n
    for n, where in enumerate(
        dict.fromkeys(
            ("[[position]]", "position fitted", _CATALOGUE, *(key for _, key, _ in (*_KEYS, *_BY_THE_FITTED)))
        )
    )
}
