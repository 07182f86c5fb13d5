"""The seller's job: kits taken, costed, made up from lots, and their papers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bom.kits.cost import KitCost, UnitCost, cost
from bom.kits.kit import Kit, Line
from bom.kits.price import Sale, price_for, profit
from bom.stock.ledger import Lot, Move, MoveKind, levels, lot_levels
from bom.stock.picking import pick
from bom.values.finding import Verdict
from bom.values.money import Money
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def add_kit(session: Session, file: Path) -> list[str]:
    """Take a kit's file; what to tell the user. Raises ProblemsFound."""
    from bom.intake.kits import take_kit
    from bom.store.kits import take_kit as keep_kit

    kit, notes = take_kit(file)
    keep_kit(session, kit)
    return [f"kit {kit.name}: {len(kit.lines)} lines", *(f"note: {note}" for note in notes)]


def kits_by_name(session: Session) -> dict[str, Kit]:
    from bom.store.kits import kits

    return {kit.name: kit for kit in kits(session)}


def kit_named(session: Session, name: str) -> Kit:
    kits = kits_by_name(session)
    for known, kit in kits.items():
        if known.casefold() == name.strip().casefold():
            return kit
    raise Refused(f"no kit {name}; there are {', '.join(sorted(kits)) or 'none yet: bom kit add FILE'}")


def cost_kits(session: Session, name: str, batch: int | None) -> list[dict[str, Any]]:
    """One kit's cost, or every kit's that is sold on its own, with its price and how many can be made up now."""
    known = kits_by_name(session)
    chosen = [kit_named(session, name)] if name else [k for k in known.values() if k.market]
    if not chosen:
        raise Refused("no kit yet: bom kit add FILE")
    bench = Sourcing(session, known)
    return [_costed(replace(kit, batch=batch or kit.batch), bench) for kit in chosen]


class Sourcing:
    """What the shop has for its kits: which parts may serve a line, what they cost, how many are available."""

    def __init__(self, session: Session, kits: Mapping[str, Kit]) -> None:
        from bom.store.catalogue import whole_catalogue
        from bom.store.shelf import lots, moves

        self.session, self.kits = session, kits
        self.catalogue = whole_catalogue(session)
        self.units = {s.part_number: s.unit for s in self.catalogue.supplies}
        self.moves, self.lots = moves(session), lots(session)
        self.levels = levels(self.moves)
        self._served: dict[tuple[str, str, tuple[str, ...]], list[str]] = {}
        self._offered: dict[str, Money] | None = None

    def served_by(self, kit: Kit, line: Line) -> list[str]:
        """The parts that may serve a line, best first: the part itself, or what the position's verdicts allow."""
        if line.part:
            return [line.part]
        key = (kit.board, line.position, line.accept)
        if key not in self._served:
            self._served[key] = self._proved(kit, line)
        return self._served[key]

    def choose(self, kit: Kit, line: Line) -> str | None:
        """The part to reckon with: the best ranked that is in stock, else the best ranked that is offered."""
        parts = self.served_by(kit, line)
        there = (p for p in parts if p in self.levels and self.levels[p].available > 0)
        offered = (p for p in parts if p in self.offered)
        return next(there, None) or next(offered, None) or next(iter(parts), None)

    def unit_cost(self, currency: str) -> Callable[[str, Decimal], UnitCost | None]:
        """Average cost on hand, else the cheapest piece anyone offers; None where neither is known."""

        def of(part: str, quantity: Decimal) -> UnitCost | None:
            unit = self.units.get(part, "piece")
            if (average := self._average(part, currency)) is not None:
                return UnitCost(average, unit, "average cost on hand")
            price = self.offered.get(part)
            return UnitCost(price, unit, "lowest offer") if price and price.currency == currency else None

        return of

    @property
    def offered(self) -> dict[str, Money]:
        if self._offered is None:
            from bom.jobs.prices import cheapest_pieces

            self._offered = cheapest_pieces(self.session)
        return self._offered

    def _average(self, part: str, currency: str) -> Money | None:
        from bom.jobs.shelf import average_in

        return average_in(self.session, part, self.moves, self.lots, currency)

    def _proved(self, kit: Kit, line: Line) -> list[str]:
        from bom.jobs.matching import boards_by_name, requirement_at, shelves
        from bom.match.match import match

        boards = boards_by_name(self.session)
        requirement = requirement_at(self.catalogue, boards, f"{kit.board}:{line.position}")
        ranked = match(requirement, self.catalogue.designs(), shelves(self.session))
        return [c.relay.part_number for c in ranked if _accepted(c.verdict, c.relay.part_number, line.accept)]


def _accepted(verdict: Verdict, part: str, accept: tuple[str, ...]) -> bool:
    """By verdict word, or by part number; a part named by number must not be refused."""
    return verdict.words in accept or (part in accept and verdict is not Verdict.NO)


def _costed(kit: Kit, bench: Sourcing) -> dict[str, Any]:
    answer = cost(kit, unit_costs=bench.unit_cost(kit.currency), kits=bench.kits, choose=bench.choose)
    return {
        "kit": kit.name,
        "board": kit.board,
        "repair": kit.repair,
        "batch": kit.batch,
        "lines": [_line(line) for line in answer.lines],
        "unknown": [f"{line.what}: {line.why}" for line in answer.unknown],
        "per_kit": answer.total_per_kit,
        "sale": _sale(kit, answer),
        "can_make_now": _can_make(kit, bench),
    }


def _line(line: Any) -> dict[str, Any]:
    return {
        "line": line.what,
        "part_number": line.part_number,
        "needed": line.needed,
        "bought": line.bought,
        "unit": line.unit,
        "each": line.each,
        "cost": line.cost,
        "why": line.source or line.why,
        "inside": [_line(inner) for inner in line.inside],
    }


def _sale(kit: Kit, answer: KitCost) -> dict[str, Any] | None:
    """The price and what it leaves; None where the cost is not known or the kit is not sold on its own."""
    materials = answer.materials_per_kit
    if kit.market is None or materials is None:
        return None
    sale: Sale
    if kit.market.price is not None:
        sale = profit(kit.market, kit.packing, materials)
    elif kit.market.margin_pct is not None:
        sale = price_for(kit.market, kit.packing, materials, kit.market.margin_pct)
    else:
        return None
    names = ("price", "tax", "fee", "postage", "packing", "labour", "cost", "profit")
    margin = sale.margin_pct
    return {n: getattr(sale, n) for n in names} | {"margin_pct": None if margin is None else round(margin, 1)}


def _can_make(kit: Kit, bench: Sourcing) -> int:
    """Kits that can be made up now from what is available, sub-kits opened."""
    from bom.kits.possible import KitNeed, WantedKit, possible

    needs = tuple(KitNeed(q, tuple(parts)) for parts, q in kit_needs(kit, bench))
    stock = {p: max(level.available, Decimal(0)) for p, level in bench.levels.items()}
    return possible(stock, [WantedKit(kit.name, needs)]).kits[kit.name]


def kit_needs(kit: Kit, bench: Sourcing, times: Decimal = Decimal(1)) -> list[tuple[list[str], Decimal]]:
    """What one kit takes: (acceptable parts, quantity) for every line, those of kits inside it too."""
    answer = []
    for line in kit.lines:
        if line.kit:
            answer += kit_needs(bench.kits[line.kit], bench, times * line.quantity)
        else:
            answer.append((bench.served_by(kit, line), line.quantity * times))
    return answer


def make_kits(session: Session, name: str, count: int, dry: bool) -> dict[str, Any]:
    """Pick the lots for so many kits and book them out into a kit lot; short of anything, nothing is booked."""
    from bom.kits.possible import KitNeed, WantedKit, picks
    from bom.store.shelf import add_moves

    kit = kit_named(session, name)
    bench = Sourcing(session, kits_by_name(session))
    wanted = WantedKit(kit.name, tuple(KitNeed(q, tuple(p)) for p, q in kit_needs(kit, bench)))
    stock = {p: max(level.available, Decimal(0)) for p, level in bench.levels.items()}
    uses, missing = picks(stock, [wanted], {kit.name: count})
    lacking = [{"parts": list(m.allowed), "quantity": m.quantity} for m in missing]
    picked = [] if lacking else _lots_for(bench, uses)
    kit_lot = "" if dry or lacking else _kit_lot(session)
    if kit_lot:
        when = datetime.now(UTC)
        add_moves(session, [_booked(when, lot, q, kit.name, kit_lot) for lot, q in picked])
    return {
        "kit": kit.name,
        "count": count,
        "kit_lot": kit_lot or None,
        "picks": [_pick_row(lot, q) for lot, q in picked],
        "missing": lacking,
    }


def _lots_for(bench: Sourcing, uses: Mapping[tuple[str, int, str], Decimal]) -> list[tuple[Lot, Decimal]]:
    totals: dict[str, Decimal] = {}
    for (_, _, part), quantity in uses.items():
        totals[part] = totals.get(part, Decimal(0)) + quantity
    by_lot = lot_levels(bench.moves)
    return [p for part, q in sorted(totals.items()) if q for p in pick(part, q, bench.lots, by_lot)]


def _kit_lot(session: Session) -> str:
    """The next kit lot: K and a number that no booking refers to yet."""
    from bom.store.shelf import moves

    taken = {m.reference for m in moves(session)}
    number = 1
    while f"K{number:05}" in taken:
        number += 1
    return f"K{number:05}"


def _booked(when: datetime, lot: Lot, quantity: Decimal, kit: str, kit_lot: str) -> Move:
    return Move(0, when, MoveKind.OUT, lot.part_number, lot.number, -quantity, f"made up: {kit}", kit_lot)


def _pick_row(lot: Lot, quantity: Decimal) -> dict[str, Any]:
    return {"drawer": lot.drawer, "part_number": lot.part_number, "lot": lot.number, "quantity": quantity}


def kit_sheet(session: Session, name: str) -> str:
    """The sheet for the bag, as one HTML page that prints on A4."""
    from bom.paper.kit_sheet import KitSheet, sheet_page

    kit = kit_named(session, name)
    bench = Sourcing(session, kits_by_name(session))
    repair, cautions = _repair_of(session, kit)
    contents = [(parts[0] if parts else "no part proved yet", q) for parts, q in kit_needs(kit, bench)]
    described = tuple((part, bench.units.get(part, "piece"), q) for part, q in contents)
    return sheet_page(KitSheet(kit.name, kit.board, kit.repair, described, repair, cautions))


def _repair_of(session: Session, kit: Kit) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(what to check first, cautions) from the kit's board."""
    from bom.duty.cautions import cautions_for
    from bom.jobs.matching import boards_by_name, place_at

    bench_board = boards_by_name(session).get(kit.board)
    if bench_board is None:
        return (), tuple(cautions_for(None))
    repair = next((r for r in bench_board.repairs if r.name == kit.repair), None)
    from bom.store.catalogue import whole_catalogue

    catalogue = whole_catalogue(session)
    refs = repair.positions if repair else ()
    said = [c for ref in refs for c in cautions_for(place_at(catalogue, bench_board, ref))]
    return repair.first_check if repair else (), tuple(dict.fromkeys(said or cautions_for(None)))


def kit_label(session: Session, name: str, lot: str) -> str:
    """A bag label as SVG."""
    from bom.paper.kit_sheet import label_drawing

    kit = kit_named(session, name)
    return label_drawing(kit.name, kit.board, lot)
