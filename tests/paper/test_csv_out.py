"""CSV out: tables that are safe to open, catalogues that read back exactly."""

import csv
import io
from decimal import Decimal
from pathlib import Path

import pytest

from bom.paper.csv_out import (
    catalogue_files,
    free_text,
    number_text,
    table_text,
    write_catalogue,
    write_table,
)
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import Rating, Relay, Sealing, Status, SupplyKind, SupplyPart
from bom.relays.wiring import Element, Kind, Wiring

CATALOGUE = Catalogue(
    relays=(
        Relay(
            "Ostrel",
            "=5V",
            status=Status.LAST_TIME_BUY,
            coil_volts=12.0,
            sealing=Sealing.RT_II,
            mechanical_ops=1e7,
        ),
    ),
    footprints={"f, 1": Footprint("f, 1", (Pin("1", 0.1 + 0.2, -2.54), Pin("-T2", 0, 0, 1.0)), View.SOLDER)},
    wirings={"w": Wiring("w", (Element("a", "", Kind.COIL, "1", "2", True), Element("a", "1", Kind.MAKE, "3", "4")))},
    ratings=(Rating("=5V", "make", "motor", SupplyKind.DC, 14.0, amps=20.0),),
    supplies=(SupplyPart("-B1", 'bag "small"', "", "packing", "piece"),),
)


@pytest.mark.parametrize(
    "text", ["=1", "+1", "-1", "@a", "\t=1", "\r", "\n=1", "＝1", "－1", "＋", "＠", " =1", "\ufeff=1"]
)
def test_text_that_would_run_gets_a_quote(text: str) -> None:
    assert free_text(text) == "'" + text


@pytest.mark.parametrize("text", ["", "OT-1", "0503", "6-10", "3/4", "'x"])
def test_other_text_stays_as_it_is(text: str) -> None:
    assert free_text(text) == text


def test_numbers_stand_bare_and_texts_quoted() -> None:
    rows = [("-5", -5, Decimal("1.50"), None)]
    assert table_text(["a", "b", "c", "d"], rows) == '"a","b","c","d"\r\n"\'-5",-5,1.50,""\r\n'


@pytest.mark.parametrize("number", [float("nan"), float("-inf"), Decimal("-Infinity")])
def test_what_is_no_number_is_text(number: float) -> None:
    assert table_text(["n"], [(number,)]).endswith('"\r\n')


def test_a_marked_table_begins_with_a_byte_order_mark(tmp_path: Path) -> None:
    write_table(tmp_path / "t.csv", ["ä"], [], marked=True)
    assert (tmp_path / "t.csv").read_bytes() == b'\xef\xbb\xbf"\xc3\xa4"\r\n'


@pytest.mark.parametrize(
    ("number", "text"), [(12.0, "12"), (0.3, "0.3"), (1e7, "10000000"), (0.1 + 0.2, "0.30000000000000004")]
)
def test_a_number_is_its_shortest_exact_text(number: float, text: str) -> None:
    assert number_text(number) == text


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_a_catalogue_keeps_part_numbers_exactly() -> None:
    files = catalogue_files(CATALOGUE)
    assert rows(files["relays.csv"])[0]["part_number"] == "=5V"
    assert rows(files["footprints.csv"])[1]["pin"] == "-T2"
    assert (
        rows(files["supplies.csv"])[0] | {"part_number": "-B1", "name": 'bag "small"'} == rows(files["supplies.csv"])[0]
    )


def test_a_catalogue_states_values_in_the_files_words() -> None:
    files = catalogue_files(CATALOGUE)
    relay = rows(files["relays.csv"])[0]
    assert (relay["status"], relay["sealing"], relay["coil_volts"], relay["coil_ohms"]) == (
        "last-time buy",
        "RT II",
        "12",
        "",
    )
    assert [r["polarised"] for r in rows(files["wirings.csv"])] == ["yes", ""]
    assert {r["view"] for r in rows(files["footprints.csv"])} == {"solder"}
    assert float(rows(files["footprints.csv"])[0]["x_mm"]) == 0.1 + 0.2


def test_five_files_are_written_and_writing_again_changes_nothing(tmp_path: Path) -> None:
    write_catalogue(tmp_path / "c", CATALOGUE)
    before = {p.name: p.read_bytes() for p in (tmp_path / "c").iterdir()}
    write_catalogue(tmp_path / "c", CATALOGUE)
    assert sorted(before) == ["footprints.csv", "ratings.csv", "relays.csv", "supplies.csv", "wirings.csv"]
    assert before == {p.name: p.read_bytes() for p in (tmp_path / "c").iterdir()}
