"""Properties of fit: turning, shifting and renaming change nothing, and no position tried beats the best one."""

from __future__ import annotations

from math import cos, hypot, radians, sin

from hypothesis import given, settings
from hypothesis import strategies as st

from bom.boards.board import Hole, HolePattern
from bom.fit.connects import connects_alike
from bom.fit.placement import closest, place
from bom.relays.footprint import Pin
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Outcome

GRID = [(float(x), float(y)) for x in range(0, 21, 4) for y in range(0, 13, 4)]
patterns = st.lists(st.sampled_from(GRID), min_size=2, max_size=8, unique=True)
angles = st.floats(-180, 180)
offsets = st.floats(-0.12, 0.12)


def moved(points: list[tuple[float, float]], angle: float, x: float, y: float) -> list[tuple[float, float]]:
    co, si = cos(radians(angle)), sin(radians(angle))
    return [(px * co - py * si + x, px * si + py * co + y) for px, py in points]


def pins(points: list[tuple[float, float]]) -> list[Pin]:
    return [Pin(str(n), x, y, 0.8) for n, (x, y) in enumerate(points)]


def holes(points: list[tuple[float, float]]) -> list[Hole]:
    return [Hole(str(n), x, y, 1.3) for n, (x, y) in enumerate(points)]


@settings(max_examples=40, deadline=None)
@given(patterns, angles, st.floats(-50, 50), st.floats(-50, 50))
def test_a_turned_and_shifted_pattern_goes_in_with_all_its_play(
    points: list[tuple[float, float]], angle: float, x: float, y: float
) -> None:
    ways = place(pins(points), holes(moved(points, angle, x, y)))
    assert ways and abs(ways[0].play_mm - 0.25) < 1e-5


@settings(max_examples=40, deadline=None)
@given(patterns, angles, st.data())
def test_the_deviation_does_not_depend_on_angle_or_names(
    points: list[tuple[float, float]], angle: float, data: st.DataObject
) -> None:
    off = [(x + data.draw(offsets), y + data.draw(offsets)) for x, y in points]
    plain = closest(pins(points), holes(off))
    turned = closest(data.draw(st.permutations(pins(points))), holes(moved(off, angle, 7, -3)))
    assert plain and turned and abs(plain.deviation_mm - turned.deviation_mm) < 1e-5


@settings(max_examples=40, deadline=None)
@given(patterns, st.data(), st.floats(-0.5, 0.5), offsets, offsets)
def test_no_other_position_is_better(
    points: list[tuple[float, float]], data: st.DataObject, turn: float, x: float, y: float
) -> None:
    off = [(px + data.draw(offsets), py + data.draw(offsets)) for px, py in points]
    best = closest(pins(points), holes(off))
    assert best is not None
    order = [int(best.assignment[str(n)]) for n in range(len(points))]
    near = moved(points, best.rotation_deg + turn, best.shift_mm[0] + x, best.shift_mm[1] + y)
    tried = max(hypot(a - off[j][0], b - off[j][1]) for (a, b), j in zip(near, order, strict=True))
    assert tried >= best.deviation_mm - 1e-5


kinds = st.sampled_from([Kind.MAKE, Kind.BREAK, Kind.BRIDGE])
names = [str(n) for n in range(10)]
ends = st.lists(st.sampled_from(names[4:]), min_size=2, max_size=2, unique=True)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from("AB"), kinds, ends), max_size=5),
    st.permutations(names),
    st.booleans(),
)
def test_renaming_pins_units_and_coil_ends_changes_nothing(
    rows: list[tuple[str, Kind, list[str]]], renamed: list[str], swap: bool
) -> None:
    coils = [Element("A", "", Kind.COIL, "0", "1"), Element("B", "", Kind.COIL, "2", "3")]
    expected = Wiring("board", (*coils, *(Element(u, "", k, a, b) for u, k, (a, b) in rows)))
    name = dict(zip(names, renamed, strict=True))
    unit = {"A": "B", "B": "A"} if swap else {"A": "A", "B": "B"}
    ours = Wiring(
        "relay",
        tuple(Element(unit[e.unit], "", e.kind, name[e.to_pin], name[e.from_pin]) for e in expected.elements),
    )
    pattern = HolePattern("p", tuple(Hole(n, 0, 0, 1.3, f"N{n}") for n in names))
    way = {name[n]: n for n in names}
    assert connects_alike(way, ours, expected, pattern).outcome is Outcome.PASS
