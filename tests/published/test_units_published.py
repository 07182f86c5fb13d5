"""Every unit we read, against Pint (PyPI, 0.24 or newer), its default registry (``default_en.txt``)."""

from __future__ import annotations

import pint
import pytest

from bom.values.quantity import _KINDS, read

UNITS = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
BASE = {
    "V": "volt",
    "A": "ampere",
    "W": "watt",
    "Hz": "hertz",
    "ohm": "ohm",
    "mm": "millimeter",
    "s": "second",
    "g": "gram",
    "ml": "milliliter",
    "degC": "degC",
}
# Bench spellings that the library writes otherwise.
THEIRS = {"K": {"ohm": "kiloohm", "degC": "kelvin"}, "k": {"ohm": "kiloohm"}, "M": {"ohm": "megaohm"}}
SPELT = dict(
    pair.split("=")
    for line in (
        "R=ohm r=ohm mR=milliohm kR=kiloohm uR=microohm MR=megaohm nR=nanoohm OHM=ohm Ohm=ohm Ohms=ohm",
        'mil=thou mils=thou "=inch ″=inch MM=mm mv=mV v=V a=A amp=A amps=A ma=mA w=W mw=mW hz=Hz khz=kHz kHZ=kHz',
        "sec=s cc=cm**3 cm3=cm**3 °C=degC C=degC ℃=degC c=degC °c=degC degc=degC °F=degF F=degF ℉=degF oz=ounce",
    )
    for pair in line.split()
)


def theirs(unit: str, word: str) -> str:
    plain = THEIRS.get(word, {}).get(unit) or SPELT.get(word, word)
    return plain.replace("Ohms", "ohm").replace("ohms", "ohm").replace("Ohm", "ohm").replace("OHM", "ohm")


WORDS = [(unit, word) for unit, kind in _KINDS.items() if unit in BASE for word in kind.scale]


@pytest.mark.parametrize(("unit", "word"), WORDS)
def test_a_unit_is_worth_what_the_library_says(unit: str, word: str) -> None:
    expected = UNITS.Quantity(7, theirs(unit, word)).to(BASE[unit]).magnitude
    assert read(f"7 {word}", unit) == pytest.approx(float(expected), rel=1e-9)


@pytest.mark.parametrize(("text", "unit", "library"), [("4k7", "ohm", "4.7 kiloohm"), ("0.1 in", "mm", "0.1 inch")])
def test_bench_spellings(text: str, unit: str, library: str) -> None:
    assert read(text, unit) == pytest.approx(UNITS.Quantity(library).to(BASE[unit]).magnitude)


@pytest.mark.parametrize(("wanted", "text"), [("ms", "3 s"), ("mA", "3 A"), ("mW", "3 W")])
def test_wanted_units_that_are_not_the_base(wanted: str, text: str) -> None:
    assert read(text, wanted) == pytest.approx(UNITS.Quantity(text).to(wanted).magnitude)
