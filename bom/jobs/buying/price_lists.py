"""Suppliers' price lists read anew when asked.

A list is had first and taken then: while it comes from its address, nobody waits for the database. One that fails in
any way leaves the last good offers in place, and the answer says how old those are.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from hashlib import blake2b
from pathlib import Path
from typing import TYPE_CHECKING

from bom import __version__
from bom.answers.buying import ListTaken
from bom.buying.doubtful_prices import kept_out
from bom.buying.offer import Feed, Supplier
from bom.intake.price_lists.fetching import fetch, shown_name
from bom.intake.price_lists.list_file import source_of_bytes, source_of_file
from bom.intake.price_lists.price_list import ListReading
from bom.jobs.bench import Told, bench, glance, unheard
from bom.jobs.buying.suppliers import age, in_doubt, no_rate, no_supplier
from bom.shop.shop import Shop
from bom.store.engine import cache_folder
from bom.store.offers import feed_of, list_failed, list_state, list_unchanged, outside_catalogue, take_offers
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.intake.price_lists.list_file import ListSource
    from bom.store.offers import ListState
    from bom.store.unit_of_work import Session


# A list with fewer than half of its earlier offers is likelier cut off than true, once there were so many. Own choice.
SHRUNK, ENOUGH = 0.5, 20

# How many prices in doubt a refresh names; supplier show names them all. Own choice.
NAMED = 5


@dataclass(frozen=True, slots=True)
class ListCame:
    """A supplier's list as it was had: where to read it and how it came; or ``why`` it could not be had."""

    supplier: Supplier
    feed: Feed
    when: datetime
    source: ListSource | None = None
    how: str = ""
    why: str = ""
    digest: str = ""


def refresh(
    url: str | None, name: str = "", *, anew: bool = False, shorter: bool = False, told: Told = unheard
) -> list[ListTaken]:
    """Read the list of the supplier named, or of all that have one, each fetched before the database is held for it.

    ``anew`` asks the address even where the kept copy is young; ``shorter`` takes a list much shorter than the last.
    """
    with glance(url, told) as session:
        wanted = lists_to_read(session, name)
    answers = []
    for supplier, feed in wanted:
        came = had(supplier, feed, anew=anew)
        with bench(url, told) as session:
            answers.append(take_list(session, came, shorter=shorter))
    return answers


def refresh_suppliers(session: Session, name: str) -> list[ListTaken]:
    """As ``refresh``, within a job that already holds the database; for lists that are files."""
    return [take_list(session, had(supplier, feed)) for supplier, feed in lists_to_read(session, name)]


def lists_to_read(session: Session, name: str) -> list[tuple[Supplier, Feed]]:
    """The suppliers with a list, or the one named. Raises Refused where there is none."""
    shop = Shop(session)
    known = [s for s in shop.suppliers if not name or s.name.casefold() == name.casefold()]
    if not known:
        raise Refused(no_supplier(name, [s.name for s in shop.suppliers]))
    feeds = [(s, feed) for s in known if (feed := feed_of(shop.session, s.name)) is not None]
    if not feeds:
        raise Refused(f"{known[0].name} has no price list in its file" if name else "no supplier has a price list")
    return feeds


def had(supplier: Supplier, feed: Feed, *, anew: bool = False) -> ListCame:
    """The list from its file, or from its address through the kept copies in the user's cache folder."""
    now = datetime.now(UTC)
    try:
        came = _from_file(supplier, feed, now) if feed.file else _from_address(supplier, feed, anew)
        return came if anew else replace(came, digest=_digest(came))
    except Refused as refused:
        return ListCame(supplier, feed, now, why=str(refused))
    except OSError as error:
        return ListCame(supplier, feed, now, why=f"{error.filename or 'the list'}: {error.strerror or error}")


def _from_file(supplier: Supplier, feed: Feed, now: datetime) -> ListCame:
    return ListCame(supplier, feed, now, source_of_file(Path(feed.file)), "read")


def _from_address(supplier: Supplier, feed: Feed, anew: bool) -> ListCame:
    fetched = fetch(feed, cache_folder() / "price-lists.sqlite", anew=anew)
    source = source_of_bytes(shown_name(feed.url), fetched.data)
    return ListCame(supplier, feed, fetched.when, source, fetched.how)


def _digest(came: ListCame) -> str:
    """Stands for the list's bytes and for everything that decides how they are read."""
    read_as = f"{__version__} {came.supplier!r} {came.feed!r}"
    digest = blake2b(read_as.encode(), digest_size=16)
    if came.source:
        with came.source.opened() as file:
            while piece := file.read(1 << 16):
                digest.update(piece)
    return digest.hexdigest()


class _NotTaken(Exception):
    """The list was read and is not good; what was written of it is undone."""

    def __init__(self, why: Iterable[str]) -> None:
        self.why = list(why)


def take_list(session: Session, came: ListCame, *, shorter: bool = False) -> ListTaken:
    """Put the list in the place of the supplier's earlier one, all of it or nothing; the answer to show."""
    shop = Shop(session)
    before = list_state(shop.session, came.supplier.name)
    if came.source is None:
        return _failed(shop, came, [came.why], before)
    if before and before.digest and before.digest == came.digest:
        return _same_again(shop, came, before)
    reading = ListReading(came.feed, came.supplier, came.source, came.when)
    try:
        with session.begin_nested():
            count = _taken(shop, came, reading, before, shorter)
    except _NotTaken as not_taken:
        return _failed(shop, came, not_taken.why, before)
    told = [*reading.report.notes, *_about(shop, came.supplier, count)]
    report = reading.report
    taken = _answer(came, count, came.when, told, failed=False)
    return replace(taken, on_request=report.on_request, to_ask_for=tuple(report.named_on_request))


def _same_again(shop: Shop, came: ListCame, before: ListState) -> ListTaken:
    list_unchanged(shop.session, came.supplier.name, came.when)
    told = ["the same list as last time", *_about(shop, came.supplier, before.offers)]
    return _answer(came, before.offers, came.when, told, failed=False)


def _about(shop: Shop, supplier: Supplier, count: int) -> list[str]:
    """What keeps some of its offers out of plans."""
    outside, rate = _outside(shop, supplier, count), no_rate(shop, supplier)
    return [*outside, *_doubts(shop, supplier.name), *rate]


def _taken(shop: Shop, came: ListCame, reading: ListReading, before: ListState | None, shorter: bool) -> int:
    count = take_offers(shop.session, came.supplier.name, reading.offers(), came.when, reading.source.name, came.digest)
    if reading.report.problems:
        raise _NotTaken(map(str, reading.report.problems))
    if not count:
        raise _NotTaken(["the list holds no offer", *reading.report.notes])
    if before and not shorter and before.offers >= ENOUGH and count < before.offers * SHRUNK:
        raise _NotTaken([f"the list holds {count} offers where the last one held {before.offers}; --shorter takes it"])
    return count


def _failed(shop: Shop, came: ListCame, why: list[str], before: ListState | None) -> ListTaken:
    """The last good offers stay. ``why`` is kept too, for whoever asks later."""
    now = datetime.now(UTC)
    list_failed(shop.session, came.supplier.name, now, why[0])
    if before is None or before.seen is None:
        return _answer(came, 0, None, [*why, "there are no earlier offers"], failed=True)
    old = f"the {before.offers} offers of {before.seen:%Y-%m-%d %H:%M} UTC stay; they are {age(now, before.seen)} old"
    return _answer(came, before.offers, before.seen, [*why, old], failed=True)


def _outside(shop: Shop, supplier: Supplier, count: int) -> list[str]:
    unknown, few = outside_catalogue(shop.session, supplier.name)
    if not unknown:
        return []
    names = ", ".join(few) + (", …" if unknown > len(few) else "")
    return [f"{unknown} of {count} offers are for parts that are not in the catalogue ({names})"]


def _answer(came: ListCame, offers: int, seen: datetime | None, told: list[str], *, failed: bool) -> ListTaken:
    return ListTaken(
        supplier=came.supplier.name,
        list=came.source.name if came.source else "",
        offers=offers,
        as_of=seen,
        how=came.how,
        failed=failed,
        notes=tuple(told),
    )


def _doubts(shop: Shop, supplier: str) -> list[str]:
    """A line for each of the first few prices in doubt, and how many more there are."""
    found = in_doubt(shop, supplier)
    told = [f"line {o.line}: {o.part_number} at {kept_out(o)}" for o in found[:NAMED]]
    more = f"{len(found) - NAMED} more prices are kept out of plans; bom supplier show lists them all"
    return told if len(found) <= NAMED else [*told, more]
