"""However long the catalogue is, the answer is the same: read and proved whole, or narrowed and looked up by name."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bom.buying.levels import Wish
from bom.jobs.bench import glance
from bom.jobs.buying.planning import PlanAsked, plan_asked
from bom.jobs.buying.reordering import due_needs, level_rows
from bom.jobs.kits.costing import Asked, cost_asked
from bom.jobs.kits.how_many import HowMany, possible_kits
from bom.shop.serving import stand_ins_of
from bom.shop.shop import Shop
from bom.shop.sourcing import Sourcing
from bom.store.unit_of_work import Session


def some_stand_ins(session: Session, conditional: bool) -> object:
    shop = Shop(session)
    return stand_ins_of(shop, [relay.part_number for relay in shop.catalogue.relays[::7]], conditional=conditional)


def every_line(session: Session) -> object:
    """Which parts may serve each line of each kit, best first, or why none may."""
    sourcing = Sourcing(Shop(session))
    lines = [(kit, line) for kit in sourcing.kits.values() for line in kit.lines if not line.kit]
    return [(sourcing.served_by(kit, line), bool(sourcing.why_none(kit, line))) for kit, line in lines]


ANSWERS: dict[str, Callable[[Session], object]] = {
    "stand-ins": lambda session: some_stand_ins(session, conditional=False),
    "stand-ins on a condition": lambda session: some_stand_ins(session, conditional=True),
    "kits' lines": every_line,
    "levels": lambda session: level_rows(session, Wish()),
    "what is due": lambda session: due_needs(Shop(session)),
    "kit cost": lambda session: cost_asked(session, Asked()),
    "kit possible": lambda session: possible_kits(session, HowMany(["OS-3 valve drive=40"])),
    "a plan": lambda session: plan_asked(session, PlanAsked(["K2R-12S=20"], substitutes="conditional")).order,
}


@pytest.mark.parametrize("name", ANSWERS)
def test_a_long_catalogue_gives_the_same(name: str, url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    with glance(url) as session:
        short = ANSWERS[name](session)
    monkeypatch.setattr("bom.shop.shop.WHOLE", 0)
    with glance(url) as session:
        assert Shop(session).is_long and ANSWERS[name](session) == short
