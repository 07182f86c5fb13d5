"""What the shop has for its kits: which parts may serve a line, what they cost by each basis, how many are there."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING

from bom.kits.cost import UnitCost
from bom.kits.kit import Kit, Line
from bom.relays.relay import SupplyPart
from bom.shop.books import average_in
from bom.shop.names import name_meant, whose_is_meant
from bom.shop.placements import recall_placements
from bom.shop.places import requirement_there
from bom.shop.prices import cheapest
from bom.shop.serving import name_of, serving
from bom.shop.shop import ByName
from bom.stock.ledger import expired, free
from bom.store.shelf import lots, shelf
from bom.values.finding import Verdict, worst_first
from bom.values.money import Money
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.boards.board import Place
    from bom.match.match import Candidate
    from bom.shop.shop import Shop
    from bom.stock.ledger import Lot
    from bom.store.shelf import Shelf


class Sourcing:
    """A shop as its kits see it. ``bought`` is how much of each part a plan buys, where one was made for the kit."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.bought: Mapping[str, int] = {}

    @property
    def kits(self) -> Mapping[str, Kit]:
        return self.shop.kits

    @property
    def stock(self) -> ByName[Decimal]:
        """Part, or kit made up, to how much of it is free to be taken today."""
        return self.shop.kept("free", lambda: ByName(partial(_free, self.shop)))

    @property
    def expired(self) -> ByName[Decimal]:
        """Part to how much of it lies there past its day."""
        return self.shop.kept("expired", lambda: ByName(partial(_expired, self.shop)))

    def expect(self, kits: Iterable[Kit]) -> None:
        """These kits will be asked for: what is there of all that may serve their lines is read at once."""
        lines = [(kit, line) for outer in kits for kit in self._opened(outer, ()) for line in kit.lines]
        inside = [line.kit for _, line in lines if line.kit]
        self.shop.look_up(line.part for _, line in lines if line.part)
        self.stock.expect([*inside, *(p for kit, line in lines if not line.kit for p in self.served_by(kit, line))])

    def _opened(self, kit: Kit, above: tuple[str, ...]) -> Iterator[Kit]:
        """The kit and those inside it; one that holds itself is for others to refuse."""
        yield kit
        for line in kit.lines:
            if line.kit in self.kits and line.kit not in (*above, kit.name):
                yield from self._opened(self.kits[line.kit], (*above, kit.name))

    def served_by(self, kit: Kit, line: Line) -> tuple[str, ...]:
        """The parts that may serve a line, best first: the part itself, or what the position's verdicts allow."""
        return self._served(kit, line)[0]

    def why_none(self, kit: Kit, line: Line) -> str:
        """Why no part may serve this line of the kit; empty where one may."""
        return self._served(kit, line)[1]

    def _served(self, kit: Kit, line: Line) -> tuple[tuple[str, ...], str]:
        """(the parts, best first; where there is none, why)."""
        if line.part:
            makers = self.shop.names.makers(line.part)
            return ((), whose_is_meant(line.part, makers)) if makers else ((line.part,), "")
        key = ("served by", kit.board, line.position, line.accept)
        return self.shop.kept(key, partial(self._proved, kit.board, line.position, line.accept))

    def _proved(self, board: str, position: str, accept: tuple[str, ...]) -> tuple[tuple[str, ...], str]:
        """By verdict word, or by part number; a part named by number must not be refused."""
        self.shop.kept("placements of kits recalled", self._recall)
        try:
            here = serving(self.shop, requirement_there(self.shop, f"{board}:{position}"))
        except Refused as refused:
            return (), str(refused)
        verdicts = {verdict for verdict in Verdict if verdict.words in accept}
        named = {name_meant(self.shop, word) for word in accept} - {verdict.words for verdict in verdicts}
        parts = tuple(name_of(self.shop, candidate) for candidate in here.accepted(verdicts, named))
        return (parts, "") if parts else ((), _nearest(here.nearest(), accept))

    def _recall(self) -> None:
        """Of a catalogue that is not long, everything known of how it goes in wherever the kits' parts do, at once."""
        if self.shop.is_long:
            return
        where = {f"{kit.board}:{line.position}" for kit in self.kits.values() for line in kit.lines if line.position}
        recall_placements(
            self.shop, filter(None, map(self._place, sorted(where))), self.shop.catalogue.footprints.values()
        )

    def _place(self, where: str) -> Place | None:
        try:
            return requirement_there(self.shop, where).place
        except Refused:
            return None

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
    def offered(self) -> ByName[Money]:
        """Part to the cheapest piece anyone offers, with the tax that the shop does not get back."""
        return cheapest(self.shop, with_tax=not self.shop.settings.tax_registered)

    def average(self, part: str, currency: str) -> Money | None:
        """The moving average of what is on hand, in this currency; None where it is not known."""
        return self.shop.kept(("average", part, currency), lambda: average_in(self.shop, part, currency))

    def unit(self, part: str) -> str:
        return self.shop.unit(part)

    def describe(self, part: str) -> str:
        """What the part is: a supply's name, a relay's maker and coil; empty where the catalogue has neither."""
        relay = self.shop.part(part)
        if relay is None:
            return "kit, made up before" if part in self.kits else ""
        if isinstance(relay, SupplyPart):
            return relay.name
        return f"{relay.maker} relay" + (f", {relay.coil_volts:g} V coil" if relay.coil_volts else "")

    def kind(self, part: str) -> str:
        """consumable, part, packing or print; a relay is a part."""
        found = self.shop.part(part)
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


def _free(shop: Shop, parts: Collection[str]) -> dict[str, Decimal]:
    there, lots = _lying(shop, parts)
    return free(lots, there.lots, there.promised, shop.today)


def _expired(shop: Shop, parts: Collection[str]) -> dict[str, Decimal]:
    there, lots = _lying(shop, parts)
    return expired(lots, there.lots, shop.today)


def _lying(shop: Shop, parts: Collection[str]) -> tuple[Shelf, tuple[Lot, ...]]:
    """What is there of these parts, and the lots it lies in; of all parts at once where the catalogue is not long."""
    if not shop.is_long:
        return shop.shelf, shop.lots
    there = shelf(shop.session, parts)
    return there, lots(shop.session, [number for number, level in there.lots.items() if number and level.on_hand])


def _nearest(first: Candidate | None, accept: tuple[str, ...]) -> str:
    """The best of what is not good enough, and what is wrong with it."""
    wanted = f"nothing in the catalogue is {' or '.join(accept)}"
    if first is None:
        return wanted
    why = next((f.why for f in worst_first(first.findings)), "")
    return f"{wanted}; nearest is {first.relay.maker} {first.relay.part_number}, {first.verdict.words}: {why}"
