"""The shop's journal: the days and the names asked for, what the ledger says of them, and the files that carry it;
besides, what lies idle and how late suppliers were."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from bom.answers.shelf import IdlePart, IdleStock, Journal, JournalFigure, JournalRow
from bom.shop.books import Books
from bom.shop.shop import Shop
from bom.stock.deliveries import Punctuality, punctuality
from bom.stock.journal import By, Deed, Entry, Period, Span, Summed, Sums, after, called, days_meant, journal, lately
from bom.store.on_order import deliveries
from bom.store.running_figures import LotNow, lots_there
from bom.store.shelf import changes_between, known_since, last_uses, uses
from bom.store.shop_files import past_usage
from bom.values.money import total
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session

Word = TypeVar("Word", bound=StrEnum)

MOST = 4_000
"""So many periods at most, of which each may have a row: own choice."""


@dataclass(frozen=True, slots=True)
class JournalAsked:
    """A journal as typed; None = not said."""

    period: str = Period.MONTH.value
    by: str = By.KIND.value
    first: str | None = None
    last: str | None = None


def show_journal(session: Session, asked: JournalAsked) -> Journal:
    """What was bought, made, used, sold, lost and found. Refused with all that is wrong in what was asked."""
    shop = Shop(session)
    period, by, span = understood(asked, shop.today)
    money = _Told(shop)
    rows, whole = journal(money.noted(changes_between(session, *span)), period, by, span)
    return Journal(
        period=period.value,
        by=by.value,
        first=span.first,
        last=span.last,
        currency=money.rates.base,
        rates_of=money.rates.day,
        rows=tuple(
            money.row(called(period, begins), begins, name, sums, by is By.PART)
            for (begins, name), sums in rows.items()
        ),
        total=money.row("", span.first, "", whole, by_part=False),
        unknown=tuple(sorted(money.unknown)),
    )


class _Told:
    """Sums told in the shop's currency, at the rates it keeps; ``unknown`` grows by each part that cannot be."""

    def __init__(self, shop: Shop) -> None:
        self.shop, self.unknown = shop, set[str]()
        self.rates = shop.rates_to(shop.currency)
        self.worth_of = cache(self.rates.to_base)

    def noted(self, entries: Iterator[Entry]) -> Iterator[Entry]:
        for entry in entries:
            if entry.unit_cost is None or self.worth_of(entry.unit_cost.currency) is None:
                self.unknown.add(entry.part)
            yield entry

    def row(self, period: str, begins: date, name: str, sums: Sums, by_part: bool) -> JournalRow:
        figures = [self._figure(sums.get(deed, Summed()), by_part) for deed in Deed]
        return JournalRow(period, begins, name, self.shop.unit(name) if by_part else "", *figures)

    def _figure(self, summed: Summed, by_part: bool) -> JournalFigure:
        cost, unknown = summed.cost(self.rates.base, self.worth_of)
        quantity = Decimal(summed.thousandths) / 1000 if by_part else None
        return JournalFigure(summed.entries, quantity, cost, unknown)


def understood(asked: JournalAsked, today: date) -> tuple[Period, By, Span]:
    """The period, what it is told apart by, and the days. Refused with every word that is none, and with days that
    end before they begin or have too many periods."""
    wrong: list[str] = []
    period = _word(asked.period, Period, "--period", wrong) or Period.MONTH
    by = _word(asked.by, By, "--by", wrong) or By.KIND
    until = _days(asked.last, "--to", wrong) if asked.last is not None else None
    since = _days(asked.first, "--from", wrong) if asked.first is not None else None
    last = until.last if until else today
    span = Span(since.first if since else lately(period, last), last)
    if not wrong and span.first > span.last:
        wrong.append(f"expected --from before --to, found {span.first} to {span.last}")
    if not wrong and (count := span.count(period)) > MOST:
        wrong.append(f"expected at most {MOST} periods, found {count}: ask for longer ones by --period, or fewer days")
    if wrong:
        raise Refused("; ".join(wrong))
    return period, by, span


def _word(text: str, among: type[Word], option: str, wrong: list[str]) -> Word | None:
    """The word meant, its letters capital or not; else one problem more."""
    found = next((word for word in among if word.value == text.strip().casefold()), None)
    if found is None:
        wrong.append(f"expected one of {', '.join(among)} after {option}, found {text!r}")
    return found


def _days(text: str, option: str, wrong: list[str]) -> Span | None:
    if (found := days_meant(text)) is None:
        wrong.append(
            f"expected a day, month, quarter or year such as 2026-11-28 or 2026-11 after {option}, found {text!r}"
        )
    return found


def idle_stock(session: Session, months: int) -> IdleStock:
    """What lies there, came before so many months ago, and was not used since: neither from the ledger nor by what was
    used before it began."""
    shop = Shop(session)
    since = months_before(shop.today, months)
    there: dict[str, list[LotNow]] = {}
    for one in lots_there(session):
        if one.level.on_hand > 0:
            there.setdefault(one.part_number, []).append(one)
    came = known_since(session, there)
    lately_used = {part for part, _, _ in uses(session, since)}
    lately_used |= {before.part_number for before in past_usage(session) if before.day >= since}
    parts = [p for p in there if p not in lately_used and (p not in came or came[p] <= since)]
    used = last_uses(session, parts)
    for before in past_usage(session):
        used[before.part_number] = max(before.day, used.get(before.part_number, before.day))
    books = Books(shop, parts)

    def row(part: str) -> IdlePart:
        lots, valued = there[part], books.valued(part)
        return IdlePart(
            part_number=part,
            on_hand=sum((one.level.on_hand for one in lots), Decimal(0)),
            unit=shop.unit(part),
            drawers=tuple(sorted({one.drawer for one in lots if one.drawer})),
            here_since=came.get(part),
            last_used=used.get(part),
            worth=valued.worth.stock if valued else None,
        )

    rows = sorted(map(row, parts), key=lambda one: (-(one.worth.millionths if one.worth else 0), one.part_number))
    return IdleStock(
        since=since,
        currency=books.currency,
        parts=tuple(rows),
        worth=total([one.worth for one in rows if one.worth], books.currency),
        unknown=tuple(one.part_number for one in rows if one.worth is None),
    )


def months_before(day: date, months: int) -> date:
    """The same day so many months ago, or that month's last. Refused for less than one month, and beyond 1900."""
    if months < 1 or months // 12 >= day.year - 1900:
        raise Refused(f"expected 1 month or more, after 1900, found {months}")
    first = after(Period.MONTH, day.replace(day=1), -months)
    return min(first + timedelta(days=day.day - 1), after(Period.MONTH, first) - timedelta(days=1))


def how_late(session: Session) -> list[Punctuality]:
    """Each supplier's record of deliveries against the days that it promised."""
    return punctuality(deliveries(session), date.today())


def write_journal(path: Path, answer: Journal) -> None:
    """As CSV or as XLSX, by the file's ending."""
    from bom.paper.workbooks.journal_sheet import write_csv, write_workbook

    (write_csv if checked_ending(path) == ".csv" else write_workbook)(path, answer)


def checked_ending(path: Path) -> str:
    """*.csv* or *.xlsx*; any other is refused."""
    if (ending := path.suffix.casefold()) not in (".csv", ".xlsx"):
        raise Refused(f"expected a file that ends in .csv or .xlsx, found {path.name}")
    return ending
