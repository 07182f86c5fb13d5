"""Knows what the shop has for its kits: which parts may serve a line, what they cost by each basis, what is there."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from functools import cached_property
from typing import TYPE_CHECKING

from bom.kits.cost import UnitCost
from bom.kits.kit import Kit, Line
from bom.relays.relay import SupplyPart
from bom.shop.parts import name_meant, parts_by_name, whose_is_meant
from bom.shop.settings import settings_of
from bom.stock.ledger import Lot, Move, expired, free
from bom.values.finding import Verdict, worst_first
from bom.values.money import Money
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.boards.board import Board
    from bom.match.match import Candidate
    from bom.shop.shelves import Shelves
    from bom.store.unit_of_work import Session


class Sourcing:
    """What the shop has for its kits: which parts may serve a line, what they cost, how many are available."""

    def __init__(self, session: Session, kits: Mapping[str, Kit]) -> None:
        from bom.store.catalogue import whole_catalogue
        from bom.store.part_names import part_names
        from bom.store.shelf import lots, shelf

        self.session, self.kits = session, kits
        self.catalogue = whole_catalogue(session)
        self.names = part_names(session)
        self.parts = parts_by_name(session)
        self.units = {name: p.unit if isinstance(p, SupplyPart) else "piece" for name, p in self.parts.items()}
        self.lots = lots(session)
        self.shelf = shelf(session)
        self.today = date.today()
        self.stock = free(self.lots, self.shelf.lots, self.shelf.promised, self.today)
        self.expired = expired(self.lots, self.shelf.lots, self.today)
        self._served: dict[tuple[str, str, tuple[str, ...]], list[str]] = {}
        self._why_none: dict[tuple[str, str, tuple[str, ...]], str] = {}
        self._offered: dict[str, Money] | None = None
        self.bought: Mapping[str, int] = {}
        self._averages: dict[tuple[str, str], Money | None] = {}

    def served_by(self, kit: Kit, line: Line) -> list[str]:
        """The parts that may serve a line, best first: the part itself, or what the position's verdicts allow."""
        if line.part:
            return [] if self.names.makers(line.part) else [line.part]
        key = (kit.board, line.position, line.accept)
        if key not in self._served:
            self._served[key] = self._proved(kit, line)
        return self._served[key]

    def why_none(self, kit: Kit, line: Line) -> str:
        """Why no part may serve this line of the kit; empty where one may."""
        if line.part and not self.served_by(kit, line):
            return whose_is_meant(line.part, self.names.makers(line.part))
        self.served_by(kit, line)
        return self._why_none.get((kit.board, line.position, line.accept), "")

    def choose(self, kit: Kit, line: Line) -> str | None:
        """The part to cost: of those that serve, the best ranked that is in stock, offered, or known at all.

        Costed by the landed cost of a plan, what the plan buys most of (``bought``) goes first.
        """
        parts = self.served_by(kit, line)
        most = max((p for p in parts if p in self.bought), key=lambda p: self.bought[p], default=None)
        there = (p for p in parts if self.stock.get(p))
        offered = (p for p in parts if p in self.offered)
        return most or next(there, None) or next(offered, None) or next(iter(parts), None)

    def unit_cost(self, kit: Kit, landed: Mapping[str, UnitCost]) -> Callable[[str, Decimal], UnitCost | None]:
        """What one unit of a part costs by the kit's basis; where that is not known by the next best, which is named.

        ``landed`` is what each part costs in the plan that would buy the batch. None where nobody knows any.
        """
        fixed = self._fixed(kit)

        def of(part: str, quantity: Decimal) -> UnitCost | None:
            ways = {
                "landed": landed.get(part),
                "average": self._by_average(part, kit.currency),
                "fixed": fixed.get(part),
                "offer": self._by_offer(part, kit.currency),
            }
            order = [kit.cost_by, *(way for way in ways if way != kit.cost_by)]
            return next((found for way in order if (found := ways[way]) is not None), None)

        return of

    @property
    def offered(self) -> dict[str, Money]:
        if self._offered is None:
            from bom.shop.prices import cheapest_pieces

            self._offered = cheapest_pieces(self.session, with_tax=not settings_of(self.session).tax_registered)
        return self._offered

    def average(self, part: str, currency: str) -> Money | None:
        """The moving average of what is on hand, in this currency; None where it is not known."""
        from bom.shop.books import average_in
        from bom.store.shelf import moves

        if (part, currency) not in self._averages:
            ours: tuple[Move, ...] = moves(self.session, part)
            mine: list[Lot] = [lot for lot in self.lots if lot.part_number == part]
            self._averages[part, currency] = average_in(self.session, part, ours, mine, currency)
        return self._averages[part, currency]

    def unit(self, part: str) -> str:
        return self.units.get(part, "piece")

    def describe(self, part: str) -> str:
        """What the part is: a supply's name, a relay's maker and coil; empty where the catalogue has neither."""
        relay = self.parts.get(part)
        if relay is None:
            return "kit, made up before" if part in self.kits else ""
        if isinstance(relay, SupplyPart):
            return relay.name
        return f"{relay.maker} relay" + (f", {relay.coil_volts:g} V coil" if relay.coil_volts else "")

    def kind(self, part: str) -> str:
        """consumable, part, packing or print; a relay is a part."""
        found = self.parts.get(part)
        return found.kind if isinstance(found, SupplyPart) else "part"

    def _by_average(self, part: str, currency: str) -> UnitCost | None:
        average = self.average(part, currency)
        return None if average is None else UnitCost(average, self.unit(part), "average cost on hand")

    def _by_offer(self, part: str, currency: str) -> UnitCost | None:
        price = self.offered.get(part)
        known = price is not None and price.currency == currency
        return UnitCost(price, self.unit(part), "lowest offer") if price and known else None

    def _fixed(self, kit: Kit, above: tuple[str, ...] = ()) -> dict[str, UnitCost]:
        """Part to the cost that the kit's file sets, or that of a kit inside it."""
        answer: dict[str, UnitCost] = {}
        for line in kit.lines:
            inner = self.kits.get(line.kit)
            if inner is not None and line.kit not in above:
                answer = {**self._fixed(inner, (*above, kit.name)), **answer}
            elif line.each is not None and (part := self.choose(kit, line)):
                answer[part] = UnitCost(line.each, line.unit, "fixed cost")
        return answer

    def _proved(self, kit: Kit, line: Line) -> list[str]:
        """What the position's verdicts allow; where that is nothing, the reason is kept."""
        key = (kit.board, line.position, line.accept)
        try:
            ranked = self._ranked(f"{kit.board}:{line.position}", line.accept)
        except Refused as refused:
            self._why_none[key] = str(refused)
            return []
        parts = [self._name(c) for c in ranked if self._accepted(c, line.accept)]
        if not parts:
            self._why_none[key] = _nearest(ranked, line.accept)
        return parts

    def _ranked(self, place: str, accept: tuple[str, ...]) -> tuple[Candidate, ...]:
        """Those that may serve; all there are, where none of them is accepted, so that the nearest can be named."""
        from bom.match.match import match
        from bom.match.necessary_conditions import meets, necessary
        from bom.shop.placements import recall_placements
        from bom.shop.places import requirement_at

        requirement = requirement_at(self.catalogue, self.boards, place)
        recall_placements(self.session, requirement.place, self.catalogue.footprints.values())
        conditions, designs = necessary(requirement), tuple(self.catalogue.designs())
        near = match(requirement, [d for d in designs if meets(conditions, d.relay)], self.shelves)
        if any(self._accepted(c, accept) for c in near):
            return near
        return match(requirement, designs, self.shelves)

    def _name(self, candidate: Candidate) -> str:
        return self.names.name(candidate.relay.part_number, candidate.relay.maker)

    def _accepted(self, candidate: Candidate, accept: tuple[str, ...]) -> bool:
        """By verdict word, or by part number; a part named by number must not be refused."""
        if candidate.verdict.words in accept or candidate.verdict is Verdict.NO:
            return candidate.verdict.words in accept
        return any(self._name(candidate) == name_meant(self.session, word) for word in accept)

    @cached_property
    def boards(self) -> dict[str, Board]:
        from bom.shop.places import boards_by_name

        return boards_by_name(self.session)

    @cached_property
    def shelves(self) -> Shelves:
        from bom.shop.shelves import shelves

        return shelves(self.session, self.catalogue.relays, all_of_them=True)


def _nearest(ranked: Sequence[Candidate], accept: tuple[str, ...]) -> str:
    """The best of what is not good enough, and what is wrong with it."""
    wanted = f"nothing in the catalogue is {' or '.join(accept)}"
    if not ranked:
        return wanted
    first = ranked[0]
    why = next((f.why for f in worst_first(first.findings)), "")
    return f"{wanted}; nearest is {first.relay.maker} {first.relay.part_number}, {first.verdict.words}: {why}"
