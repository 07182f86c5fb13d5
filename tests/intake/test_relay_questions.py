"""One relay is asked about in the order of a data sheet: no more than decides a verdict, and every blank is charged."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from bom.intake.catalogue import read_catalogue
from bom.intake.relay_form import COLUMNS, Kept, Said, stated
from bom.intake.relay_questions import ORDER, Question, Questions
from bom.relays.catalogue import Catalogue
from bom.values.problem import Refused

PINS = "A1 0/0, A2 0/5, 11 5/2.5, 14 12.5/0, 12 15/4.5"
SHEET = {
    "maker": "Hollowmere",
    "part_number": "HM1-12",
    "wiring": "single changeover: A1, A2, 11, 14, 12",
    "pins": PINS,
    "view": "component",
    "lead": "0.8",
    "contact_material": "AgSnO2",
    "min_load_volts": "5 V",
    "min_load_milliamps": "100 mA",
    "coil_system": "monostable",
    "coil_supply": "dc",
    "coil_volts": "12",
    "coil_ohms": "240",
    "coil_ohms_tol_pct": "10",
    "operate_volts": "8.4",
    "release_volts": "1.2",
    "coil_max_volts": "18",
    "coil_ref_temp_c": "20",
    "coil_suppression": "none",
}
RATED = ("make resistive 14 V dc, 20 A, at 85 °C, 1e5 ops", "break resistive 14 V dc, 10 A, at 85 °C, 1e5 ops")


@pytest.fixture(scope="module")
def there(demo_folder: Path) -> Catalogue:
    return read_catalogue(demo_folder).value


def kept(there: Catalogue) -> Kept:
    return Kept(there.footprints, there.wirings, there.ratings)


def asked(questions: Questions, answers: Mapping[str, str], ratings: tuple[str, ...] = ()) -> dict[str, list[str]]:
    """Every question that was asked, with what was told of its answer."""
    told: dict[str, list[str]] = {}
    lines = list(ratings)
    while (question := questions.next()) is not None:
        text = (lines.pop(0) if lines else "") if question.key == "ratings" else answers.get(question.key, "")
        told.setdefault(question.key, []).extend(questions.answer(question, text))
    return told


def find(questions: Questions, key: str, answers: Mapping[str, str] | None = None) -> Question:
    """The question of this key, those before it answered."""
    while (question := questions.next()) is not None and question.key != key:
        questions.answer(question, (answers or SHEET).get(question.key, ""))
    assert question is not None
    return question


def test_every_column_has_its_question() -> None:
    assert {key for _, _, key in ORDER} >= COLUMNS.keys()


def test_a_sheet_is_asked_in_its_order_and_makes_the_part() -> None:
    questions = Questions(Kept())
    told = asked(questions, SHEET, RATED)
    assert [*told][:8] == ["maker", "part_number", "series", "wiring", "pins", "view", "lead", "ratings"]
    design = stated(questions.said, Kept()).design
    assert (design.relay.coil_ohms, len(design.ratings)) == (240, 2)


def test_no_more_is_asked_than_decides_a_verdict() -> None:
    told = asked(Questions(Kept()), SHEET, RATED)
    assert not told.keys() & {"status", "coil_henries", "coil_hertz", "suppression_ohms", "insulation", "together_amps"}
    assert len(told) < 36


def test_what_depends_on_an_answer_is_asked_after_it() -> None:
    assert "coil_hertz" in asked(Questions(Kept()), {**SHEET, "coil_supply": "ac"}, RATED)
    assert "suppression_ohms" in asked(Questions(Kept()), {**SHEET, "coil_suppression": "resistor"}, RATED)


def test_a_blank_is_said_to_be_unknown_with_its_cost() -> None:
    told = asked(Questions(Kept()), {**SHEET, "operate_volts": ""}, RATED)
    assert told["operate_volts"] == ["left blank: pull-in when hot stays unknown on any board"]


def test_series_and_source_are_asked_and_cost_nothing() -> None:
    told = asked(Questions(Kept()), SHEET, RATED)
    assert told["series"] == [] and told["source"] == []


@pytest.mark.parametrize(
    ("key", "text", "reason"),
    [
        ("part_number", "", "a part without it cannot be told from another"),
        ("part_number", "03-Dec", "turned it into"),
        ("wiring", "single changover: 1 2 3 4 5", "is 'single changeover' meant?"),
        ("pins", "A1 0/0", "the pins that the wiring names too: 11, 12, 14, A2"),
        ("view", "top", "top: component"),
        ("coil_volts", "12..14", "expected"),
        ("coil_ohms", "0.24", "type it again if the data sheet says so"),
        ("release_volts", "9", "at most operate_volts"),
        ("ratings", "make 14 V", "load, supply missing"),
    ],
)
def test_a_wrong_answer_gets_one_line_and_the_question_again(key: str, text: str, reason: str) -> None:
    questions = Questions(Kept())
    question = find(questions, key)
    with pytest.raises(Refused) as refused:
        questions.answer(question, text)
    assert reason in str(refused.value) and "\n" not in str(refused.value)
    assert questions.next() == question


def test_a_hardly_likely_figure_is_taken_when_it_is_typed_again() -> None:
    questions = Questions(Kept())
    question = find(questions, "coil_ohms")
    for _ in range(2):
        with pytest.raises(Refused):
            questions.answer(question, "0.24")
        break
    questions.answer(question, "0.24")
    assert questions.insisted and questions.said.cells["coil_ohms"] == "0.24"


def test_one_may_go_back() -> None:
    questions = Questions(Kept())
    assert not questions.back()
    question = find(questions, "pins")
    assert questions.back() and questions.next() != question
    assert "wiring" in {q.key for q in [questions.next()] if q}


def test_pins_that_are_there_are_offered(there: Catalogue) -> None:
    pins = "1 0/0, 2 0/5, 3 5/2.5, 4 12.5/0, 5 15/4.5, 6 0/13, 7 0/8, 8 6.5/10.5, 9 12.5/13, 10 15/8.5"
    answers = {**SHEET, "pins": pins, "wiring": "twin-2c", "same": "yes"}
    questions = Questions(kept(there))
    question = find(questions, "same", answers)
    assert question.meaning == "These pins are those of footprint OST-TW2: is it the one?"
    told = asked(questions, answers, RATED)
    assert "lead" not in told and questions.said.pins == "OST-TW2"


def test_ratings_of_a_series_hold_for_the_part(there: Catalogue) -> None:
    told = asked(Questions(kept(there)), {**SHEET, "series": "TW2"})
    assert told["series"] == ["8 ratings are there for series TW2, and hold for this part"]
    assert not told["ratings"]


def test_what_was_said_by_options_is_not_asked() -> None:
    told = asked(Questions(Kept(), said=Said({"maker": "Hollowmere"}, PINS)), SHEET, RATED)
    assert not told.keys() & {"maker", "pins"}


def test_like_another_part_only_the_differences_are_asked(there: Catalogue) -> None:
    like = there.design(there.only("TW2-12S") or there.relays[0])
    questions = Questions(kept(there), like)
    differences = iter(("coil_volts=18", "coil ohms = 540", ""))
    answers = {"part_number": "TW2-18S", "operate_volts": "12.6", "release_volts": "1.8"}
    keys = []
    while (question := questions.next()) is not None:
        keys.append(question.key)
        questions.answer(question, next(differences) if question.key == "difference" else answers.get(question.key, ""))
    left = ["operate_volts", "release_volts", "coil_max_volts"]
    assert keys == ["maker", "part_number", *["difference"] * 3, *left]
    relay = stated(questions.said, kept(there), like).design.relay
    assert (relay.maker, relay.coil_volts, relay.operate_volts, relay.coil_max_volts) == ("Ostrel", 18, 12.6, None)


@pytest.mark.parametrize(("text", "reason"), [("18 V", "COLUMN=VALUE"), ("coil_volt=18", "is 'coil_volts' meant?")])
def test_a_difference_that_is_none_is_refused(there: Catalogue, text: str, reason: str) -> None:
    like = there.design(there.only("TW2-12S") or there.relays[0])
    questions = Questions(kept(there), like)
    question = find(questions, "difference", {"part_number": "X"})
    with pytest.raises(Refused) as refused:
        questions.answer(question, text)
    assert reason in str(refused.value)
