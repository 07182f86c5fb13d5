"""Knows how a price list is fetched from its one configured address, and kept for as long as its supplier file says.

A copy that is younger than its keep-time serves; an older one is asked after (*is it still so?*), and only a list that
has changed comes again. Nothing is kept before it has arrived whole, and never a token or a cookie.
"""

from __future__ import annotations

import os
import re
import threading
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar
from urllib.parse import SplitResult, urljoin

from bom.buying.offer import Feed
from bom.intake.price_lists.address import check_address, is_loopback
from bom.values.problem import Refused

if TYPE_CHECKING:
    from requests import PreparedRequest
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

    from bom.intake.price_lists.bounded import bounded_adapter

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
