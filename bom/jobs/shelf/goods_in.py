"""Goods in: a lot typed, or scanned from its bag's label; a sample of it measured; orders settled."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.jobs.shelf.ordering import known_supplier, settle
from bom.shop.amounts import Drawers, amount_of, cost_of, entry, lot_named, plain, unit_of
from bom.shop.parts import part_named, part_stated
from bom.stock.ledger import Lot, MoveKind, is_over
from bom.stock.samples import Inspection, inspect, limits_of
from bom.values.finding import Outcome
from bom.values.money import Money
from bom.values.part_number import same
from bom.values.problem import Refused
from bom.values.quantity import read, read_amount

if TYPE_CHECKING:
    from bom.intake.bag_label import BagLabel
    from bom.store.unit_of_work import Session


@dataclass(frozen=True, slots=True)
class GoodsIn:
    """What came, as typed; empty = not said. ``cost`` is of one unit unless it says otherwise (2.10 GBP, 92 GBP/kg,
    46 GBP in all). ``ohms`` are a sample's coil readings at the temperature ``at``; ``label`` a scanned bag label."""

    part: str = ""
    quantity: str = ""
    cost: str = ""
    lot: str = ""
    drawer: str = ""
    supplier: str = ""
    date_code: str = ""
    hold: bool = False
    maker_lot: str = ""
    expires: str = ""
    ohms: str = ""
    at: str = "20 °C"
    label: str = ""
    order: str = ""


def goods_in(session: Session, asked: GoodsIn) -> list[str]:
    """Book a new lot in; what to tell the user. A sample that fails, or cannot be judged, holds the lot."""
    from bom.store.shelf import add_lot, add_moves, next_lot_number

    asked = _with_label(session, asked) if asked.label else asked
    if not asked.part:
        raise Refused("expected a part number, typed or on the bag's label")
    number, maker = part_named(session, asked.part)
    amount = amount_of(session, number, asked.quantity)
    cost, when = _unit_cost(session, asked.cost, number, amount), datetime.now(UTC)
    drawer = Drawers(session).named(asked.drawer)
    supplier, notes = known_supplier(session, asked.supplier) if asked.supplier else ("", [])
    lot = Lot(
        asked.lot or next_lot_number(session), number, maker, drawer, asked.date_code, supplier, cost, when,
        _last_day(asked.expires), asked.maker_lot,
    )  # fmt: skip
    add_lot(session, lot, amount, when, "goods in")
    said = [_said(lot, cost, amount, unit_of(session, number))]
    said += settle(session, asked.order, supplier, number, amount, when)
    if asked.ohms:
        said += _inspected(session, lot, amount, asked, when)
    elif asked.hold:
        add_moves(session, [entry(when, MoveKind.HOLD, lot, amount, "held for inspection")])
        said.append(f"lot {lot.number} is held for inspection: bom stock release {lot.number} lets it go")
    return [*said, *notes, *_past(lot, when)]


def _past(lot: Lot, when: datetime) -> list[str]:
    if not is_over(lot, when.date()):
        return []
    return [f"note: lot {lot.number} expired on {lot.expires}: it is on hand, but never picked"]


def _said(lot: Lot, cost: Money, amount: Decimal, unit: str) -> str:
    from bom.paper.json_out import money_digits

    each = "each" if unit == "piece" else f"per {unit}"
    drawer = f", drawer {lot.drawer}" if lot.drawer else ""
    of = f"{plain(amount, unit)} {'' if unit == 'piece' else 'of '}{lot.part_number}"
    price = f"{money_digits(cost)} {cost.currency} {each}"
    return f"lot {lot.number}: {of} at {price}, {cost.times(amount)} in all{drawer}"


def _unit_cost(session: Session, text: str, part: str, amount: Decimal) -> Money:
    """What one unit (piece, g, mm, ml) cost: said of one, of another unit of the kind (92 GBP/kg), or of all."""
    if not text:
        raise Refused(f"expected what one {unit_of(session, part)} of {part} cost, as in --cost '2.10 GBP'")
    if text.endswith(" in all"):
        whole = cost_of(session, text.removesuffix(" in all"))
        return Money.of(whole.amount / amount, whole.currency)
    each, slash, per = text.partition("/")
    cost = cost_of(session, each)
    if not slash:
        return cost
    many, unit = read_amount(f"1 {per.strip()}")
    if unit != unit_of(session, part):
        raise Refused(f"{part} is kept in {unit_of(session, part)}, found a cost per {per.strip()}")
    return Money.of(cost.amount / many, cost.currency)


def _last_day(text: str) -> date | None:
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise Refused(f"expected the last day as in 2027-12-31, found {text!r}") from error


def _with_label(session: Session, asked: GoodsIn) -> GoodsIn:
    """What was typed, filled up from the label; where both say something they must agree."""
    from bom.intake.bag_label import read_label

    label = read_label(asked.label)
    quantity = "" if label.quantity is None else plain(label.quantity)
    part = _part_on(session, label, asked.part)
    if quantity and asked.quantity and plain(amount_of(session, part, asked.quantity)) != quantity:
        raise Refused(f"the label says {quantity} pieces, and {asked.quantity} was typed; count them")
    return replace(
        asked,
        part=part,
        quantity=asked.quantity or quantity,
        maker_lot=asked.maker_lot or label.lot,
        date_code=asked.date_code or label.date_code,
        expires=asked.expires or (str(label.expires) if label.expires else ""),
    )


def _part_on(session: Session, label: BagLabel, typed: str) -> str:
    """The catalogue's part that the label names; the one typed must be on it."""
    from bom.store.part_names import part_names

    if typed:
        name, _ = part_named(session, typed)
        number, _ = part_names(session).part(name)
        if not any(same(number, other) for other in label.parts):
            raise Refused(f"the label is for {' or '.join(label.parts)}, not for {name}")
        return name
    for number in label.parts[:-1]:
        try:
            return part_stated(session, number).name
        except Refused:
            continue
    return part_stated(session, label.parts[-1]).name


def _inspected(session: Session, lot: Lot, amount: Decimal, asked: GoodsIn, when: datetime) -> list[str]:
    """Enter what the sample said, and hold the lot unless it passed."""
    from bom.store.shelf import add_moves

    found = judge(session, lot.part_number, lot.maker, asked.ohms, asked.at)
    moves = [entry(when, MoveKind.INSPECT, lot, Decimal(0), f"{found.outcome}: {found.why}")]
    said = f"inspected, {found.outcome}: {found.why}"
    if found.holds or asked.hold:
        why = "sample failed" if found.outcome is Outcome.FAIL else "held for inspection"
        moves.append(entry(when, MoveKind.HOLD, lot, amount, why))
        said += f"; lot {lot.number} is held"
    add_moves(session, moves)
    return [said]


def judge(session: Session, part: str, maker: str, ohms: str, at: str) -> Inspection:
    """A sample's readings, converted to the data sheet's temperature, against the ohms and tolerance it states."""
    from bom.duty.coil_heat import ohms_at
    from bom.store.catalogue import named

    relays = [r for r in named(session, part) if maker in ("", r.maker)]
    if not relays:
        raise Refused(f"{part} is no relay, so it has no coil to measure")
    relay, warm = relays[0], read(at, "degC")
    reference = 20.0 if relay.coil_ref_temp_c is None else relay.coil_ref_temp_c
    readings = [ohms_at(read(one, "ohm"), warm, reference) for one in ohms.replace(",", " ").replace(";", " ").split()]
    if not readings or min(readings) < 0:
        raise Refused(f"expected readings in ohms, as in --ohms '238 241 239', found {ohms!r}")
    return inspect(readings, limits_of(relay.coil_ohms, relay.coil_ohms_tol_pct), f"{reference:g} °C")


def inspect_lot(session: Session, number: str, ohms: str, at: str) -> list[str]:
    """Measure a sample of a lot that is there: what does not pass is held, what passes is not let go by itself."""
    from bom.store.shelf import add_moves, shelf

    lot, when = lot_named(session, number), datetime.now(UTC)
    found = judge(session, lot.part_number, lot.maker, ohms, at)
    level = shelf(session, [lot.part_number]).lots[lot.number]
    moves = [entry(when, MoveKind.INSPECT, lot, Decimal(0), f"{found.outcome}: {found.why}")]
    said = [f"lot {lot.number} inspected, {found.outcome}: {found.why}"]
    if found.holds and level.available > 0:
        moves.append(entry(when, MoveKind.HOLD, lot, level.available, f"sample: {found.outcome}"))
        said.append(f"{plain(level.available)} of lot {lot.number} are held")
    elif level.held:
        said.append(f"{plain(level.held)} of it are held; bom stock release {lot.number} lets them go")
    add_moves(session, moves)
    return said
