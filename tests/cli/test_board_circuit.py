"""``bom board circuit``: the cases as files through the command, the shape of its JSON, what a person reads first."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bom.cli.main import run
from bom.jobs.bench import bench
from bom.jobs.catalogue import add_catalogue
from bom.jobs.replacing.boards import add_board
from tests.circuit.test_circuit_cases import CASES, WITHIN

Said = Callable[[str], tuple[int, str, str]]


def board_of(case: dict[str, Any], number: int, folder: Path) -> tuple[Path, list[str]]:
    """The case as a board file with its holes; and the rows of its positions' wirings."""
    rows, positions, holes = [], [], dict[tuple[str, str], str]()
    for n, contact in enumerate(case["contacts"]):
        ref, _, unit = contact["unit"].partition(".")
        name, common = f"case{number}-{ref}", f"{unit}-{contact['a']}"
        rows.append(f"{name},{unit},1,{contact['kind']},{common},t{n},no")
        holes |= {(name, common): contact["a"], (name, f"t{n}"): contact["b"]}
        positions.append(f'[[position]]\nref = "{ref}"\npattern = "{name}"\nwiring = "{name}"\n')
    nets = [f'[[net]]\nname = "{net}"\nis = "{is_}"\n' for net, is_ in case["nets"].items()]
    loads = [
        f'[[load]]\nname = "{x["name"]}"\nplus = "{x["plus"]}"\nminus = "{x["minus"]}"\nkind = "resistive"\n'
        f"volts = {case['volts']}\namps = {case['volts'] / x['ohms']}\n"
        for x in case["loads"]
    ]
    supply = f"supply = {{ nominal_volts = {case['volts']} }}"
    head = f'[board]\nname = "CASE-{number}"\n{supply}\nholes = "case{number}.csv"\n'
    lines = [f"{of},{hole},{x},0,1,{net},component" for x, ((of, hole), net) in enumerate(holes.items())]
    (folder / f"case{number}.csv").write_text("\n".join(["pattern,hole,x_mm,y_mm,drill_mm,net,view", *lines, ""]))
    file = folder / f"case{number}.toml"
    file.write_text("\n".join([head, *dict.fromkeys(positions), *nets, *loads]))
    return file, rows


@pytest.fixture(scope="module")
def url(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The demo's catalogue and boards, and each case as a board."""
    folder = tmp_path_factory.mktemp("circuit")
    catalogue = folder / "catalogue"
    shutil.copytree(demo_folder, catalogue)
    made = [board_of(case, n, folder) for n, case in enumerate(CASES)]
    with (catalogue / "wirings.csv").open("a") as wirings:
        wirings.writelines(f"{row}\n" for _, rows in made for row in rows)
    url = f"sqlite:///{folder / 'bom.db'}"
    with bench(url) as session:
        add_catalogue(session, catalogue)
        for file in (*(file for file, _ in made), *sorted((demo_folder / "boards").glob("*.toml"))):
            add_board(session, file)
    return url


@pytest.fixture
def said(url: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Said:
    monkeypatch.setenv("BOM_DATABASE_URL", url)
    monkeypatch.setenv("COLUMNS", "120")

    def said(words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["bom", *words.split()])
        with pytest.raises(SystemExit) as left:
            run()
        return int(left.value.code or 0), *capsys.readouterr()

    return said


@pytest.mark.parametrize("number", range(len(CASES)), ids=lambda n: CASES[n]["name"])
def test_a_case_as_files_is_answered_as_it_has_it(number: int, said: Said) -> None:
    status, out, _ = said(f"board circuit CASE-{number} --json")
    answer, wanted = json.loads(out), CASES[number]["answer"]
    assert status == 0
    for state, expected in zip(answer["states"], wanted["states"], strict=True):
        carries = {name: pytest.approx(amps, rel=WITHIN) for name, amps in expected["carries"].items()}
        assert {key: state[key] for key in expected} == {**expected, "carries": carries}
    assert answer["duty"].keys() == wanted["duty"].keys()
    for name, asked in wanted["duty"].items():
        assert {key: answer["duty"][name][key] for key in asked} == pytest.approx(asked, rel=WITHIN)


def test_the_json_has_the_keys_of_the_contract(said: Said) -> None:
    answer = json.loads(said("board circuit HT-24 --json")[1])
    assert {"board", "states", "duty", "cautions"} <= answer.keys()
    assert {"on", "short", "loads", "carries"} <= answer["states"][0].keys()
    assert {"carries", "makes", "breaks"} <= answer["duty"]["K2.A/1 make"].keys()
    assert answer["states"][0]["carries"] == {"K2.A/3 break": 0.02, "K2.A/6 break": 0.02}


def test_a_person_reads_first_what_to_watch_then_the_states(said: Said) -> None:
    status, out, _ = said("board circuit OS-3")
    lines = out.splitlines()
    assert status == 0
    assert lines[1] == "Watch" and "no permitted state shorts the supply" in lines[2]
    assert any("K1.A make 2.1 A, K1.B break 2.1 A" in line and "→ left boom valve opens" in line for line in lines)
    assert "Take care" in out


def test_a_board_that_is_not_there_is_bad_input(said: Said) -> None:
    status, out, err = said("board circuit OS-4")
    assert (status, out) == (2, "") and "no board OS-4" in err


def test_a_drawing_is_written_where_it_is_asked_for(said: Said, tmp_path: Path) -> None:
    status, _, err = said(f"board circuit OS-3 --svg {tmp_path / 'os-3.svg'}")
    assert status == 0 and "drawn: " in err
    assert (tmp_path / "os-3.svg").read_text().startswith("<svg")


def test_a_board_shows_its_loads_nets_and_never_states(said: Said) -> None:
    out = said("board show AW-12")[1]
    assert "up winding" in out and "WINCH_UP → GND" in out and "K1.A and K2.A" in out


def changed(demo_folder: Path, folder: Path, was: str, now: str) -> Path:
    """The winch's board with one text in the place of another."""
    shutil.copy(demo_folder / "boards" / "aw-12-holes.csv", folder)
    text = (demo_folder / "boards" / "aw-12.toml").read_text()
    assert was in text
    (folder / "aw-12.toml").write_text(text.replace(was, now))
    return folder / "aw-12.toml"


def test_a_never_state_of_a_unit_that_is_not_there_is_refused(said: Said, demo_folder: Path, tmp_path: Path) -> None:
    file = changed(demo_folder, tmp_path, '"K2.A"]', '"K2.B"]')
    status, _, err = said(f"board add {file} --replace")
    assert status == 2 and "[[never]] names K2.B, and K2 has K2.A" in err


@pytest.mark.parametrize(("now", "told"), [("amps = 9\nstall", "stated function, winch up"), ("stall", "circuit, K1")])
def test_what_the_circuit_leaves_open_keeps_the_fitted_part_from_passing(
    url: str,
    said: Said,
    demo_folder: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    now: str,
    told: str,
) -> None:
    shutil.copy(url.removeprefix("sqlite:///"), tmp_path / "bom.db")
    monkeypatch.setenv("BOM_DATABASE_URL", f"sqlite:///{tmp_path / 'bom.db'}")
    file = changed(demo_folder, tmp_path, "amps = 17\nstall", now)
    said(f"board add {file} --replace")
    answer = json.loads(said("board check AW-12 --json")[1])
    first = answer["positions"][0]
    assert first["verdict"] == "unknown"
    assert told in [f["check"] for f in first["findings"] if f["outcome"] == "unknown"]
