"""Orders as they are sent: for each a spreadsheet and a mail's text, to its supplier alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from bom.buying.doubtful_prices import price_at
from bom.buying.offer import Offer, Supplier
from bom.jobs.buying.reordering import describe
from bom.paper.letterhead import Letterhead
from bom.paper.supplier_mail import order_mail
from bom.paper.workbooks.order_paper import OrderPaper, OrderPaperLine, write_order_paper
from bom.paper.writing import nothing_written_over, write_text
from bom.shop.care import caution_to_seller
from bom.shop.prices import offers_for
from bom.shop.shop import Shop
from bom.store.on_order import is_order
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.on_order import Ordered
    from bom.store.unit_of_work import Session


class OrderPapers(NamedTuple):
    """The files written, and what to tell the user."""

    files: tuple[Path, ...]
    notes: tuple[str, ...]


def write_order_papers(session: Session, numbers: Sequence[str], folder: Path) -> OrderPapers:
    """A spreadsheet and a text for each order named, or for all of which something is still to come.

    Nothing is written over. Refused for a number that is no order, or one with nothing still to come.
    """
    shop = Shop(session)
    wanted = list(dict.fromkeys(n.strip().upper() for n in numbers)) or sorted({o.number for o in shop.on_order})
    if not wanted:
        raise Refused("nothing is on order; bom stock order enters what is")
    papers = {number: _paper(shop, number) for number in wanted}
    books = {folder / f"{paper.number}-{file_stem(paper.supplier)}.xlsx": paper for paper in papers.values()}
    nothing_written_over(path for book in books for path in (book, book.with_suffix(".txt")))
    folder.mkdir(parents=True, exist_ok=True)
    for path, paper in books.items():
        write_order_paper(path, paper)
        write_text(path.with_suffix(".txt"), order_mail(paper))
    files = tuple(path for book in books for path in (book, book.with_suffix(".txt")))
    return OrderPapers(files, tuple(_notes(shop, papers.values())))


def letterhead(shop: Shop, supplier: Supplier) -> Letterhead:
    """Who we are to this supplier."""
    own = shop.settings
    return Letterhead(own.name, own.address, own.contact, own.tax_number, supplier.customer_number)


def file_stem(name: str) -> str:
    """A supplier's name as a file's."""
    return "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split()) or "supplier"


def unsaid(shop: Shop) -> list[str]:
    """What a paper to a supplier lacks of us."""
    lacking = [word for word in ("name", "address", "contact") if not getattr(shop.settings, word)]
    return [f"the shop's {' and '.join(lacking)} not said, so in no paper: bom shop set"] if lacking else []


def _paper(shop: Shop, number: str) -> OrderPaper:
    lines = [o for o in shop.on_order if o.number == number]
    if not lines:
        if not is_order(shop.session, number):
            raise Refused(f"there is no order {number}; bom stock ordered lists those still to come")
        raise Refused(f"order {number} has nothing still to come")
    name = lines[0].supplier
    supplier = next((s for s in shop.suppliers if s.name == name), Supplier(name, shop.currency))
    offers = [o for o in offers_for(shop, [o.part_number for o in lines]) if _holds(o, supplier)]
    parts = [o.part_number for o in lines]
    terms = (supplier.terms, shop.settings.order_terms)
    return OrderPaper(
        number=number,
        supplier=name,
        currency=supplier.currency,
        made=date.today(),
        head=letterhead(shop, supplier),
        lines=tuple(_line(shop, one, offers) for one in lines),
        with_tax=supplier.prices_include_tax,
        deliver_to=shop.settings.deliver_to or shop.settings.address,
        terms=tuple(filter(None, terms)),
        caution=caution_to_seller(shop, parts),
    )


def _holds(offer: Offer, supplier: Supplier) -> bool:
    """Whether an order may be written at the offer's price today."""
    in_time = offer.valid_until is None or offer.valid_until >= date.today()
    own = all(b.price.currency == supplier.currency for b in offer.breaks)
    return offer.supplier == supplier.name and bool(offer.breaks) and own and in_time and not offer.doubt


def _line(shop: Shop, one: Ordered, offers: Sequence[Offer]) -> OrderPaperLine:
    """The line at the lowest price that this supplier asks for so many; one priced break by break has no single one."""
    mine = [o for o in offers if o.part_number == one.part_number and one.quantity >= o.fewest]
    flat = [o for o in mine if not o.incremental]
    best = min(flat, key=lambda o: price_at(o, int(one.quantity)), default=None)
    named = best or next(iter(mine), None)
    return OrderPaperLine(
        supplier_code=named.supplier_code if named else "",
        part_number=shop.names.part(one.part_number)[0],
        maker=shop.maker(one.part_number) or (named.maker if named else ""),
        description=describe(shop, one.part_number),
        quantity=one.quantity,
        unit=shop.unit(one.part_number),
        unit_price=price_at(best, int(one.quantity)) if best else None,
        wanted_by=one.due,
    )


def _notes(shop: Shop, papers: Iterable[OrderPaper]) -> list[str]:
    said = unsaid(shop)
    for paper in papers:
        if unpriced := [line.part_number for line in paper.lines if line.unit_price is None]:
            said.append(f"order {paper.number}: {paper.supplier} is asked for the price of {', '.join(unpriced)}")
    return said
