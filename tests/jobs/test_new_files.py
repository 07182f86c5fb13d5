"""New files of kits, suppliers and rules read as they are, say nothing that nobody said, and refuse what cannot be."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from bom.intake.kit_file import take_kit
from bom.intake.rule_file import read_rule
from bom.intake.supplier_file import take_supplier
from bom.jobs.buying.new_supplier import SupplierAnswers, new_supplier
from bom.jobs.buying.suppliers import add_supplier, check_supplier_file
from bom.jobs.kits.new_kit import KitAnswers, new_kit
from bom.jobs.kits.taking import add_kit, check_kit_file
from bom.jobs.replacing.own_rule import RuleAnswers, check_rule_file, new_rule
from bom.store.unit_of_work import Session
from bom.values.problem import Refused


def test_a_kit_takes_the_positions_of_its_repair_and_the_parts_named(shop: Session, tmp_path: Path) -> None:
    answers = KitAnswers(board="os-3", repair="Pump feed", parts=("SAC305-1.0=1.2 g", "BAG-S"), price="19.50")
    file = new_kit(shop, "OS-3 pump again", answers, tmp_path / "k.toml")
    assert check_kit_file(shop, file).good
    add_kit(shop, file)
    kit = take_kit(file).value
    assert [(line.position, line.part, line.quantity, line.unit) for line in kit.lines] == [
        ("K3", "", 1, "piece"), ("", "SAC305-1.0", Decimal("1.2"), "g"), ("", "BAG-S", 1, "piece"),
    ]  # fmt: skip
    assert (kit.board, kit.repair, kit.currency, kit.packing) == ("OS-3", "pump feed", "GBP", None)
    assert kit.market is not None and kit.market.price is not None and kit.market.price.amount == Decimal("19.5")


def test_a_position_that_nothing_serves_is_told_with_why(shop: Session, tmp_path: Path) -> None:
    answers = KitAnswers(board="HT-24", positions=("K2",), price="40")
    file = new_kit(shop, "HT-24 enable", answers, tmp_path / "k.toml")
    file.write_text(file.read_text(encoding="utf-8").replace('["drop-in"]', '["K2R-12S"]'), encoding="utf-8")
    found = check_kit_file(shop, file)
    assert found.good and any(note.startswith("K2: no part serves it: ") for note in found.notes)


def test_whether_the_price_is_taxed_is_asked_for_where_nobody_said_so(tmp_path: Path) -> None:
    file = new_kit(None, "K", KitAnswers(parts=("BAG-S",), currency="EUR", price="5"), tmp_path / "k.toml")
    (problem,) = check_kit_file(None, file).problems
    assert problem.column == "market.tax_registered" and problem.line


def test_a_kit_without_a_price_says_that_its_profit_is_not_known(shop: Session, tmp_path: Path) -> None:
    file = new_kit(shop, "K", KitAnswers(board="OS-3", positions=("k1",)), tmp_path / "k.toml")
    assert any("what it leaves is not known" in note for note in check_kit_file(shop, file).notes)
    assert take_kit(file).value.lines[0].position == "K1"


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        (KitAnswers(), "expected what goes into it"),
        (KitAnswers(board="OS-3"), "expected what goes into it"),
        (KitAnswers(board="OS-33", positions=("K1",)), "no board OS-33"),
        (KitAnswers(board="OS-3", repair="pump fed"), "--repair: expected a repair of OS-3"),
        (KitAnswers(board="OS-3", positions=("K9",)), "--position: expected one of K1, K2, K3"),
        (KitAnswers(positions=("K1",)), "--position: expected --board"),
        (KitAnswers(parts=("=3",)), "--part: expected PART=AMOUNT"),
        (KitAnswers(parts=("A-1=much",)), "--part:"),
        (KitAnswers(parts=("A-1=0 g",)), "--part:"),
        (KitAnswers(parts=("A-1", "A-1=2")), "--part: expected A-1 once"),
        (KitAnswers(parts=("A-1",), currency="GPB"), "--currency: expected an ISO 4217 code"),
        (KitAnswers(parts=("A-1",), price="cheap"), "--price: expected a number"),
        (KitAnswers(parts=("A-1",), price="-1"), "--price: expected a number not below 0"),
        (KitAnswers(parts=("A-1",), margin="100"), "--margin: expected a number up to"),
        (KitAnswers(parts=("A-1",), price="5", margin="10"), "either --price or --margin"),
    ],
)
def test_a_kit_that_cannot_be_is_one_clear_error(shop: Session, tmp_path: Path, answers: KitAnswers, said: str) -> None:
    with pytest.raises(Refused) as refused:
        new_kit(shop, "K", answers, tmp_path / "k.toml")
    assert said in str(refused.value) and "\n" not in str(refused.value)
    assert not (tmp_path / "k.toml").exists()


def test_a_shop_that_has_no_currency_is_asked_for_one(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="--currency CODE"):
        new_kit(None, "K", KitAnswers(parts=("A-1",)), tmp_path / "k.toml")
    with pytest.raises(Refused, match="--currency CODE"):
        new_supplier(None, "S", SupplierAnswers(), tmp_path / "s.toml")


def test_what_is_wrong_in_a_kits_file_is_told_with_its_line(shop: Session, tmp_path: Path) -> None:
    file = new_kit(shop, "K", KitAnswers(board="OS-3", positions=("K1",)), tmp_path / "k.toml")
    file.write_text(file.read_text(encoding="utf-8").replace('"K1" ', '"K7" '), encoding="utf-8")
    found = check_kit_file(shop, file)
    assert not found.good and found.wrong[0].startswith("k.toml:")


def test_a_supplier_is_taken_as_it_was_answered(shop: Session, tmp_path: Path) -> None:
    answers = SupplierAnswers("eur", "20", "no", "4.20", "50", "25", "3")
    file = new_supplier(shop, "Wexholme", answers, tmp_path / "s.toml")
    assert check_supplier_file(shop, file).good
    add_supplier(shop, file)
    supplier, feed = take_supplier(file).value
    assert feed is None and (supplier.currency, supplier.tax_pct, supplier.lead_days) == ("EUR", 20, 3)
    assert [m and m.amount for m in (supplier.shipping_fee, supplier.free_from, supplier.minimum_order)] == [
        Decimal("4.2"), 50, 25,
    ]  # fmt: skip


def test_a_supplier_of_whom_little_is_known_says_no_more(tmp_path: Path) -> None:
    file = new_supplier(None, "Wexholme", SupplierAnswers("GBP"), tmp_path / "s.toml")
    supplier, _ = take_supplier(file).value
    assert (supplier.shipping_fee, supplier.minimum_order, supplier.lead_days) == (None, None, None)


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        ({"currency": "pounds"}, "--currency"),
        ({"tax": "101"}, "--tax: expected a number up to 100"),
        ({"includes_tax": "maybe"}, "--includes-tax: expected yes or no"),
        ({"shipping": "free"}, "--shipping: expected a number"),
        ({"free_from": "-5"}, "--free-from: expected a number not below 0"),
        ({"minimum": "1,5"}, "--minimum: expected a number with a decimal point"),
        ({"days": "2.5"}, "--days: expected a whole number"),
    ],
)
def test_a_supplier_that_cannot_be_is_one_clear_error(tmp_path: Path, answers: dict[str, Any], said: str) -> None:
    with pytest.raises(Refused) as refused:
        new_supplier(None, "S", SupplierAnswers(**({"currency": "GBP"} | answers)), tmp_path / "s.toml")
    assert said in str(refused.value) and not (tmp_path / "s.toml").exists()


def test_a_list_that_is_not_there_yet_is_said(shop: Session, tmp_path: Path) -> None:
    file = tmp_path / "s.toml"
    feed = '[feed]\nfile = "no.csv"\ncolumns = { part_number = "Typ" }\nbreaks = [{ from = 1, column = "Preis" }]\n'
    file.write_text(f'[supplier]\nname = "S"\ncurrency = "GBP"\n{feed}', encoding="utf-8")
    assert any("no.csv is not there" in note for note in check_supplier_file(shop, file).notes)


def test_a_rule_is_used_as_it_was_answered(tmp_path: Path) -> None:
    answers = RuleAnswers("log 2026, 20 pumps", ("motor=4..6", "lamp=10"), ("inductive=40",), "45", "12 V boxes")
    file = new_rule("Pump starts", answers, tmp_path / "r.toml")
    rule = read_rule(file)
    assert rule.inrush_times == {"motor": (4, 6), "lamp": (10, 10)} and rule.percent == {"inductive": 40}
    assert (rule.coil_kelvin_per_watt, rule.note, rule.name) == (45, "12 V boxes", "pump starts")
    assert check_rule_file(file).good


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        ({"source": ""}, "expected --source"),
        ({"inrush": ()}, "expected a figure"),
        ({"inrush": ("moter=4",)}, "is 'motor' meant"),
        ({"inrush": ("motor=",)}, "--inrush: expected a figure"),
        ({"inrush": ("motor=6..4",)}, "--inrush: expected a figure, or LEAST..MOST"),
        ({"inrush": ("motor=0.5",)}, "--inrush: expected a number not below 1"),
        ({"percent": ("inductive=140",)}, "--percent: expected a number up to 100"),
        ({"kelvin": "0"}, "--kelvin: expected a number above 0"),
    ],
)
def test_a_rule_that_cannot_be_is_one_clear_error(tmp_path: Path, answers: dict[str, Any], said: str) -> None:
    whole = {"source": "log", "inrush": ("motor=4",)} | answers
    with pytest.raises(Refused) as refused:
        new_rule("R", RuleAnswers(**whole), tmp_path / "r.toml")
    assert said in str(refused.value) and not (tmp_path / "r.toml").exists()


def test_files_that_are_no_files_are_problems(tmp_path: Path) -> None:
    for check in (check_kit_file, check_supplier_file):
        assert check(None, tmp_path / "none.toml").problems
    assert check_rule_file(tmp_path / "none.toml").problems


def test_nothing_is_written_over(tmp_path: Path) -> None:
    (tmp_path / "r.toml").write_text("mine", encoding="utf-8")
    with pytest.raises(Refused, match="there already"):
        new_rule("R", RuleAnswers("log", ("motor=4",)), tmp_path / "r.toml")
    assert (tmp_path / "r.toml").read_text(encoding="utf-8") == "mine"
