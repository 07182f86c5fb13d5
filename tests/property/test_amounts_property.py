"""Amounts written in any country's way are read as what they were, once another cell shows the decimal sign."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st
from taken_whole import take_price_list

from bom.buying.offer import Feed, Supplier
from bom.intake.price_lists.amounts import amount_in, bare, marks_of

CENTS = st.integers(1, 10**9)
WAYS = st.sampled_from([(".", ","), (",", "."), (",", " "), (",", "\u202f"), (".", "'"), (".", ""), (",", "")])


def written(cents: int, digits: int, way: tuple[str, str]) -> str:
    """So many hundredths (thousandths …) with this decimal sign and thousands mark."""
    decimal, thousands = way
    text = f"{Decimal(cents).scaleb(-digits):,.{digits}f}"
    return text.replace(",", "T").replace(".", decimal).replace("T", thousands)


@given(st.lists(st.tuples(CENTS, st.integers(0, 5)), min_size=1, max_size=8), WAYS)
def test_any_amount_is_read_back_where_one_cell_is_certain(
    amounts: list[tuple[int, int]], way: tuple[str, str]
) -> None:
    cells = [bare(written(cents, digits, way)) for cents, digits in amounts]
    marks = marks_of(way[0], [*cells, f"1{way[0]}50"])
    assert marks is not None
    for (cents, digits), cell in zip(amounts, cells, strict=True):
        assert amount_in(cell, marks) == Decimal(cents).scaleb(-digits)


@given(st.lists(CENTS, min_size=1, max_size=6), WAYS)
def test_an_amount_is_never_read_as_another_one(amounts: list[int], way: tuple[str, str]) -> None:
    """Whatever the list is said to use: a cell is read right, or it is a problem; three digits after a mark alone
    follow what is configured."""
    cells = [bare(written(cents, 2, way)) for cents in amounts]
    for configured in (".", ",", ""):
        if (marks := marks_of(configured, cells)) is None:
            continue
        for cents, cell in zip(amounts, cells, strict=True):
            assert amount_in(cell, marks) in (None, Decimal(cents).scaleb(-2))


@settings(max_examples=60)
@given(
    st.lists(st.tuples(CENTS, st.integers(0, 99999)), min_size=1, max_size=12),
    WAYS.filter(lambda way: way[0] == ","),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
    st.sampled_from(["\n", "\r\n", "\r"]),
)
def test_a_list_is_read_back_in_any_dialect(
    rows: list[tuple[int, int]], way: tuple[str, str], encoding: str, end: str
) -> None:
    way = (way[0], way[1].replace("\u202f", "\u00a0"))  # the thin space is not in cp1252
    feed = Feed(encoding=encoding, columns=(("part_number", "Typ"), ("stock", "Anz")), break_columns=((1, "Preis"),))
    lines = [f'P{n};{stock};"{written(cents, 2, way)} €"' for n, (cents, stock) in enumerate(rows)]
    data = end.join(["Typ;Anz;Preis", *lines, ""]).encode(encoding)
    offers, problems, _ = take_price_list(feed, Supplier("Osmere", "EUR"), data, "list.csv")
    assert problems == ()
    assert [(o.stock, o.breaks[0].price.amount) for o in offers] == [(s, Decimal(c).scaleb(-2)) for c, s in rows]
