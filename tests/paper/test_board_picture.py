"""A whole board is drawn in true proportion, in place and turn, from both sides; names cover nothing; it fits A4."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import pytest

from bom.boards.board import Hole
from bom.intake.board_file import take_board
from bom.intake.catalogue import read_catalogue
from bom.paper.pictures.board_picture import WIDE, BoardDrawn, Drawn, Side, board_drawing
from bom.relays.catalogue import Catalogue
from bom.shop.board_drawn import drawn_board

SVG = "{http://www.w3.org/2000/svg}"
BOARDS = ("os-3", "aw-12", "ht-24", "lv-7")


@pytest.fixture(scope="module")
def catalogue(demo_folder: Path) -> Catalogue:
    return read_catalogue(demo_folder).value


def drawn(catalogue: Catalogue, demo_folder: Path, name: str) -> BoardDrawn:
    return drawn_board(catalogue, take_board(demo_folder / "boards" / f"{name}.toml").value)


def holes(*places: tuple[str, float, float], drill: float | None = 1.0) -> tuple[Hole, ...]:
    return tuple(Hole(name, x, y, drill) for name, x, y in places)


TALL = Drawn("K1", "ZZ-1", holes(("1", 0, 0), ("2", 10, 0), ("3", 10, 20)), {"1": "A", "2": "B"}, "1")


def covered(side: Side) -> list[str]:
    """Words that stand over other words, or over a hole."""
    words = side.words()
    over = [f"{a.said} {b.said}" for a, b in combinations(words, 2) if meets(a.box, b.box)]
    for one in side.panel:
        for hole in one.holes:
            (x, y), r = side.place((hole.x_mm, hole.y_mm)), side.scale * (hole.drill_mm or 1.0) / 2
            over += [f"{w.said} over {hole.name}" for w in words if meets(w.box, (x - r, y - r, x + r, y + r))]
    return over


def meets(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@pytest.mark.parametrize("name", BOARDS)
@pytest.mark.parametrize("scale", [3.0, 1.5, 1.0, 0.5])
def test_names_never_cover_each_other_or_a_hole_and_stay_in_the_frame(
    catalogue: Catalogue, demo_folder: Path, name: str, scale: float
) -> None:
    board = drawn(catalogue, demo_folder, name)
    for panel in [*([board.together] if board.together else []), *((one,) for one in board.apart)]:
        for sign in (1, -1):
            side = Side(panel, scale, sign, (0.0, 0.0), (180.0, 100.0))
            assert not covered(side)
            assert all(min(w.box) >= 0 and w.box[2] <= 180 and w.box[3] <= 100 for w in side.words())


@pytest.mark.parametrize("name", BOARDS)
def test_every_reference_part_and_function_is_there(catalogue: Catalogue, demo_folder: Path, name: str) -> None:
    board = drawn(catalogue, demo_folder, name)
    said = [t.text or "" for t in ElementTree.fromstring(board_drawing(board)).iter(f"{SVG}text")]
    for one in board.positions:
        assert said.count(one.ref) == 2
        assert all(any(word in line for line in said) for does in one.does for word in does.split())
        assert any(line.startswith(f"{one.ref} {one.fitted}: ") for line in said)


@pytest.mark.parametrize("name", BOARDS)
def test_it_prints_on_a4_at_the_scale_that_it_states(catalogue: Catalogue, demo_folder: Path, name: str) -> None:
    svg = board_drawing(drawn(catalogue, demo_folder, name))
    root = ElementTree.fromstring(svg)
    assert float(root.attrib["width"][:-2]) <= 178 and float(root.attrib["height"][:-2]) <= 273
    (scale,) = re.findall(r"Drawn ([\d.]+) times its true size", svg)
    circles = [(float(c.attrib["cx"]), float(c.attrib["cy"])) for c in root.iter(f"{SVG}circle")]
    assert circles and float(scale) > 0 and "bar must measure 50 mm" in svg and "h50" in svg


def test_distances_are_true_and_the_solder_side_is_the_mirror_image() -> None:
    near, far = (Side((TALL,), 2.0, sign, (0.0, 0.0), (90.0, 90.0)) for sign in (1, -1))
    (ax, ay), (bx, by) = near.place((0, 0)), near.place((10, 20))
    assert (bx - ax, by - ay) == (20, 40)
    (cx, cy), (dx, dy) = far.place((0, 0)), far.place((10, 20))
    assert (dx - cx, dy - cy) == (-20, 40)


def test_positions_lie_and_are_turned_as_the_file_says(catalogue: Catalogue, demo_folder: Path) -> None:
    board = drawn(catalogue, demo_folder, "os-3")
    assert not board.apart and "by itself" not in board_drawing(board)
    at = {one.ref: {h.name: (h.x_mm, h.y_mm) for h in one.holes} for one in board.together}
    assert at["K1"]["a1"] == (10, 10) and at["K1"]["am"] == (22.5, 10)
    assert at["K2"]["a1"] == (62, 23) and at["K2"]["am"] == (49.5, 23)  # turned by half a turn
    assert at["K3"]["kc"] == (37, 18)  # a quarter clockwise: what lay to the right lies below


def test_a_board_that_does_not_say_how_its_positions_lie_is_drawn_side_by_side_and_says_so(
    catalogue: Catalogue, demo_folder: Path
) -> None:
    board = drawn(catalogue, demo_folder, "lv-7")
    assert not board.together and len(board.apart) == 4
    assert "Nobody states how these lie to each other, so each is drawn by itself: K1, K2, K3, K4." in board_drawing(
        board
    )


def test_the_first_pin_is_marked_where_it_is_known_and_only_there(catalogue: Catalogue, demo_folder: Path) -> None:
    board = drawn(catalogue, demo_folder, "os-3")
    assert {one.ref: one.first for one in board.positions} == {"K1": "a1", "K2": "a1", "K3": "k1"}
    svg = board_drawing(board)
    assert svg.count('class="first"') == 6 and "A square: the first pin" in svg
    unknown = BoardDrawn("B", (replace(TALL, pins={}, first="", fitted=""),))
    assert 'class="first"' not in board_drawing(unknown) and "A square" not in board_drawing(unknown)


def test_what_nobody_states_is_dashed_and_said() -> None:
    loose = Drawn("K1", "", holes(("1", 0, 0), ("2", 10, 0), drill=None))
    svg = board_drawing(BoardDrawn("B", (loose,)))
    assert "unstated" in svg and "its drill is not stated" in svg and "what it does is not stated" in svg
    assert "no outline of a body is known" in svg


def test_a_body_that_is_known_is_drawn_in_its_turn() -> None:
    corners = ((-2.0, -2.0), (12.0, -2.0), (12.0, 22.0), (-2.0, 22.0))
    svg = board_drawing(BoardDrawn("B", (replace(TALL, body=corners, marked=True),)))
    assert 'class="marked"' in svg and "no outline" not in svg


def test_a_large_board_is_drawn_smaller_and_never_wider_than_the_paper() -> None:
    far = Drawn("K1", "Z", holes(("1", 0, 0), ("2", 400, 300)))
    root = ElementTree.fromstring(board_drawing(BoardDrawn("B", (far,))))
    assert float(root.attrib["width"][:-2]) == WIDE + 4 and float(root.attrib["height"][:-2]) < 273


def test_a_board_without_holes_still_says_what_it_does(demo_folder: Path) -> None:
    assert "Drawn" in board_drawing(BoardDrawn("B", ()))


def test_words_from_a_file_cannot_break_the_drawing() -> None:
    nasty = replace(TALL, ref="K<1>", fitted='"&', does=("<script>",))
    assert ElementTree.fromstring(board_drawing(BoardDrawn("<b>", (nasty,)))) is not None
