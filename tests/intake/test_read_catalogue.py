"""Catalogue folders: taken whole, or refused with every problem in every file."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.intake.catalogue import open_catalogue, read_catalogue
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import View
from bom.relays.relay import CoilSystem, Sealing, Status
from bom.values.problem import ProblemsFound, Refused

FILES = {
    "relays.csv": "maker,part_number,series,status,footprint,wiring,coil_system,coil_volts,operate_volts,sealing\n"
    "Ostrel,TW2-12S,TW2,last-time buy,two,one,monostable,12,8.4,RT III\n",
    "footprints.csv": "footprint,pin,x_mm,y_mm,lead_mm,view\ntwo,1,0,0,0.6,solder\ntwo,2,5.5,0,0.6,solder\n",
    "wirings.csv": "wiring,unit,pole,element,from_pin,to_pin,polarised\none,A,,coil,1,2,no\n",
    "ratings.csv": "applies_to,contact,load,supply,volts,amps\nTW2,make,resistive,dc,14,20\n",
    "supplies.csv": "part_number,name,maker,kind,unit,status,source\nBRAID,Braid,,consumable,mm,,\n",
}


def folder(path: Path, **changed: str) -> Path:
    for name, text in FILES.items():
        (path / name).write_text(changed.get(name.removesuffix(".csv"), text), encoding="utf-8")
    return path


def read(path: Path) -> Catalogue:
    return read_catalogue(path).value


def told(path: Path) -> str:
    with pytest.raises(ProblemsFound) as caught:
        read_catalogue(path)
    return str(caught.value)


def test_a_sound_folder_is_taken_whole(tmp_path: Path) -> None:
    catalogue = read(folder(tmp_path))
    (relay,) = catalogue.relays
    assert (relay.status, relay.coil_system, relay.sealing) == (
        Status.LAST_TIME_BUY,
        CoilSystem.MONOSTABLE,
        Sealing.RT_III,
    )
    assert relay.coil_ohms is None
    assert catalogue.footprints["two"].view is View.SOLDER
    assert catalogue.design(relay).ratings[0].amps == 20


def test_supplies_may_be_absent(tmp_path: Path) -> None:
    (folder(tmp_path) / "supplies.csv").unlink()
    assert read(tmp_path).supplies == ()


def test_no_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="catalogue folder"):
        read_catalogue(tmp_path / "none")


@pytest.mark.parametrize(
    ("file", "row", "said"),
    [
        (
            "relays",
            "Ostrel,TW2-12S,,,,,,,,",
            "relays.csv:3 [part_number]: expected each part of a maker once (line 2",
        ),
        ("relays", ",TW3,,,,,,,,", "relays.csv:3 [maker]: expected a value"),
        ("relays", "Ostrel,5.03E+02,,,,,,,,", "turned it into an exponent"),
        (
            "relays",
            "Ostrel,TW3,,,three,,,,,",
            "[footprint]: expected a footprint in footprints.csv, found 'three'",
        ),
        ("relays", "Ostrel,TW3,,,,five,,,,", "[wiring]: expected a wiring in wirings.csv, found 'five'"),
        ("relays", "Ostrel,TW3,,old,,,,,,", "active | not for new designs | last-time buy | obsolete"),
        ("relays", "Ostrel,TW3,,,,,,-12,,", "[coil_volts]: expected a number above 0"),
        ("footprints", "two,2,9,9,0.6,solder", "footprints.csv:4 [pin]: expected each pin once"),
        ("footprints", "two,3,0,0,0.6,solder", "one pin at a place"),
        ("footprints", "two,3,9,9,0.6,component", "the same view"),
        ("footprints", "two,3,,9,0.6,solder", "footprints.csv:4 [x_mm]: expected a value"),
        ("wirings", "one,A,,make,2,9,no", "[wiring]: expected only pins of footprint two, found '9'"),
        ("wirings", "one,A,,make,2,2,no", "another pin than from_pin"),
        ("wirings", "one,A,,make,1,2,yes", "only a coil has polarity"),
        ("wirings", "one,A,,close,1,2,", "coil | make | break | bridge"),
        (
            "ratings",
            "XX9,make,resistive,dc,14,20",
            "ratings.csv:3 [applies_to]: expected a part number or series",
        ),
        ("ratings", "TW2,make,fluffy,dc,14,20", "[load]"),
        ("ratings", "TW2,make,AC-15,dc,230,3", "[supply]: expected ac, which AC-15 is for"),
        ("ratings", "TW2,make,D300,dc,230,3", "[supply]: expected ac, which D300 is for"),
        ("ratings", "TW2,make,DC-13,ac,24,3", "[supply]: expected dc, which DC-13 is for"),
        ("ratings", "TW2,both,AC-15,ac,230,1,5", "expected 6 cells"),
        ("ratings", "TW2,either,motor,dc,14,20", "make | break | both"),
        ("supplies", "X,Glue,,consumable,kg,,", "g | mm | ml | piece"),
    ],
)
def test_a_wrong_row_is_refused(tmp_path: Path, file: str, row: str, said: str) -> None:
    assert said in told(folder(tmp_path, **{file: FILES[f"{file}.csv"] + row + "\n"}))


@pytest.mark.parametrize(
    ("columns", "cells", "said"),
    [
        ("operate_volts,hold_volts", "8.4,9", "[hold_volts]: expected at most operate_volts, which is 8.4, found '9'"),
        ("release_volts,hold_volts", "2,1", "[release_volts]: expected at most hold_volts, which is 1"),
        ("contact_rise_k", "12", "[contact_rise_amps]: expected both contact_rise_k and contact_rise_amps"),
        ("contact_rise_amps", "12", "[contact_rise_k]: expected both contact_rise_k and contact_rise_amps"),
        ("coil_supply,coil_hertz", "dc,50", "[coil_hertz]: expected nothing, as a DC coil has no frequency"),
        ("coil_hertz", "400", "[coil_hertz]: expected one of: 50 | 60 | 50/60"),
        ("coil_kelvin_per_watt", "0", "[coil_kelvin_per_watt]: expected a number above 0"),
        ("insulation", "supplementary", "beside a basic one it makes double insulation"),
        ("impulse_volts", "-4000", "[impulse_volts]: expected a number above 0"),
    ],
)
def test_what_cannot_be_true_of_a_coil_or_its_insulation_is_refused(
    tmp_path: Path, columns: str, cells: str, said: str
) -> None:
    table = f"maker,part_number,{columns}\nOstrel,TW2-12S,{cells}\n"
    assert said in told(folder(tmp_path, relays=table))


def test_all_problems_of_all_files_are_told(tmp_path: Path) -> None:
    worse = {name.removesuffix(".csv"): text + "nonsense\n" for name, text in FILES.items()}
    assert len(told(folder(tmp_path, **worse)).splitlines()) == 5


def test_a_catalogue_that_a_spreadsheet_program_saved_is_read(tmp_path: Path) -> None:
    whole = read(folder(tmp_path))
    for name, text in FILES.items():
        semicolons = text.replace(",", ";").replace("8.4", "8,4").replace("0.6", "0,6 mm").replace("5.5", "5,5")
        (tmp_path / name).write_bytes(semicolons.encode("cp1252"))
    assert read(tmp_path) == whole


def test_a_part_number_that_a_spreadsheet_program_broke_is_named(tmp_path: Path) -> None:
    said = told(folder(tmp_path, relays=FILES["relays.csv"].replace("TW2-12S", "05/03/2026")))
    assert "relays.csv:2 [part_number]" in said and "turned it into a date" in said


def test_a_byte_order_mark_crlf_and_quotes_do_no_harm(tmp_path: Path) -> None:
    whole = read(folder(tmp_path))
    for name, text in FILES.items():
        quoted = "\r\n".join(",".join(f'"{c}"' for c in line.split(",")) for line in text.splitlines())
        (tmp_path / name).write_bytes(b"\xef\xbb\xbf" + quoted.encode())
    assert read(tmp_path) == whole


COILS = "maker,part_number,series,coil_supply,coil_volts,coil_ohms\n"
SERIES = "".join(f"Ostrel,TW2-{v},TW2,dc,{v},{v * v / 0.4:g}\n" for v in (5, 6, 12, 24))


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("Ostrel,TW2-18,TW2,dc,18,81\n", "relays.csv:6 [coil_ohms]: expected a coil of about 400 mW"),
        ("Ostrel,TW2-18,TW2,dc,18,8100\n", "found '8100 Ω at 18 V, which take 40 mW'"),
        ("Ostrel,X-12,X,dc,12,2.88\n", "which take 50 W"),
        ("Ostrel,X-12,X,dc,12,144 kohm\n", "which take 1 mW"),
    ],
)
def test_a_coil_that_can_hardly_be_is_refused_until_a_person_insists(tmp_path: Path, row: str, said: str) -> None:
    bare = {name: text.partition("\n")[0] + "\n" for name, text in FILES.items()}
    changed = {name.removesuffix(".csv"): text for name, text in bare.items()} | {"relays": COILS + SERIES + row}
    refused = told(folder(tmp_path, **changed))
    number = row.split(",")[1]
    assert said in refused and f"--insist {number}" in refused and len(refused.splitlines()) == 1
    insisted = open_catalogue(tmp_path, insist=[number])
    assert len(list(insisted.relays)) == 5
    insisted.settle()


def test_an_ac_coils_ohms_say_nothing_of_its_power(tmp_path: Path) -> None:
    bare = {name.removesuffix(".csv"): text.partition("\n")[0] + "\n" for name, text in FILES.items()}
    read(folder(tmp_path, **(bare | {"relays": COILS + SERIES + "Ostrel,TW2-230,TW2,ac,230,650\n"})))


def test_to_insist_on_what_nobody_doubts_is_refused(tmp_path: Path) -> None:
    opened = open_catalogue(folder(tmp_path), insist=["TW2-12S"])
    list(opened.relays)
    with pytest.raises(ProblemsFound, match="--insist: expected the part number of a relay that is in doubt"):
        opened.settle()


def test_units_and_the_trades_words_are_read_in_cells(tmp_path: Path) -> None:
    catalogue = read(
        folder(
            tmp_path,
            relays="maker,part_number,series,coil volts,body_height_mm,standoff_mm,sealing,coil_system\n"
            'Ostrel,TW2-12S,TW2,12 V,"7,5 mm","0.787""",wash-tight,non latching\n',
            footprints="footprint,pin,x_mm,y_mm,view\ntwo,1,0,0,Component Side\ntwo,2,200 mil,0,component\n",
            wirings="wiring,unit,pole,element,from_pin,to_pin,polarised\none,A,,Coil,1,2,N\none,A,1,N.O.,3,4,\n",
            ratings="applies_to,contact,load,supply,volts,amps\nTW2,normally open,ac 15,AC,230 V,3000 mA\n",
        )
    )
    (relay,) = catalogue.relays
    assert (relay.coil_volts, relay.body_height_mm, relay.standoff_mm) == (12, 7.5, pytest.approx(19.9898))
    assert (relay.sealing, relay.coil_system) == (Sealing.RT_III, CoilSystem.MONOSTABLE)
    assert catalogue.footprints["two"].pins[1].x_mm == pytest.approx(5.08)
    assert catalogue.wirings["one"].elements[1].kind == "make"
    assert (catalogue.ratings[0].load, catalogue.ratings[0].contact, catalogue.ratings[0].amps) == ("AC-15", "make", 3)


def mangled() -> list[tuple[str, str, str]]:
    """Each column of every file, and each word of a closed list, spoilt one at a time."""
    slips = []
    for file, text in FILES.items():
        header, first, *rest = text.splitlines()
        for column in header.split(","):
            slips.append((file, "\n".join([header.replace(column, column + "q"), first, *rest]) + "\n", column))
    words = ("last-time buy", "monostable", "RT III", "solder", "coil", "make", "resistive", "dc", "consumable", "mm")
    for file, text in FILES.items():
        header, *rows = text.splitlines()
        for word in words:
            if any(word in row.split(",") for row in rows):
                slips.append((file, "\n".join([header, *(r.replace(word, word + "q") for r in rows)]) + "\n", word))
    return slips


@pytest.mark.parametrize(("file", "text", "spoilt"), mangled(), ids=lambda v: str(v)[:20])
def test_every_column_and_word_that_is_mistyped_is_refused(tmp_path: Path, file: str, text: str, spoilt: str) -> None:
    said = told(folder(tmp_path, **{file.removesuffix(".csv"): text}))
    assert file in said and spoilt in said
