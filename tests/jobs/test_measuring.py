"""From a file of spans to holes that a fit can be asked of, and to a drawing; what lacks is said first."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from bom.intake.drawings import read_loose
from bom.jobs.replacing.fitting import DrawingFiles, fit_files
from bom.jobs.replacing.measuring import measure
from bom.paper.terminal.measured import measured_table
from bom.values.finding import Outcome
from bom.values.problem import Refused

BENCH = Path(__file__).resolve().parents[2] / "catalogs" / "demo" / "bench"
SQUARE = 'name = "box"\nof = "{of}"\nview = "component"\nerror_mm = 0.03\n{more}spans = "{spans}"\n'
ALL = "a-b 10, b-c 10.01, c-d 9.99, d-a 10, a-c 14.14, b-d 14.15"
TURN = 'turn = "a b c clockwise"\n'


def told(tmp_path: Path, spans: str, more: str = TURN, of: str = "holes") -> Path:
    file = tmp_path / "m.toml"
    file.write_text(SQUARE.format(of=of, more=more, spans=spans), encoding="utf-8")
    return file


@pytest.mark.parametrize("name", ["spans.toml", "scan.toml"])
def test_measured_holes_take_the_part_that_belongs_there(tmp_path: Path, name: str) -> None:
    found = measure(BENCH / name, tmp_path / "holes.csv", tmp_path / "holes.svg")
    assert found.found and len(found.places) == 10
    answer = fit_files(DrawingFiles(BENCH / "pins.csv", tmp_path / "holes.csv"))
    assert answer.outcome in (Outcome.PASS, Outcome.CONDITION)
    assert ET.parse(tmp_path / "holes.svg").getroot().get("width", "").endswith("mm")


def test_what_was_measured_loosely_is_a_condition(tmp_path: Path) -> None:
    text = (BENCH / "spans.toml").read_text(encoding="utf-8").replace("error_mm = 0.03", "error_mm = 0.15", 1)
    (tmp_path / "loose.toml").write_text(text, encoding="utf-8")
    measure(tmp_path / "loose.toml", tmp_path / "holes.csv")
    answer = fit_files(DrawingFiles(BENCH / "pins.csv", tmp_path / "holes.csv"))
    assert answer.outcome is Outcome.CONDITION
    assert "print it at 1:1 and lay it on" in answer.why


def test_pins_in_the_hand_are_written_as_a_footprint(tmp_path: Path) -> None:
    file = told(tmp_path, ALL, TURN + 'leads = { all = 0.6, c = "0.8 x 0.5" }\n', of="pins")
    measure(file, tmp_path / "pins.csv")
    pins = read_loose(tmp_path / "pins.csv", BENCH / "holes.csv").pins
    assert [(p.name, p.lead_mm, p.lead_width_mm) for p in pins.pins][2] == ("c", 0.8, 0.5)
    assert all(p.error_mm for p in pins.pins)


def test_nets_and_drills_go_with_the_holes(tmp_path: Path) -> None:
    measure(told(tmp_path, ALL, TURN + 'drills = 1.3\nnets = { b = "VBAT" }\n'), tmp_path / "holes.csv")
    holes = read_loose(BENCH / "pins.csv", tmp_path / "holes.csv").holes.holes
    assert [(h.name, h.drill_mm, h.net) for h in holes][:2] == [("a", 1.3, ""), ("b", 1.3, "VBAT")]


@pytest.mark.parametrize(
    ("spans", "more", "why"),
    [
        ("a-b 10, b-c 10, c-d 10, d-a 10", TURN, ": at least 1 more span is needed; "),
        ("a-b 10, b-c 10", TURN, "measure a-c: at least 1 more span is needed; c can still move"),
        ("a-b 10, b-c 10, c-d 10, d-a 10, a-c 14.14", TURN, "different patterns agree with these spans"),
        (ALL, "", 'state turn = "a b c clockwise", or anticlockwise, as seen from the component side'),
        (ALL.replace("14.14", "14.9"), TURN, "read again "),
        ("a-b 5, b-c 5, a-c 10", TURN, "state in_line, or measure from one that lies off the line"),
        ("a-b 5, b-c 5, a-c 11", TURN, "read again "),
    ],
)
def test_what_lacks_is_said_first_and_nothing_is_written(tmp_path: Path, spans: str, more: str, why: str) -> None:
    found = measure(told(tmp_path, spans, more), tmp_path / "holes.csv", tmp_path / "holes.svg")
    assert (found.found, found.places) == (False, ())
    assert why in found.why and why in " ".join(measured_table(found).split())
    assert not (tmp_path / "holes.csv").exists() and not (tmp_path / "holes.svg").exists()


def test_on_a_picture_the_marks_are_doubted_too(tmp_path: Path) -> None:
    text = (BENCH / "scan.toml").read_text(encoding="utf-8").replace("h1-h9 18.05", "h1-h9 19.05")
    (tmp_path / "scan.toml").write_text(text, encoding="utf-8")
    assert "and look at the marks of h" in measure(tmp_path / "scan.toml").why


def test_a_reading_left_out_is_told_and_drawn(tmp_path: Path) -> None:
    text = (BENCH / "spans.toml").read_text(encoding="utf-8").replace("h8-h4 8.37", "h8-h4 8.87")
    (tmp_path / "wrong.toml").write_text(text, encoding="utf-8")
    found = measure(tmp_path / "wrong.toml", svg=tmp_path / "wrong.svg")
    assert [s.name for s in found.left_out] == ["h8–h4"]
    assert "h8–h4 reads 0.5" in measured_table(found)
    assert 'class="cross"' in (tmp_path / "wrong.svg").read_text(encoding="utf-8")


def test_measuring_again_writes_over_its_own_file_but_not_over_what_was_typed_there(tmp_path: Path) -> None:
    file, out = told(tmp_path, ALL), tmp_path / "holes.csv"
    measure(file, out)
    measure(file, out)
    own = out.read_text(encoding="utf-8").replace("box,a,0,0,,,", "box,a,0,0,,VBAT,")
    assert "VBAT" in own
    for text, why in (
        (own, r"has net at a; state nets in the measured file"),
        (own.replace("box,a", "K2,a"), r"has K2 a besides"),
        ("[series]\nmaker = 'Ostrel'\n", "another kind of file"),
        ("", "another kind of file"),
    ):
        out.write_text(text, encoding="utf-8")
        with pytest.raises(Refused, match=why):
            measure(file, out)
        assert out.read_text(encoding="utf-8") == text
