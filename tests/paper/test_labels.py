"""Labels at true size, whose 2-D codes read back what the words say."""

from __future__ import annotations

import re
from datetime import date
from xml.etree import ElementTree

import numpy as np
import pytest
import zxingcpp

from bom.intake.bag_label import BagLabel, read_label
from bom.paper.pages.labels import (
    A4,
    Carried,
    Grid,
    Label,
    Packed,
    Size,
    bag_label,
    box_label,
    code,
    drawer_label,
    good_size,
    label_drawing,
    label_pages,
    label_sheets,
)
from bom.values.problem import Refused

PACKED = Packed("OS-3 valve drive", "OS-3", "valve drive", "K00012", date(2026, 11, 25), date(2027, 5, 1))
LONG = "Extraordinarily long kit name for a box with a name of its own " * 2
DRAWN = re.compile(r'<path class="code" transform="[^"]+ scale\(([\d.]+)\)" d="([^"]+)"')


def scanned(drawing: str) -> str:
    """What a scanner reads off the drawing's code."""
    found = DRAWN.search(drawing)
    assert found is not None
    runs = [(int(x), int(y), int(n)) for x, y, n in re.findall(r"M(\d+) (\d+)h(\d+)", found[2])]
    side = max(y for _, y, _ in runs) + 5
    image = np.full((side * 4, side * 4), 255, np.uint8)
    for x, y, n in runs:
        image[y * 4 : y * 4 + 4, x * 4 : (x + n) * 4] = 0
    (read,) = zxingcpp.read_barcodes(image)
    return bytes(read.bytes).decode()


def said(drawing: str) -> list[str]:
    return [text.text or "" for text in ElementTree.fromstring(drawing).iter("{http://www.w3.org/2000/svg}text")]


@pytest.mark.parametrize(
    ("label", "read"),
    [
        (
            bag_label(PACKED),
            BagLabel((PACKED.kit,), quantity=1, lot="K00012", expires=date(2027, 5, 1)),  # type: ignore[arg-type]
        ),
        (
            box_label(PACKED, 8),
            BagLabel((PACKED.kit,), quantity=8, lot="K00012", expires=date(2027, 5, 1)),  # type: ignore[arg-type]
        ),
        (drawer_label("B3", "TW2-12S", "Ostrel relay", "piece"), BagLabel(("TW2-12S",))),
        (Label(Size(60, 30), "x", (), Carried("=5V", "20", "L-7/3", "2611")), BagLabel(("=5V",), 20, "L-7/3", "2611")),  # type: ignore[arg-type]
    ],
)
def test_goods_in_reads_a_labels_code(label: Label, read: BagLabel) -> None:
    assert read_label(scanned(label_drawing(label))) == read


@pytest.mark.parametrize(
    "label", [bag_label(PACKED), box_label(PACKED, 8, ["2×TW2-12S"]), drawer_label("B3", "P", "n", "g")]
)
def test_people_read_the_same_at_true_size(label: Label) -> None:
    root = ElementTree.fromstring(label_drawing(label))
    assert (root.get("width"), root.get("height")) == (f"{label.size.width:g}mm", f"{label.size.height:g}mm")
    assert root.get("viewBox") == f"0 0 {label.size.width:g} {label.size.height:g}"
    words = " ".join(said(label_drawing(label)))
    assert all(part in words for part in label.title.split())


@pytest.mark.parametrize("name", [LONG, "W" * 60, "kit", "<script>alert(1)</script>", "a\x00b\ud800c", "Ö ‮ 電 kit"])
@pytest.mark.parametrize("make", [bag_label, lambda packed: box_label(packed, 500, ["2×TW2-12S"] * 9)])
def test_whatever_its_name_a_label_stays_whole_and_inside_its_edges(name: str, make: object) -> None:
    label = make(Packed(name, "OS-3", name, "K00012", date(2026, 1, 1)))  # type: ignore[operator]
    root = ElementTree.fromstring(label_drawing(label))
    for text in root.iter("{http://www.w3.org/2000/svg}text"):
        size = float(text.get("font-size", "0"))
        assert 0 < float(text.get("y", "0")) <= label.size.height and size > 0
        assert float(text.get("x", "0")) + 0.58 * size * len(text.text or "") <= label.size.width
    assert read_label(scanned(label_drawing(label))).lot == "K00012"


def test_modules_are_large_enough_for_a_label_printer() -> None:
    found = DRAWN.search(label_drawing(bag_label(PACKED)))
    assert found is not None and float(found[1]) >= 0.45
    assert good_size(Carried("TW2-12S")) < 19


SIZES = [Size(w, h) for w, h in ((40, 20), (50, 25), (60, 40), (70, 37.1), (105, 74.2), (100, 150), (300, 30))]


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_a_label_of_any_size_is_read_and_stays_inside_its_edges(size: Size) -> None:
    for label in (bag_label(PACKED, size, "Read the sheet first: cautions"), drawer_label("B3", "P", LONG, "g", size)):
        drawing = label_drawing(label)
        read_label(scanned(drawing))
        for text in ElementTree.fromstring(drawing).iter("{http://www.w3.org/2000/svg}text"):
            assert 0 < float(text.get("y", "0")) <= size.height
            assert (
                float(text.get("x", "0")) + 0.58 * float(text.get("font-size", "0")) * len(text.text or "")
                <= size.width
            )


def test_a_line_aside_stands_only_where_there_is_room() -> None:
    labels = [bag_label(PACKED, size, "Read the sheet") for size in (Size(70, 50), Size(40, 20))]
    big, small = (" ".join(said(label_drawing(label))) for label in labels)
    assert "Read the sheet" in big and "Read the sheet" not in small


@pytest.mark.parametrize("size", [Size(30, 25), Size(100, 12)], ids=str)
def test_a_label_without_room_for_its_code_and_words_is_refused(size: Size) -> None:
    with pytest.raises(Refused, match="no room for its code and words"):
        bag_label(PACKED, size)


def test_a_page_has_the_labels_size_and_refers_to_nothing_outside() -> None:
    for page in (label_pages([bag_label(PACKED, Size(60, 40))] * 3), label_sheets([bag_label(PACKED)] * 3, Grid(3, 8))):
        assert page.count("<title>OS-3 valve drive") == 4 and not re.search(r"(src|href)=|url\(|@import", page)
    assert "@page{size:60mm 40mm;margin:0}" in label_pages([bag_label(PACKED, Size(60, 40))])


@pytest.mark.parametrize(("count", "skip", "sheets"), [(24, 0, 1), (25, 0, 2), (1, 23, 1), (2, 23, 2)])
def test_sheets_are_filled_row_by_row_after_what_is_used(count: int, skip: int, sheets: int) -> None:
    grid = Grid(3, 8)
    page = label_sheets([bag_label(PACKED, grid.cell)] * count, grid, skip)
    assert page.count('width="210mm"') == sheets and page.count('class="cut"') == count
    first = re.search(r'class="cut" x="([\d.]+)" y="([\d.]+)"', page)
    assert first is not None
    wanted = (8 + skip % 3 * grid.cell.width, 8 + skip // 3 * grid.cell.height)
    assert tuple(map(float, first.groups())) == pytest.approx(wanted, abs=1e-3)


@pytest.mark.parametrize("grid", [Grid(3, 8), Grid(2, 4, 0), Grid(4, 12, 10)], ids=str)
def test_a_grid_fills_the_sheet_within_its_edge(grid: Grid) -> None:
    assert grid.across * grid.cell.width + 2 * grid.edge == pytest.approx(A4.width)
    assert grid.down * grid.cell.height + 2 * grid.edge == pytest.approx(A4.height)


def test_a_code_is_drawn_where_it_is_wanted() -> None:
    assert code(Carried("x"), 40, 5, 18).startswith('<path class="code" transform="translate(40.000 5.000)')
