"""Bag labels by ANSI MH10.8.2 data identifiers, in the envelope of ISO/IEC 15434 or line by line."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from bom.intake.bag_label import BagLabel, read_label
from bom.values.problem import Refused

GS, RS, EOT = "\x1d", "\x1e", "\x04"
FIELDS = ("1PTW2-12S", "PKM-77", "Q250", "1T4711-A", "10D2541")
SAID = BagLabel(("TW2-12S", "KM-77"), Decimal(250), "4711-A", "2541")


@pytest.mark.parametrize(
    "text",
    [
        f"[)>{RS}06{GS}" + GS.join(FIELDS) + RS + EOT,
        f"[)>{RS}06{GS}" + GS.join(FIELDS),
        "[)>{RS}06{GS}" + "{GS}".join(FIELDS) + "{RS}{EOT}",
        "[)>^^06^]" + "^]".join(FIELDS) + "^^^D",
        "[)>\u241e06\u241d" + "\u241d".join(FIELDS) + "\u241e\u2404",
        "\n".join(FIELDS) + "\n",
        "(1P)TW2-12S\r\n(P)KM-77\r\n(Q) 250\r\n(1T)4711-A\r\n(10D) 2541",
    ],
    ids=["marks", "no end", "braces", "carets", "pictures", "lines", "brackets"],
)
def test_the_same_label_in_every_dress(text: str) -> None:
    assert read_label(text) == SAID


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("PKM-7\nQ5\nTLOT9\n9D24W11", BagLabel(("KM-7",), Decimal(5), "LOT9", "24W11")),
        ("1PKM-7\n7Q50EA\n14D20271231\nK5512", BagLabel(("KM-7",), Decimal(50), "", "", date(2027, 12, 31), "5512")),
        ("1PKM-7\n4LPT\nS0001", BagLabel(("KM-7",), left_out=("4L PT", "S 0001"))),
    ],
)
def test_other_identifiers(text: str, said: BagLabel) -> None:
    assert read_label(text) == said


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "part number"),
        ("Q5\n1TL", "part number"),
        ("1PKM-7\nQfive", "quantity above 0"),
        ("1PKM-7\nQ0", "quantity above 0"),
        ("1PKM-7\n7Q5KG", "in pieces"),
        ("1PKM-7\n10D2560", "year and week"),
        ("1PKM-7\n14D20271340", "a day"),
        ("1PKM-7\nQ5\nQ6", "twice"),
        ("1PKM-7\nQ", "data identifier"),
        ("hello world", "data identifier"),
        (f"[)>{RS}05{GS}011234", "format 06"),
        ("[)>nonsense", "envelope"),
    ],
)
def test_what_is_no_label_is_refused_in_one_line(text: str, why: str) -> None:
    with pytest.raises(Refused, match=why) as refused:
        read_label(text)
    assert "\n" not in str(refused.value)
