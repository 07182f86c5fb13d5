"""Finding relays by facts and by what callipers measure, and what a mistyped wish is answered with."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bom.jobs.bench import bench, glance
from bom.jobs.catalogue import add_catalogue, check_catalogue
from bom.jobs.replacing.finding import Sought, find_relays
from bom.jobs.replacing.matching import find_replacements
from bom.jobs.replacing.relays import Reading, identify_relay
from bom.shop.names import part_named
from bom.shop.places import design_called
from bom.shop.shop import Shop
from bom.values.problem import ProblemsFound, Refused

Read = Callable[..., Any]


@pytest.fixture(scope="module")
def url(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    url = f"sqlite:///{tmp_path_factory.mktemp('finding') / 'bom.db'}"
    with bench(url) as session:
        add_catalogue(session, demo_folder)
    return url


@pytest.mark.parametrize(
    ("sought", "some", "total"),
    [
        (Sought("tw2", volts="12 V"), "TW2-12S", 4),
        (Sought(facts=("coil_ohms=230..250", "sealing=rt iii", "coil_volts=12")), "TW2-12S", None),
        (Sought(facts=("body_height_mm=..14", "status=active"), units=2), "K2R-12S", None),
        (Sought(pins=10, contacts="changeover"), "TW2-24S", None),
        (Sought("TW2-I2S"), "TW2-12S", None),
        (Sought("ostrel tw2 12s"), "TW2-12S", 2),
        (Sought("12s Ostrel TW2"), "TW2-12S", 2),
        (Sought(facts=("maker=ostrel", "Coil Volts=12 V")), "TW2-12S", None),
        (Sought(facts=("operate_ms=1 ms..0.02 s",)), "TW2-12S", None),
        (Sought(facts=("coil_henries=1500 mH..2",)), "TW2-12S", None),
        (Sought(facts=("height=..14.3 mm",)), "TW2-12S", None),
        (Sought(facts=("release_volts=0..2",)), "TW2-12S", None),
        (Sought(facts=("amps=20..", "contact=NO", "load=resistive")), "TW2-12S", None),
        (Sought(facts=("mechanical_ops=1e6..",), contacts="CO"), "TW2-12S", None),
    ],
)
def test_relays_are_found_by_facts(url: str, sought: Sought, some: str, total: int | None) -> None:
    with glance(url) as session:
        answer = find_relays(session, sought, 100)
    assert some in {row.part_number for row in answer.relays}
    assert total is None or answer.total == total


def test_pins_are_found_as_callipers_measure_them(url: str) -> None:
    with glance(url) as session:
        everything = find_relays(session, Sought(), 100).total
        pitched = find_relays(session, Sought(pitch="5.08", within="0.3 mm"), 100).total
    assert 0 < pitched < everything


@pytest.mark.parametrize(
    ("sought", "said"),
    [
        (Sought(contacts="foo"), "make | break | changeover"),
        (Sought(facts=("colour=blue",)), "colour.*bom explain relays.csv"),
        (Sought(facts=("ohms=240",)), "coil_ohms or coil_ohms_tol_pct or suppression_ohms"),
        (Sought(facts=("coil_volt=12",)), "coil_volts?"),
        (Sought(facts=("coil_ohms=200-260",)), "a range as 200..260, found '200-260'"),
        (Sought(facts=("coil_ohms=200 mm",)), "a resistance"),
        (Sought(facts=("sealing=tight",)), "RT III"),
        (Sought(facts=("coil_ohms",)), "NAME=FROM..TO"),
        (Sought(facts=("mechanical_ops=many",)), "many"),
    ],
)
def test_a_wish_that_nothing_knows_is_refused(url: str, sought: Sought, said: str) -> None:
    with glance(url) as session, pytest.raises(Refused, match=said.replace("|", r"\|")):
        find_relays(session, sought, 9)


def test_an_empty_catalogue_says_so_and_which_it_is(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'empty.db'}"
    with bench(url) as session:
        assert "empty.db is empty" in find_relays(session, Sought("tw2"), 9).hint
        with pytest.raises(Refused, match=r"empty\.db is empty"):
            find_replacements(session, like_part="tw2")


def test_reading_makes_no_database(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="there is no database"), glance(str(tmp_path / "no" / "bom.db")):
        pass
    assert list(tmp_path.iterdir()) == []


def test_a_check_tells_what_is_left_out_and_what_other_commands_take(demo_folder: Path, tmp_path: Path) -> None:
    for file in demo_folder.glob("*.csv"):
        text = file.read_text(encoding="utf-8")
        (tmp_path / file.name).write_text(text.replace("coil_ohms,", "coil_ohm,"), encoding="utf-8")
    answer = check_catalogue(tmp_path)
    notes = "\n".join(answer.notes)
    assert ["coil_ohms" in str(p) for p in answer.problems] == [True]
    assert "levels.csv is not read here: bom stock level --file takes it" in notes


def test_what_was_not_read_blames_nobody_else(demo_folder: Path, tmp_path: Path) -> None:
    for file in demo_folder.glob("*.csv"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    (tmp_path / "relays.csv").unlink()
    (problem,) = check_catalogue(tmp_path).problems
    assert problem.file == "relays.csv"


def test_a_problem_in_the_last_line_undoes_the_first(demo_folder: Path, tmp_path: Path) -> None:
    for file in demo_folder.glob("*.csv"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    relays = tmp_path / "relays.csv"
    more = relays.read_text(encoding="utf-8").partition("\n")[0].count(",") - 1
    with relays.open("a", encoding="utf-8") as file:
        file.write("Ostrel,TW9" + ",sleepy" * more + "\nOstrel,TW2-12S" + "," * more + "\n")
    url = f"sqlite:///{tmp_path / 'bom.db'}"
    with pytest.raises(ProblemsFound) as found, bench(url) as session:
        add_catalogue(session, tmp_path)
    assert "each part of a maker once" in str(found.value) and "sleepy" in str(found.value)
    with glance(url) as session:
        assert find_relays(session, Sought(), 9).total == 0


@pytest.mark.parametrize(
    ("typed", "number"), [("tw212s", "TW2-12S"), ("tw2 12s", "TW2-12S"), ("tw224s", "TW2-24S"), ("TW2-12S", "TW2-12S")]
)
def test_a_number_without_its_hyphens_is_the_part_and_that_is_said(url: str, typed: str, number: str) -> None:
    told: list[str] = []
    with glance(url, told.append) as session:
        assert design_called(Shop(session), typed).relay.part_number == number
        assert part_named(Shop(session), typed)[0] == number
    assert told == ([f"{number}, as typed {typed}"] if typed in ("tw212s", "tw224s") else [])


@pytest.mark.parametrize("read", [design_called, part_named])
@pytest.mark.parametrize(("typed", "said"), [("K2R", "did you mean .*K2R-12S"), ("TW21-2S", "did you mean TW2-12S")])
def test_a_number_begun_or_cut_elsewhere_is_asked_about(url: str, read: Read, typed: str, said: str) -> None:
    with glance(url) as session, pytest.raises(Refused, match=said):
        read(Shop(session), typed)


@pytest.mark.parametrize("ohms", [None, "open", "OL", "∞"])
def test_a_dead_coil_is_known_by_the_rest_and_only_by_the_rest(url: str, ohms: str | None) -> None:
    with glance(url) as session:
        answer = identify_relay(session, Reading(ohms, text="TW2-12"))
        with pytest.raises(Refused, match="tells nothing"):
            identify_relay(session, Reading(ohms))
    assert answer.ohms_at_20 is None
    assert {c.part_number for c in answer.candidates} >= {"TW2-12S"}
