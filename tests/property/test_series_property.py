"""Any series written as a sheet reads back as the very same relays, footprints, wirings and ratings."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from bom.intake.relay_rows import relay_of
from bom.intake.rows import Report
from bom.intake.series_file import read_series
from bom.paper.series_out import series_text
from bom.relays.as_series import COLUMNS
from bom.relays.catalogue import Catalogue
from bom.relays.checks import placed_problems, rating_problems, wiring_problems
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import LOADS, Rating, Relay, SupplyKind
from bom.relays.wiring import Element, Kind, Transfer, Wiring
from bom.values.column import Column, Holds, described

TEXT = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=6)
WORDS = st.lists(TEXT, min_size=1, max_size=3).map(" ".join)
FIGURES = st.integers(-9999, 9999).map(lambda n: n / 100)
CODES = st.sampled_from(["5", "6", "12", "24", "4.5", "48"])
VERSIONS = st.sampled_from(["", "S", "F", "FD", "-1", "2A"])


def value_of(column: Column) -> st.SearchStrategy[Any]:
    """Something that this column may state, or nothing."""
    if column.holds is Holds.WORD:
        words = column.member or column.words.words
        return st.sampled_from([None, *words])
    if column.holds is Holds.NUMBER:
        low = 1.0 if column.above is not None else column.least if column.least is not None else -100.0
        return st.none() | st.sampled_from(
            [v for v in (low, low + 0.5, low + 12, low + 60.25) if v <= (column.most or v)]
        )
    return st.just("") | WORDS


RELAY = described(Relay)
VALUES = st.fixed_dictionaries({name: value_of(RELAY[name]) for name in COLUMNS if name not in ("footprint", "wiring")})
FEW = st.sampled_from([3, 5, 20])


@st.composite
def footprints(draw: st.DrawFn, name: str) -> Footprint:
    lead = st.sampled_from(
        [(None, None, None), (0.6, None, None), (0.8, 0.5, None), (0.8, 0.5, 90.0), (0.8, 0.5, -45.0)]
    )
    names = draw(st.lists(st.sampled_from(["A1", "A2", "11"]) | WORDS, min_size=1, max_size=5, unique=True))
    pins = [Pin(pin, draw(FIGURES), draw(FIGURES), *draw(lead)) for pin in names]
    body = draw(st.none() | st.tuples(FIGURES, FIGURES))
    if [*placed_problems(pins, "pin")]:
        pins = pins[:1]
    return Footprint(name, tuple(pins), draw(st.sampled_from(View)), body)


@st.composite
def wirings(draw: st.DrawFn, name: str) -> Wiring:
    pin = st.sampled_from(["1", "2", "3", "A1", "A2", "make", "1(+)"]) | WORDS
    unit, pole = st.sampled_from(["A", "B", ""]), st.sampled_from(["", "1", "2", "set"])
    elements = []
    for _ in range(draw(st.integers(1, 5))):
        kind, (one, other) = draw(st.sampled_from(Kind)), draw(st.lists(pin, min_size=2, max_size=2, unique=True))
        polarised = draw(st.booleans()) and kind is Kind.COIL
        contact = kind in (Kind.MAKE, Kind.BREAK)
        transfer = draw(st.sampled_from([None, *Transfer])) if contact else None
        elements.append(Element(draw(unit), draw(pole), kind, one, other, polarised, transfer))
    wiring = Wiring(name, tuple(elements))
    return Wiring(name, tuple(elements[:1])) if [*wiring_problems(wiring)] else wiring


@st.composite
def ratings(draw: st.DrawFn, owners: list[str]) -> Rating:
    known = described(Rating)
    rest = {name: draw(value_of(column)) for name, column in known.items() if not column.needed}
    of = draw(st.sampled_from(owners)), draw(st.sampled_from(["make", "break", "both"]))
    rating = Rating(
        *of,
        draw(st.sampled_from(LOADS.words)),
        draw(st.sampled_from(SupplyKind)),
        draw(st.sampled_from([14.0, 28.0])),
        **rest,
    )
    return Rating(*of, "general", rating.supply, 14.0) if [*rating_problems(rating)] else rating


@st.composite
def series(draw: st.DrawFn) -> Catalogue:
    """Relays of one series, most columns alike, some by coil or version, some as they please."""
    maker, name = draw(WORDS), draw(st.just("TW") | WORDS)
    pairs = draw(st.lists(st.tuples(CODES, VERSIONS), min_size=1, max_size=6, unique_by=lambda pair: "".join(pair)))
    start = draw(st.sampled_from(["TW-", "TW2", "", "1-"]))
    numbers = [f"{start}{coil}{version}" for coil, version in pairs]
    drawn = {
        n: draw(footprints(n)) for n in draw(st.lists(st.sampled_from(["f1", "f 2", f"{maker} {name}"]), unique=True))
    }
    wired = {
        n: draw(wirings(n)) for n in draw(st.lists(st.sampled_from(["w1", "w 2", f"{maker} {name}"]), unique=True))
    }
    common, others = draw(VALUES), [draw(VALUES) for _ in range(2)]
    loose = set(draw(st.lists(st.sampled_from(COLUMNS), max_size=4)))
    relays = []
    for number in numbers:
        own = {c: others[draw(st.integers(0, 1))][c] for c in loose if c in common}
        feet = draw(st.sampled_from(["", *drawn])), draw(st.sampled_from(["", *wired]))
        rest = common | own | {"footprint": feet[0], "wiring": feet[1], "source": draw(st.sampled_from(["", "sheet"]))}
        relays.append(Relay(maker, number, series=name, **rest))
    rated = draw(st.lists(ratings([name, *numbers]), max_size=4))
    named = {r.footprint for r in relays}, {r.wiring for r in relays}
    return Catalogue(
        tuple(relays),
        {n: f for n, f in drawn.items() if n in named[0]},
        {n: w for n, w in wired.items() if n in named[1]},
        tuple(rated),
    )


@given(series())
def test_a_series_written_as_a_sheet_reads_back_the_same(tmp_path_factory: Any, catalogue: Catalogue) -> None:
    path: Path = tmp_path_factory.mktemp("sheet") / "series.toml"
    path.write_text(text := series_text(catalogue.relays, catalogue), encoding="utf-8")
    report = Report()
    sheet = read_series(path, report)
    assert not report.problems, text
    by_number = {r.part_number: r for r in catalogue.relays}
    assert {part.values[1]: relay_of(part.values) for part in sheet.parts} == by_number, text
    assert sheet.footprints == catalogue.footprints, text
    assert sheet.wirings == catalogue.wirings, text
    assert sheet.ratings == catalogue.ratings, text
