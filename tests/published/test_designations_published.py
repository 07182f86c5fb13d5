"""Contact rating designations against the printed table.

Sources: Siemens, NEMA and IEC control circuit classifications (dtsheet document 1798004), and Eaton, catalogue
CA08103002Z, page 22/16, which print table A.1 of IEC 60947-5-1; Macromatic, How to apply pilot duty ratings; Rockwell
Automation, SLC 500 digital I/O modules, installation instructions 1746-IN027D, page 44. Excerpts.
"""

from __future__ import annotations

import pytest

from bom.duty.categories import R300_AT_250, Designation, all_designations, designation

AC = [  # code, thermal amps, volts, make, break
    ("A150", 10, 120, 60, 6),
    ("A300", 10, 120, 60, 6),
    ("A300", 10, 240, 30, 3),
    ("A600", 10, 120, 60, 6),
    ("A600", 10, 240, 30, 3),
    ("A600", 10, 480, 15, 1.5),
    ("A600", 10, 600, 12, 1.2),
    ("B150", 5, 120, 30, 3),
    ("B300", 5, 120, 30, 3),
    ("B300", 5, 240, 15, 1.5),
    ("B600", 5, 120, 30, 3),
    ("B600", 5, 240, 15, 1.5),
    ("B600", 5, 480, 7.5, 0.75),
    ("B600", 5, 600, 6, 0.6),
    ("C150", 2.5, 120, 15, 1.5),
    ("C300", 2.5, 120, 15, 1.5),
    ("C300", 2.5, 240, 7.5, 0.75),
    ("C600", 2.5, 120, 15, 1.5),
    ("C600", 2.5, 240, 7.5, 0.75),
    ("C600", 2.5, 480, 3.75, 0.375),
    ("C600", 2.5, 600, 3, 0.3),
    ("D150", 1, 120, 3.6, 0.6),
    ("D300", 1, 120, 3.6, 0.6),
    ("D300", 1, 240, 1.8, 0.3),
    ("E150", 0.5, 120, 1.8, 0.3),
]
DC = [  # code, thermal amps, volts, amps
    ("N150", 10, 125, 2.2),
    ("N300", 10, 125, 2.2),
    ("N300", 10, 250, 1.1),
    ("N600", 10, 125, 2.2),
    ("N600", 10, 250, 1.1),
    ("N600", 10, 301, 0.4),
    ("N600", 10, 600, 0.4),
    ("P150", 5, 125, 1.1),
    ("P300", 5, 125, 1.1),
    ("P300", 5, 250, 0.55),
    ("P600", 5, 125, 1.1),
    ("P600", 5, 250, 0.55),
    ("P600", 5, 600, 0.2),
    ("Q150", 2.5, 125, 0.55),
    ("Q300", 2.5, 125, 0.55),
    ("Q300", 2.5, 250, 0.27),
    ("Q600", 2.5, 125, 0.55),
    ("Q600", 2.5, 250, 0.27),
    ("Q600", 2.5, 600, 0.1),
    ("R150", 1, 125, 0.22),
    ("R300", 1, 125, 0.22),
    ("R300", 1, 250, 0.11),
]


def named(code: str) -> Designation:
    found = designation(code)
    assert found is not None
    return found


@pytest.mark.parametrize(("code", "thermal", "volts", "make", "broken"), AC)
def test_ac_rows(code: str, thermal: float, volts: float, make: float, broken: float) -> None:
    row = named(code)
    assert row.thermal_amps == thermal
    assert row.make_amps(volts) == pytest.approx(make)
    assert row.break_amps(volts) == pytest.approx(broken)


@pytest.mark.parametrize(("code", "thermal", "volts", "amps"), DC)
def test_dc_rows_make_as_they_break(code: str, thermal: float, volts: float, amps: float) -> None:
    row = named(code)
    assert row.thermal_amps == thermal
    assert row.break_amps(volts) == row.make_amps(volts) == pytest.approx(amps)


@pytest.mark.parametrize(("code", "above"), [("A150", 151), ("A300", 301), ("A600", 601), ("R300", 301)])
def test_nothing_is_rated_above_its_number(code: str, above: float) -> None:
    assert named(code).make_amps(above) is named(code).break_amps(above) is None


def test_the_table_has_these_codes_and_no_others() -> None:
    printed = "A150 A300 A600 B150 B300 B600 C150 C300 C600 D150 D300 E150 N150 N300 N600 P150 P300 P600"
    assert {d.name for d in all_designations()} == set(f"{printed} Q150 Q300 Q600 R150 R300".split())


@pytest.mark.parametrize("code", ["D600", "E300", "R600", "F300", "A120", "B"])
def test_what_the_table_does_not_have_is_no_designation(code: str) -> None:
    assert designation(code) is None


def test_b300_at_24_v_ac_is_capped_by_its_thermal_current() -> None:
    """Macromatic's example: 360 VA / 24 V is 15 A, above the thermal 5 A; the making current stays 30 A."""
    assert (named("B300").make_amps(24), named("B300").break_amps(24)) == (30, 5)


def test_between_the_columns_the_va_counts() -> None:
    """Rockwell prints 28 VA / 48 V = 0.58 A; A300 at 200 V is 7200/200 and 720/200."""
    assert named("R300").break_amps(48) == pytest.approx(0.58, abs=0.005)
    assert named("A300").make_amps(200) == pytest.approx(36)
    assert named("A300").break_amps(200) == pytest.approx(3.6)


@pytest.mark.parametrize(("code", "amps"), [("N300", 2.75), ("P300", 1.38), ("Q300", 0.69), ("R300", 0.28)])
def test_below_the_first_dc_column_the_va_counts(code: str, amps: float) -> None:
    """IEC 60947-5-1, table A.1 as Eaton prints it: 275, 138, 69 and 28 VA to 300 V DC; here at 100 V."""
    assert named(code).break_amps(100) == pytest.approx(amps)


@pytest.mark.parametrize(
    ("code", "breaks", "makes"),
    [("A300", 10, 60), ("B300", 5, 30), ("C300", 2.5, 15), ("D300", 1, 3.6), ("E150", 0.5, 1.8)],
)
def test_no_ac_contact_breaks_more_than_its_thermal_current(code: str, breaks: float, makes: float) -> None:
    """Macromatic's rule at half a volt, where it makes what is printed at 120 V; at no volts it makes and breaks
    nothing."""
    assert (named(code).break_amps(0.5), named(code).make_amps(0.5)) == (breaks, pytest.approx(makes))
    assert (named(code).break_amps(0), named(code).make_amps(0)) == (None, None)


def test_of_two_printed_figures_of_r300_the_one_in_both_tables_counts() -> None:
    """Siemens and Eaton print 0.11 A at 250 V; 0.1 A in some catalogues, from memory."""
    assert named("R300").break_amps(250) == R300_AT_250[0] == 0.11
    assert R300_AT_250[1] == 0.1


def test_r300_at_24_v_is_capped_by_its_thermal_current() -> None:
    """IEC 60947-5-1, table A.1: R300 is 1 A thermal; 28 VA / 24 V would be 1.17 A."""
    assert named("R300").break_amps(24) == 1.0
