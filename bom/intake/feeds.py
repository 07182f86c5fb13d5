"""Suppliers' price lists: fetched from the one configured address, and read into offers in the supplier's
own dialect."""

from __future__ import annotations

import codecs
import csv
import io
import os
import re
from collections.abc import Callable, Iterable, Sequence
from contextlib import closing
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from ipaddress import ip_address
from itertools import pairwise
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Any, NamedTuple
from urllib.parse import SplitResult, urljoin, urlsplit

from bom.buying.offer import Break, Feed, Offer, Supplier
from bom.intake.amounts import Marks, amount_in, bare, is_on_request, marks_of, other_currency
from bom.intake.rows import Report, damage
from bom.values.money import Money
from bom.values.problem import Problem, Refused

if TYPE_CHECKING:
    from requests import PreparedRequest, Response
    from requests_cache import CachedSession

# Limits on a fetch: our own choice, far above any list a bench reads.
MOST_BYTES = 50 * 1024 * 1024
CONNECT_SECONDS, READ_SECONDS, TOTAL_SECONDS = 10.0, 30.0, 120.0
MOST_REDIRECTS = 3
_CHUNK = 64 * 1024
_BOMS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))


class PriceList(NamedTuple):
    """What a price list came to: offers, problems with their lines, and notes on rows that were left out."""

    offers: tuple[Offer, ...]
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]


def read_price_list(
    feed: Feed, supplier: Supplier, data: bytes, name: str
) -> tuple[tuple[Offer, ...], tuple[Problem, ...]]:
    """The offers in a price list and every problem in it. Prices stay as given, with or without tax."""
    taken = take_price_list(feed, supplier, data, name)
    return taken.offers, taken.problems


def take_price_list(feed: Feed, supplier: Supplier, data: bytes, name: str, seen: datetime | None = None) -> PriceList:
    """As ``read_price_list``, with notes, and ``seen`` set on every offer."""
    report = Report()
    offers: tuple[Offer, ...] = ()
    if (text := _decoded(feed, data, name, report)) is not None:
        offers = _offers(_List(feed, supplier, name, seen, report), text)
    return PriceList(offers, tuple(report.problems), tuple(report.notes))


def _decoded(feed: Feed, data: bytes, name: str, report: Report) -> str | None:
    """The text: by its byte order mark where it has one, else in the configured encoding."""
    encoding = next((e for mark, e in _BOMS if data.startswith(mark)), feed.encoding)
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        report.wrong(name, line, "", f"text in {encoding}, as configured", f"byte 0x{data[error.start]:02X}")
        return None


@dataclass(slots=True)
class _Row:
    line: int
    cells: dict[str, str]


@dataclass(slots=True)
class _List:
    """One list being read."""

    feed: Feed
    supplier: Supplier
    name: str
    seen: datetime | None
    report: Report
    marks: Marks = field(default_factory=lambda: Marks("."))

    def wrong(self, line: int, column: str, expected: str, found: str = "") -> None:
        self.report.wrong(self.name, line, column, expected, found)

    def cell(self, row: _Row, word: str) -> str:
        """The cell for one of our words, empty where the list has no such column."""
        return row.cells.get(dict(self.feed.columns).get(word, ""), "")

    @property
    def price_headers(self) -> tuple[str, ...]:
        return tuple(h for _, h in self.feed.break_columns) or (self.feed.price_column,)

    @property
    def headers(self) -> tuple[str, ...]:
        rows = (self.feed.from_column,) if self.feed.from_column else ()
        return (*(h for _, h in self.feed.columns), *rows, *self.price_headers)


def _offers(prices: _List, text: str) -> tuple[Offer, ...]:
    rows = _rows(prices, text)
    amounts = (bare(r.cells.get(h, ""), prices.supplier.currency) for r in rows for h in prices.price_headers)
    prices.marks = marks_of(prices.feed.decimal, amounts)
    groups = _groups(prices, rows)
    offers = [_offer(prices, group) for group in groups.values()]
    return tuple(o for o in offers if o)


def _rows(prices: _List, text: str) -> list[_Row]:
    """The rows below the header, blank ones left out."""
    lines = _records(prices, text)
    if not lines:
        prices.wrong(0, "", "a header row", "an empty file")
        return []
    at, header = next(((i, c) for i, (_, c) in enumerate(lines) if set(prices.headers) <= set(c)), (0, lines[0][1]))
    if not _has_headers(prices, lines[0][0], header):
        return []
    return [_Row(n, dict(zip(header, c, strict=False))) for n, c in lines[at + 1 :] if _is_even(prices, n, header, c)]


def _records(prices: _List, text: str) -> list[tuple[int, list[str]]]:
    """(first line, cells) of every record that is not blank."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=prices.feed.delimiter)
    found, line = [], 1
    try:
        for cells in reader:
            if any(map(str.strip, cells)):
                found.append((line, [c.strip() for c in cells]))
            line = reader.line_num + 1
    except csv.Error as error:
        prices.wrong(line, "", "a CSV record", str(error))
    return found


def _has_headers(prices: _List, line: int, header: list[str]) -> bool:
    missing = [h for h in dict.fromkeys(prices.headers) if h not in header]
    for name in missing:
        prices.wrong(line, name, f"a column named {name}, as configured", ", ".join(header)[:120])
    twice = [h for h in dict.fromkeys(prices.headers) if header.count(h) > 1]
    for name in twice:
        prices.wrong(line, name, "each column once", "twice")
    return not missing and not twice


def _is_even(prices: _List, line: int, header: list[str], cells: list[str]) -> bool:
    """Lists often leave out empty cells at the end; cells beyond the header are a slipped row."""
    if not any(cells[len(header) :]):
        return True
    prices.wrong(line, "", f"{len(header)} cells as in the header", str(len(cells)))
    return False


_Key = tuple[str, str, str]


def _groups(prices: _List, rows: list[_Row]) -> dict[_Key, list[_Row]]:
    """The rows of each part: one where breaks are columns, as many as there are breaks where they are
    rows."""
    groups: dict[_Key, list[_Row]] = {}
    for row in rows:
        if (key := _key(prices, row)) is None:
            continue
        if key in groups and not prices.feed.from_column:
            prices.wrong(row.line, "part_number", f"each part once (line {groups[key][0].line} has it)", key[1])
            continue
        groups.setdefault(key, []).append(row)
    return groups


def _key(prices: _List, row: _Row) -> _Key | None:
    code, number, maker = (prices.cell(row, w) for w in ("supplier_code", "part_number", "maker"))
    if not number:
        prices.report.note(f"{prices.name}:{row.line}: no part number, row left out")
        return None
    if what := damage(number):
        expected = f"a part number (a spreadsheet program turned it into {what})"
        prices.wrong(row.line, "part_number", expected, number)
        return None
    return code, number, maker


def _offer(prices: _List, rows: list[_Row]) -> Offer | None:
    before = len(prices.report.problems)
    first, breaks = rows[0], _breaks(prices, rows)
    offer = _with_terms(prices, first, breaks) if breaks else None
    if len(prices.report.problems) > before:
        return None
    if offer is None:
        number = prices.cell(first, "part_number")
        prices.report.note(f"{prices.name}:{first.line}: {number} has no price (on request), row left out")
    return offer


def _with_terms(prices: _List, row: _Row, breaks: tuple[Break, ...]) -> Offer:
    moq = _count(prices, row, "moq", 1) or 1
    return Offer(
        supplier=prices.supplier.name,
        part_number=prices.cell(row, "part_number"),
        breaks=breaks,
        maker=prices.cell(row, "maker"),
        supplier_code=prices.cell(row, "supplier_code"),
        stock=_count(prices, row, "stock"),
        # Below the first break there is no price, so fewer cannot be ordered.
        moq=max(moq, breaks[0].from_quantity),
        multiple=_count(prices, row, "multiple", 1) or 1,
        lead_days=_lead_days(prices, row),
        incremental=prices.feed.incremental,
        seen=prices.seen,
        file=prices.name,
        line=row.line,
    )


def _lead_days(prices: _List, row: _Row) -> int | None:
    stated = _count(prices, row, "lead_days")
    return prices.supplier.lead_days if stated is None else stated


def _breaks(prices: _List, rows: list[_Row]) -> tuple[Break, ...]:
    """The part's price breaks from the lowest quantity up; none where it is sold on request."""
    steps = _row_steps(prices, rows) if prices.feed.from_column else _column_steps(prices, rows[0])
    priced = [Break(start, price) for start, row, header in steps if (price := _price(prices, row, header))]
    priced.sort(key=lambda b: b.from_quantity)
    starts = [b.from_quantity for b in priced]
    if len(set(starts)) < len(starts):
        prices.wrong(rows[0].line, prices.feed.from_column, "each break once", ", ".join(map(str, starts)))
    _note_rising(prices, rows[0], priced)
    return tuple(priced)


def _column_steps(prices: _List, row: _Row) -> list[tuple[int, _Row, str]]:
    return [(start, row, header) for start, header in prices.feed.break_columns]


def _row_steps(prices: _List, rows: Iterable[_Row]) -> list[tuple[int, _Row, str]]:
    steps = []
    for row in rows:
        start = _whole(row.cells[prices.feed.from_column], prices.marks)
        if start is None or start < 1:
            prices.wrong(
                row.line,
                prices.feed.from_column,
                "a whole number above 0",
                row.cells[prices.feed.from_column],
            )
        else:
            steps.append((start, row, prices.feed.price_column))
    return steps


def _price(prices: _List, row: _Row, header: str) -> Money | None:
    """A price above 0; None where there is none, or it is on request (0 is how some lists say that)."""
    text, currency = row.cells.get(header, ""), prices.supplier.currency
    if not text or is_on_request(text):
        return None
    if other := other_currency(text, currency):
        prices.wrong(row.line, header, f"a price in {currency}", f"{text} ({other})")
        return None
    amount = amount_in(bare(text, currency), prices.marks)
    if amount is None or amount < 0:
        prices.wrong(row.line, header, _price_words(prices, text), text)
        return None
    return Money.of(amount, currency) or None


def _price_words(prices: _List, text: str) -> str:
    words = f"a price with decimal sign {prices.marks.decimal!r}"
    if prices.marks.denied:
        return f"{words}, as configured (other cells use {prices.marks.thousands!r})"
    if prices.marks.thousands in text:
        return f"{words} (no cell shows whether {prices.marks.thousands!r} marks thousands or decimals)"
    return words


def _note_rising(prices: _List, row: _Row, breaks: Sequence[Break]) -> None:
    if any(b.price > a.price for a, b in pairwise(breaks)):
        number = prices.cell(row, "part_number")
        prices.report.note(f"{prices.name}:{row.line}: the price of {number} rises with the quantity")


# A count may carry a bound (>100, 100+) or a unit (4 days, 10 pcs); the number is what is sure to be there.
_COUNT = re.compile(r"[>≥]?\s*([\d.,'\s]*\d)\s*(\+|[^\W\d]+\.?)?")
_WEEKS = re.compile(r"w(ee)?ks?|Wochen?|semaines?", re.I)


def _count(prices: _List, row: _Row, word: str, least: int = 0) -> int | None:
    """A whole number, or None where the cell is empty or holds words."""
    text = prices.cell(row, word)
    if not text or is_on_request(text):
        return None
    match = _COUNT.fullmatch(text)
    number = _whole(match[1], prices.marks) if match else None
    if number is None or number < least or _WEEKS.search(text):
        what = "a whole number of days" if word == "lead_days" else "a whole number"
        prices.wrong(row.line, word, what + (f" not below {least}" if least else ""), text)
        return None
    return number


def _whole(text: str, marks: Marks) -> int | None:
    """A whole number. In a count a mark before three digits can only part thousands, save where it is the
    decimal sign."""
    text = bare(text)
    if marks.decimal not in text and not marks.denied:
        marks = replace(marks, seen=True)
    amount = amount_in(text, marks)
    return int(amount) if amount is not None and amount == int(amount) else None


def check_address(url: str) -> SplitResult:
    """The parts of an address that may be fetched: https, or http on this machine; no user name or
    password in it."""
    try:
        parts = urlsplit(url)
    except ValueError as error:
        raise Refused("expected an https address for a price list, found one that is no address") from error
    host = parts.hostname or ""
    allowed = parts.scheme == "https" or (parts.scheme == "http" and _is_loopback(host))
    if not host or not allowed or parts.username or parts.password:
        raise Refused(f"expected an https address for a price list, found one on {parts.scheme or 'no'}://{host}")
    return parts


def _is_loopback(host: str) -> bool:
    try:
        return host == "localhost" or ip_address(host).is_loopback
    except ValueError:
        return False


def fetch(feed: Feed, cache_path: Path) -> bytes:
    """The price list at ``feed.url``, or the kept copy while it is not older than ``keep_hours``.

    Raises Refused, in one line without the address's path or the secret, where the list cannot be had whole.
    """
    from requests import RequestException

    host = check_address(feed.url).hostname
    secret = _secret(feed)
    cache_path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with closing(_session(feed, cache_path)) as session:
            return _followed(session, feed.url, _bearer(secret))
    except RequestException as error:
        raise Refused(f"the price list could not be fetched from {host}: {_cause(error)}") from None


def _cause(error: Exception) -> str:
    """The kind of failure in words; never the library's own text, which may hold the whole address."""
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", type(error).__name__)
    return words.lower()


def _secret(feed: Feed) -> str:
    if not feed.secret_env:
        return ""
    if not (secret := os.environ.get(feed.secret_env, "").strip()):
        raise Refused(f"expected the price list's token in the environment variable {feed.secret_env}, found none")
    return secret


def _bearer(secret: str) -> Callable[[PreparedRequest], PreparedRequest]:
    """Signs a request with the token. Also without one, so that no password file of the user's is sent
    instead."""

    def sign(request: PreparedRequest) -> PreparedRequest:
        if secret:
            request.headers["Authorization"] = f"Bearer {secret}"
        return request

    return sign


def _session(feed: Feed, cache_path: Path) -> CachedSession:
    """A session that keeps what it fetched for ``keep_hours``, and never the token (it is left out of what
    is kept)."""
    from requests_cache import CachedSession

    kept = timedelta(hours=feed.keep_hours)
    session = CachedSession(str(cache_path), backend="sqlite", expire_after=kept, allowable_codes=(200,))
    for scheme in ("https://", "http://"):
        session.mount(scheme, _bounded_adapter())
    return session


def _followed(session: CachedSession, url: str, sign: Callable[[PreparedRequest], PreparedRequest]) -> bytes:
    """The answer's body, through a few redirects that stay on the same host."""
    origin, timeout = urlsplit(url), (CONNECT_SECONDS, READ_SECONDS)
    for _ in range(MOST_REDIRECTS + 1):
        answer: Any = session.get(url, auth=sign, timeout=timeout, allow_redirects=False)
        if not answer.is_redirect:
            return _body(answer, origin)
        url = urljoin(url, answer.headers["Location"])
        _check_same_host(origin, check_address(url))
    raise Refused(f"the price list at {origin.hostname} redirects more than {MOST_REDIRECTS} times")


def _check_same_host(origin: SplitResult, target: SplitResult) -> None:
    if (origin.scheme, origin.netloc) != (target.scheme, target.netloc):
        raise Refused(f"the price list at {origin.hostname} redirects to {target.hostname}, which is not configured")


def _body(answer: Response, origin: SplitResult) -> bytes:
    if answer.status_code != 200:
        raise Refused(f"the price list could not be fetched from {origin.hostname}: it answers {answer.status_code}")
    return answer.content


def _bounded_adapter() -> Any:
    """A transport that reads an answer in pieces and stops at the limits on size and time, before anything
    is kept."""
    from requests.adapters import HTTPAdapter
    from urllib3 import HTTPResponse

    class Bounded(HTTPAdapter):
        def send(self, request: PreparedRequest, *args: Any, **kwargs: Any) -> Response:
            answer = super().send(request, *args, **kwargs)
            body = _bounded_body(answer, urlsplit(request.url or "").hostname or "")
            answer.headers.pop("Content-Encoding", None)
            answer.raw = HTTPResponse(
                io.BytesIO(body),
                headers=dict(answer.headers),
                status=answer.status_code,
                reason=answer.reason,
                preload_content=False,
                request_url=request.url,
            )
            return answer

    return Bounded()


def _bounded_body(answer: Response, host: str) -> bytes:
    """The body with its compression undone, read up to the limits."""
    end, body = monotonic() + TOTAL_SECONDS, bytearray()
    for chunk in answer.iter_content(_CHUNK):
        body += chunk
        if len(body) > MOST_BYTES:
            raise Refused(f"the price list at {host} is larger than {MOST_BYTES // 1024**2} MB")
        if monotonic() > end:
            raise Refused(f"the price list at {host} took longer than {TOTAL_SECONDS:g} s")
    # The pieces are ours now; the answer is given a fresh body to be read again.
    answer._content = False  # type: ignore[assignment]  # as the library itself marks an unread body
    answer._content_consumed = False  # type: ignore[attr-defined]
    return bytes(body)
