"""Knows how a purchase plan looks in a terminal: orders with reasons and sums, the proof, the habits beside it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bom.paper.terminal.tables import money, simple_table

Answer = dict[str, Any]
UNIT_DIGITS = 4  # a piece may cost fractions of a cent
SUMMED = ("goods", "shipping", "import_fee", "tax")
MADE_OF = {
    "goods": "goods needed",
    "leftovers": "goods left over",
    "import_fee": "import fees",
    "tax": "tax not got back",
}
NOTHING_DUE = "Nothing is due: no part is at or below its reorder point.\n"
NOTHING_WANTED = "Nothing needs to be bought.\n"


def plan_table(answer: Answer) -> str:
    """What to order from whom, each order's sums, then the plan against the habits, and what was left out."""
    if answer["status"] == "infeasible":
        return _blocked(answer) + _left_out(answer)
    if not answer["order"]:
        return _nothing(answer) + _left_out(answer)
    orders = "\n".join(_order(order, answer["currency"]) for order in answer.get("orders", []))
    caution = f"{answer['caution']}\n" if answer.get("caution") else ""
    return (orders or _bare_order(answer)) + caution + "\n" + _figures(answer) + _left_out(answer)


def _nothing(answer: Answer) -> str:
    if answer.get("due"):
        return "Nothing of what is due can be ordered.\n"
    return NOTHING_DUE if "due" in answer else NOTHING_WANTED


def _blocked(answer: Answer) -> str:
    reasons = answer.get("blocked") or ["no order over these offers serves every need"]
    return "There is no order that serves every need.\n" + "".join(f"in the way: {reason}\n" for reason in reasons)


def _order(order: Answer, base: str) -> str:
    """Amounts stand without their currency, which the columns name."""
    code = order["currency"]
    measured = any(line.get("unit", "piece") != "piece" for line in order["lines"])
    rows = [
        (
            line["supplier_code"],
            line["part_number"],
            line["maker"],
            line["quantity"],
            *([line.get("unit", "piece")] if measured else []),
            _amount(line["unit_price"], UNIT_DIGITS),
            _amount(line["cost"]),
            _amount(line["landed_each"], UNIT_DIGITS),
            line["why"],
        )
        for line in order["lines"]
    ]
    priced = [f"each {code}", f"line {code}", f"landed {base}"]
    counted = ["quantity", "unit"] if measured else ["pieces"]
    columns = ["code", "part number", "maker", *counted, *priced, "why"]
    return simple_table(order["supplier"], columns, rows) + _care(order["lines"]) + _sums(order, base)


def _care(lines: list[Answer]) -> str:
    """Under the lines, on what a stand-in serves, and what may not be left out beside a part."""
    conditions = [words for line in lines for words in line["conditions"]]
    cautions = [f"{line['part_number']}: {words}" for line in lines for words in line["cautions"]]
    return "".join(f"! {words}\n" for words in (*conditions, *cautions))


def _sums(order: Answer, base: str) -> str:
    """The order's sums in the supplier's currency, and what they come to in ours at the rate used."""
    own, code = order["own"], order["currency"]
    parts = [f"{_words(name)} {money(own[name])}" for name in SUMMED if order[name]]
    paid = f"{' + '.join(parts)} = {money(own['total'])}" if len(parts) > 1 else f"{''.join(parts)}, nothing on top"
    ours = f" = {order['total']:.2f} {base} at {order['rate']:g} {base} a {code}" if code != base else ""
    return "".join(f"{line}\n" for line in (paid + ours, *order["reached"]))


def _bare_order(answer: Answer) -> str:
    return simple_table("", ["offer", "quantity"], list(answer["order"].items()))


def _figures(answer: Answer) -> str:
    unit = f" {answer['currency']}" if "currency" in answer else ""
    cost = ("landed cost of this plan", f"{answer['cost']:.2f}{unit}", answer.get("proof") or _proof(answer, unit))
    shown = simple_table("", ["", "", ""], [cost, *_habits(answer, unit)])
    return shown + _made_of(answer, unit)


def _proof(answer: Answer, unit: str) -> str:
    if answer["status"] == "optimal":
        return "proved the cheapest"
    if answer["bound"] <= 0:
        return "how near the cheapest this is was not found out in the time it had"
    left = f"{100 * answer['gap']:.2f} % could still be saved at most"
    return f"no order can be cheaper than {answer['bound']:.2f}{unit}: {left}"


def _habits(answer: Answer, unit: str) -> Iterator[tuple[str, str, str]]:
    for habit in answer.get("habits", ()):
        if habit["cost"] is None:
            yield habit["name"], "-", habit["note"]
        else:
            said = _dearer(habit["more"], answer["cost"], unit)
            yield habit["name"], f"{habit['cost']:.2f}{unit}", "; ".join(filter(None, (said, habit["note"])))


def _dearer(more: float, cost: float, unit: str) -> str:
    """A habit is cheaper only where it does not keep to what was wished of the plan."""
    if not round(more, 2):
        return "the same"
    share = f" ({100 * abs(more) / cost:.1f} %)" if cost else ""
    return f"{abs(more):.2f}{unit}{share} " + ("dearer" if more > 0 else "cheaper, but not as wished")


def _made_of(answer: Answer, unit: str) -> str:
    made = answer.get("made_of") or {}
    parts = [f"{MADE_OF.get(name, name)} {amount:.2f}{unit}" for name, amount in made.items() if amount]
    return f"made of {', '.join(parts)}\n" if parts else ""


def _words(name: str) -> str:
    return name.replace("_", " ")


def _left_out(answer: Answer) -> str:
    reckoned = "".join(f"converted: {said}\n" for said in answer.get("reckoned", []))
    return reckoned + "".join(f"left out: {reason}\n" for reason in answer.get("left_out", []))


def _amount(value: Any, digits: int = 2) -> str:
    """Money without its currency, where the column names it."""
    return f"{float(value['amount']):.{digits}f}"
