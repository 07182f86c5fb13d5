"""What others use never changes unseen: the differences are shown with whom they concern, and need a word."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.jobs.buying.suppliers import add_supplier, take_rates_file
from bom.jobs.catalogue import add_catalogue
from bom.jobs.kits.taking import add_kit
from bom.jobs.replacing.boards import add_board
from bom.store.boards_and_kits import board
from bom.store.catalogue import named, whole_catalogue
from bom.store.unit_of_work import Session
from bom.values.difference import Replacing, WouldReplace
from bom.values.problem import ProblemsFound


def copied(folder: Path, to: Path, old: str, new: str, pattern: str) -> Path:
    """The demo's files of this pattern in a folder of their own, with one text changed wherever it stands."""
    (to / "demo").mkdir()
    for file in sorted(folder.glob(pattern)):
        text = file.read_text(encoding="utf-8")
        (to / "demo" / file.name).write_text(text.replace(old, new), encoding="utf-8")
    return to / "demo"


def shown(refused: pytest.ExceptionInfo[WouldReplace]) -> str:
    return str(refused.value)


def test_a_folder_that_moves_a_pin_names_the_footprint_the_pin_and_its_relays(
    shop: Session, demo_folder: Path, tmp_path: Path
) -> None:
    kept = whole_catalogue(shop).footprints["KIT-K2"]
    pin = kept.pins[0]
    folder = copied(demo_folder, tmp_path, f"KIT-K2,{pin.name},{pin.x_mm:g}", f"KIT-K2,{pin.name},99", "*.csv")
    with pytest.raises(WouldReplace) as refused:
        add_catalogue(shop, folder)
    said = shown(refused)
    assert "footprint KIT-K2 would change:" in said and f"→ {99 + 0:g}" in said.replace("99.0", "99")
    assert "concerns" in said and "Kithmar K2R" in said and "--replace" in said


def test_with_the_word_it_is_taken_and_what_changed_is_told(shop: Session, demo_folder: Path, tmp_path: Path) -> None:
    folder = copied(demo_folder, tmp_path, "K2R B/2021", "K2R C/2026", "*.csv")
    replacing = Replacing(allowed=True)
    answer = add_catalogue(shop, folder, replacing=replacing)
    assert any(one.what == "relay Kithmar K2R-12S" for one in replacing.differences)
    assert answer.updated > 0 and answer.replaced
    assert "C/2026" in named(shop, "K2R-12S")[0].source


def test_a_series_rating_that_changes_names_the_relays_of_the_series(
    shop: Session, demo_folder: Path, tmp_path: Path
) -> None:
    rating = next(r for r in whole_catalogue(shop).ratings if r.source)
    folder = copied(demo_folder, tmp_path, rating.source, "another sheet", "*.csv")
    with pytest.raises(WouldReplace, match=f"ratings of {rating.applies_to} would change"):
        add_catalogue(shop, folder)


def test_the_same_folder_again_is_fine(shop: Session, demo_folder: Path) -> None:
    answer = add_catalogue(shop, demo_folder)
    assert (answer.added, answer.updated, answer.replaced) == (0, 0, ())


def one_relay(demo_folder: Path, tmp_path: Path, footprint: str) -> Path:
    header, *rows = (demo_folder / "relays.csv").read_text().splitlines()
    row = next(r for r in rows if r.startswith("Kithmar,K2R-12S,"))
    (tmp_path / "one").mkdir()
    new = row.replace("K2R-12S", "K2R-13S").replace(",KIT-K2,", f",{footprint},")
    (tmp_path / "one" / "relays.csv").write_text(f"{header}\n{new}\n")
    return tmp_path / "one"


def test_one_relay_alone_uses_the_drawings_that_are_there(shop: Session, demo_folder: Path, tmp_path: Path) -> None:
    answer = add_catalogue(shop, one_relay(demo_folder, tmp_path, "KIT-K2"))
    assert answer.added == 1
    design = whole_catalogue(shop).design(named(shop, "K2R-13S")[0])
    assert design.footprint is not None and design.wiring is not None and design.ratings


def test_a_drawing_that_nobody_has_is_still_a_problem(shop: Session, demo_folder: Path, tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match="KIT-K9"):
        add_catalogue(shop, one_relay(demo_folder, tmp_path, "KIT-K9"))


def test_a_board_that_differs_says_where_and_which_kits_are_for_it(
    shop: Session, demo_folder: Path, tmp_path: Path
) -> None:
    folder = copied(demo_folder / "boards", tmp_path, 'fitted = "TW2-12S"', 'fitted = "K2R-12S"', "*")
    with pytest.raises(WouldReplace) as refused:
        add_board(shop, folder / "os-3.toml")
    said = shown(refused)
    assert "board OS-3 would change:" in said and "fitted: TW2-12S → K2R-12S" in said
    assert "concerns" in said and "OS-3 valve drive" in said
    assert "K2R-12S" not in {p.fitted for p in board(shop, "OS-3").positions}  # type: ignore[union-attr]


@pytest.mark.parametrize("file", ["boards/os-3.toml", "kits/os-3-valve-drive.toml", "suppliers/osmere.toml"])
def test_a_file_taken_again_unchanged_says_so(shop: Session, demo_folder: Path, file: str) -> None:
    take = {"boards": add_board, "kits": add_kit, "suppliers": add_supplier}[file.partition("/")[0]]
    assert take(shop, demo_folder / file)[0].endswith(", unchanged")


def test_a_kit_and_a_supplier_that_differ_name_who_rests_on_them(
    shop: Session, demo_folder: Path, tmp_path: Path
) -> None:
    kits = copied(demo_folder / "kits", tmp_path, "quantity = ", "quantity =  ", "*")
    text = (kits / "bench-consumables.toml").read_text()
    (kits / "bench-consumables.toml").write_text(text.replace('currency = "GBP"', 'currency = "EUR"'))
    with pytest.raises(WouldReplace, match=r"currency: GBP → EUR\n(.*\n)*  concerns 6 kits: AW-12"):
        add_kit(shop, kits / "bench-consumables.toml")


def test_a_supplier_that_differs_names_its_offers_and_lots(shop: Session, demo_folder: Path, tmp_path: Path) -> None:
    folder = copied(demo_folder / "suppliers", tmp_path, "lead_days = 4", "lead_days = 14", "osmere.toml")
    with pytest.raises(WouldReplace, match=r"supplier Osmere would change:\n(.*\n)*  concerns .*offers"):
        add_supplier(shop, folder / "osmere.toml")


RATES = 'base = "{base}"\ndate = {day}\nsource = "x"\nrates = {{ EUR = {eur}, USD = 0.76 }}\n'


def test_other_rates_for_a_day_that_is_there_name_the_suppliers(shop: Session, tmp_path: Path) -> None:
    file = tmp_path / "rates.toml"
    file.write_text(RATES.format(base="GBP", day="2020-01-02", eur=0.87))
    take_rates_file(shop, file)
    take_rates_file(shop, file)
    file.write_text(RATES.format(base="GBP", day="2020-01-02", eur=0.88))
    with pytest.raises(WouldReplace, match=r"rates to GBP of 2020-01-02 would change:\n  EUR: 0.87 → 0.88\n.*supplier"):
        take_rates_file(shop, file)


def test_another_base_changes_the_shops_currency(shop: Session, tmp_path: Path) -> None:
    file = tmp_path / "rates.toml"
    file.write_text('base = "CHF"\ndate = 2020-01-02\nsource = "x"\nrates = { EUR = 0.9, GBP = 1.1 }\n')
    with pytest.raises(WouldReplace, match="the shop's currency would change:\n  GBP → CHF\n  concerns every cost"):
        take_rates_file(shop, file, "CHF")


def one_coil(folder: Path, number: str, ohms: str, also: str = "") -> Path:
    columns = "maker,part_number,series,coil_system,coil_supply,coil_volts,coil_ohms\n"
    row = "Kithmar,{},K2R,monostable,dc,12,{}\n"
    (folder / "relays.csv").write_text(columns + row.format(number, ohms) + also, encoding="utf-8")
    return folder


def test_one_relays_ohms_are_looked_at_beside_its_series_that_is_kept(shop: Session, tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match=r"as K2R-.* of series K2R has; --insist K2R-12X"):
        add_catalogue(shop, one_coil(tmp_path, "K2R-12X", "24"))
    add_catalogue(shop, one_coil(tmp_path, "K2R-12X", "24"), insist=["K2R-12X"])
    add_catalogue(shop, one_coil(tmp_path, "K2R-12X", "240"))  # its own slip does not stand against it
    assert named(shop, "K2R-12X")[0].coil_ohms == 240
