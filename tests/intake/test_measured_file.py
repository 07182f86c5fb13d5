"""A file of spans or marks: as it is typed, and every slip refused at its line."""

from __future__ import annotations

from math import hypot, sqrt
from pathlib import Path

import pytest

from bom.intake.measured_file import MeasuredFile, read_measured
from bom.intake.measured_spans import Size
from bom.measure.picture import Pictured, Taken
from bom.measure.spans import Across, Jaws, Measured, Span, Turn
from bom.relays.footprint import View
from bom.values.problem import ProblemsFound

HEAD = 'name = "box"\nof = "holes"\nview = "component"\nerror_mm = 0.03\n'
SPANS = 'spans = "a-b 5.08, b-c 3, a-c 6"\n'
PINS = HEAD.replace('"holes"', '"pins"')
PICTURE = HEAD + 'taken = "scan"\nerror_px = 2\nmarks = """\na 10 10\nb 60 10\n"""\nspans = "a-b 5"\n'


def read(tmp_path: Path, text: str) -> MeasuredFile:
    file = tmp_path / "m.toml"
    file.write_text(text, encoding="utf-8")
    return read_measured(file)


def spans(tmp_path: Path, text: str) -> tuple[Span, ...]:
    readings = read(tmp_path, text).readings
    assert isinstance(readings, Measured)
    return readings.spans


def test_spans_stand_one_a_line_or_with_commas(tmp_path: Path) -> None:
    text = HEAD + 'spans = """\nh1-h2 5.08   # the coil\n\nh2 - h10 0.3 in; h1–h10 12.7 mm\n"""\n'
    assert spans(tmp_path, text) == (
        Span("h1", "h2", 5.08, 0.03), Span("h2", "h10", pytest.approx(7.62), 0.03), Span("h1", "h10", 12.7, 0.03),
    )  # fmt: skip
    assert read(tmp_path, text).readings.names == ("h1", "h2", "h10")  # type: ignore[union-attr]


def test_jaws_on_edges_know_what_they_touch(tmp_path: Path) -> None:
    told = read(tmp_path, HEAD + 'spans = "a-b 6 outside, a-c 4 inside, b-c 9"\ndrills = { all = 1, b = 1.4 }\n')
    assert isinstance(told.readings, Measured)
    assert [s.jaws for s in told.readings.spans] == [Jaws.OUTSIDE, Jaws.INSIDE, Jaws.CENTRES]
    assert told.readings.across == (Across("a", 1, 0.03), Across("b", 1.4, 0.03), Across("c", 1, 0.03))
    assert told.sizes == {"a": Size(1.0), "b": Size(1.4), "c": Size(1.0)}


def test_outside_and_inside_of_two_need_no_drill(tmp_path: Path) -> None:
    assert spans(tmp_path, HEAD + 'spans = "a-b 6 outside, b-a 4 inside"\n') == (Span("a", "b", 5.0, 0.03 / sqrt(2)),)


def test_a_shank_with_play_makes_its_spans_less_sure(tmp_path: Path) -> None:
    (span,) = spans(tmp_path, HEAD + 'drills = 1.3\nshanks = { a = 1.2 }\nspans = "a-b 6.25 outside"\n')
    assert span.error_mm == pytest.approx(hypot(0.03, 0.05))


def test_pins_have_leads_round_or_flat(tmp_path: Path) -> None:
    told = read(tmp_path, PINS + 'leads = { all = 0.6, 3 = "0.8 x 0.5" }\nspans = "1-2 5, 2-3 6"\n')
    assert told.sizes == {"1": Size(0.6), "2": Size(0.6), "3": Size(0.8, 0.5)}


@pytest.mark.parametrize(
    ("said", "turns"),
    [
        ('"a b c clockwise"', [Turn("a", "b", "c")]),
        ('"a, b, c is anticlockwise"', [Turn("a", "b", "c", False)]),
        ('["a b c cw", "c b a ccw"]', [Turn("a", "b", "c"), Turn("c", "b", "a", False)]),
    ],
)
def test_turns(tmp_path: Path, said: str, turns: list[Turn]) -> None:
    readings = read(tmp_path, f"{HEAD}turn = {said}\n{SPANS}").readings
    assert isinstance(readings, Measured) and list(readings.turns) == turns


def test_a_picture_has_marks(tmp_path: Path) -> None:
    told = read(tmp_path, PICTURE.replace("component", "solder"))
    assert isinstance(told.readings, Pictured)
    assert (told.view, told.readings.taken, len(told.readings.marks)) == (View.SOLDER, Taken.SCAN, 2)


def test_a_card_is_six_spans_of_marks_that_are_no_holes(tmp_path: Path) -> None:
    marks = "".join(
        f"{n} {x} {y}\n" for n, x, y in (("a", 5, 5), ("p", 0, 0), ("q", 90, 0), ("r", 90, 50), ("s", 0, 50))
    )
    card = 'card = "p q r s 85.6 x 53.98"\ncard_error_mm = 0.1\n'
    text = f'{HEAD}taken = "photo"\nerror_px = 2\n{card}marks = """\n{marks}"""\n'
    readings = read(tmp_path, text).readings
    assert isinstance(readings, Pictured)
    assert readings.helpers == frozenset("pqrs")
    assert [round(s.mm, 2) for s in readings.measured.spans] == [85.6, 53.98, 85.6, 53.98, 101.2, 101.2]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (SPANS, r"m.toml \[name\]: expected name, as in unknown box, found 'nothing'"),
        (
            HEAD.replace("error_mm = 0.03\n", "") + SPANS,
            r"\[error_mm\]: expected number above 0 and up to 2, as in 0.03",
        ),
        (HEAD.replace("component", "unknown") + SPANS, r":3 \[view\]: expected one of: component \| solder"),
        (HEAD.replace("component", "") + SPANS, r"\[view\]: expected component \| solder, as in component"),
        (HEAD.replace("holes", "hole") + SPANS, r":2 \[of\]: expected one of: holes \| pins \(is 'holes' meant\?\)"),
        (HEAD.replace("0.03", "0") + SPANS, r":4 \[error_mm\]: expected a number above 0"),
        (HEAD, r"\[spans\]: expected a span a line"),
        (HEAD + 'spans = "a-b 5,08"\n', r":5 \[spans\]: expected a span, as in a-b 5.08 .*decimal point.*found '08'"),
        (HEAD + 'spans = """\na-b 5\na b 6\n"""\n', r":7 \[spans\]: expected a span, .*found 'a b 6'"),
        (HEAD + 'spans = "a-a 5, a-b 6"\n', r":5 \[spans\]: expected two different holes"),
        (HEAD + 'spans = "a-b 0, a-b 6"\n', r":5 \[spans\]: expected a number above 0 mm, found 'a-b 0'"),
        (HEAD + 'spans = "a-b 5 outsid"\n', r"expected one of: centres \| outside \| inside \(is 'outside' meant\?\)"),
        (HEAD + 'spans = "a-b 5 outside"\n', r"expected the drill of a and b, or a-b inside too"),
        (
            PINS + 'leads = "0.8 x 0.5"\nspans = "a-b 5 inside"\n',
            r"the lead, where it is round, of a and b, or a-b outside",
        ),
        (
            HEAD + 'drills = 1.3\nspans = "a-b 1.2 outside"\n',
            r"more than half of what both measure across, which is 1.3",
        ),
        (HEAD + 'spans = "a-b 4 outside, a-b 6 inside"\n', "expected more outside than inside, found '4 and 6'"),
        (HEAD + "drills = { c = 1, h5 = 1.3 }\n" + SPANS, r":5 \[drills.h5\]: expected a hole that a span names"),
        (HEAD + "drills = { all = 0 }\n" + SPANS, r"\[drills.all\]: expected a number of mm above 0, found '0'"),
        (HEAD + "drills = true\n" + SPANS, r"\[drills\]: expected a number of mm above 0"),
        (HEAD + 'drills = "1 x 2"\n' + SPANS, r"\[drills\]: expected a number of mm above 0"),
        (
            HEAD + 'shanks = 1.2\nspans = "a-b 5 outside"\n',
            r"\[drills\]: expected the drill of a, in which its shank has",
        ),
        (
            HEAD + 'drills = 1.1\nshanks = 1.2\nspans = "a-b 5 outside"\n',
            r"\[shanks\]: expected a shank that goes into",
        ),
        (HEAD + "leads = 0.6\n" + SPANS, r"\[leads\]: expected no leads: holes were measured"),
        (PINS + "drills = 0.6\n" + SPANS, r"\[drills\]: expected no drills: pins were measured"),
        (HEAD + "across_error_mm = -1\n" + SPANS, r"\[across_error_mm\]: expected a number not below 0"),
        (HEAD + 'nets = { d = "X" }\n' + SPANS, r":5 \[nets.d\]: expected a hole that a span names"),
        (HEAD + 'turn = "a b c"\n' + SPANS, r":5 \[turn\]: expected three holes and clockwise or anticlockwise"),
        (HEAD + 'turn = "a b b clockwise"\n' + SPANS, r"\[turn\]: expected three holes and clockwise"),
        (HEAD + 'turn = "a b d clockwise"\n' + SPANS, r"\[turn\]: expected holes that spans name.*found 'd'"),
        (HEAD + "turn = 3\n" + SPANS, r"\[turn\]: expected three holes and clockwise"),
        (
            HEAD + SPANS + "dril = 1\n",
            r":6 \[dril\]: expected a key that is read here \(is 'drills' meant\?\), found 'dril'",
        ),
        (HEAD + SPANS + "lens_mm = 26\n", r"\[lens_mm\]: expected marks on a picture beside it"),
        (
            PICTURE.replace("error_px = 2\n", ""),
            r"\[error_px\]: expected of a picture: how far off a mark may be, in pixels",
        ),
        (PICTURE.replace('taken = "scan"\n', ""), r"\[taken\]: expected of a picture: how it was taken"),
        (
            PICTURE.replace("scan", "foto"),
            r":5 \[taken\]: expected one of: scan \| stretched scan \| photo \(is 'photo'",
        ),
        (PICTURE.replace("b 60 10", "b 60"), r":9 \[marks\]: expected a name and its pixels .*found 'b 60'"),
        (PICTURE.replace("b 60 10", "a 60 10"), r":9 \[marks\]: expected each once"),
        (PICTURE.replace("b 60 10", "b 10 10"), r":9 \[marks\]: expected each at a place of its own"),
        (PICTURE.replace("b 60 10", "b -60 10"), r":9 \[marks\]: expected a name and its pixels"),
        (PICTURE.replace("a-b 5", "a-c 5"), r":11 \[spans\]: expected holes that are marked.*found 'c'"),
        (PICTURE + 'turn = "a b c clockwise"\n', r"\[turn\]"),
        (PICTURE + "lens_mm = 26\n", r"""\[lens_mm\]: expected taken = "photo" beside it"""),
        (PICTURE.replace("scan", "photo") + "lens_mm = 26\n", r"\[picture\]: expected picture too: a lens tells"),
        (
            PICTURE.replace("scan", "photo") + 'lens_mm = 26\npicture = "4000"\n',
            r"\[picture\]: expected its width and height",
        ),
        (PICTURE + 'card = "a b c d 85 x 54"\n', r"\[card_error_mm\]: expected how far off the card's sides may be"),
        (PICTURE + 'card = "a b 85 x 54"\ncard_error_mm = 0.1\n', r"\[card\]: expected four marks round and two sides"),
        (
            PICTURE + 'card = "a b c d 85 x 54"\ncard_error_mm = 0.1\n',
            r"\[card\]: expected four different marks, found 'c d'",
        ),
        (PICTURE + "card_error_mm = 0.1\n", r"\[card\]: expected the rectangle that card_error_mm is about"),
        (HEAD + 'taken = "scan"\nerror_px = 1\n', r"\[marks\]"),
    ],
)
def test_what_is_wrong_is_told_at_its_place(tmp_path: Path, text: str, expected: str) -> None:
    with pytest.raises(ProblemsFound, match=expected):
        read(tmp_path, text)


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ('in_line = "a b c"\n', r"\[in_line_error_mm\]: expected how far off their line they may be"),
        ("in_line_error_mm = 0.1\n", r"\[in_line\]: expected what lies on a line"),
        ('in_line = "a b"\nin_line_error_mm = 0.1\n', r":5 \[in_line\]: expected three holes or more"),
        ('in_line = ["a b d"]\nin_line_error_mm = 0.1\n', r"\[in_line\]: expected holes that spans name"),
        ("in_line = 4\nin_line_error_mm = 0.1\n", r"\[in_line\]: expected three holes or more"),
        ('in_line = "a b c"\nin_line_error_mm = 0\n', r"\[in_line_error_mm\]: expected a number above 0"),
    ],
)
def test_a_line_has_three_and_its_error(tmp_path: Path, more: str, expected: str) -> None:
    with pytest.raises(ProblemsFound, match=expected):
        read(tmp_path, HEAD + more + SPANS)


def test_all_problems_are_told_at_once(tmp_path: Path) -> None:
    text = HEAD.replace("0.03", "-1") + 'turn = "a b"\nspans = """\na-b 5\nnonsense\na-c x\n"""\n'
    with pytest.raises(ProblemsFound) as refused:
        read(tmp_path, text)
    assert [p.line for p in refused.value.problems] == [4, 8, 9, 5]
