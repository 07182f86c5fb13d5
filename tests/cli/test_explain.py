"""`bom explain` tells each column and key from the description that reads it, and errors point there."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bom.cli.main import app_for, run
from bom.jobs.explaining import TOPICS, explain, explain_column, topic_of, topics
from bom.relays.relay import Relay
from bom.values.column import described
from bom.values.problem import Problem, Refused


def typed(*words: str) -> None:
    app_for(words)(list(words), standalone_mode=False)


@pytest.mark.parametrize("name", TOPICS)
def test_every_topic_tells_what_it_is_and_something_of_each_entry(name: str) -> None:
    topic = explain(name)
    assert topic.name == name and topic.about.endswith(".")
    assert topic.columns or topic.entries
    for column in topic.columns.values():
        assert column.meaning and column.example


@pytest.mark.parametrize("name", ["relays.csv", "relays", "Relays.CSV", "catalogs/demo/relays.csv"])
def test_a_topic_is_found_as_people_type_it(name: str) -> None:
    assert explain(name).columns == described(Relay)


@pytest.mark.parametrize(("name", "said"), [("relay.csv", "is relays.csv meant"), ("colour", "expected one of")])
def test_what_is_no_topic_is_refused(name: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        explain(name)


def test_one_column_is_told_alone() -> None:
    assert list(explain_column("relays", "Coil Volts").columns) == ["coil_volts"]
    with pytest.raises(Refused, match="is coil_volts meant"):
        explain_column("relays", "coil_volt")


def test_topics_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    typed("explain")
    shown = capsys.readouterr().out
    assert all(name in shown for name in topics())


def test_a_column_is_shown_with_its_unit_words_and_example(capsys: pytest.CaptureFixture[str]) -> None:
    typed("explain", "relays.csv")
    shown = " ".join(capsys.readouterr().out.split())
    assert "coil_volts V 12 Rated voltage of the coil. Above 0." in shown
    assert "RT III (RT 3, wash tight, washable)" in shown
    typed("explain", "ratings.csv", "load", "--json")
    (column,) = json.loads(capsys.readouterr().out)["columns"]
    assert column["name"] == "load" and "ohmic" in column["words"]["resistive"] and column["needed"]


def test_problems_in_a_file_end_with_the_command_that_explains_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "relays.csv").write_text("maker,part_number,coil_vlots\nOstrel,TW2,12\n", encoding="utf-8")
    monkeypatch.setattr("sys.argv", ["bom", "catalog", "add", str(tmp_path), "--db", f"sqlite:///{tmp_path}/a.db"])
    with pytest.raises(SystemExit) as left:
        run()
    said = capsys.readouterr().err
    assert left.value.code == 2 and "coil_volts" in said and "bom explain relays.csv" in said.splitlines()[-1]


@pytest.mark.parametrize(
    ("file", "column", "topic"),
    [
        ("relays.csv", "coil_volt", "relays.csv"),
        ("os-3-holes.csv", "drill", "holes.csv"),
        ("os-3.toml", "position[1].driver.polarty", "board.toml"),
        ("valve.toml", "line[2].quantity", "kit.toml"),
        ("osmere.toml", "feed.url", "supplier.toml"),
        ("mine.toml", "rule.source", "rule.toml"),
        ("list.csv", "Preis", ""),
        ("odd.toml", "", ""),
    ],
)
def test_an_error_points_to_what_explains_its_file(file: str, column: str, topic: str) -> None:
    assert topic_of(Problem(file, 3, column, "a word")) == topic
