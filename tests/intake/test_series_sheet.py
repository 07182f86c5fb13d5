"""A series sheet makes the relays that its data sheet states; of a slip is told where it is and what belongs there."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from bom.intake.catalogue import open_catalogue, read_catalogue
from bom.intake.relay_rows import relay_of
from bom.relays.catalogue import Catalogue
from bom.relays.relay import Rating, Relay
from bom.values.problem import Problem, ProblemsFound

DEMO = Path(__file__).parents[2] / "catalogs" / "demo"
SHEET = """\
[series]
maker = "Ostrel"
name = "TW"
source = "data sheet 1/2020"
part_number = "TW-{coil}{seal}"
not_made = ["TW-24F"]

[shared]
coil_supply = "dc"
coil_system = "monostable"
operate_volts = "75 %"
sealing = "RT II"
temp_max_c = 85

[coils]
columns = ["code", "coil_volts", "coil_ohms"]
rows = [
  ["12", 12, 240],   # the usual one
  ["24", 24, 960],
]

[choices.seal]
F = {}
S = { sealing = "RT III" }

[parts]
TW-24S = { status = "obsolete", temp_max_c = "" }

[ratings]
supply = "dc"
columns = ["contact", "load", "volts", "amps"]
rows = [
  ["make", "motor", 14, 8],
  ["break", "motor", 14, 4],
]

[footprint]
view = "component"
pins = "A1 0/0, A2 0/5, 11 10/0, 14 10/5"
lead = "0.8 x 0.5 at 90"
leads = { "A1, A2" = 0.6 }

[wiring]
unit.A = "coil A1(+) A2; make 11 14"
"""


def taken(tmp_path: Path, text: str = SHEET) -> Catalogue:
    path = tmp_path / "tw.toml"
    path.write_text(text, encoding="utf-8")
    return read_catalogue(path).value


def problems(tmp_path: Path, text: str) -> list[Problem]:
    with pytest.raises(ProblemsFound) as found:
        taken(tmp_path, text)
    return list(found.value.problems)


def relay(catalogue: Catalogue, number: str) -> Relay:
    return next(r for r in catalogue.relays if r.part_number == number)


def changed(old: str, new: str) -> str:
    assert SHEET.count(old) == 1, old
    return SHEET.replace(old, new)


def line_with(text: str, words: str) -> int:
    return next(n for n, line in enumerate(text.splitlines(), 1) if words in line)


def test_every_code_with_every_choice_is_a_part_but_for_those_not_made(tmp_path: Path) -> None:
    assert [r.part_number for r in taken(tmp_path).relays] == ["TW-12F", "TW-12S", "TW-24S"]


def test_a_part_has_what_is_shared_what_its_codes_say_and_what_it_says_itself(tmp_path: Path) -> None:
    plain, own = relay(taken(tmp_path), "TW-12F"), relay(taken(tmp_path), "TW-24S")
    assert (plain.maker, plain.series, plain.source) == ("Ostrel", "TW", "data sheet 1/2020")
    assert (plain.coil_ohms, plain.sealing, plain.temp_max_c, plain.status) == (240, "RT II", 85, None)
    assert (own.coil_ohms, own.sealing, own.temp_max_c, own.status) == (960, "RT III", None, "obsolete")


def test_a_percentage_is_of_the_rated_volts(tmp_path: Path) -> None:
    assert relay(taken(tmp_path), "TW-12S").operate_volts == 9
    assert relay(taken(tmp_path), "TW-24S").operate_volts == 18


def test_the_only_footprint_and_wiring_are_those_of_all_parts_and_called_as_the_series(tmp_path: Path) -> None:
    catalogue = taken(tmp_path)
    assert {(r.footprint, r.wiring) for r in catalogue.relays} == {("Ostrel TW", "Ostrel TW")}
    pins = {pin.name: pin for pin in catalogue.footprints["Ostrel TW"].pins}
    assert (pins["A2"].y_mm, pins["A2"].lead_mm, pins["A2"].lead_width_mm) == (5, 0.6, None)
    assert (pins["14"].lead_mm, pins["14"].lead_width_mm, pins["14"].lead_angle_deg) == (0.8, 0.5, 90)
    assert [e.polarised for e in catalogue.wirings["Ostrel TW"].elements] == [True, False]


def test_ratings_are_for_the_series(tmp_path: Path) -> None:
    source = "data sheet 1/2020"
    assert taken(tmp_path).ratings == (
        Rating("TW", "make", "motor", "dc", 14, 8, source=source),
        Rating("TW", "break", "motor", "dc", 14, 4, source=source),
    )


def test_a_rating_with_an_open_place_is_for_each_part_that_it_means(tmp_path: Path) -> None:
    text = changed('columns = ["contact", "load"', 'applies_to = "TW-{coil}S"\ncolumns = ["contact", "load"')
    assert [r.applies_to for r in taken(tmp_path, text).ratings] == ["TW-12S", "TW-24S"] * 2


def test_without_a_code_the_rated_volts_stand_in_the_number(tmp_path: Path) -> None:
    text = SHEET.replace('"code", "coil_volts"', '"coil_volts"').replace('"12", 12', "12").replace('"24", 24', "24")
    assert taken(tmp_path, text).relays == taken(tmp_path).relays


@pytest.mark.parametrize(
    "columns, row, ohms",
    [
        ('"coil_milliwatts"', 600, 240),
        ('"coil_milliamps"', 50, 240),
        ('"coil_milliwatts"', 530, 272),  # 271.698 …
        ('"coil_ohms", "coil_milliwatts"', "240, 600", 240),
    ],
)
def test_ohms_come_of_the_power_or_the_current(tmp_path: Path, columns: str, row: object, ohms: float) -> None:
    text = re.sub(r'"coil_ohms"\]', columns + "]", SHEET).replace("12, 240", f"12, {row}")
    text = text.replace('  ["24", 24, 960],\n', "").replace('not_made = ["TW-24F"]\n', "").replace("TW-24S", "TW-12S")
    assert relay(taken(tmp_path, text), "TW-12F").coil_ohms == ohms


CONTACTS = """\
columns = ["load", "volts", "make_amps", "break_amps", "break_inrush_amps"]
rows = [
  ["motor", 14, 8, 4, 12],
  ["lamp", 14, 6, "", ""],
]
"""
USUAL_LINES = SHEET[SHEET.index('columns = ["contact"') : SHEET.index("[footprint]")]


def test_a_line_of_the_contact_table_may_state_make_and_break_beside_each_other(tmp_path: Path) -> None:
    source = "data sheet 1/2020"
    assert taken(tmp_path, changed(USUAL_LINES, CONTACTS)).ratings == (
        Rating("TW", "make", "motor", "dc", 14, 8, source=source),
        Rating("TW", "break", "motor", "dc", 14, 4, 12, source=source),
        Rating("TW", "make", "lamp", "dc", 14, 6, source=source),
    )


@pytest.mark.parametrize(
    "old, new, key, expected",
    [
        ('["lamp", 14, 6, "", ""]', '["lamp", 14, "", "", ""]', "ratings.make_amps", "a figure for one"),
        ('["load", "volts", "make_amps"', '["load", "contact", "make_amps"', "ratings.contact", "either contact, or"),
        ('["lamp", 14, 6, "", ""]', '["lamp", 14, 6, -1, ""]', "ratings.break_amps", "above 0"),
        ('["motor", 14, 8, 4, 12]', '["motor", 14, 8, 4, 2]', "ratings.break_inrush_amps", "at least amps"),
        ('"break_amps"', '"brake_amps"', "ratings.columns", "is 'break_amps' meant?"),
    ],
)
def test_a_slip_in_such_a_line_is_told(tmp_path: Path, old: str, new: str, key: str, expected: str) -> None:
    text = changed(USUAL_LINES, CONTACTS)
    assert old in text
    told = problems(tmp_path, text.replace(old, new))
    assert any(p.column == key and expected in p.expected and p.line for p in told), [str(p) for p in told]


def test_seconds_said_of_all_lines_are_of_those_that_carry(tmp_path: Path) -> None:
    table = 'carry_seconds = 3\ncolumns = ["load", "volts", "make_amps", "break_amps", "make_carry_amps"]\n'
    text = changed(USUAL_LINES, f'{table}rows = [["motor", 14, 8, 4, 35]]\n')
    assert [(r.contact, r.carry_amps, r.carry_seconds) for r in taken(tmp_path, text).ratings] == [
        ("make", 35, 3),
        ("break", None, None),
    ]
    told = problems(tmp_path, text.replace("35]", '""]'))
    assert [(p.column, p.expected) for p in told] == [
        ("ratings.carry_seconds", "carry_amps in a line, which it belongs to")
    ]


TWO_WIRINGS = (
    SHEET.replace("[wiring]", "[[wiring]]\nname = 'plain'")
    .replace("A1(+)", "A1")
    .replace("S = { sealing", "S = { wiring = 'diode', sealing")
    .replace("temp_max_c = 85", "temp_max_c = 85\nwiring = 'plain'")
    + "[[wiring]]\nname = 'diode'\nlike = 'plain'\nplus = 'A2'\n"
)


def test_a_wiring_may_be_like_another_with_an_end_of_the_coil_plus(tmp_path: Path) -> None:
    plain, diode = taken(tmp_path, TWO_WIRINGS).wirings.values()
    assert [(e.pins, e.polarised) for e in plain.coils] == [(("A1", "A2"), False)]
    assert [(e.pins, e.polarised) for e in diode.coils] == [(("A2", "A1"), True)]
    assert plain.contacts == diode.contacts


@pytest.mark.parametrize(
    "old, new, key, expected",
    [
        ("like = 'plain'", "like = 'plan'", "wiring[2].like", "is 'plain' meant?"),
        ("plus = 'A2'", "plus = 'A3'", "wiring[2].plus", "one end of a coil"),
        ("plus = 'A2'", "plus = 'A1, A2'", "wiring[2].plus", "one end of a coil"),
        ("plus = 'A2'", "plus = ''", "wiring[2].plus", "the coil ends"),
        ("plus = 'A2'", "", "wiring[2].plus", "the coil ends"),
        ("plus = 'A2'", "usual = 'single make'", "wiring[2].like", "one of: a line for each unit"),
    ],
)
def test_a_slip_in_a_wiring_like_another_is_told(tmp_path: Path, old: str, new: str, key: str, expected: str) -> None:
    told = problems(tmp_path, TWO_WIRINGS.replace(old, new))
    assert any(p.column == key and expected in p.expected and p.line for p in told), [str(p) for p in told]


def with_footprint(lines: str, wired: str) -> str:
    text = SHEET[: SHEET.index("[footprint]")]
    return f"{text}[footprint]\nview = 'component'\n{lines}\n[wiring]\n{wired}\n"


def test_pins_may_count_in_steps_of_a_pitch(tmp_path: Path) -> None:
    text = with_footprint("pitch_mm = 2.54\npins = '1 0/0, 2 3/0, 3 0/1.5'", "unit.A = 'coil 1 2; make 2 3'")
    pins = taken(tmp_path, text).footprints["Ostrel TW"].pins
    assert [(pin.x_mm, pin.y_mm) for pin in pins] == [(0, 0), (7.62, 0), (0, 3.81)]


DUAL = "layout = 'dual in line'\npitch_mm = 2.54\nrows_mm = 7.62\nof_pins = 14\npins = '1, 2, 6, 8, 14'"


def test_numbers_place_the_pins_of_a_dual_in_line_body(tmp_path: Path) -> None:
    text = with_footprint(DUAL, "usual = 'single make'\npins = '2(+) 6, 1 14'")
    catalogue = taken(tmp_path, text)
    places = {pin.name: (pin.x_mm, pin.y_mm) for pin in catalogue.footprints["Ostrel TW"].pins}
    assert places == {"1": (0, 0), "2": (0, 2.54), "6": (0, 12.7), "8": (7.62, 15.24), "14": (7.62, 0)}
    assert [(e.kind, e.pins, e.polarised) for e in catalogue.wirings["Ostrel TW"].elements] == [
        ("coil", ("2", "6"), True),
        ("make", ("1", "14"), False),
    ]


@pytest.mark.parametrize(
    "old, new, key, expected",
    [
        ("rows_mm = 7.62\n", "", "footprint.layout", "rows_mm and of_pins beside it"),
        ("'1, 2, 6, 8, 14'", "'1, 2, 6, 8, 15'", "footprint.pins", "the numbers of the pins"),
        ("'1, 2, 6, 8, 14'", "'1, 2, A6'", "footprint.pins", "the numbers of the pins"),
        ("'dual in line'", "'duel in line'", "footprint.layout", "is 'dual in line' meant?"),
        ("'2(+) 6, 1 14'", "'2(+) 6, 1'", "wiring.pins", "4 pins, in the places of A: coil 1 2; make 3 4"),
        ("'single make'", "'singel make'", "wiring.usual", "is 'single make' meant?"),
        ("usual = 'single make'\n", "", "wiring.unit", "one of: a line for each unit"),
    ],
)
def test_a_slip_in_a_layout_or_a_usual_wiring_is_told(
    tmp_path: Path, old: str, new: str, key: str, expected: str
) -> None:
    text = with_footprint(DUAL, "usual = 'single make'\npins = '2(+) 6, 1 14'")
    assert old in text
    told = problems(tmp_path, text.replace(old, new))
    assert any(p.column == key and expected in p.expected and p.line for p in told), [str(p) for p in told]


SLIPS = [
    ('maker = "Ostrel"', 'maker = ""', "series.maker", "text, as in Ostrel"),
    ('name = "TW"', 'nam = "TW"', "series.nam", "is 'name' meant?"),
    ('"TW-{coil}{seal}"', '"TW-{coil}"', "choices.seal", "{seal}"),
    ('"TW-{coil}{seal}"', '"TW-12{seal}"', "coils", "{coil}"),
    ('"TW-{coil}{seal}"', '"TW-{coil}{seal}{x}"', "series.part_number", "[choices.x]"),
    ('"TW-{coil}{seal}"', '"TW-{coil}{seal}{coil}"', "series.part_number", "{coil} once"),
    ('"TW-{coil}{seal}"', '"TW-{coil}{seal"', "series.part_number", "each place in braces"),
    ('["TW-24F"]', '["TW-48F"]', "series.not_made", "a part number that"),
    ('["TW-24F"]', '["TW-{coil}{seal}"]', "series.not_made", "at least one part"),
    ('["TW-24F"]', '["TW-{cil}F"]', "series.not_made", "is 'coil' meant?"),
    ("[shared]", "[shred]", "shred", "is 'shared' meant?"),
    ('coil_supply = "dc"', 'coil_suply = "dc"', "shared.coil_suply", "is 'coil_supply' meant?"),
    ('coil_supply = "dc"', 'maker = "Other"', "shared.maker", "a key that is read here"),
    ('operate_volts = "75 %"', 'operate_volts = "175 %"', "shared.operate_volts", "up to 100 % of coil_volts"),
    ('operate_volts = "75 %"', 'operate_volts = "x %"', "shared.operate_volts", "% of coil_volts"),
    ('operate_volts = "75 %"', "operate_volts = 75", "shared.operate_volts", "at most coil_volts, which is 12"),
    ('operate_volts = "75 %"', "operate_volts = 0.75e15", "shared.operate_volts", "a number of a likely size"),
    ('operate_volts = "75 %"', 'body_height_mm = "75 %"', "shared.body_height_mm", "mm"),
    ('operate_volts = "75 %"', "coil_max_volts = 10", "coils.coil_volts", "at most coil_max_volts"),
    ('sealing = "RT II"', 'sealing = "RT 9"', "shared.sealing", "one of: RT 0"),
    ('sealing = "RT II"', "contact_material = 5", "shared.contact_material", "text in quotes"),
    ('sealing = "RT II"', "sealing = true", "shared.sealing", "RT 0"),
    ("temp_max_c = 85", "temp_max_c = -300", "shared.temp_max_c", "not below"),
    ("temp_max_c = 85", "coil_ohms = 240", "coils.coil_ohms", "here or in [shared]"),
    ('["code", "coil_volts", "coil_ohms"]', '["code", "coil_volts", "coil_oms"]', "coils.columns", "'coil_ohms'"),
    ('["code", "coil_volts", "coil_ohms"]', '["code", "code", "coil_ohms"]', "coils.columns", "each column once"),
    ('["code", "coil_volts", "coil_ohms"]', "[]", "coils.columns", "the name of each column"),
    ('["24", 24, 960]', '["24", 24]', "coils.rows", "3 values"),
    ('["24", 24, 960]', '["12", 24, 960]', "coils.code", "each code once"),
    ('["24", 24, 960]', '["", 24, 960]', "coils.code", "a code"),
    ('["24", 24, 960]', '["24", "75 %", 960]', "coils.coil_volts", "a voltage"),
    ('["24", 24, 960]', '["24", "", 960]', "shared.operate_volts", "coil_volts beside it"),
    ('["24", 24, 960]', '["24", 24, 96]', "coils.coil_ohms", "a coil of about"),
    ("[choices.seal]", "[choices.coil]", "choices.coil", "another name than coil"),
    ('S = { sealing = "RT III" }', "S = { sealing = 3 }", "choices.seal.S.sealing", "RT 0"),
    ('S = { sealing = "RT III" }', "S = { coil_ohms = 3 }", "choices.seal.S.coil_ohms", "here or in [coils]"),
    ('S = { sealing = "RT III" }', 'S = "RT III"', "choices.seal.S", "a table"),
    ("TW-24S = {", "TW-48S = {", "parts.TW-48S", "is 'TW-24S' meant?"),
    ('status = "obsolete"', 'status = "gone"', "parts.TW-24S.status", "one of: active"),
    ('status = "obsolete"', 'state = "obsolete"', "parts.TW-24S.state", "is 'status' meant?"),
    ('supply = "dc"\ncolumns', 'supply = "dc"\napplies_to = "TW-48S"\ncolumns', "ratings.applies_to", "the series, or"),
    ('supply = "dc"\ncolumns', 'supply = "dc"\nvolts = 14\ncolumns', "ratings.volts", "not in both"),
    ('supply = "dc"\ncolumns', "columns", "ratings.supply", "a value"),
    ('["break", "motor", 14, 4]', '["brake", "motor", 14, 4]', "ratings.contact", "'break'"),
    ('["break", "motor", 14, 4]', '["break", "AC-15", 14, 4]', "ratings.supply", "ac, which AC-15 is for"),
    ('view = "component"', 'view = "top"', "footprint.view", "top: component"),
    ("A2 0/5", "A2 0;5", "footprint.pins", "a pin and its place"),
    ("A2 0/5", "A1 0/5", "footprint.pins", "each pin once"),
    ("A2 0/5", "A2 0/0", "footprint.pins", "one pin at a place"),
    ("A2 0/5", "A2 0/five", "footprint.pins", "y_mm of pin A2"),
    ('lead = "0.8 x 0.5 at 90"', 'lead = "thick"', "footprint.lead", "a lead in mm"),
    ('{ "A1, A2" = 0.6 }', '{ "A1, A3" = 0.6 }', "footprint.leads", "pins of this footprint"),
    ('{ "A1, A2" = 0.6 }', '{ "A1, A2" = -1 }', "footprint.leads.A1, A2", "a lead in mm"),
    ("make 11 14", "make 11 15", "wiring", "only pins of footprint Ostrel TW"),
    ("make 11 14", "make 11", "wiring.unit.A", "two pins after make"),
    ("make 11 14", "made 11 14", "wiring.unit.A", "coils, contacts and bridges"),
    ("coil A1(+) A2", "coil A1(+) A2(+)", "wiring.unit.A", "one end of a coil"),
    ("coil A1(+) A2", "coil A1 A1", "wiring.unit", "another pin than from_pin"),
    ('unit.A = "coil', 'unite.A = "coil', "wiring.unit", "one of: a line for each unit"),
    ("[wiring]", "[wirings]", "wirings", "is 'wiring' meant?"),
]


@pytest.mark.parametrize("old, new, key, expected", SLIPS, ids=[f"{s[2]} {s[1][:24]}" for s in SLIPS])
def test_a_slip_is_told_with_its_key_and_what_belongs_there(
    tmp_path: Path, old: str, new: str, key: str, expected: str
) -> None:
    text = changed(old, new)
    told = problems(tmp_path, text)
    assert any(p.column == key and expected in p.expected for p in told), [str(p) for p in told]
    assert all(p.file == "tw.toml" and p.line for p in told), [str(p) for p in told]


def test_a_row_is_told_by_its_own_line(tmp_path: Path) -> None:
    text = changed('["24", 24, 960]', '["24", -24, 960]')
    told = next(p for p in problems(tmp_path, text) if p.column == "coils.coil_volts")
    assert told.line == line_with(text, "-24,")


def test_one_problem_is_told_once_though_many_parts_have_it(tmp_path: Path) -> None:
    assert len(problems(tmp_path, changed('sealing = "RT II"', 'sealing = "RT 9"'))) == 1


def test_a_doubtful_value_that_many_parts_share_is_told_once_and_insisted_on_once(tmp_path: Path) -> None:
    text = changed('operate_volts = "75 %"', 'operate_volts = "75 %"\ncoil_ohms = 5').replace(', "coil_ohms"]', "]")
    text = (
        text.replace('["12", 12, 240]', '["12", 12]').replace('["24", 24, 960]', '["15", 12]').replace("TW-24", "TW-15")
    )
    (told,) = problems(tmp_path, text)
    assert told.expected.startswith("a coil of 5 mW to 20 W")
    assert "--insist TW-12F takes it" in told.expected
    opened = open_catalogue(tmp_path / "tw.toml", insist=["TW-12F"])
    assert len(list(opened.relays)) == 3
    opened.settle()


def test_what_was_worked_out_and_what_a_name_stands_for_is_told_of_a_sheet_alone(tmp_path: Path) -> None:
    text = with_footprint(DUAL, "usual = 'single make'\npins = '2(+) 6, 1 14'")
    (tmp_path / "series").mkdir()
    for path in (tmp_path / "tw.toml", tmp_path / "series" / "tw.toml"):
        path.write_text(text, encoding="utf-8")
    told = read_catalogue(tmp_path / "tw.toml").notes
    assert "tw.toml: operate_volts from 75 % of coil_volts, to three figures: 9, 18 V" in told
    assert "tw.toml: wiring Ostrel TW, single make: unit A coil 2(+) 6; make 1 14" in told
    assert "tw.toml: pins dual in line: 1 0/0, 2 0/2.54, 6 0/12.7, 8 7.62/15.24, 14 7.62/0" in told
    (one,) = read_catalogue(tmp_path).notes
    assert one.startswith("1 series sheet: bom catalog check SHEET")


def test_a_sheet_makes_no_more_parts_than_any_series_has(tmp_path: Path) -> None:
    codes = "\n".join(f"C{n} = {{}}" for n in range(5001))
    told = problems(tmp_path, changed("F = {}\n", codes + "\nF = {}\n"))
    assert any(p.column == "series.part_number" and "at most 10000" in p.expected for p in told)


def test_two_codes_that_make_one_number_are_told(tmp_path: Path) -> None:
    text = changed('"12", 12', '"1", 12').replace('"24", 24', '"12", 24').replace("F = {}", "2F = {}\nF = {}")
    text = text.replace('not_made = ["TW-24F"]\n', "").replace("TW-24S", "TW-12S")
    assert any("make each part number once" in p.expected and p.found == "TW-12F" for p in problems(tmp_path, text))


def test_a_drawing_that_no_part_has_is_told(tmp_path: Path) -> None:
    text = changed("temp_max_c = 85", 'temp_max_c = 85\nfootprint = "elsewhere"')
    assert any(p.column == "footprint" and "a part with" in p.expected for p in problems(tmp_path, text))


@pytest.mark.parametrize("supply", ['coil_supply = "ac"', "note = 'not stated'"])
def test_a_power_gives_no_ohms_unless_the_coil_is_fed_with_dc(tmp_path: Path, supply: str) -> None:
    text = changed('coil_supply = "dc"', supply).replace('"coil_ohms"]', '"coil_milliwatts"]')
    assert all('coil_supply = "dc"' in p.expected for p in problems(tmp_path, text))


def test_printed_ohms_and_power_must_agree(tmp_path: Path) -> None:
    text = changed("temp_max_c = 85", "coil_milliwatts = 400")
    told = problems(tmp_path, text)
    assert [p.column for p in told] == ["shared.coil_milliwatts"] * len(told)
    assert "take, within 10 %" in told[0].expected


def keys_of(text: str) -> list[tuple[int, str]]:
    """Every line that sets a key, by its number from 0, with the key."""
    return [(n, found[1]) for n, line in enumerate(text.splitlines()) if (found := re.match(r"([\w.-]+) = ", line))]


def with_line(number: int, line: str) -> str:
    lines = SHEET.splitlines(keepends=True)
    return "".join([*lines[:number], f"{line}\n", *lines[number + 1 :]])


OWN_NAMES = ("F", "S", "unit.A")  # another of these makes other part numbers or units


@pytest.mark.parametrize("number, key", [(n, key) for n, key in keys_of(SHEET) if key not in OWN_NAMES])
def test_a_misspelt_key_is_never_passed_over(tmp_path: Path, number: int, key: str) -> None:
    assert problems(tmp_path, with_line(number, SHEET.splitlines()[number].replace(key, f"{key}x", 1)))


@pytest.mark.parametrize("number, key", keys_of(SHEET))
def test_a_blank_value_is_refused_or_states_nothing(tmp_path: Path, number: int, key: str) -> None:
    text = with_line(number, f'{key} = ""')
    path = tmp_path / "tw.toml"
    path.write_text(text, encoding="utf-8")
    opened = open_catalogue(path)
    relays = [relay_of(row) for row in opened.relays]
    stated = taken(tmp_path).relays[0]
    if opened.report.problems:
        return
    name = {"name": "series"}.get(key, key)
    blank = [getattr(r, name, None) for r in relays] if hasattr(stated, name) else []
    assert all(value in (None, "", "RT III") for value in blank), key


def test_the_demo_sheet_makes_the_relays_of_the_demo() -> None:
    sheet, demo = read_catalogue(DEMO / "bench" / "tw2.toml").value, read_catalogue(DEMO).value
    theirs = {r.part_number: r for r in demo.relays if r.series == "TW2"}
    assert {r.part_number: r for r in sheet.relays} == theirs
    assert sheet.ratings == tuple(r for r in demo.ratings if r.applies_to == "TW2")
    assert all(demo.footprints[name] == drawn for name, drawn in sheet.footprints.items())
    assert all(demo.wirings[name] == drawn for name, drawn in sheet.wirings.items())


def test_the_sheet_of_the_tests_is_toml() -> None:
    assert set(tomllib.loads(SHEET)) >= {"series", "shared", "coils", "choices", "parts", "ratings"}
