"""Two people make up kits from one shelf at the same moment, each with a process of their own: no piece goes twice."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from datetime import UTC, datetime
from decimal import Decimal

from sqlalchemy import Engine

from bom.kits.kit import Kit, Line
from bom.stock.ledger import Lot, MoveKind
from bom.store.boards_and_kits import made_up, take_kit
from bom.store.engine import check
from bom.store.shelf import add_lot, lots, moves, shelf
from bom.store.unit_of_work import look, work

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
PEOPLE, EACH = 2, 6
MAKES = """
import sys
from bom.jobs.bench import bench
from bom.jobs.kits.making import undo_kits
from bom.jobs.kits.making import make_kits
url, each = sys.argv[1], int(sys.argv[2])
for n in range(each):
    with bench(url) as session:
        answer = make_kits(session, "pair", 1, dry=False, reserve=n % 2 == 1)
        print(answer.kit_lot or "short")
"""


def test_the_same_piece_never_goes_into_two_kits_made_up_at_once(engine: Engine, url: str) -> None:
    with work(engine) as session:
        take_kit(session, Kit("pair", "GBP", lines=(Line(part="A", quantity=Decimal(2)), Line(part="B"))))
        for number, part, quantity in (("L1", "A", 7), ("L2", "A", 10), ("L3", "B", 30)):
            add_lot(session, Lot(number, part, received=NOON), Decimal(quantity), NOON)
    command = [sys.executable, "-c", MAKES, url, str(EACH)]
    people = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True) for _ in range(PEOPLE)]
    said = Counter(" ".join(person.communicate(timeout=60)[0] for person in people).split())
    assert [person.returncode for person in people] == [0] * PEOPLE
    assert said.pop("short") == PEOPLE * EACH - 8
    assert len(said) == 8 and set(said.values()) == {1}
    with look(engine) as session:
        levels, made = shelf(session).parts, [made_up(session, number) for number in said]
        taken = -sum(m.quantity for m in moves(session, "A") if m.kind is MoveKind.OUT)
        kit_lots = [lot for lot in lots(session) if lot.part_number == "pair"]
    assert {m.number for m in made if m is not None} == set(said)
    assert (taken, levels["A"].on_hand - levels["A"].reserved) == (2 * len(kit_lots), 1)
    assert levels["A"].on_hand == 17 - taken
    assert check(engine) == []
