"""From a data sheet to the catalogue: its tables are read into a series sheet, checked by eye, and then taken."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from printed_sheets import Sheet, draw

from bom.jobs.catalogue import add_catalogue, check_catalogue
from bom.jobs.replacing.data_sheet import Stated, draft_of, read_pdf, read_text, write_draft
from bom.jobs.replacing.relays import show_relay
from bom.paper.terminal.data_sheet import data_sheet_table
from bom.store.unit_of_work import Session
from bom.values.problem import Refused

COILS = Sheet(
    [
        ("Coil code",),
        ("Nominal", "voltage (VDC)"),
        ("Coil resistance", "(ohm) ±10 %"),
        ("Must operate", "voltage (VDC)"),
        ("Must release", "voltage (VDC)"),
        ("Power", "(mW)"),
        ("Weight (g)",),
    ],
    [
        ["06", "6", "60", "4.2", "0.6", "600", "9"],
        ["12", "12^1", "240", "8.4", "1.2", "600", "9"],
        ["24", "24", "690", "16.8", "2.4", "600", "9"],
    ],
    caption="Coil data (at 20 °C)",
    footnotes=["*1 other tolerances on request"],
    merged=[(5, 0, 2)],
)
MORE_COILS = Sheet(
    COILS.headings,
    [["48", "48", "3840", "33.6", "4.8", "600", "9"], ["60", "60", "6000", "42", "6", "600", "9"]],
    caption=COILS.caption,
)
CONTACTS = Sheet(
    [("Contact",), ("Load",), ("Voltage", "(VDC)"), ("Current (A)",), ("Number of", "operations")],
    [
        ["NO", "resistive", "14", "20", "100,000"],
        ["NO", "motor", "14", "8", "300,000"],
        ["NC", "resistive", "14", "10", "100,000"],
    ],
    caption="Contact ratings",
    ruled=False,
)
HM1 = Stated("Hollowmere", "HM1", "HM1-{coil}")
DRAWN = """
[footprint]
view = "component"
pins = "A1 0/0, A2 0/5, 11 5/2.5, 14 12.5/0, 12 15/4.5"
lead = "0.8"

[wiring]
usual = "single changeover"
pins = "A1, A2, 11, 14, 12"
"""


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    return draw(tmp_path / "hm1.pdf", COILS, CONTACTS)


def test_the_whole_way_from_a_pdf_to_the_catalogue(shop: Session, sheet: Path, tmp_path: Path) -> None:
    file = tmp_path / "hm1.toml"
    answer = write_draft(read_pdf(sheet, "1-2", HM1), file)
    assert [(t.kind, t.read, t.doubtful) for t in answer.tables] == [("coils", 16, 2), ("ratings", 18, 0)]
    with file.open("a", encoding="utf-8") as written:
        written.write(DRAWN)
    assert not check_catalogue(file, session=shop).problems
    assert add_catalogue(shop, file).relays == 3
    card = show_relay(shop, "HM1-12")
    relay = card.relay
    assert (relay.coil_volts, relay.coil_ohms, relay.operate_volts, relay.release_volts) == (12, 240, 8.4, 1.2)
    assert (relay.coil_ohms_tol_pct, relay.coil_ref_temp_c, relay.coil_supply) == (10, 20, "dc")
    assert relay.source == "hm1.pdf, page 1-2"
    assert [(r.contact, r.load, r.amps, r.operations) for r in card.ratings][1] == ("make", "motor", 8, 300_000)


def test_what_is_doubtful_stays_unknown_on_the_way(shop: Session, sheet: Path, tmp_path: Path) -> None:
    """690 Ω where 960 are meant take another power than the page has: neither is taken."""
    write_draft(read_pdf(sheet, "1", HM1), tmp_path / "hm1.toml")
    add_catalogue(shop, tmp_path / "hm1.toml")
    assert show_relay(shop, "HM1-24").relay.coil_ohms is None


def test_the_draft_has_the_pages_words_beside_each_row(sheet: Path) -> None:
    lines = draft_of(read_pdf(sheet, "", HM1)).splitlines()
    row = next(line for line in lines if '"12"' in line)
    assert re.sub(" +", " ", row) == ' ["12", 12, 240, 8.4, 1.2, 600], # row 3: 12 | 12^1 | 240 | 8.4 | 1.2 | 600 | 9'
    assert any(line.startswith("  # doubtful: coil_ohms '690': 24 V and 690 Ω take 834.8 mW") for line in lines)
    assert '# not read: the column "Weight (g)"' in lines and "# the page says: *1 other tolerances on request" in lines
    assert 'coil_ohms_tol_pct = 10  # the page says: "Coil resistance (ohm) ±10 %"' in lines


def test_what_only_a_person_knows_is_asked_for(sheet: Path, tmp_path: Path, shop: Session) -> None:
    answer = write_draft(read_pdf(sheet, "1", Stated()), tmp_path / "hm1.toml")
    assert 'maker = ""  # to be stated: who makes it' in draft_of(answer)
    assert "Still to be stated there: maker, part_number" in data_sheet_table(answer)
    problems = check_catalogue(tmp_path / "hm1.toml", session=shop).problems
    assert {p.column for p in problems} >= {"series.maker", "series.part_number"}


def test_a_table_that_goes_on_is_one_and_another_is_set_aside(tmp_path: Path) -> None:
    other = Sheet(
        [("Coil code",), ("Nominal voltage (VAC)",), ("Coil resistance (ohm)",)],
        [["A", "24", "180"], ["B", "115", "4200"]],
    )
    answer = read_pdf(draw(tmp_path / "a.pdf", COILS, MORE_COILS, other), "", HM1)
    assert [(t.where, len(t.rows)) for t in answer.tables] == [("page 1, table 1", 5), ("page 3, table 1", 2)]
    draft = draft_of(answer)
    assert "  # page 2, table 1" in draft.splitlines() and "# A further table, not used" in draft
    assert '#   ["A", 24, 180], ' in draft


def test_whole_part_numbers_are_the_codes() -> None:
    text = "Type      Nominal voltage (VDC)   Coil resistance (ohm)\nHM1-12D   12   240\nHM1-24D   24   960\n"
    aligned = text.replace("   240", f"{'':22}240").replace("   960", f"{'':22}960")
    assert read_text(aligned, "pasted text", Stated("H", "HM1")).part_number == "{coil}"
    coded = aligned.replace("HM1-12D", "12     ").replace("HM1-24D", "24     ")
    assert read_text(coded, "pasted text", Stated("H", "HM1")).part_number == ""


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "found nothing"),
        ("nothing of use", "found none"),
        ("Mass (g)   Length\n12   18\n13   19", "Mass (g) | Length"),
    ],
)
def test_text_without_a_known_table_is_refused(text: str, said: str) -> None:
    with pytest.raises(Refused) as refused:
        read_text(text, "pasted text", Stated())
    assert said in str(refused.value)


def test_a_file_that_is_there_is_not_written_over(sheet: Path, tmp_path: Path) -> None:
    write_draft(read_pdf(sheet, "1", HM1), tmp_path / "hm1.toml")
    with pytest.raises(Refused, match="nothing is written over"):
        write_draft(read_pdf(sheet, "1", HM1), tmp_path / "hm1.toml")
