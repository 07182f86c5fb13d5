"""Goods in: a lot typed, or scanned from its bag's label; a sample of it measured; orders settled."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.duty.coil_heat import ohms_at
from bom.intake.bag_label import read_label
from bom.jobs.shelf.ordering import known_supplier, settle
from bom.paper.json_out import money_digits
from bom.shop.amounts import amount_of, cost_of, entry, plain
from bom.shop.names import Drawers, lot_named, part_named, part_stated
from bom.shop.shop import Shop
from bom.stock.ledger import Level, Lot, MoveKind, is_over
from bom.stock.samples import Inspection, inspect, limits_of
from bom.store.catalogue import named
from bom.store.shelf import add_lot, add_moves, next_lot_number, shelf
from bom.values.finding import Outcome
from bom.values.money import Money
from bom.values.part_number import same
from bom.values.problem import Refused
from bom.values.quantity import read, read_amount
from bom.values.typed_day import day_typed

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
    shop = Shop(session)
    asked = _with_label(shop, asked) if asked.label else asked
    if not asked.part:
        raise Refused("expected a part number, typed or on the bag's label")
    number, maker = part_named(shop, asked.part)
    amount = amount_of(shop, number, asked.quantity)
    cost, when = _unit_cost(shop, asked.cost, number, amount), datetime.now(UTC)
    drawer = Drawers(shop).named(asked.drawer)
    supplier, notes = known_supplier(shop, asked.supplier) if asked.supplier else ("", [])
    lot = Lot(
        asked.lot or next_lot_number(shop.session), number, maker, drawer, asked.date_code, supplier, cost, when,
        _last_day(asked.expires), asked.maker_lot,
    )  # fmt: skip
    add_lot(shop.session, lot, amount, when, "goods in")
    said = [_said(lot, cost, amount, shop.unit(number))]
    said += settle(shop, asked.order, supplier, number, amount, when)
    if asked.ohms:
        said += _inspected(shop, lot, amount, asked, when)
    elif asked.hold:
        add_moves(shop.session, [entry(when, MoveKind.HOLD, lot, amount, "held for inspection")])
        said.append(f"lot {lot.number} is held for inspection: bom stock release {lot.number} lets it go")
    return [*said, *notes, *_past(lot, when)]


def _past(lot: Lot, when: datetime) -> list[str]:
    if not is_over(lot, when.date()):
        return []
    return [f"note: lot {lot.number} expired on {lot.expires}: it is on hand, but never picked"]


def _said(lot: Lot, cost: Money, amount: Decimal, unit: str) -> str:
    each = "each" if unit == "piece" else f"per {unit}"
    drawer = f", drawer {lot.drawer}" if lot.drawer else ""
    of = f"{plain(amount, unit)} {'' if unit == 'piece' else 'of '}{lot.part_number}"
    price = f"{money_digits(cost)} {cost.currency} {each}"
    return f"lot {lot.number}: {of} at {price}, {cost.times(amount)} in all{drawer}"


def _unit_cost(shop: Shop, text: str, part: str, amount: Decimal) -> Money:
    """What one unit (piece, g, mm, ml) cost: said of one, of another unit of the kind (92 GBP/kg), or of all."""
    if not text:
        raise Refused(f"expected what one {shop.unit(part)} of {part} cost, as in --cost '2.10 GBP'")
    if text.endswith(" in all"):
        whole = cost_of(shop, text.removesuffix(" in all"))
        return Money.of(whole.amount / amount, whole.currency)
    each, slash, per = text.partition("/")
    cost = cost_of(shop, each)
    if not slash:
        return cost
    many, unit = read_amount(f"1 {per.strip()}")
    if unit != shop.unit(part):
        raise Refused(f"{part} is kept in {shop.unit(part)}, found a cost per {per.strip()}")
    return Money.of(cost.amount / many, cost.currency)


def _last_day(text: str) -> date | None:
    if not text:
        return None
    if (day := day_typed(text)) is None:
        raise Refused(f"expected the last day as in 2027-12-31 (3/4/2027 could be two), found {text!r}")
    return day


def _with_label(shop: Shop, asked: GoodsIn) -> GoodsIn:
    """What was typed, filled up from the label; where both say something they must agree."""
    label = read_label(asked.label)
    quantity = "" if label.quantity is None else plain(label.quantity)
    part = _part_on(shop, label, asked.part)
    if quantity and asked.quantity and plain(amount_of(shop, part, asked.quantity)) != quantity:
        raise Refused(f"the label says {quantity} pieces, and {asked.quantity} was typed; count them")
    return replace(
        asked,
        part=part,
        quantity=asked.quantity or quantity,
        maker_lot=asked.maker_lot or label.lot,
        date_code=asked.date_code or label.date_code,
        expires=asked.expires or (str(label.expires) if label.expires else ""),
    )


def _part_on(shop: Shop, label: BagLabel, typed: str) -> str:
    """The catalogue's part that the label names; the one typed must be on it."""
    if typed:
        name, _ = part_named(shop, typed)
        number, _ = shop.names.part(name)
        if not any(same(number, other) for other in label.parts):
            raise Refused(f"the label is for {' or '.join(label.parts)}, not for {name}")
        return name
    for number in label.parts[:-1]:
        try:
            return part_stated(shop, number).name
        except Refused:
            continue
    return part_stated(shop, label.parts[-1]).name


def _inspected(shop: Shop, lot: Lot, amount: Decimal, asked: GoodsIn, when: datetime) -> list[str]:
    """Enter what the sample said, and hold the lot unless it passed."""
    found = judge(shop, lot.part_number, lot.maker, asked.ohms, asked.at)
    moves = [entry(when, MoveKind.INSPECT, lot, Decimal(0), f"{found.outcome}: {found.why}")]
    said = f"inspected, {found.outcome}: {found.why}"
    if found.holds or asked.hold:
        why = "sample failed" if found.outcome is Outcome.FAIL else "held for inspection"
        moves.append(entry(when, MoveKind.HOLD, lot, amount, why))
        said += f"; lot {lot.number} is held"
    add_moves(shop.session, moves)
    return [said]


def judge(shop: Shop, part: str, maker: str, ohms: str, at: str) -> Inspection:
    """A sample's readings, converted to the data sheet's temperature, against the ohms and tolerance it states."""
    relays = [r for r in named(shop.session, part) if maker in ("", r.maker)]
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
    shop = Shop(session)
    lot, when = lot_named(shop, number), datetime.now(UTC)
    found = judge(shop, lot.part_number, lot.maker, ohms, at)
    level = shelf(shop.session, [lot.part_number]).lots.get(lot.number, Level())
    moves = [entry(when, MoveKind.INSPECT, lot, Decimal(0), f"{found.outcome}: {found.why}")]
    said = [f"lot {lot.number} inspected, {found.outcome}: {found.why}"]
    if found.holds and level.available > 0:
        moves.append(entry(when, MoveKind.HOLD, lot, level.available, f"sample: {found.outcome}"))
        said.append(f"{plain(level.available)} of lot {lot.number} are held")
    elif level.held:
        said.append(f"{plain(level.held)} of it are held; bom stock release {lot.number} lets them go")
    add_moves(shop.session, moves)
    return said
