"""The database narrows, the rest is proved lazily: the first page is the full scan's first page, on both databases."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import Engine
from taken_whole import take_catalogue

from bom.duty.rules import DEFAULT
from bom.intake.board_file import take_board
from bom.intake.catalogue import read_catalogue
from bom.match.match import Candidate, match, rank
from bom.match.requirement import Requirement, at_position, like, within
from bom.relays.catalogue import Catalogue
from bom.shop.narrowing import first_page
from bom.shop.places import place_at
from bom.shop.shop import Shop
from bom.store.catalogue import whole_catalogue
from bom.store.unit_of_work import Session, work
from bom.values.finding import Verdict

DEMO = Path(__file__).resolve().parents[2] / "catalogs" / "demo"
SPECS: tuple[dict[str, object], ...] = (
    {"coil_volts": 12.0, "contacts": "changeover", "units": 2, "max_height_mm": 15.0, "sealing_at_least": "RT III"},
    {"min_temp_max_c": 85.0, "max_coil_ohms": 400.0, "coil_supply": "dc", "pins": 5, "min_make_amps": 5.0},
    {"series": "TW2", "guided": "no"},
)


def more_alike(catalogue: Catalogue) -> Catalogue:
    """Every part twice more under other numbers, one of them no longer made, and one that leaves its coil out."""
    taped = [replace(r, part_number=f"{r.part_number}-R9") for r in catalogue.relays]
    silent = [replace(r, part_number=f"{r.part_number}-Q", operate_volts=None) for r in catalogue.relays]
    return replace(catalogue, relays=(*catalogue.relays, *taped, *silent))


def requirements(catalogue: Catalogue) -> list[Requirement]:
    asked = [like(d) for d in list(catalogue.designs())[:73:12]]
    for file in sorted((DEMO / "boards").glob("*.toml")):
        board, _ = take_board(file)
        for position in board.positions:
            found = catalogue.named(position.fitted)
            fitted = catalogue.design(found[0]) if found else None
            asked.append(at_position(board, position.ref, fitted, place_at(catalogue, board, position.ref)))
    return asked + [within(dict(spec)) for spec in SPECS]


def serving(candidates: tuple[Candidate, ...]) -> list[tuple[object, ...]]:
    return [rank(c) for c in candidates if c.verdict is not Verdict.NO]


@pytest.fixture
def session(engine: Engine) -> Session:
    with work(engine) as session:
        take_catalogue(session, more_alike(read_catalogue(DEMO)[0]))
    with work(engine) as session:
        yield session


def test_the_first_page_is_the_full_scans_first_page(session: Session) -> None:
    catalogue = whole_catalogue(session)
    total = len(catalogue.relays)
    for requirement in requirements(catalogue):
        everything = serving(match(requirement, catalogue.designs()))
        page = first_page(Shop(session), requirement, DEFAULT, 5, total)
        assert serving(page.candidates) == everything[:5], requirement.asked
        assert page.more == len(everything[5:])  # few are left, so they are proved too
        others = total - len(serving(page.candidates)) - page.more
        assert page.refused in (others, others - 1)  # a part is no candidate in its own place


def test_many_that_are_left_are_counted_by_their_sheets_and_said_to_be_no_more_than_so_many(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bom.shop.narrowing.PROVED_TOO", -1)
    catalogue = whole_catalogue(session)
    for requirement in requirements(catalogue):
        everything = serving(match(requirement, catalogue.designs()))
        page = first_page(Shop(session), requirement, DEFAULT, 5, len(catalogue.relays))
        assert page.rest is None and page.more >= len(everything[5:]), requirement.asked


def test_a_page_with_room_to_spare_ends_with_the_nearest_misses(session: Session) -> None:
    catalogue = whole_catalogue(session)
    requirement = requirements(catalogue)[-4]
    page = first_page(Shop(session), requirement, DEFAULT, 50, len(catalogue.relays))
    verdicts = [c.verdict is Verdict.NO for c in page.candidates]
    assert page.more == 0 and not verdicts[0] and verdicts[-1] and verdicts == sorted(verdicts)
