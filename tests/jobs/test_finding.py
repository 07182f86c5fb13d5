"""Finding relays by facts and by what callipers measure, and what a mistyped wish is answered with."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.jobs.bench import bench, glance
from bom.jobs.catalogue import add_catalogue, check_catalogue
from bom.jobs.replacing.finding import Sought, find_relays
from bom.jobs.replacing.matching import find_replacements
from bom.values.problem import ProblemsFound, Refused


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
    ],
)
def test_relays_are_found_by_facts(url: str, sought: Sought, some: str, total: int | None) -> None:
    with glance(url) as session:
        answer = find_relays(session, sought, 100)
    assert some in {row["part_number"] for row in answer["relays"]}
    assert total is None or answer["total"] == total


def test_pins_are_found_as_callipers_measure_them(url: str) -> None:
    with glance(url) as session:
        everything = find_relays(session, Sought(), 100)["total"]
        pitched = find_relays(session, Sought(pitch="5.08", within="0.3 mm"), 100)["total"]
    assert 0 < pitched < everything


@pytest.mark.parametrize(
    ("sought", "said"),
    [
        (Sought(contacts="foo"), "make | break | changeover"),
        (Sought(facts=("colour=blue",)), "colour"),
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
        assert "empty.db is empty" in find_relays(session, Sought("tw2"), 9)["hint"]
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
    notes = "\n".join(check_catalogue(tmp_path)["notes"])
    assert "is 'coil_ohms' meant?" in notes and "no column coil_ohms" in notes
    assert "levels.csv is not read here: bom stock level --file takes it" in notes


def test_what_was_not_read_blames_nobody_else(demo_folder: Path, tmp_path: Path) -> None:
    for file in demo_folder.glob("*.csv"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    (tmp_path / "relays.csv").unlink()
    (problem,) = check_catalogue(tmp_path)["problems"]
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
        assert find_relays(session, Sought(), 9)["total"] == 0
