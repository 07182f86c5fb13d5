"""Knows how an answer from outside is read within limits: size, compression, kind, and nothing secret in it.

All of this happens before anything is kept, so that what is kept is a whole price list or nothing.
"""

from __future__ import annotations

import io
import zlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from bom.intake.price_lists import list_file
from bom.values.problem import Refused

if TYPE_CHECKING:
    from requests import PreparedRequest, Response

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
