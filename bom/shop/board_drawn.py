"""A board as a picture shows it: where its positions lie, which pin of the fitted part is in which hole, what each
does."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from bom.boards.board import Board, Function
from bom.boards.layout import Lying, laid_out
from bom.fit.check import fit_findings
from bom.paper.pictures.board_picture import BoardDrawn, Drawn
from bom.paper.pictures.pins_over_holes import scene_of
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint
from bom.relays.relay import Design
from bom.shop.places import fitted_design, place_at


def drawn_board(catalogue: Catalogue, board: Board, goes_in: Mapping[str, Design | None] | None = None) -> BoardDrawn:
    """The board with what is fitted; ``goes_in`` are the positions to set off, with what goes in there instead (None =
    not known). The catalogue has all that the board names."""
    lying = laid_out(board)
    drawn = [(one.placed, _drawn(catalogue, board, one, goes_in or {})) for one in lying]
    title = " ".join(filter(None, (board.name, board.title)))
    return BoardDrawn(title, tuple(d for placed, d in drawn if placed), tuple(d for placed, d in drawn if not placed))


def _drawn(catalogue: Catalogue, board: Board, lying: Lying, goes_in: Mapping[str, Design | None]) -> Drawn:
    position, marked = lying.position, lying.position.ref in goes_in
    design = goes_in[position.ref] if marked else fitted_design(catalogue, board, position.ref)
    pins, body = _seated(catalogue, board, lying, design)
    names = {name: hole for hole, name in pins.items()} or {hole.name: hole.name for hole in lying.holes}
    return Drawn(
        ref=position.ref,
        fitted=design.relay.part_number if design else "" if marked else position.fitted,
        holes=lying.holes,
        pins=pins,
        first=_first(names, design.footprint if design else None),
        body=body,
        does=tuple(_does(f, position.functions) for f in position.functions),
        marked=marked,
    )


def _seated(
    catalogue: Catalogue, board: Board, lying: Lying, design: Design | None
) -> tuple[dict[str, str], tuple[tuple[float, float], ...]]:
    """Hole to pin, and the corners of the body on the board; nothing where the part is not proved to go in."""
    if design is None or design.footprint is None:
        return {}, ()
    place = place_at(catalogue, board, lying.position.ref)
    _, answer = fit_findings(design, place)
    if not answer.assignment:
        return {}, ()
    relay, pins = design.relay, {hole: pin for pin, hole in answer.assignment.items()}
    if relay.body_length_mm is None or relay.body_width_mm is None:
        return pins, ()
    where = (answer.rotation_deg or 0.0, answer.shift_mm or (0.0, 0.0))
    size = (relay.body_length_mm, relay.body_width_mm)
    scene = scene_of(design.footprint, place.pattern, answer.assignment, where, {}, size)
    return pins, tuple(map(lying.moved, scene.body))


def _first(names: dict[str, str], footprint: Footprint | None) -> str:
    """The hole of pin 1, else of the first pin of the part's drawing; of holes alone only one that is called 1."""
    listed = footprint.pins[0].name if footprint and footprint.pins else ""
    return names.get("1") or names.get(listed, "")


def _does(function: Function, beside: Iterable[Function]) -> str:
    """The contact, the pole where its unit has several that do something, and what it switches."""
    several = len({other.pole for other in beside if other.unit == function.unit}) > 1
    unit = f"{function.unit}/{function.pole}" if several and function.pole else function.unit
    amps = f" {function.load.amps:g} A" if function.load.amps is not None else ""
    return f"{unit} {function.contact} {function.name} ({function.load.kind}{amps})"
