"""How a price list is fetched from its one configured address, and kept for as long as its supplier file says.

The address is https, or http on this machine, without a password in it. A copy that is younger than its keep-time
serves; an older one is asked after (*is it still so?*), and only a list that has changed comes again. An answer is
read within limits of size, compression and kind. Nothing is kept before it has arrived whole, and never a token or a
cookie.
"""

from __future__ import annotations

import io
import os
import re
import threading
import zlib
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar
from urllib.parse import SplitResult, urljoin, urlsplit

from bom.buying.offer import Feed
from bom.intake.price_lists import list_file
from bom.values.problem import Refused

if TYPE_CHECKING:
    from requests import PreparedRequest, Response
    from requests_cache import CachedSession


T = TypeVar("T")

# Limits on a fetch: our own choice, far above what any list a bench reads needs.
CONNECT_SECONDS, READ_SECONDS, TOTAL_SECONDS = 10.0, 30.0, 120.0
MOST_REDIRECTS = 3

# What went wrong, by the kind of error; never the library's own text, which may hold the whole address.
_CAUSES = {
    "ConnectTimeout": "nobody answered in time",
    "ReadTimeout": "it stopped answering",
    "SSLError": "its certificate is not trusted",
    "ProxyError": "the proxy refuses it",
    "ChunkedEncodingError": "the answer broke off before its end",
    "ContentDecodingError": "its compression is broken",
    "ConnectionError": "there is no connection",
    "InvalidHeader": "the token holds characters that cannot be sent",
}


@dataclass(frozen=True, slots=True)
class Fetched:
    """A list as it came, the moment it was last known to be so, and how it was had: *fetched*, *unchanged*, *kept*."""

    data: bytes
    when: datetime
    how: str = "fetched"


def fetch(feed: Feed, cache_path: Path, *, anew: bool = False) -> Fetched:
    """The price list at ``feed.url``, or the kept copy while it is not older than ``keep_hours``.

    ``anew`` asks even where the copy is younger. Raises Refused, in one line without the address's path or the
    secret, where the list cannot be had whole.
    """
    from requests import RequestException

    host = check_address(feed.url).hostname
    secret = secret_of(feed)
    cache_path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        return _within(TOTAL_SECONDS, str(host), lambda: _fetched(feed, secret, cache_path, anew))
    except RequestException as error:
        raise Refused(f"the price list could not be fetched from {host}: {_cause(error)}") from None


def secret_of(feed: Feed) -> str:
    """The token from the environment variable that the feed names; raises Refused where it is not set."""
    if not feed.secret_env:
        return ""
    if not (secret := os.environ.get(feed.secret_env, "").strip()):
        raise Refused(f"expected the price list's token in the environment variable {feed.secret_env}, found none")
    if not secret.isascii() or not secret.isprintable():
        raise Refused(f"the token in {feed.secret_env} holds characters that cannot be sent")
    return secret


def _cause(error: Exception) -> str:
    kinds = (_CAUSES.get(kind.__name__) for kind in type(error).__mro__)
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", type(error).__name__).lower()
    return next((said for said in kinds if said), words)


def _within(seconds: float, host: str, job: Callable[[], T]) -> T:
    """The job's answer, or Refused once the time is over: a server that drips slowly keeps no one waiting.

    The job goes on beside the program until it ends by itself; what it may still write is a whole copy, or nothing.
    """
    came: list[T] = []
    failed: list[BaseException] = []

    def run() -> None:
        try:
            came.append(job())
        except BaseException as error:  # handed over to the one who waits
            failed.append(error)

    worker = threading.Thread(target=run, daemon=True)
    worker.start()
    worker.join(seconds)
    if failed:
        raise failed[0]
    if not came:
        raise Refused(f"the price list at {host} took longer than {seconds:g} s")
    return came[0]


def _fetched(feed: Feed, secret: str, cache_path: Path, anew: bool) -> Fetched:
    with closing(_session(feed, cache_path, secret)) as session:
        return _followed(session, feed.url, secret, anew)


def _session(feed: Feed, cache_path: Path, secret: str) -> CachedSession:
    """A session that keeps whole good lists for ``keep_hours``, without the token that asked for them."""
    from requests_cache import CachedSession

    kept = timedelta(hours=feed.keep_hours)
    session = CachedSession(str(cache_path), backend="sqlite", expire_after=kept, allowable_codes=(200,))
    session.headers["Accept-Encoding"] = "gzip, deflate"
    # What stays on this machine is not handed to a proxy that the environment names.
    session.trust_env = not is_loopback(check_address(feed.url).hostname or "")
    for scheme in ("https://", "http://"):
        session.mount(scheme, bounded_adapter(secret))
    return session


def _followed(session: CachedSession, url: str, secret: str, anew: bool) -> Fetched:
    """The answer, through a few redirects that stay on the same host."""
    origin = check_address(url)
    for _ in range(MOST_REDIRECTS + 1):
        answer: Any = session.get(
            url, auth=_bearer(secret), timeout=(CONNECT_SECONDS, READ_SECONDS), allow_redirects=False, refresh=anew
        )
        if not answer.is_redirect:
            return _taken(answer, origin)
        url = urljoin(url, answer.headers["Location"])
        _check_same_host(origin, url)
    raise Refused(f"the price list at {origin.hostname} redirects more than {MOST_REDIRECTS} times")


def _bearer(secret: str) -> Callable[[PreparedRequest], PreparedRequest]:
    """Signs a request with the token. Also without one, so that no password file of the user's is sent instead."""

    def sign(request: PreparedRequest) -> PreparedRequest:
        if secret:
            request.headers["Authorization"] = f"Bearer {secret}"
        return request

    return sign


def _check_same_host(origin: SplitResult, url: str) -> None:
    try:
        target = check_address(url)
    except Refused:
        raise Refused(f"the price list at {origin.hostname} redirects to an address that may not be fetched") from None
    if (origin.scheme, origin.netloc) != (target.scheme, target.netloc):
        raise Refused(f"the price list at {origin.hostname} redirects to {target.hostname}, which is not configured")


def _taken(answer: Any, origin: SplitResult) -> Fetched:
    if answer.status_code != 200:
        raise Refused(f"the price list could not be fetched from {origin.hostname}: it answers {answer.status_code}")
    now = datetime.now(UTC)
    if getattr(answer, "revalidated", False):
        return Fetched(answer.content, now, "unchanged")
    if getattr(answer, "from_cache", False):
        return Fetched(answer.content, _as_utc(answer.created_at), "kept")
    return Fetched(answer.content, now)


def _as_utc(moment: datetime) -> datetime:
    return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)


def check_address(url: str) -> SplitResult:
    """The parts of an address that may be fetched; raises Refused, without showing the address's path."""
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError as error:
        raise Refused("expected an https address for a price list, found one that is no address") from error
    host = parts.hostname or ""
    allowed = parts.scheme == "https" or (parts.scheme == "http" and is_loopback(host))
    if not host or not allowed or parts.username or parts.password or port == 0:
        raise Refused(f"expected an https address for a price list, found one on {parts.scheme or 'no'}://{host}")
    return parts


def is_loopback(host: str) -> bool:
    try:
        return host == "localhost" or ip_address(host).is_loopback
    except ValueError:
        return False


def shown_name(url: str) -> str:
    """What a fetched list is called: its host and file, without the rest of the address, which may hold a key."""
    parts = urlsplit(url)
    file = parts.path.rsplit("/", 1)[-1]
    return f"{parts.hostname}/{file}" if file else str(parts.hostname)


_PIECE = 64 * 1024
# How servers name a CSV file: RFC 4180 registers text/csv; the others are common practice, no source.
_KINDS = (
    "", "text/csv", "text/plain", "text/tab-separated-values", "text/comma-separated-values", "application/csv",
    "application/x-csv", "text/x-csv", "application/vnd.ms-excel", "application/octet-stream", "binary/octet-stream",
    "application/force-download", "application/download",
)  # fmt: skip


def bounded_adapter(secret: str) -> Any:
    """A transport that hands on only what arrived whole, within the limits and in the form of a list."""
    from requests.adapters import HTTPAdapter

    class Bounded(HTTPAdapter):
        def send(self, request: PreparedRequest, *args: Any, **kwargs: Any) -> Response:
            answer = super().send(request, *args, **kwargs)
            host = urlsplit(request.url or "").hostname or ""
            body = b""
            if answer.status_code == 200:
                _check_kind(answer, host)
                body = _body(answer, host)
                _check_content(body, host)
            answer.close()
            _check_secret(secret, answer, body, host)
            return _with_body(answer, body, request.url)

    return Bounded()


def _check_kind(answer: Response, host: str) -> None:
    kind = answer.headers.get("Content-Type", "").partition(";")[0].strip().lower()
    if kind not in _KINDS:
        raise Refused(f"the price list at {host} is no CSV: it comes as {kind[:60]!r}")


def _check_content(body: bytes, host: str) -> None:
    start = body[:200].removeprefix(b"\xef\xbb\xbf").lstrip()
    if not start:
        raise Refused(f"the price list at {host} is empty")
    if what := list_file.other_kind(start):
        raise Refused(f"the price list at {host} is no CSV: it is {what}")


def _check_secret(secret: str, answer: Response, body: bytes, host: str) -> None:
    """A server that sends the token back would have it kept with the list."""
    told = any(secret in value for value in answer.headers.values())
    if secret and (told or secret.encode() in body):
        raise Refused(f"the price list at {host} repeats the token it was asked with; it is not kept")


def _with_body(answer: Response, body: bytes, url: str | None) -> Response:
    """The answer with this body, unpacked, and without cookies, so that it can be kept."""
    from urllib3 import HTTPResponse

    for name in ("Content-Encoding", "Transfer-Encoding", "Set-Cookie", "Content-Length"):
        answer.headers.pop(name, None)
    answer.cookies.clear()
    answer.raw = HTTPResponse(
        io.BytesIO(body),
        headers=dict(answer.headers),
        status=answer.status_code,
        reason=answer.reason,
        preload_content=False,
        request_url=url,
    )
    answer._content = False  # type: ignore[assignment]  # as the library itself marks an unread body
    answer._content_consumed = False  # type: ignore[attr-defined]
    return answer


def _body(answer: Response, host: str) -> bytes:
    """The body with its compression undone, read up to the limit."""
    _check_length(answer, host)
    body = bytearray()
    for piece in _unpacked(answer, host):
        body += piece
        if len(body) > list_file.MOST_BYTES:
            raise _too_long(host)
    return bytes(body)


def _check_length(answer: Response, host: str) -> None:
    stated = answer.headers.get("Content-Length", "")
    if stated.isdecimal() and int(stated) > list_file.MOST_BYTES:
        raise _too_long(host)


def _too_long(host: str) -> Refused:
    return Refused(f"the price list at {host} is larger than {list_file.MOST_BYTES / 1024**2:.3g} MB")


def _unpacked(answer: Response, host: str) -> Iterator[bytes]:
    packing = answer.headers.get("Content-Encoding", "").strip().lower()
    if packing in ("", "identity"):
        return _raw(answer)
    if packing in ("gzip", "x-gzip", "deflate"):
        return _inflated(answer, host)
    raise Refused(f"the price list at {host} is compressed in a way that was not asked for")


def _raw(answer: Response) -> Iterator[bytes]:
    """The body as it was sent, in pieces; an answer shorter than it said is an error of the library's."""
    from requests.exceptions import ChunkedEncodingError, ReadTimeout
    from urllib3.exceptions import HTTPError, ReadTimeoutError

    try:
        yield from answer.raw.stream(_PIECE, decode_content=False)
    except ReadTimeoutError:
        raise ReadTimeout from None
    except HTTPError:
        raise ChunkedEncodingError from None


def _inflated(answer: Response, host: str) -> Iterator[bytes]:
    """Gzip or zlib undone a piece at a time, so that a small answer cannot blow up; it must come to its end."""
    inflate = zlib.decompressobj(32 + zlib.MAX_WBITS)  # 32: whichever of the two headers there is (zlib manual)
    try:
        for packed in _raw(answer):
            while packed:
                yield inflate.decompress(packed, _PIECE)
                packed = inflate.unconsumed_tail
        yield inflate.flush()
    except zlib.error:
        raise Refused(f"the price list at {host} is broken: its compression cannot be undone") from None
    if not inflate.eof or inflate.unused_data:
        raise Refused(f"the price list at {host} broke off before its end")
