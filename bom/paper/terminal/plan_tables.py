"""Knows how a purchase plan looks in a terminal: orders with reasons and sums, the proof, the habits beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bom.answers.buying import BarePlan, BlockedPlan, Habit, MadeOf, PlannedLine, PlannedOrder, Reorder, ShopPlan
from bom.paper.for_the_eye import FINEST, bare, money
from bom.paper.terminal.tables import simple_table

NOTHING_DUE = "Nothing is due: no part is at or below its reorder point.\n"
NOTHING_WANTED = "Nothing needs to be bought.\n"


def plan_table(answer: BarePlan) -> str:
    """What to order from whom, each order's sums, then the plan against the habits, and what was left out."""
    if answer.status == "infeasible":
        return _blocked(answer) + _left_out(answer)
    if not answer.order:
        return _nothing(answer) + _left_out(answer)
    return _orders(answer) + "\n" + _figures(answer) + _left_out(answer)


def _orders(answer: BarePlan) -> str:
    if not isinstance(answer, ShopPlan):
        return simple_table("", ["offer", "quantity"], list(answer.order.items()))
    caution = f"{answer.caution}\n" if answer.caution else ""
    return "\n".join(_order(order, answer.currency) for order in answer.orders) + caution


def _nothing(answer: BarePlan) -> str:
    if not isinstance(answer, Reorder):
        return NOTHING_WANTED
    return "Nothing of what is due can be ordered.\n" if answer.due else NOTHING_DUE


def _blocked(answer: BarePlan) -> str:
    known = answer.blocked if isinstance(answer, BlockedPlan | ShopPlan) else ()
    reasons = known or ("no order over these offers serves every need",)
    return "There is no order that serves every need.\n" + "".join(f"in the way: {reason}\n" for reason in reasons)


def _order(order: PlannedOrder, base: str) -> str:
    """Amounts stand without their currency, which the columns name; a piece may cost fractions of a cent."""
    code = order.currency
    measured = any(line.unit != "piece" for line in order.lines)
    rows = [
        (
            line.supplier_code,
            line.part_number,
            line.maker,
            line.quantity,
            *([line.unit] if measured else []),
            bare(line.unit_price, FINEST),
            bare(line.cost),
            bare(line.landed_each, FINEST),
            line.why,
        )
        for line in order.lines
    ]
    priced = [f"each {code}", f"line {code}", f"landed {base}"]
    counted = ["quantity", "unit"] if measured else ["pieces"]
    columns = ["code", "part number", "maker", *counted, *priced, "why"]
    return simple_table(order.supplier, columns, rows) + _care(order.lines) + _sums(order, base)


def _care(lines: Sequence[PlannedLine]) -> str:
    """Under the lines, on what a stand-in serves, and what may not be left out beside a part."""
    conditions = [words for line in lines for words in line.conditions]
    cautions = [f"{line.part_number}: {words}" for line in lines for words in line.cautions]
    return "".join(f"! {words}\n" for words in (*conditions, *cautions))


def _sums(order: PlannedOrder, base: str) -> str:
    """The order's sums in the supplier's currency, and what they come to in ours at the rate used."""
    own, code = order.own, order.currency
    sums = (
        ("goods", order.goods, own.goods),
        ("shipping", order.shipping, own.shipping),
        ("import fee", order.import_fee, own.import_fee),
        ("tax", order.tax, own.tax),
    )
    parts = [f"{name} {money(listed)}" for name, ours, listed in sums if ours]
    paid = f"{' + '.join(parts)} = {money(own.total)}" if len(parts) > 1 else f"{''.join(parts)}, nothing on top"
    ours = f" = {order.total:,.2f} {base} at {float(order.rate):g} {base} a {code}" if code != base else ""
    return "".join(f"{line}\n" for line in (paid + ours, *order.reached))


def _figures(answer: BarePlan) -> str:
    """The plan's cost with its proof, and beside it what the habits would have cost."""
    name = "landed cost of this plan"
    if not isinstance(answer, ShopPlan):
        return simple_table("", ["", "", ""], [(name, _amount(answer.cost, ""), _proof(answer))])
    unit = f" {answer.currency}"
    rows = [(name, _amount(answer.cost, unit), answer.proof), *_habits(answer.habits, answer.cost, unit)]
    return simple_table("", ["", "", ""], rows) + (_made_of(answer.made_of, unit) if answer.made_of else "")


def _amount(cost: float | None, unit: str) -> str:
    return "-" if cost is None else f"{cost:,.2f}{unit}"


def _proof(answer: BarePlan) -> str:
    if answer.status == "optimal":
        return "proved the cheapest"
    if answer.bound is None or answer.gap is None or answer.bound <= 0:
        return "how near the cheapest this is was not found out in the time it had"
    left = f"{100 * answer.gap:.2f} % could still be saved at most"
    return f"no order can be cheaper than {answer.bound:,.2f}: {left}"


def _habits(habits: Sequence[Habit], cost: float | None, unit: str) -> Iterator[tuple[str, str, str]]:
    for habit in habits:
        said = "" if habit.more is None else _dearer(habit.more, cost, unit)
        yield habit.name, _amount(habit.cost, unit), "; ".join(filter(None, (said, habit.note)))


def _dearer(more: float, cost: float | None, unit: str) -> str:
    """A habit is cheaper only where it does not keep to what was wished of the plan."""
    if not round(more, 2):
        return "the same"
    share = f" ({100 * abs(more) / cost:.1f} %)" if cost else ""
    return f"{abs(more):,.2f}{unit}{share} " + ("dearer" if more > 0 else "cheaper, but not as wished")


def _made_of(made: MadeOf, unit: str) -> str:
    named = (
        ("goods needed", made.goods),
        ("shipping", made.shipping),
        ("import fees", made.import_fee),
        ("tax not got back", made.tax),
        ("goods left over", made.leftovers),
    )
    parts = [f"{name} {amount:,.2f}{unit}" for name, amount in named if amount]
    return f"made of {', '.join(parts)}\n" if parts else ""


def _left_out(answer: BarePlan) -> str:
    if not isinstance(answer, ShopPlan):
        return ""
    reckoned = "".join(f"converted: {said}\n" for said in answer.reckoned)
    return reckoned + "".join(f"left out: {reason}\n" for reason in answer.left_out)
