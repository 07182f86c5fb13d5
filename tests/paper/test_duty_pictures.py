"""Coil window and contact picture as SVG: whole XML, safe text, told twice, figures as given."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from bom.duty.coil_window import CoilPoint, CoilWindow
from bom.duty.contact_picture import ContactPicture, LimitLine, LoadPoint
from bom.paper.pictures.axes import Scale, spread
from bom.paper.pictures.duty_pictures import coil_picture, contact_picture
from bom.relays.relay import SupplyKind
from bom.relays.wiring import Kind

POINTS = tuple(CoilPoint(t, 8.4 + (t - 20) * 0.033, None, 1.2, 18.0) for t in (-29.0, -20.0, 20.0, 70.0, 79.0))
AREA = ((-20.0, 10.1), (70.0, 10.1), (70.0, 14.4), (-20.0, 14.4))
WINDOW = CoilWindow(
    "K2R-12S", "OS-3:K1", POINTS, (10.1, 14.4), 12.0, None, (-20.0, 70.0), AREA, (70.0, 10.1), (), "a sheet"
)
LOADS = (
    LoadPoint("valve opens", Kind.MAKE, "motor", "running", 14.0, 2.1),
    LoadPoint("valve closes", Kind.MAKE, "motor", "running", 14.0, 2.1),
    LoadPoint("valve opens", Kind.MAKE, "motor", "stall", 14.0, 9.0, 0.4),
)
LIMIT = LimitLine(Kind.MAKE, "motor", "break", ((14.0, 8.0), (28.0, 4.0)), "motor: 8 A at 14 V, 4 A at 28 V", "a sheet")
CONTACT = ContactPicture(
    "K2R-12S", "OS-3:K1", "make contact, DC: amps over volts", "V", Kind.MAKE, SupplyKind.DC, LOADS, (LIMIT,), ()
)
SVG = "{http://www.w3.org/2000/svg}"


def texts(svg: str) -> str:
    return " ".join("".join(e.itertext()) for e in ElementTree.fromstring(svg).iter(f"{SVG}text"))


def marks(svg: str, kind: str) -> int:
    return sum(e.get("class") == kind for e in ElementTree.fromstring(svg).iter(f"{SVG}path"))


def test_a_coil_picture_names_its_axes_lines_and_limits() -> None:
    said = texts(coil_picture(WINDOW))
    for words in ("ambient, °C", "volts at the coil, V", "operates from rest", "8.40 V at 20 °C", "bears at most: 18 V",
                  "10.1 V", "14.4 V", "working area", "−20 °C to 70 °C", "tightest: 70 °C"):  # fmt: skip
        assert words in said


def test_the_working_area_is_hatched_and_no_two_pictures_share_a_hatch() -> None:
    one, two = coil_picture(WINDOW, "k1"), coil_picture(WINDOW, "k2")
    assert 'id="k1-hatch"' in one and "url(#k1-hatch)" in one and "k1-hatch" not in two


@pytest.mark.parametrize("area", [(), ((-20.0, 14.2), (-20.0, 14.4))])
def test_where_there_is_no_working_area_it_says_why(area: tuple[tuple[float, float], ...]) -> None:
    said = texts(coil_picture(replace(WINDOW, working_area=area)))
    assert "No working area: at 70 °C it needs 10.05 V and surely gets 10.1 V only." in said


def test_a_sheet_that_states_nothing_draws_axes_and_what_is_missing() -> None:
    bare = tuple(CoilPoint(p.temp_c) for p in POINTS)
    empty = replace(WINDOW, points=bare, supply_volts=(None, None), nominal_volts=None, working_area=(), tight=None)
    said = texts(coil_picture(replace(empty, missing=("operate volts", "lowest supply"))))
    assert "Not stated: operate volts, lowest supply." in said


def test_each_line_has_its_own_dashes_and_letter() -> None:
    svg = coil_picture(replace(WINDOW, jump_volts=24.0))
    lines = [e for e in ElementTree.fromstring(svg).iter(f"{SVG}path") if (e.get("class") or "").startswith("line")]
    drawn = lines[: len(lines) // 2]
    assert len({e.get("stroke-dasharray") for e in drawn}) == len(drawn) == 5


def test_loads_that_are_alike_share_a_mark_and_name_both_functions() -> None:
    svg = contact_picture(CONTACT)
    assert marks(svg, "mark") == 4  # two in the plot, two in the key
    assert "running 2.1 A at 14 V (motor): valve opens, valve closes" in texts(svg)
    assert "stall 9 A for 0.4 s" in texts(svg) and "may switch off, motor: 8 A at 14 V, 4 A at 28 V" in texts(svg)


def test_over_seconds_a_current_of_unknown_length_goes_right_across() -> None:
    carry = LimitLine(Kind.MAKE, "carry", "carry", ((3.0, 35.0),), "carry: 35 A at 3 s", "a sheet")
    svg = contact_picture(replace(CONTACT, x_unit="s", limits=(carry,)))
    assert marks(svg, "edge") == 1 and "seconds, s" in texts(svg)


def test_a_contact_with_no_published_line_says_so() -> None:
    said = texts(contact_picture(replace(CONTACT, limits=(), missing=("a published DC rating of the make contact",))))
    assert "Not stated: a published DC rating of the make contact." in said


@pytest.mark.parametrize("name", ["<script>", 'a"&\x00', "]]>"])
def test_names_from_anywhere_are_text(name: str) -> None:
    for svg in (coil_picture(replace(WINDOW, part=name)), contact_picture(replace(CONTACT, part=name))):
        assert name.replace("\x00", "\ufffd") in texts(svg)


@pytest.mark.parametrize(
    ("scale", "ticks"),
    [
        (Scale(0, 20, 0, 1), [0, 5, 10, 15, 20]),
        (Scale(-29, 79, 0, 1), [-20, 0, 20, 40, 60]),
        (Scale(0.2, 50, 0, 1, by_decades=True), [0.2, 0.5, 1, 2, 5, 10, 20, 50]),
    ],
)
def test_ticks_are_round(scale: Scale, ticks: list[float]) -> None:
    assert scale.ticks() == pytest.approx(ticks)


def test_a_place_between_decades_is_logarithmic() -> None:
    assert Scale(1, 100, 0, 200, by_decades=True).at(10) == pytest.approx(100)


@pytest.mark.parametrize("wanted", [[50.0, 50.0, 51.0], [99.0, 99.5, 100.0], [0.0, 0.0], [], [5.0]])
def test_letters_never_cover_each_other(wanted: list[float]) -> None:
    placed = sorted(spread(wanted, 10.0, 0.0, 100.0))
    assert all(b - a >= 10.0 - 1e-9 for a, b in pairwise(placed))
    assert all(p <= 100.0 for p in placed)


def test_like_marks_of_unlike_loads_are_numbered() -> None:
    first = CONTACT.loads[0]
    other = replace(first, function="heater", kind="resistive", amps=3 * first.amps)
    alike, unlike = (contact_picture(replace(CONTACT, loads=loads)) for loads in ((first, first), (first, other)))
    numbered = [sum(svg.count(f">{n}</text>") for n in (1, 2)) for svg in (alike, unlike)]
    assert numbered[1] == numbered[0] + 4
