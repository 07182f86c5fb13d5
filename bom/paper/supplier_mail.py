"""Knows the papers to a supplier as plain text, for the body of a mail: what is asked for, and what is ordered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from bom.paper.for_the_eye import FINEST, bare, money, number
from bom.paper.letterhead import Letterhead
from bom.paper.workbooks.order_paper import OrderPaper, OrderPaperLine
from bom.paper.workbooks.quote_sheet import ASKS, AskedLine, QuoteRequest
from bom.paper.writing import one_line


def quote_mail(request: QuoteRequest) -> str:
    """The request; its first line is the mail's subject."""
    return _text(
        [
            f"Request for a quote{_of(request.head)}",
            "",
            "Please quote:",
            "",
            *(f"- {_asked(line)}" for line in request.lines),
            "",
            f"Prices for one unit in {request.currency}, {_tax(request.with_tax)}, with your minimum, multiple and",
            "lead time, and until when they hold. The spreadsheet that comes with this mail has a line for each.",
            *ASKS[1:2],
            *filter(None, [request.caution]),
        ],
        request.head,
    )


def order_mail(paper: OrderPaper) -> str:
    """The order; its first line is the mail's subject."""
    return _text(
        [
            f"Order {paper.number}{_of(paper.head)}",
            "",
            "We order:",
            "",
            *(f"- {_ordered(line)}" for line in paper.lines),
            "",
            *([f"Goods {money(paper.goods)}, {_tax(paper.with_tax)}"] if paper.goods else []),
            *([f"Deliver to: {paper.deliver_to}"] if paper.deliver_to else []),
            *paper.terms,
            *filter(None, [paper.caution]),
            f"Please name our order number, {paper.number}, on the delivery note and the invoice.",
        ],
        paper.head,
    )


def _tax(included: bool) -> str:
    return "tax included" if included else "without tax"


def _of(head: Letterhead) -> str:
    return f", {head.name}" if head.name else ""


def _text(lines: Iterable[str], head: Letterhead) -> str:
    said = [one_line(line) for line in lines]
    return "\n".join([*said, "", *_signed(head)]).rstrip() + "\n"


def _signed(head: Letterhead) -> Iterator[str]:
    for label, text in head.lines():
        yield one_line(text if label in ("From", "Address", "Contact") else f"{label}: {text}")


def _asked(line: AskedLine) -> str:
    wanted = f", wanted by {line.wanted_by}" if line.wanted_by else ""
    return f"{_amount(Decimal(line.quantity), line.unit)} {_part(line)}{wanted}"


def _ordered(line: OrderPaperLine) -> str:
    price = f" at {bare(line.unit_price, FINEST)} {line.unit_price.currency}" if line.unit_price else ""
    wanted = f", by {line.wanted_by}" if line.wanted_by else ""
    return f"{_amount(line.quantity, line.unit)} {_part(line)}{price}{wanted}"


def _amount(quantity: Decimal, unit: str) -> str:
    return f"{number(quantity)} x" if unit == "piece" else f"{number(quantity)} {unit} of"


def _part(line: AskedLine | OrderPaperLine) -> str:
    code = f" (your code {line.supplier_code})" if line.supplier_code else ""
    maker = f", {line.maker}" if line.maker else ""
    return f"{line.part_number}{maker}{code}"
