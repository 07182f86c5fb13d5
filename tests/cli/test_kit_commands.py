"""`bom kit` as typed: statuses, files, and that a command which fails changes nothing."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from bom.cli.main import run
from bom.jobs.bench import bench
from bom.kits.kit import Kit, Line, Market
from bom.stock.ledger import Lot
from bom.store.boards_and_kits import take_kit
from bom.store.shelf import add_lot, shelf
from bom.values.money import Money

Typed = Callable[..., tuple[int, str, str]]
NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
MARKET = Market(True, Decimal(20), Decimal("12.8"), Money.of("0.30", "GBP"), price=Money.of("14.90", "GBP"))


@pytest.fixture
def url(tmp_path: Path) -> str:
    """A kit of two A, and ten of them."""
    url = f"sqlite:///{tmp_path / 'bom.db'}"
    with bench(url) as session:
        take_kit(session, Kit("pair", "GBP", lines=(Line(part="A", quantity=Decimal(2)),), market=MARKET))
        cost = Money.of("2.10", "GBP")
        add_lot(session, Lot("L1", "A", drawer="B3", unit_cost=cost, received=NOON), Decimal(10), NOON)
    return url


@pytest.fixture
def bom(url: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Typed:
    monkeypatch.setenv("BOM_DATABASE_URL", url)

    def typed(*words: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["bom", "kit", *map(str, words)])
        with pytest.raises(SystemExit) as left:
            run()
        said = capsys.readouterr()
        assert isinstance(left.value.code, int)
        return left.value.code, said.out, said.err

    return typed


def on_hand(url: str) -> Decimal:
    with bench(url) as session:
        return shelf(session).parts["A"].on_hand


def test_made_finished_and_undone(bom: Typed, url: str) -> None:
    assert bom("make", "pair", 2)[0] == 0 and on_hand(url) == 6
    status, out, _ = bom("make", "pair", 1, "--reserve", "--json")
    assert (status, json.loads(out)["booked"], json.loads(out)["kit_lot"]) == (0, "reserved", "K00002")
    assert "1 x pair made up, kit lot K00002" in bom("finish", "k00002", "--drawer", "K9")[2]
    status, out, _ = bom("undo", "K00001")
    assert status == 0 and "back to lot" in out and on_hand(url) == 8


def test_short_of_pieces_the_status_is_1_and_nothing_is_booked(bom: Typed, url: str) -> None:
    status, out, _ = bom("make", "pair", 6)
    assert status == 1 and "nothing is booked" in out and on_hand(url) == 10


@pytest.mark.parametrize("name", ["list.txt", "nowhere/list.html"])
def test_a_pick_list_that_cannot_be_written_books_nothing(bom: Typed, url: str, tmp_path: Path, name: str) -> None:
    status, _, err = bom("make", "pair", 1, "--list", tmp_path / name)
    assert status == 2 and len(err.splitlines()) == 1 and on_hand(url) == 10


@pytest.mark.parametrize(
    ("words", "file", "inside"),
    [
        (("sheet", "pair", "--out"), "s.html", "In this bag"),
        (("label", "pair", "--size", "60x40", "--out"), "l.svg", 'width="60mm"'),
        (("label", "pair", "--kind", "box", "--copies", 2, "--size", "90x60", "--out"), "l.html", "90mm 60mm"),
        (("label", "pair", "--sheet", "2x7", "--edge", 5, "--skip", 3, "--out"), "l.html", "size:A4"),
        (("cost", "pair", "--picture"), "c.svg", "profit left"),
        (("make", "pair", "--dry", "--list"), "p.html", "Pick list"),
    ],
)
def test_papers_are_written(bom: Typed, tmp_path: Path, words: tuple[object, ...], file: str, inside: str) -> None:
    status, _, err = bom(*words, tmp_path / file)
    assert status == 0 and str(tmp_path / file) in err
    assert inside in (tmp_path / file).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("cost", "--batch", 0), "a batch of at least one kit, found 0"),
        (("cost", "--basis", "guess"), "average, landed, fixed"),
        (("cost", "--price", "9", "--margin", "9"), "found both"),
        (("cost", "--board", "ZZ"), "no kit for board ZZ"),
        (("cost", "pair", "--picture", "x.png"), "ends in .svg"),
        (("possible", "pair"), "expected KIT=N"),
        (("make", "pair", 0), "at least one kit"),
        (("finish", "K00009"), "no kit lot K00009"),
        (("undo", "pair"), "a number such as K00001"),
        (("sheet", "pair", "--lot", "K00009"), "no kit lot K00009"),
        (("label", "pair", "--kind", "mug"), "a bag or a box"),
        (("plan", "pair", 1, "--fewer"), "only 0 of pair are planned"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(bom: Typed, words: tuple[object, ...], said: str) -> None:
    status, out, err = bom(*words)
    assert (status, out) == (2, "") and said in err and len(err.splitlines()) == 1


def test_a_cost_and_how_many_are_told(bom: Typed) -> None:
    out = bom("cost")[1]
    assert "margin on the price without tax" in out and "can be made up now" in out
    answer = json.loads(bom("possible", "pair=7", "--json")[1])
    assert answer["kits"][0]["alone"] == 5 and answer["missing"][0]["quantity"] == 4
    assert "4 x pair planned" in bom("plan", "pair", 4)[2]


@pytest.mark.parametrize(
    ("before", "name", "status", "said"),
    [
        ((), "PAIR", 0, "kit pair forgotten"),
        ((), "other", 2, "no kit other"),
        (("plan", "pair", 3), "pair", 2, "3 are planned"),
        (("make", "pair", 1), "pair", 2, "kit lot K00001"),
    ],
)
def test_a_kit_is_forgotten_unless_something_refers_to_it(
    bom: Typed, before: tuple[object, ...], name: str, status: int, said: str
) -> None:
    if before:
        assert bom(*before)[0] == 0
    left, _, err = bom("forget", name)
    assert left == status and said in err and len(err.splitlines()) == 1
    assert (bom("cost", "pair")[0] == 2) is (status == 0)
