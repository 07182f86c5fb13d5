"""The command line: help, exit statuses, one clear line for bad input, JSON as the contract has it."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest
import typer

from bom.cli.main import app, run
from bom.jobs.bench import bench
from bom.jobs.demo import load_shop

Bom = Callable[..., tuple[int, str, str]]
WORDS = {
    "demo", "explain", "catalog add", "catalog check", "catalog datasheet", "catalog export", "catalog reading",
    "catalog readings", "catalog xref",
    "relay add", "relay find", "relay forget", "relay show", "relay identify",
    "board add", "board new", "board pack", "board show", "board check", "board circuit", "board forget",
    "fit", "match", "measure", "kit add", "kit new", "kit check", "kit cost", "kit possible", "rule new", "rule check",
    "supplier new", "supplier check",
    "kit plan", "kit forget", "kit make", "kit finish", "kit undo", "kit sheet", "kit label", "supplier add",
    "supplier forget", "quote forget",
    "supplier confirm", "supplier rates", "supplier refresh", "supplier show", "quote ask", "quote take", "quote list",
    "quote plan", "stock in", "stock out",
    "stock count", "stock label", "stock move", "stock hold", "stock release", "stock inspect", "stock reserve",
    "stock unreserve",
    "stock undo", "stock show", "stock trace", "stock worth", "stock journal", "stock level", "stock usage",
    "stock prices", "stock idle", "stock late", "stock order", "stock ordered", "stock order-sheet", "stock call-off",
    "reorder", "shop show", "shop set",
    "db upgrade", "db check", "db backup", "db restore",
}  # fmt: skip


def commands(group: Any, before: str = "") -> Iterator[tuple[str, Any]]:
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from commands(command, f"{before}{name} ")
        else:
            yield before + name, command


EVERY = dict(commands(typer.main.get_command(app)))


@pytest.fixture(scope="session")
def shop_url(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The demo shop, loaded once; the tests here only read it, or are refused."""
    url = f"sqlite:///{tmp_path_factory.mktemp('cli') / 'bom.db'}"
    with bench(url) as session:
        list(load_shop(session, demo_folder))
    return url


@pytest.fixture
def bom(shop_url: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Bom:
    monkeypatch.setenv("BOM_DATABASE_URL", shop_url)
    monkeypatch.setenv("NO_COLOR", "1")

    def typed(*words: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["bom", *map(str, words)])
        with pytest.raises(SystemExit) as left:
            run()
        said = capsys.readouterr()
        assert isinstance(left.value.code, int)
        return left.value.code, said.out, said.err

    return typed


def test_the_words_are_the_contracts() -> None:
    assert set(EVERY) == WORDS


@pytest.mark.parametrize("words", sorted(EVERY))
def test_every_command_says_what_it_does_with_an_example(bom: Bom, words: str) -> None:
    status, out, _ = bom(*words.split(), "--help")
    assert status == 0
    assert f"Example: bom {words}" in " ".join(out.split())


READING = [
    ("relay find",), ("relay show", "tw2 12s"), ("relay identify", "--ohms", "262R", "--at", "28 °C"),
    ("board show",), ("board show", "OS-3"), ("board check", "OS-3"), ("board check", "--rules"),
    ("board check", "catalogs/demo/boards/os-3.toml"), ("kit check", "catalogs/demo/kits/os-3-valve-drive.toml"),
    ("supplier check", "catalogs/demo/suppliers/osmere.toml"), ("rule check", "catalogs/demo/bench/bench.toml"),
    ("board circuit", "OS-3"), ("match", "--like", "TW2-12S"), ("match", "--position", "OS-3:K1"),
    ("catalog xref", "--part", "TW2-12S"), ("match", "--like", "TW2-12S", "--why", "K2R-12S"),
    ("kit cost", "--board", "OS-3"), ("kit possible",), ("kit possible", "OS-3 valve drive=40"),
    ("stock show",), ("stock show", "K2R-12S"), ("stock trace", "L0001"), ("stock worth",),
    ("stock journal",), ("stock prices", "K2R-12S"), ("stock idle",), ("stock late",), ("stock ordered",),
    ("quote list",),
    ("db check",), ("shop show",), ("explain", "relays.csv"), ("catalog readings",),
    ("kit make", "OS-3 valve drive", "1", "--dry"), ("quote plan", "--part", "K2R-12S=20"), ("reorder",),
    ("catalog check", "catalogs/demo/bench/tw2.toml"),
    ("reorder", "--levels"), ("supplier", "show"), ("measure", "catalogs/demo/bench/spans.toml"),
    ("catalog datasheet", "catalogs/demo/bench/hm1.txt"),
]  # fmt: skip
SHAPES = json.loads((Path(__file__).parents[1] / "data" / "json_shapes.json").read_text(encoding="utf-8"))
"""Every key that programs may rely on, by command, with what stands there; of a mapping by names, ``*`` is each."""


@pytest.mark.parametrize("words", READING, ids=lambda w: " ".join(w))
def test_a_reading_command_prints_a_table_or_json(bom: Bom, words: tuple[str, ...]) -> None:
    typed = (*words[0].split(), *words[1:])
    status, out, _ = bom(*typed)
    assert status == 0 and out.strip()
    status, out, _ = bom(*typed, "--json")
    assert status == 0
    found = shape(json.loads(out))
    assert not [*strays(found, SHAPES[" ".join(words)])], f"reviewed, it belongs in the file: {json.dumps(found)}"


BY_NAME = {"order", "compared_with", "rates", "prices", "assignment", "times", "12 V", "28 V", "carries", "loads",
           "duty", "wanted", "doing", "words", "bounds"}  # fmt: skip
"""Keys under which the demo's own names are keys."""


def shape(value: Any, key: str = "") -> Any:
    """The tree of keys with kinds of value; a row of things is what all of them come to."""
    if isinstance(value, dict):
        named = {name: shape(held, name) for name, held in value.items()}
        return {"*": together(named.values())} if key in BY_NAME and named else named
    if isinstance(value, list):
        return [together(map(shape, value))] if value else []
    return {str: "text", bool: "yes or no", type(None): "none"}.get(type(value), "number")


def together(shapes: Iterable[Any]) -> Any:
    """One shape for several: keys of any, kinds joined; *none* says nothing of a kind."""
    kept: list[Any] = []
    for one in shapes:
        kept += [one] if one not in kept else []
    told = [one for one in kept if one != "none"] or kept
    if all(isinstance(one, dict) for one in told):
        return {
            key: together(one[key] for one in told if key in one) for key in dict.fromkeys(k for o in told for k in o)
        }
    if all(isinstance(one, list) for one in told):
        rows = [one[0] for one in told if one]
        return [together(rows)] if rows else []
    return told[0] if len(told) == 1 else sorted(map(str, told))


def strays(found: Any, kept: Any, path: str = "") -> Iterator[str]:
    """Where the two differ; *none* and an empty row are like anything."""
    if "none" in (found, kept) or [] in (found, kept):
        return
    if isinstance(found, dict) and isinstance(kept, dict):
        yield from (f"{path} {key}" for key in found.keys() ^ kept.keys())
        for key in found.keys() & kept.keys():
            yield from strays(found[key], kept[key], f"{path} {key}")
    elif isinstance(found, list) and isinstance(kept, list) and not isinstance(kept[0], str):
        yield from strays(found[0], kept[0], path)
    elif found != kept:
        yield f"{path}: {found} is not {kept}"


@pytest.mark.parametrize(
    ("found", "kept", "differ"),
    [
        ({"a": "text"}, {"a": "text"}, False),
        ({"a": "none"}, {"a": "number"}, False),
        ({"a": "text"}, {"a": "number"}, True),
        ({"a": "text"}, {"b": "text"}, True),
        ([{"a": "text", "b": "text"}], [{"a": "text"}], True),
        ([], [{"a": "text"}], False),
    ],
)
def test_a_key_gained_lost_or_of_another_kind_is_noticed(found: Any, kept: Any, differ: bool) -> None:
    assert bool([*strays(found, kept)]) is differ


def test_nothing_is_coloured_where_no_colour_is_wanted(bom: Bom) -> None:
    for words in (("match", "--position", "OS-3:K1"), ("kit", "cost"), ("--help",)):
        assert "\x1b[" not in bom(*words)[1]


def test_a_match_in_json_has_the_contracts_keys(bom: Bom) -> None:
    answer = json.loads(bom("match", "--position", "OS-3:K1", "--json")[1])
    assert set(answer) >= {"requirement", "candidates", "cautions"}
    keys = {"maker", "part_number", "verdict", "findings", "available", "landed_cost"}
    finding = {"check", "outcome", "required", "offered", "margin", "why", "source"}
    for candidate in answer["candidates"]:
        assert set(candidate) >= keys
        assert candidate["verdict"] in ("drop_in", "conditional", "no", "unknown")
        assert all(set(f) >= finding for f in candidate["findings"])
        assert {f["outcome"] for f in candidate["findings"]} <= {"pass", "condition", "fail", "unknown"}
    assert answer["candidates"][0]["part_number"] == "K2R-12S"


@pytest.mark.parametrize(("where", "said"), [("OS-3:K1", "What may serve at OS-3:K1"), ("OS-3", "every position")])
def test_a_page_is_written_beside_the_answer(bom: Bom, tmp_path: Path, where: str, said: str) -> None:
    status, out, err = bom("match", "--position", where, "--html", tmp_path / "p.html")
    assert status == 0 and said in out and err.startswith("written: ")
    assert said in (tmp_path / "p.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "words", [("reorder",), ("quote", "plan", "--part", "K2R-12S=2"), ("catalog", "xref", "--part", "TW2-12S")]
)
def test_a_workbook_that_is_there_is_written_over_only_where_asked(
    bom: Bom, tmp_path: Path, words: tuple[str, ...]
) -> None:
    book = tmp_path / "mine.xlsx"
    book.write_bytes(b"my own")
    status, _, said = bom(*words, "--out", book)
    assert status == 2 and "--write-over" in said and book.read_bytes() == b"my own"
    assert bom(*words, "--out", book, "--write-over")[0] == 0 and book.read_bytes() != b"my own"


def test_a_limit_keeps_the_best(bom: Bom) -> None:
    answer = json.loads(bom("match", "--position", "OS-3:K1", "--limit", "2", "--json")[1])
    assert {c["verdict"] for c in answer["candidates"]} == {"drop_in"} and len(answer["candidates"]) == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nosuch",), "No such command"),
        (("match",), "exactly one of"),
        (("match", "--like", "TW2-12S", "--position", "OS-3:K1"), "exactly one of"),
        (("match", "--like", "TW2-I2S"), "did you mean TW2-12S"),
        (("match", "--position", "OS-3:K77"), "no position K77"),
        (("match", "--position", "OS-3"), "for all of a board add --html FILE"),
        (("match", "--position", "NO-1", "--html", "x.html"), "no board NO-1"),
        (("match", "--like", "TW2-12S", "--why", "nosuch"), "no relay nosuch"),
        (("catalog", "xref", "--out", "x.pdf"), "ends in .csv or .xlsx"),
        (("match", "--position", "OS-3:K1", "--rule", "hearsay"), "hearsay"),
        (("match", "--spec", "nosuch.toml"), "nosuch.toml"),
        (("relay", "show", "nosuch"), "no relay nosuch"),
        (("relay", "find", "--volts", "twelve"), "twelve"),
        (("relay", "identify", "--ohms", "loud"), "loud"),
        (("relay", "identify", "--ohms", "262R", "--at", "warm"), "warm"),
        (("board", "show", "nosuch"), "no board nosuch"),
        (("board", "check"), "expected a board"),
        (("board", "add", "nosuch.toml"), "nosuch.toml"),
        (("kit", "cost", "nosuch"), "no kit nosuch"),
        (("kit", "add", "nosuch.toml"), "nosuch.toml"),
        (("stock", "in", "TW2-12S", "-5"), "expected a quantity above 0, found -5"),
        (("supplier", "add", "nosuch.toml"), "nosuch.toml"),
        (("supplier", "refresh", "nosuch"), "no supplier nosuch"),
        (("catalog", "add", "nosuch"), "nosuch"),
        (("stock", "in", "TW2-12S", "20", "--cost", "2.10"), "amount and its currency"),
        (("stock", "in", "TW2-12S", "20", "--cost", "two GBP"), "two"),
        (("stock", "in", "TW2-12S", "20", "--cost", "2.10 ZZZZ"), "ZZZZ"),
        (("stock", "in", "TW2-12S", "20", "--cost", "2.10 GBP", "--lot", "L0001"), "L0001"),
        (("stock", "out", "TW2-12S", "100000", "--for", "job"), "TW2-12S"),
        (("stock", "out", "TW2-12S", "1", "--for", "job", "--lot", "L-9"), "no lot L-9"),
        (("stock", "count", "L-9", "3"), "no lot L-9"),
        (("stock", "trace", "L-9"), "no lot L-9"),
        (("quote", "plan"), "--part PART=QTY"),
        (("quote", "plan", "--part", "TW2-12S"), "PART=QTY"),
        (("quote", "plan", "--problem", "nosuch.json"), "nosuch.json"),
        (("quote", "take", "nosuch.xlsx", "--supplier", "Osmere", "--until", "2999-12-31"), "nosuch.xlsx"),
        (("fit",), "--pins"),
        (("fit", "--pins", "nosuch.csv", "--holes", "nosuch.csv"), "nosuch.csv"),
        (("db", "restore", "nosuch.db", "--yes"), "nosuch.db"),
        (("stock", "show", "--db", "mysql://host/name"), "expected a sqlite: or postgresql:"),
        (("stock", "show", "--db", "sqlite:////dev/null/bom.db"), "/dev/null"),
    ],
    ids=lambda w: " ".join(w) if isinstance(w, tuple) else "",
)
def test_bad_input_is_one_clear_line_and_status_2(bom: Bom, words: tuple[str, ...], said: str) -> None:
    status, out, err = bom(*words)
    assert (status, out) == (2, "")
    assert err.startswith("bom: ") and said in err and len(err.strip().splitlines()) == 1, err


def test_a_refusal_leaves_no_traceback_behind_a_real_process() -> None:
    code = "from bom.cli.main import run; run()"
    done = subprocess.run([sys.executable, "-c", code, "match"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, "Traceback" in done.stderr) == (2, "", False)


def test_a_kit_that_cannot_be_made_up_is_a_no(bom: Bom) -> None:
    status, out, _ = bom("kit", "make", "OS-3 valve drive", "999", "--json")
    assert status == 1 and json.loads(out)["missing"]


@pytest.mark.parametrize(("broken", "expected"), [(False, 0), (True, 1)])
def test_a_catalogue_is_checked(bom: Bom, demo_folder: Path, tmp_path: Path, broken: bool, expected: int) -> None:
    for file in demo_folder.glob("*.csv"):
        text = file.read_text(encoding="utf-8")
        (tmp_path / file.name).write_text(text.replace("monostable", "sleepy") if broken else text, encoding="utf-8")
    status, out, _ = bom("catalog", "check", tmp_path, "--json")
    assert status == expected and bool(json.loads(out)["problems"]) is broken


def saved(path: Path, head: str, rows: list[tuple[object, ...]]) -> Path:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerows([head.split(","), *rows])
    return path


TWO = [("1", 0, 0), ("2", 0, 10), ("3", 5, 5), ("4", 12, 0), ("5", 12, 10)]
ONE_C = [("w", "A", "", "coil", "1", "2"), ("w", "A", "", "make", "3", "4"), ("w", "A", "", "break", "3", "5")]


def loose(tmp_path: Path, pins_view: str, holes_view: str) -> tuple[object, ...]:
    pins = saved(tmp_path / "pins.csv", "pin,x_mm,y_mm,lead_mm,view", [(*r, 0.8, pins_view) for r in TWO])
    nets = dict(zip("12345", ("drive", "V", "COM", "NO", "NC"), strict=True))
    rows: list[tuple[object, ...]] = [(*r, 1.3, nets[str(r[0])], holes_view) for r in TWO]
    holes = saved(tmp_path / "holes.csv", "hole,x_mm,y_mm,drill_mm,net,view", rows)
    wirings = saved(tmp_path / "wirings.csv", "wiring,unit,pole,element,from_pin,to_pin", list(ONE_C))
    return ("fit", "--pins", pins, "--holes", holes, "--wirings", wirings, "--candidate", "w", "--original", "w")


@pytest.mark.parametrize(
    ("pins_view", "holes_view", "outcome", "status"),
    [
        ("component", "component", "pass", 0),
        ("solder", "solder", "pass", 0),
        ("component", "solder", "fail", 1),
        ("solder", "component", "fail", 1),
        ("unknown", "component", "unknown", 1),
        ("component", "unknown", "unknown", 1),
    ],
)
def test_t2_loose_drawings_from_two_sides(
    bom: Bom, tmp_path: Path, pins_view: str, holes_view: str, outcome: str, status: int
) -> None:
    left, out, _ = bom(*loose(tmp_path, pins_view, holes_view), "--json")
    answer = json.loads(out)
    assert (answer["outcome"], left) == (outcome, status), answer
    keys = {"outcome", "play_mm", "rotation_deg", "shift_mm", "assignment", "mirrored_fits", "why"}
    assert keys <= set(answer)


@pytest.mark.parametrize(
    ("option", "word", "status"),
    [
        (("--clearance", "b"), "hole clearance: pass", 0),
        (("--tolerance", "root-sum-square"), "board tolerance: pass", 0),
        (("--tolerance", "worst case", "--clearance", "A", "--dress", "0.2"), "worst case of 0.0875 mm", 0),
        (("--clearance", "D"), "", 2),
        (("--tolerance", "hopeful"), "", 2),
    ],
)
def test_fit_counts_clearance_and_tolerance_where_asked(
    bom: Bom, tmp_path: Path, option: tuple[str, ...], word: str, status: int
) -> None:
    left, out, _ = bom(*loose(tmp_path, "component", "component"), *option)
    assert left == status and word in out


@pytest.mark.parametrize(("steps", "outcome", "status"), [(4, "condition", 0), (8, "fail", 1)])
def test_t13_a_pitch_a_little_long(bom: Bom, tmp_path: Path, steps: int, outcome: str, status: int) -> None:
    pins: list[tuple[object, ...]] = [(n, round(2.54 * n, 2), 0, 0.8, 0.8, "component") for n in range(steps + 1)]
    holes: list[tuple[object, ...]] = [(n, 2.5 * n, 0, 1.3, "component") for n in range(steps + 1)]
    pin_file = saved(tmp_path / "pins.csv", "pin,x_mm,y_mm,lead_mm,lead_width_mm,view", pins)
    hole_file = saved(tmp_path / "holes.csv", "hole,x_mm,y_mm,drill_mm,view", holes)
    left, out, _ = bom("fit", "--pins", pin_file, "--holes", hole_file, "--json")
    assert (json.loads(out)["outcome"], left) == (outcome, status), out


def test_a_fit_is_drawn_and_says_where_and_that_the_nets_were_proved(bom: Bom, tmp_path: Path) -> None:
    _, out, _ = bom(*loose(tmp_path, "component", "component"), "--svg", tmp_path / "fit.svg")
    assert (tmp_path / "fit.svg").read_text(encoding="utf-8").lstrip().startswith("<")
    assert f"Drawn at true size: {tmp_path / 'fit.svg'}" in out and "Nets: proved" in out


def test_a_fit_is_no_approval_on_screen_and_on_paper(bom: Bom, tmp_path: Path) -> None:
    _, out, _ = bom(*loose(tmp_path, "component", "component"), "--svg", tmp_path / "fit.svg")
    for text in (out, (tmp_path / "fit.svg").read_text(encoding="utf-8")):
        assert "Pins only, and no approval" in text and "more: bom explain cautions" in text


def test_fit_without_wirings_says_that_nets_were_not_asked(bom: Bom, tmp_path: Path) -> None:
    left, out, _ = bom(*loose(tmp_path, "component", "component")[:5])
    assert left == 0 and "Nets: not asked" in out


def test_fit_says_where_it_looked_for_a_file(bom: Bom, tmp_path: Path) -> None:
    left, _, said = bom("fit", "--pins", tmp_path / "a.csv", "--holes", tmp_path / "b.csv")
    assert left == 2 and f"a.csv: expected a file that can be read, found 'no file of this name in {tmp_path}'" in said


@pytest.mark.parametrize(("stock", "status", "word"), [(9, 0, "optimal"), (2, 1, "infeasible")])
def test_a_stand_alone_problem_is_planned(bom: Bom, tmp_path: Path, stock: int, status: int, word: str) -> None:
    problem = {
        "base_currency": "EUR",
        "parts": [{"id": "P", "demand": 3, "fillable_by": ["A"], "max_lead_days": None}],
        "suppliers": [{"id": "S", "currency": "EUR", "fx_to_base": 1}],
        "offers": [{"id": "O", "supplier": "S", "part_number": "A", "stock": stock, "breaks": [[1, 2.5]]}],
        "max_suppliers": None,
    }
    (tmp_path / "p.json").write_text(json.dumps(problem), encoding="utf-8")
    left, out, _ = bom("quote", "plan", "--problem", tmp_path / "p.json", "--json")
    answer = json.loads(out)
    assert (left, answer["status"]) == (status, word)
    assert set(answer) - {"blocked"} == {"status", "cost", "bound", "gap", "order"}
    assert answer.get("blocked", []) == ([] if status == 0 else ["P: 3 wanted, 2 to be had (S 2)"])
    assert answer["order"] == ({"O": 3} if status == 0 else {})
    assert bom("quote", "plan", "--problem", tmp_path / "p.json")[0] == status
    left, _, said = bom("quote", "plan", "--problem", tmp_path / "p.json", "--most", "1")
    assert left == 2 and "a problem file holds all that is wished" in said
