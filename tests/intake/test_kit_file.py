"""Kit files: solder by its joints or by a weighed reel, settings, and problems with their places."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from bom.intake.kit_file import take_kit
from bom.kits.kit import Kit
from bom.values.money import Money
from bom.values.problem import ProblemsFound

HEAD = '[kit]\nname = "k"\ncurrency = "GBP"\n'
JOINTS = "joints = [{ count = 8, hole_mm = 1.5, pin_mm = 1.0, pad_mm = 3.0, board_mm = 1.6 }]"
MARKET = "[market]\ntax_registered = true\n"


def kit(path: Path, text: str) -> Kit:
    file = path / "k.toml"
    file.write_text(HEAD + text)
    return take_kit(file).value


def wire(solder: str) -> str:
    return f'[[line]]\npart = "WIRE"\n[line.solder]\n{solder}\n'


@pytest.mark.parametrize(
    ("solder", "grams", "how"),
    [
        (f'alloy = "SAC305"\n{JOINTS}', "0.255", "8 joints by geometry, SAC305"),
        (f'alloy = "SAC305"\nexcess = 1\nflux_pct = 0\n{JOINTS}', "0.208", "8 joints by geometry, SAC305"),
        (f'alloy = "Sn63Pb37"\nexcess = 1\nflux_pct = 0\n{JOINTS}', "0.237", "8 joints by geometry, Sn63Pb37"),
        (
            "reel_before_g = 250\nreel_after_g = 241.6\nreel_joints = 96\njoints = [{ count = 16 }]",
            "1.400",
            "16 joints of 0.0875 g, by weighed reel",
        ),
    ],
)
def test_solder_is_reckoned_from_its_joints(tmp_path: Path, solder: str, grams: str, how: str) -> None:
    """The masses: the process worksheet's formula, see test_solder_published; the reel: arithmetic."""
    (line,) = kit(tmp_path, wire(solder)).lines
    assert (line.quantity, line.unit, line.how) == (Decimal(grams), "g", how)


def test_costs_steps_and_rounding_are_settings(tmp_path: Path) -> None:
    settings = 'rounding = "half even"\nprice_step = 0.05\npayment_pct = 2.9\npayment_fixed = 0.30\n'
    found = kit(
        tmp_path,
        'cost_by = "landed"\nsteps = ["one", "two"]\n[[line]]\npart = "P"\ncost = 0.25\n' + MARKET + settings,
    )
    assert (found.cost_by, found.steps, found.lines[0].each) == ("landed", ("one", "two"), Money.of("0.25", "GBP"))
    assert found.market is not None
    assert (found.market.rounding, found.market.price_step) == ("half even", Money.of("0.05", "GBP"))
    assert (found.market.payment_pct, found.market.payment_fixed) == (Decimal("2.9"), Money.of("0.30", "GBP"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[[line]]\npart = "W"\nquantity = "1 g"\n[line.solder]\nalloy = "SAC305"\n' + JOINTS, "either a quantity or"),
        (wire(f'alloy = "Tin"\n{JOINTS}'), "SAC305"),
        (wire('alloy = "SAC305"'), "at least one kind of joint"),
        (wire(f'alloy = "SAC305"\n{JOINTS.replace("1.0", "2.0")}'), "thinner than its hole"),
        (wire(f"reel_before_g = 1\nreel_after_g = 2\nreel_joints = 3\n{JOINTS}"), "lighter"),
        ('cost_by = "guess"\n', "average | landed | fixed"),
        ("attrition_pct = 100\n", "up to 99.99 %"),
        (MARKET + "margin_pct = 20\nprice = 3\n", "either price or margin_pct"),
        (MARKET + 'rounding = "up"\n', "half up | half even | down"),
        ("[market]\nprice = 3\n", "tax_registered"),
        ('[[line]]\npart = "P"\nposition = "K1"\n', "exactly one of position, part, kit"),
        ('[[line]]\nposition = "K1"\n', "a board under"),
        ('[[line]]\npart = "P"\nquantity = "some"\n', "an amount with its unit"),
        ("price = 14,90\n", 'TOML, as in name = "text"'),
    ],
)
def test_what_is_wrong_is_said_with_its_line(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(ProblemsFound) as found:
        kit(tmp_path, text)
    (problem,) = found.value.problems[:1]
    assert problem.line > 0 and said in str(found.value)


def test_a_currency_that_is_none_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "k.toml"
    file.write_text(HEAD.replace("GBP", "GPB"))
    with pytest.raises(ProblemsFound, match=r"k.toml:3.*currency.*is GBP meant.*found 'GPB'"):
        take_kit(file)
