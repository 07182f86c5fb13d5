"""Quotes: a spreadsheet for each supplier to fill in, and its answer taken back, all of it or nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from bom.answers.buying import QuoteBack, QuotedLine, QuoteKept
from bom.buying.doubtful_prices import kept_out
from bom.buying.offer import Offer, Supplier
from bom.intake.quote_sheet import read_quote
from bom.jobs.buying.order_papers import file_stem, letterhead
from bom.jobs.buying.planning import need_of
from bom.jobs.buying.reordering import describe, due_needs
from bom.jobs.buying.suppliers import no_supplier
from bom.paper.supplier_mail import quote_mail
from bom.paper.workbooks.quote_sheet import AskedLine, QuoteRequest, write_request
from bom.paper.writing import nothing_written_over, write_text
from bom.shop.care import caution_line, caution_to_seller
from bom.shop.names import part_named
from bom.shop.prices import offers_for
from bom.shop.shop import Shop
from bom.store.catalogue import makers, part_numbers
from bom.store.offers import forget_quotes as forget
from bom.store.offers import quotes, take_quotes
from bom.values.part_number import normal, suggest
from bom.values.problem import Refused
from bom.values.typed_day import EXPECTED, day_typed

if TYPE_CHECKING:
    from bom.buying.from_offers import Need
    from bom.intake.quote_sheet import QuoteTaken
    from bom.store.unit_of_work import Session


class Requests(NamedTuple):
    """The spreadsheets written, and the cautions of the parts asked for in one line."""

    files: tuple[Path, ...]
    caution: str


def ask_quotes(session: Session, wanted: Sequence[str], folder: Path, by: str = "", of: Sequence[str] = ()) -> Requests:
    """One spreadsheet a supplier (all, or those named in ``of``), for the parts named or for all that is due; beside
    each the same as a mail's text.

    ``by`` is the day everything is wanted, as in 2026-12-31. Nothing is written over.
    """
    shop = Shop(session)
    day = _day(by) if by else None
    if day is not None and day < date.today():
        raise Refused(f"expected a day to come, found {day}, which is over")
    needs = [need_of(shop, word) for word in wanted] or due_needs(shop)
    if not needs:
        raise Refused("nothing is due; name parts with --part PART=QTY")
    known = shop.suppliers
    if not known:
        raise Refused("no supplier yet: bom supplier add FILE")
    chosen = [_named(known, name) for name in of] or known
    parts = [n.part for n in needs]
    written, caution = {}, caution_to_seller(shop, parts)
    for supplier, name in zip(known, _file_names(known), strict=True):
        if supplier not in chosen:
            continue
        lines, head = _asked_lines(shop, supplier, needs, day), letterhead(shop, supplier)
        written[folder / name] = QuoteRequest(
            supplier.name, supplier.currency, lines, date.today(), supplier.prices_include_tax, caution, head
        )
    nothing_written_over(path for book in written for path in (book, book.with_suffix(".txt")))
    folder.mkdir(parents=True, exist_ok=True)
    for path, request in written.items():
        write_request(path, request)
        write_text(path.with_suffix(".txt"), quote_mail(request))
    return Requests(tuple(written), caution_line(shop, parts))


def _asked_lines(shop: Shop, supplier: Supplier, needs: Sequence[Need], day: date | None) -> tuple[AskedLine, ...]:
    """The needs with this supplier's own codes, where it offers them."""
    offered = offers_for(shop, [n.part for n in needs])
    theirs = {o.part_number: o for o in reversed(offered) if o.supplier == supplier.name}
    return tuple(
        AskedLine(
            theirs[n.part].supplier_code if n.part in theirs else "",
            shop.names.part(n.part)[0],
            shop.maker(n.part) or (theirs[n.part].maker if n.part in theirs else ""),
            describe(shop, n.part),
            n.quantity,
            shop.unit(n.part),
            day or _within(n),
        )
        for n in needs
    )


def _within(need: Need) -> date | None:
    return None if need.within_days is None else date.today() + timedelta(days=need.within_days)


def makers_of(shop: Shop) -> dict[str, str]:
    """Normal part number to its maker, where the catalogue has one and only one."""
    found: dict[str, set[str]] = {}
    for number, maker in makers(shop.session):
        found.setdefault(normal(number), set()).add(maker)
    return {number: next(iter(names)) for number, names in found.items() if len(names) == 1}


def _file_names(suppliers: Iterable[Supplier]) -> list[str]:
    """A file for each supplier, no two alike."""
    names: list[str] = []
    for supplier in suppliers:
        plain = file_stem(supplier.name)
        names.append(f"{plain}{'' if f'{plain}.xlsx' not in names else f'-{len(names) + 1}'}.xlsx")
    return names


def _day(text: str) -> date:
    if (day := day_typed(text)) is None:
        raise Refused(f"expected {EXPECTED}, found {text!r}")
    return day


def take_quote(
    session: Session, file: Path, name: str = "", until: str = "", leave_out: Sequence[str] = ()
) -> QuoteBack:
    """Read a quote back. Raises ProblemsFound with every cell that is wrong; Refused for a date that is over.

    ``name`` and ``until`` may be left to the sheet, which says whom it was made for and until when its prices hold.
    """
    shop = Shop(session)
    told = _day(until) if until else None
    if told is not None and told < date.today():
        raise Refused(f"the quote was valid until {told}, which is over")
    known = shop.suppliers
    sender = partial(_sender, known, name, file)
    taken = read_quote(file, sender, date.today(), day_told=told is not None, leave_out=leave_out)
    last_day, notes = _last_day(taken, told)
    quoted = tuple(replace(offer, valid_until=last_day) for offer in _with_makers(shop, taken.offers))
    take_quotes(shop.session, quoted[0].supplier, quoted, datetime.now(UTC))
    return QuoteBack(
        supplier=quoted[0].supplier,
        quotes=len(quoted),
        valid_until=last_day,
        lines=tuple(map(_line, quoted)),
        notes=(*notes, *taken.notes, *_odd(shop, quoted)),
    )


def forget_quotes(session: Session, name: str, parts: Sequence[str]) -> list[str]:
    """Take out a supplier's quotes, all or those for these parts; what to tell the user. Refused while an order to this
    supplier for such a part is still to come, since it was placed at that price."""
    shop = Shop(session)
    supplier = _named(shop.suppliers, name).name
    gone = forget(shop.session, supplier, [part_named(shop, part).name for part in parts] if parts else None)
    if not gone:
        raise Refused(f"{supplier} has no quote{' for ' + ', '.join(parts) if parts else ''}")
    if resting := [o for o in shop.on_order if o.supplier == supplier and o.part_number in gone]:
        said = ", ".join(f"order {o.number} of {o.part_number}" for o in resting)
        raise Refused(f"the quotes of {supplier} stay: {said} is still to come")
    return [f"{supplier}'s quote for {part} forgotten" for part in gone]


def list_quotes(session: Session, name: str = "", parts: Sequence[str] = ()) -> list[QuoteKept]:
    """Every quote that is kept, the one that holds longest first; of the supplier named, for the parts named."""
    shop = Shop(session)
    supplier = _named(shop.suppliers, name).name if name else ""
    wanted = {part_named(shop, part).name for part in parts}
    kept = [o for o in quotes(session, supplier) if not wanted or shop.names.name(o.part_number, o.maker) in wanted]
    if name and not kept:
        raise Refused(f"{supplier} has no quote{' for ' + ', '.join(parts) if parts else ''}")
    return sorted(map(_kept, kept), key=lambda q: (-q.valid_until.toordinal(), q.supplier, q.part_number))


def _kept(offer: Offer) -> QuoteKept:
    until = offer.valid_until or date.max  # a quote always has its day
    return QuoteKept(
        supplier=offer.supplier,
        part_number=offer.part_number,
        maker=offer.maker,
        supplier_code=offer.supplier_code,
        prices={b.from_quantity: b.price for b in offer.breaks},
        moq=offer.moq,
        multiple=offer.multiple,
        lead_days=offer.lead_days,
        valid_until=until,
        days_left=(until - date.today()).days,
        taken=offer.seen,
        file=offer.file,
    )


def _named(known: Sequence[Supplier], name: str) -> Supplier:
    found = next((s for s in known if s.name.casefold() == name.strip().casefold()), None)
    if found is None:
        raise Refused(no_supplier(name, [s.name for s in known]))
    return found


def _sender(known: Sequence[Supplier], name: str, file: Path, made_for: str) -> Supplier:
    """Who sent it: as told, or whom the sheet was made for; the two may not differ."""
    if name and made_for and name.casefold() != made_for.casefold():
        raise Refused(f"{file.name} was made for {made_for}; it is no quote of {name}")
    if not (name or made_for):
        raise Refused(f"{file.name} does not say whom it is from; name the supplier with --supplier")
    found = next((s for s in known if s.name.casefold() == (name or made_for).casefold()), None)
    if found is None:
        raise Refused(no_supplier(name or made_for, [s.name for s in known]))
    return found


def _last_day(taken: QuoteTaken, told: date | None) -> tuple[date, list[str]]:
    """Until when the quote holds: as told and as the sheet says, of two days the earlier."""
    stated = [day for day in (told, taken.until) if day is not None]
    if not stated:
        raise Refused("the quote does not say until when its prices hold; say it with --until DATE")
    last = min(stated)
    if last < date.today():
        raise Refused(f"the quote was valid until {last}, which is over")
    differ = len(set(stated)) > 1
    return last, [f"the sheet says {taken.until} and --until {told}; the earlier day counts"] if differ else []


def _with_makers(shop: Shop, offers: Sequence[Offer]) -> tuple[Offer, ...]:
    makers = makers_of(shop)
    return tuple(o if o.maker else replace(o, maker=makers.get(normal(o.part_number), "")) for o in offers)


def _odd(shop: Shop, quoted: Sequence[Offer]) -> list[str]:
    """What keeps lines of it out of plans."""
    return [*_in_doubt(shop, quoted), *_strangers(shop, quoted), *_unranked(shop, quoted)]


def _in_doubt(shop: Shop, quoted: Sequence[Offer]) -> list[str]:
    """What was just quoted and looks like a slip."""
    there = offers_for(shop, [o.part_number for o in quoted])
    mine = [o for o in there if o.doubt and o.valid_until and o.supplier == quoted[0].supplier]
    return [f"line {o.line}: {o.part_number} at {kept_out(o)}" for o in mine]


def _strangers(shop: Shop, offers: Sequence[Offer]) -> list[str]:
    known, names = {normal(number): number for number in part_numbers(shop.session)}, shop.names
    unknown = [o for o in offers if normal(o.part_number) not in known]
    unclear = [o for o in offers if names.makers(o.part_number) and names.name(o.part_number, o.maker) == o.part_number]
    return [
        *(f"line {o.line}: {_stranger(o.part_number, known.values())}" for o in unknown),
        *(f"line {o.line}: {_nobodys(o.part_number, names.makers(o.part_number))}" for o in unclear),
    ]


def _nobodys(part: str, makers: Sequence[str]) -> str:
    return f"{part} is made by {' and by '.join(makers)}, and the quote does not say by whom; no plan will choose it"


def _stranger(part: str, known: Iterable[str]) -> str:
    near = suggest(part, known, 1)
    meant = f" (did you mean {near[0]}?)" if near else ""
    return f"{part} is not in the catalogue{meant}; no plan will choose it"


def _unranked(shop: Shop, offers: Sequence[Offer]) -> list[str]:
    """Currencies without a rate: such a quote is shown and never ranked."""
    rates = shop.rates_to(shop.currency)
    missing = sorted({o.breaks[0].price.currency for o in offers if not rates.to_base(o.breaks[0].price.currency)})
    return [
        f"there is no rate from {code} to {rates.base}, so this is shown and not ranked (bom supplier rates FILE)"
        for code in missing
    ]


def _line(offer: Offer) -> QuotedLine:
    return QuotedLine(
        line=offer.line,
        supplier_code=offer.supplier_code,
        part_number=offer.part_number,
        maker=offer.maker,
        prices={b.from_quantity: b.price for b in offer.breaks},
        moq=offer.moq,
        multiple=offer.multiple,
        lead_days=offer.lead_days,
    )
