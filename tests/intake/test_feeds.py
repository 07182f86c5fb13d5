"""Price lists: read in every dialect, and guessed at in none."""

from __future__ import annotations

from dataclasses import replace

import pytest
from taken_whole import PriceList, take_price_list

from bom.buying.offer import Feed, Offer, Supplier
from bom.intake.price_lists.amounts import NumberMarks, amount_in, marks_of
from bom.intake.price_lists.list_file import SHOWN

SUPPLIER = Supplier("Osmere", "EUR", lead_days=4)
COLUMNS = (("supplier_code", "Code"), ("part_number", "Typ"), ("stock", "Bestand"), ("lead_days", "Tage"))
BY_COLUMN = Feed(
    file="x",
    delimiter=";",
    decimal=",",
    columns=COLUMNS,
    break_columns=((1, "ab 1"), (10, "ab 10")),
    encoding="cp1252",
)
BY_ROW = Feed(file="x", columns=(("part_number", "Part"),), from_column="Qty from", price_column="Price")
HEAD = "Code;Typ;Bestand;Tage;ab 1;ab 10\n"


def taken(feed: Feed, text: str, encoding: str = "cp1252") -> PriceList:
    return take_price_list(feed, SUPPLIER, text.encode(encoding), "list.csv")


def prices(feed: Feed, text: str, encoding: str = "cp1252") -> dict[str, list[tuple[int, str]]]:
    offers, problems, _ = taken(feed, text, encoding)
    assert problems == ()
    return {o.part_number: [(b.from_quantity, f"{b.price.amount.normalize():f}") for b in o.breaks] for o in offers}


def told(feed: Feed, text: str) -> str:
    return "\n".join(map(str, taken(feed, text).problems))


def only(feed: Feed, text: str) -> Offer:
    found = taken(feed, text)
    assert found.problems == ()
    (offer,) = found.offers
    return offer


def test_breaks_in_columns_and_a_decimal_comma() -> None:
    assert prices(BY_COLUMN, HEAD + "1;TW2;5;4;1,60 €;1,4075\n") == {"TW2": [(1, "1.6"), (10, "1.4075")]}


def test_breaks_in_rows_come_together_in_rising_order() -> None:
    text = "Part,Qty from,Price\nTW2,10,2.20\nK2R,1,3\nTW2,1+,2.90\n"
    assert prices(BY_ROW, text) == {"TW2": [(1, "2.9"), (10, "2.2")], "K2R": [(1, "3")]}


def test_breaks_whose_quantities_are_columns_too() -> None:
    feed = Feed(file="x", columns=(("part_number", "Part"),), break_pairs=(("Q1", "P1"), ("Q2", "P2")))
    assert prices(feed, "Part,Q1,P1,Q2,P2\nTW2,1,2.90,25,2.20\nK2R,5,3.10,,\n") == {
        "TW2": [(1, "2.9"), (25, "2.2")],
        "K2R": [(5, "3.1")],
    }
    assert "[Q1]: expected a whole number above 0, found 'some'" in told(feed, "Part,Q1,P1,Q2,P2\nTW2,some,2.90,,\n")


def test_an_offer_knows_its_list_its_line_and_the_moment() -> None:
    offer = only(BY_COLUMN, f'{HEAD}\n"1\na";TW2;5;4;1,60;\n')
    assert (offer.file, offer.line, offer.supplier_code) == ("list.csv", 3, "1\na")


@pytest.mark.parametrize("encoding", ["cp1252", "utf-8-sig", "utf-16", "utf-32"])
def test_a_byte_order_mark_outranks_the_configured_encoding(encoding: str) -> None:
    assert prices(BY_COLUMN, HEAD + "Ä1;TW2;5;4;1,60;\n", encoding) == {"TW2": [(1, "1.6")]}


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_any_line_end_will_do(end: str) -> None:
    assert prices(BY_COLUMN, (HEAD + "1;TW2;5;4;1,60;\n").replace("\n", end)) == {"TW2": [(1, "1.6")]}


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_a_delimiter_that_is_not_stated_is_decided_by_the_header(delimiter: str) -> None:
    feed = replace(BY_COLUMN, delimiter="", decimal="")
    text = (HEAD + "1;TW2;5;4;1.60;\n").replace(";", delimiter)
    assert prices(feed, text) == {"TW2": [(1, "1.6")]}


def test_blank_rows_preambles_footers_and_short_rows_do_no_harm() -> None:
    text = f"Preisliste\n\n{HEAD};;;;;\n1;TW2;;;1,60\n\nAlle Preise ohne Steuer\n\x1a"
    found = taken(BY_COLUMN, text)
    assert [o.part_number for o in found.offers] == ["TW2"]
    assert found.notes == ("list.csv:7: the row has no part number; left out",)


def test_a_header_that_stands_again_on_every_page_is_left_out() -> None:
    found = taken(BY_COLUMN, f"{HEAD}1;TW2;;;1,60;\n{HEAD}2;K2R;;;1,70;\n")
    assert ([o.part_number for o in found.offers], found.notes) == (
        ["TW2", "K2R"],
        ("list.csv:3: the header stands here again; left out",),
    )


def test_headings_may_hold_line_ends_and_other_capitals() -> None:
    assert prices(BY_COLUMN, 'CODE;typ;Bestand;Tage;"ab\n1";ab  10\n1;TW2;;;1,60;\n') == {"TW2": [(1, "1.6")]}


@pytest.mark.parametrize("cell", ["on request", "auf Anfrage", "-", "", "0,00"])
def test_a_part_without_a_price_is_left_out_with_a_note(cell: str) -> None:
    found = taken(BY_COLUMN, f"{HEAD}1;TW2;5;4;{cell};\n")
    assert (found.offers, found.problems) == ((), ())
    assert found.notes == ("list.csv:2: TW2 has no price (on request); left out",)


def test_many_notes_of_a_kind_are_one() -> None:
    rows = "".join(f"{n};TW{n};5;4;POA;\n" for n in range(900))
    assert taken(BY_COLUMN, HEAD + rows).notes == (
        "list.csv:2: TW0 has no price (on request); left out (and so 899 more rows, the last on line 901)",
    )


def test_many_problems_of_a_kind_are_a_few() -> None:
    problems = taken(BY_COLUMN, HEAD + "".join(f"{n};TW{n};x5y;4;1,60;\n" for n in range(900))).problems
    assert len(problems) == SHOWN + 1 and "also in 895 more, the last on line 901" in str(problems[-1])


@pytest.mark.parametrize(
    ("cell", "stock"),
    [
        ("", None), ("7", 7), ("1.250", 1250), (">100", 100), ("100+", 100), ("yes", None), ("none", 0),
        ("10-50", 10), ("25 pcs", 25), ("-3", 0), ("lots", None), ("<10", None), ("1 250", 1250), ("5,00", 5),
    ],
)  # fmt: skip
def test_a_stock_is_what_is_sure_to_be_there(cell: str, stock: int | None) -> None:
    offer = only(BY_COLUMN, f"{HEAD}1;TW2;{cell};;1,60;\n")
    assert (offer.stock, offer.lead_days) == (stock, 4 if stock != 0 else None)


@pytest.mark.parametrize(("cell", "said"), [("lots", "says no number"), ("<10", "says no number"), ("-3", "below 0")])
def test_a_stock_that_says_no_number_is_told(cell: str, said: str) -> None:
    (note,) = taken(BY_COLUMN, f"{HEAD}1;TW2;{cell};;1,60;\n").notes
    assert note.startswith(f"list.csv:2: Bestand {cell!r}") and said in note


@pytest.mark.parametrize(("decimal", "stock"), [(",", 5000), (".", 5)])
def test_a_stock_that_could_be_two_numbers_is_told(decimal: str, stock: int) -> None:
    price = f"1{decimal}60"
    found = taken(replace(BY_COLUMN, decimal=decimal), f"{HEAD}1;TW2;5.000;;{price};\n2;K2R;12.000;;{price};\n")
    assert found.offers[0].stock == stock
    assert found.notes == (
        f"list.csv:2: Bestand '5.000' could be two numbers; by the list's decimal sign it is read as {stock}",
    )


@pytest.mark.parametrize(
    ("cell", "days"),
    [
        ("3", 3), ("2 weeks", 14), ("3-5 days", 5), ("2-3 Wochen", 21), ("48 h", 2), ("5 working days", 7),
        ("ca. 10 Tage", 10), ("in stock", 4), ("", 4), ("10 AT", 14),
    ],
)  # fmt: skip
def test_a_lead_time_is_the_longest_that_is_said(cell: str, days: int) -> None:
    assert only(BY_COLUMN, f"{HEAD}1;TW2;;{cell};1,60;\n").lead_days == days


PACKED = replace(BY_COLUMN, columns=(*COLUMNS, ("multiple", "VPE")), packing=(("TU", 20), ("RL", 500)))


@pytest.mark.parametrize(
    ("cell", "multiple"),
    [
        ("", 1),
        ("25", 25),
        ("TU", 20),
        ("rl", 500),
        ("reel of 500", 500),
        ("50 Stk", 50),
        ("Stange 20", 20),
        ("10/tube", 10),
    ],
)
def test_a_packing_code_is_a_number_of_pieces(cell: str, multiple: int) -> None:
    assert only(PACKED, f"{HEAD[:-1]};VPE\n1;TW2;;;1,60;;{cell}\n").multiple == multiple


@pytest.mark.parametrize("cell", ["XJ", "T7X", "RL7"])
def test_a_packing_code_that_nobody_explains_is_asked_for(cell: str) -> None:
    assert "a code that packing in [feed] explains" in told(PACKED, f"{HEAD[:-1]};VPE\n1;TW2;;;1,60;;{cell}\n")


@pytest.mark.parametrize(
    ("cell", "price"),
    [
        ("160,00/100", "1.6"), ("160,00 per 100 pcs", "1.6"), ("1,60/St.", "1.6"), ("1,60 each", "1.6"),
        ("160 EUR / C", "1.6"), ("€ 1.600,00 per M", "1.6"), ("5,-", "5"), ("12,\u2013", "12"), (",95", "0.95"),
        ("1'250,50", "1250.5"), ("1\u00a0250,50", "1250.5"), ("EUR 1.250,5", "1250.5"), ("1250", "1250"),
    ],
)  # fmt: skip
def test_a_price_is_for_one_piece_however_it_is_written(cell: str, price: str) -> None:
    assert prices(BY_COLUMN, f"{HEAD}1;TW2;;;{cell};\n2;K2R;;;2,50;\n")["TW2"] == [(1, price)]


def test_prices_per_hundred_for_the_whole_list_or_by_row() -> None:
    text = f"{HEAD[:-1]};PE\n1;TW2;;;160,00;;100\n2;K2R;;;1,60;;1\n3;OC1;;;16,00;;per 10\n4;X;;;1,60;;\n"
    by_row = replace(BY_COLUMN, columns=(*COLUMNS, ("price_per", "PE")))
    assert {str(p) for p in prices(by_row, text).values()} == {"[(1, '1.6')]"}
    assert prices(replace(BY_COLUMN, price_per=100), f"{HEAD}1;TW2;;;160,00;\n") == {"TW2": [(1, "1.6")]}
    assert "the price is for" in told(by_row, text.replace("per 10", "dozen"))


PER_HEADING = [
    ("Preis per 100", "160,00", "1.6"),
    ("Price/100", "160,00", "1.6"),
    ("Price per 1,000", "1600,00", "1.6"),
    ("je 1.000 Stk", "1600,00", "1.6"),
    ("per 1k", "1600,00", "1.6"),
    ("Price per thousand", "1600,00", "1.6"),
    ("Price per unit", "1,60", "1.6"),
]


@pytest.mark.parametrize(("name", "cell", "each"), PER_HEADING)
def test_a_heading_says_for_how_many_pieces_a_price_is(name: str, cell: str, each: str) -> None:
    feed = replace(BY_COLUMN, break_columns=((1, name),))
    found = taken(feed, f"Code;Typ;Bestand;Tage;{name}\n1;TW2;;;{cell}\n")
    assert [str(o.breaks[0].price.amount.normalize()) for o in found.offers] == [each]
    assert any("price_per in [feed] says otherwise" in note for note in found.notes) is ("unit" not in name)


def test_what_the_settings_say_of_prices_goes_before_the_heading() -> None:
    feed = replace(BY_COLUMN, break_columns=((1, "Preis per 100"),), price_per=1)
    assert prices(feed, "Code;Typ;Bestand;Tage;Preis per 100\n1;TW2;;;1,60\n") == {"TW2": [(1, "1.6")]}


@pytest.mark.parametrize(
    "columns", [((1, "each"), (10, "per 100")), ((1, "per 10"), (100, "per 100")), ((100, "per 100"),)]
)
def test_a_heading_that_may_name_the_breaks_quantity_must_be_answered(columns: tuple[tuple[int, str], ...]) -> None:
    feed = replace(BY_COLUMN, break_columns=columns)
    text = (
        "Code;Typ;Bestand;Tage;"
        + ";".join(name for _, name in columns)
        + "\n1;TW2;;;"
        + ";".join("1,60" for _ in columns)
    )
    assert "price_per = 100 (or 1) in [feed]" in told(feed, text + "\n")


@pytest.mark.parametrize(
    ("name", "cell", "days"),
    [
        ("Lead time (weeks)", "6", 42), ("Lieferzeit in Wochen", "2", 14), ("LT wks", "6-8", 56),
        ("Lead, months", "1", 31), ("Working days", "5", 7), ("Lead time (weeks)", "3 days", 3),
        ("Tage", "6", 6), ("Lead time", "6", 6), ("Weekly price day", "6", 6),
        ("Tage", "6-8 weeks", 56), ("Tage", "2 wks", 14), ("Tage", "1.5 weeks", 11),
        ("Tage", "8-6 weeks", 56), ("Tage", "10 days - 2 weeks", 14), ("Tage", "3 months", 93),
        ("Tage", "ex stock", 4),
    ],
)  # fmt: skip
def test_a_heading_says_what_bare_lead_times_are_in(name: str, cell: str, days: int) -> None:
    feed = replace(BY_COLUMN, columns=(*COLUMNS[:3], ("lead_days", name)))
    assert only(feed, f"Code;Typ;Bestand;{name};ab 1;ab 10\n1;TW2;;{cell};1,60;\n").lead_days == days


def test_what_the_settings_say_of_lead_times_goes_before_the_heading() -> None:
    assert only(replace(BY_COLUMN, lead_time_in="weeks"), f"{HEAD}1;TW2;;6;1,60;\n").lead_days == 42


@pytest.mark.parametrize("cell", ["on request", "TBA", "n/a", ">12 weeks", "12+ weeks", "from 12 weeks"])
def test_a_lead_time_without_an_end_is_not_the_suppliers_usual_one(cell: str) -> None:
    assert only(BY_COLUMN, f"{HEAD}1;TW2;7;{cell};1,60;\n").lead_days is None


@pytest.mark.parametrize(
    ("stock", "lead", "days"),
    [
        ("0", "6 weeks", 42), ("none", "10", 10), ("out of stock", "3 months", 93),
        ("0", "", None), ("0", "0", None),
        ("0", "4", None), ("0", "5", 5), ("0", "ex stock", None), ("0", "on request", None), ("0", "available", None),
        ("discontinued", "4", None), ("sold out", "4", None),
    ],
)  # fmt: skip
def test_a_part_of_which_none_is_in_stock_comes_when_its_own_row_says(stock: str, lead: str, days: int | None) -> None:
    offer = only(BY_COLUMN, f"{HEAD}1;TW2;{stock};{lead};1,60;\n")
    assert (offer.stock, offer.lead_days) == (0, days)


def test_a_list_may_offer_only_what_lies_there() -> None:
    text = f"{HEAD}1;TW2;0;6 weeks;1,60;\n2;K2R;7;6 weeks;1,60;\n"
    found = taken(replace(BY_COLUMN, only_what_lies_there=True), text)
    assert [o.lead_days for o in found.offers] == [None, 42]


def test_a_row_may_have_its_own_currency() -> None:
    feed = replace(BY_COLUMN, columns=(*COLUMNS, ("currency", "W")))
    offers = taken(feed, f"{HEAD[:-1]};W\n1;TW2;;;1,60;;USD\n2;K2R;;;1,60;;\n").offers
    assert [o.breaks[0].price.currency for o in offers] == ["USD", "EUR"]


def test_fewer_than_the_first_break_cannot_be_ordered() -> None:
    assert only(BY_COLUMN, f"{HEAD}1;TW2;5;4;;1,20\n").moq == 10


def test_a_row_that_stands_twice_is_taken_once() -> None:
    row = "1;TW2;5;4;1,60;\n"
    found = taken(BY_COLUMN, f"{HEAD}{row}2;K2R;;;2,50;\n{row}")
    assert (len(found.offers), found.notes) == (2, ("list.csv:4: the row says the same as line 2; taken once",))


def test_two_packings_of_a_part_are_two_offers() -> None:
    assert len(taken(BY_COLUMN, f"{HEAD}1;TW2;5;4;1,60;\n2;TW2;5;4;1,50;\n").offers) == 2


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (
            "1;TW2;5;4;1.60;\n2;K2R;5;4;1,60;\n3;OC1;;;2,5;\n",
            "list.csv:2 [ab 1]: expected a price with decimal sign ','",
        ),
        ("1;TW2;5;4;1.60;1.20\n", "prices with decimal sign ',', as configured (2 cells show '.' and 0 show ',')"),
        ("1;TW2;5;4;1.250;\n", "no cell shows whether '.' marks thousands or decimals"),
        ("1;TW2;5;4;1,60;\n1;TW2;5;4;1,70;\n", "list.csv:3 [Typ]: expected each part once"),
        ("1;TW2;5;4;£1,60;\n", "a price in EUR (this is £)"),
        ("1;TW2;5;4;$ 1,60;\n", "a price in EUR (this is $)"),
        ("1;TW2;5;4;1,60 CHF;\n", "a price in EUR (this is CHF)"),
        ("1;TW2;5;4;1,60/reel;\n", "[ab 1]"),
        ("1;TW2;5;KW 48;1,60;\n", "[Tage]: expected a whole number of days"),
        ("1;TW2;5;4 or so;1,60;\n", "[Tage]: expected a whole number of days"),
        ("1;TW2;5.5;4;1,60;\n2;K2R;1.250;;1,60;\n", "[Bestand]"),
        ("1;2.2E+02;5;4;1,60;\n", "turned it into an exponent"),
        ("1;TW2;5;4;1,60;1,50;9\n", "expected 6 cells"),
        ("1;TW2;5;4;-1,60;\n", "[ab 1]"),
        ('1;"TW2;5;4;1,60;\n', "every quote is closed"),
        ('1;"TW2" x;5;4;1,60;\n', "every quote is closed"),
        ("1;K2R;5;4;1,60;1,50\n1;TW2;5;4;1,6", "the list breaks off here"),
    ],
)
def test_what_cannot_be_read_for_certain_is_a_problem(rows: str, said: str) -> None:
    assert said in told(BY_COLUMN, HEAD + rows)


def test_one_odd_price_is_accused_and_not_the_good_ones() -> None:
    feed = replace(BY_COLUMN, decimal=".")
    rows = "".join(f"{n};TW{n};5;4;3.1{n};\n" for n in range(9))
    (problem,) = taken(feed, f"{HEAD}{rows}9;K2R;5;4;3,10;\n").problems
    assert (
        str(problem)
        == "list.csv:11 [ab 1]: expected a price with decimal sign '.', as 9 other cells have it, found '3,10'"
    )


@pytest.mark.parametrize(
    ("cells", "found"),
    [
        (["1,60", "1.250"], "1250"),
        (["1.60", "1.250"], "1.25"),
        (["1.250,50", "1.250"], "1250"),
        (["7", "8"], "8"),
    ],
)
def test_a_decimal_sign_that_is_not_stated_is_decided_by_the_cells(cells: list[str], found: str) -> None:
    rows = "".join(f"{n};TW{n};;;{cell};\n" for n, cell in enumerate(cells))
    assert prices(replace(BY_COLUMN, decimal=""), HEAD + rows)[f"TW{len(cells) - 1}"] == [(1, found)]


@pytest.mark.parametrize("cells", [["1.250", "2.125"], ["1.60", "1,60"]])
def test_a_decimal_sign_that_nothing_decides_is_asked_for(cells: list[str]) -> None:
    rows = "".join(f"{n};TW{n};;;{cell};\n" for n, cell in enumerate(cells))
    (problem,) = taken(replace(BY_COLUMN, decimal=""), HEAD + rows).problems
    assert "set decimal in [feed]" in str(problem)


def test_a_list_with_another_delimiter_is_one_problem() -> None:
    (problem,) = taken(BY_COLUMN, (HEAD + "1;TW2;5;4;1.60;\n").replace(";", ",")).problems
    assert str(problem) == "list.csv:1: expected cells separated by a semicolon, as configured, found 'a comma'"


@pytest.mark.parametrize(
    ("feed", "text", "said"),
    [
        (BY_COLUMN, "Code;Typ;Bestand;Tage;ab 1\n1;2;3;4;5\n", "a column named ab 10, as configured; there are: code"),
        (BY_COLUMN, "Code;Typ;Bestand;Tage;ab 1;ab 1;ab 10\n", "each column once"),
        (replace(BY_COLUMN, encoding="utf-8"), f"{HEAD}Ä;TW2;;;1;\n", "list.csv:2: expected text in utf-8"),
        (BY_COLUMN, f"{HEAD}1;T\0W2;;;1;\n", "zero bytes"),
        (BY_COLUMN, "", "a header row"),
        (BY_COLUMN, "\n\n", "a header row"),
    ],
)
def test_what_is_wrong_with_the_whole_list_is_told_once(feed: Feed, text: str, said: str) -> None:
    (problem,) = taken(feed, text).problems
    assert said in str(problem)


@pytest.mark.parametrize(
    ("decimal", "others", "text", "amount"),
    [
        (",", ["2,50"], "1.250", "1250"),
        (",", ["2,50"], "1.250,75", "1250.75"),
        (",", [], "1.250,75", "1250.75"),
        (",", [], "1.250", None),
        (".", ["2.50"], "1,250", "1250"),
        (".", [], "1.250", "1.250"),
        (".", ["2.50"], "12,50", None),
        (".", ["2.50"], "1,2500", None),
        (".", ["1,250,000"], "1,250", "1250"),
        (".", [], "1250", "1250"),
        (".", ["2.50"], "1.2.3", None),
        (".", ["2.50"], ".5", ".5"),
    ],
)
def test_the_other_cells_decide_on_thousands_marks(
    decimal: str, others: list[str], text: str, amount: str | None
) -> None:
    marks = marks_of(decimal, [*others, text])
    assert marks is not None
    found = amount_in(text, marks)
    assert (None if found is None else str(found).lstrip("0")) == amount


def test_cells_that_all_speak_against_the_configured_sign_leave_no_marks() -> None:
    assert marks_of(",", ["0.950", "1.250"]) is None
    assert (NumberMarks(",").thousands, NumberMarks(".").thousands) == (".", ",")
