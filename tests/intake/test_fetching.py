"""Price lists are fetched only from where they are configured; a server that misbehaves gets nothing kept."""

from __future__ import annotations

import gzip
import threading
import time
import zlib
from collections.abc import Callable, Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from bom.buying.offer import Feed
from bom.intake.price_lists import fetching, list_file
from bom.intake.price_lists.fetching import fetch, shown_name
from bom.values.problem import Refused

LIST = b"Part,Price\nTW2,1\n"
SECRET = "s3cret-word"


class Server(BaseHTTPRequestHandler):
    """A supplier's server; each address behaves in its own way."""

    protocol_version = "HTTP/1.1"
    asked: list[tuple[str, str, str]]

    def do_GET(self) -> None:
        path = self.path.partition("?")[0]
        signed, known = self.headers.get("Authorization", ""), self.headers.get("If-None-Match", "")
        type(self).asked.append((path, signed, known))
        try:
            WAYS.get(path, missing)(self)
        except OSError:
            self.close_connection = True

    def say(self, body: bytes, status: int = 200, stated: int | None = None, **headers: str) -> None:
        self.send_response(status)
        kinds = {"Content-Type": "text/csv", "Content-Length": str(len(body) if stated is None else stated)}
        for name, value in (kinds | {n.replace("_", "-"): v for n, v in headers.items()}).items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_: object) -> None:
        pass


def missing(server: Server) -> None:
    server.say(b"nothing here", 404)


def well(server: Server) -> None:
    if server.headers.get("If-None-Match") == '"v1"':
        server.send_response(304)
        server.send_header("ETag", '"v1"')
        server.end_headers()
        return
    server.say(LIST, ETag='"v1"', Set_Cookie="session=abcdef-cookie")


def truncated(server: Server) -> None:
    server.close_connection = True
    server.say(LIST[:9], stated=len(LIST))


def cut_chunks(server: Server) -> None:
    server.close_connection = True
    server.send_response(200)
    server.send_header("Content-Type", "text/csv")
    server.send_header("Transfer-Encoding", "chunked")
    server.end_headers()
    server.wfile.write(b"9\r\nPart,Pric")


def dripping(server: Server) -> None:
    server.close_connection = True
    server.say(b"", stated=1000)
    for _ in range(50):
        server.wfile.write(b"x")
        time.sleep(0.05)


def silent(server: Server) -> None:
    server.close_connection = True
    time.sleep(0.6)


def endless(server: Server) -> None:
    server.close_connection = True
    server.send_response(200)
    server.send_header("Content-Type", "text/csv")
    server.end_headers()
    for _ in range(200):
        server.wfile.write(b"Part,Price\n" * 1000)


def bomb(server: Server) -> None:
    server.say(gzip.compress(bytes(4_000_000)), Content_Encoding="gzip")


def nested_bomb(server: Server) -> None:
    server.say(gzip.compress(gzip.compress(bytes(4_000_000))), Content_Encoding="gzip, gzip")


def packed(server: Server) -> None:
    server.say(gzip.compress(LIST), Content_Encoding="gzip")


def cut_packed(server: Server) -> None:
    server.say(gzip.compress(LIST)[:-9], Content_Encoding="gzip")


def badly_packed(server: Server) -> None:
    server.say(b"\x1f\x8b" + b"nonsense" * 4, Content_Encoding="gzip")


def echo(server: Server) -> None:
    server.say(LIST + server.headers.get("Authorization", "").encode())


def moved(location: str) -> Callable[[Server], None]:
    return lambda server: server.say(b"", 302, Location=location.replace("PORT", str(server.server.server_port)))  # type: ignore[attr-defined]


def of_kind(kind: str, body: bytes = LIST) -> Callable[[Server], None]:
    return lambda server: server.say(body, Content_Type=kind)


WAYS: dict[str, Callable[[Server], None]] = {
    "/list.csv": well,
    "/truncated": truncated,
    "/cut-chunks": cut_chunks,
    "/dripping": dripping,
    "/silent": silent,
    "/endless": endless,
    "/stated-long": lambda server: server.say(b"", stated=99_999_999_999),
    "/bomb": bomb,
    "/nested-bomb": nested_bomb,
    "/packed": packed,
    "/zlib": lambda server: server.say(zlib.compress(LIST), Content_Encoding="deflate"),
    "/cut-packed": cut_packed,
    "/badly-packed": badly_packed,
    "/brotli": lambda server: server.say(LIST, Content_Encoding="br"),
    "/here": moved("/list.csv"),
    "/away": moved("http://localhost:1/list.csv"),
    "/other-port": moved("http://127.0.0.1:1/list.csv"),
    "/plain": moved("http://example.invalid/list.csv"),
    "/file": moved("file:///etc/hosts"),
    "/round": moved("/round"),
    "/html": of_kind("text/html; charset=utf-8", b"<html>please log in"),
    "/json": of_kind("application/json", b"{}"),
    "/page-as-csv": of_kind("text/csv", b"\n<!DOCTYPE html><html>please log in"),
    "/sheet-as-csv": of_kind("application/octet-stream", b"PK\x03\x04...."),
    "/empty": of_kind("text/csv", b""),
    "/error": lambda server: server.say(b"oops", 500),
    "/forbidden": lambda server: server.say(b"who are you", 401),
    "/not-changed": lambda server: server.say(b"", 304),
    "/echo": echo,
}


@pytest.fixture
def host(monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    for name in ("HTTP_PROXY", "http_proxy", "ALL_PROXY", "all_proxy"):
        monkeypatch.setenv(name, "http://127.0.0.1:1")  # what stays on this machine goes through no proxy
    Server.asked = []
    server = ThreadingHTTPServer(("127.0.0.1", 0), Server)
    server.daemon_threads = True
    threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    return tmp_path / "cache" / "lists.sqlite"


@pytest.fixture
def token(monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setenv("LIST_TOKEN", SECRET)
    return "LIST_TOKEN"


def bytes_kept(kept: Path) -> bytes:
    return b"".join(p.read_bytes() for p in kept.parent.iterdir())


def test_a_list_is_fetched_once_and_kept_without_its_token(host: str, kept: Path, token: str) -> None:
    feed = Feed(url=f"{host}/list.csv", secret_env=token)
    first, again = fetch(feed, kept), fetch(feed, kept)
    assert (first.data, first.how, again.data, again.how) == (LIST, "fetched", LIST, "kept")
    assert again.when <= first.when
    assert Server.asked == [("/list.csv", f"Bearer {SECRET}", "")]
    assert SECRET.encode() not in bytes_kept(kept) and b"abcdef-cookie" not in bytes_kept(kept)
    assert kept.parent.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize(("hours", "anew"), [(0.0, False), (12.0, True)])
def test_an_old_copy_is_asked_after_and_comes_only_where_it_changed(
    host: str, kept: Path, hours: float, anew: bool
) -> None:
    feed = Feed(url=f"{host}/list.csv", keep_hours=hours)
    first, again = fetch(feed, kept), fetch(feed, kept, anew=anew)
    assert (again.data, again.how) == (LIST, "unchanged")
    assert again.when > first.when
    assert [known for _, _, known in Server.asked] == ["", '"v1"']


@pytest.mark.parametrize("path", ["/packed", "/zlib", "/here"])
def test_what_comes_packed_or_from_next_door_is_taken(host: str, kept: Path, path: str) -> None:
    assert fetch(Feed(url=host + path), kept).data == LIST


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("/nosuch", "it answers 404"),
        ("/error", "it answers 500"),
        ("/forbidden", "it answers 401"),
        ("/not-changed", "it answers 304"),
        ("/truncated", "broke off"),
        ("/cut-chunks", "broke off"),
        ("/cut-packed", "broke off"),
        ("/badly-packed", "compression cannot be undone"),
        ("/brotli", "not asked for"),
        ("/stated-long", "is larger than"),
        ("/endless", "is larger than"),
        ("/bomb", "is larger than"),
        ("/nested-bomb", "not asked for"),
        ("/dripping", "took longer than"),
        ("/silent", "it stopped answering"),
        ("/away", "which is not configured"),
        ("/other-port", "which is not configured"),
        ("/plain", "may not be fetched"),
        ("/file", "may not be fetched"),
        ("/round", "redirects more than 3 times"),
        ("/html", "it comes as 'text/html'"),
        ("/json", "it comes as 'application/json'"),
        ("/page-as-csv", "it is a web page"),
        ("/sheet-as-csv", "it is a spreadsheet"),
        ("/empty", "is empty"),
        ("/echo", "repeats the token"),
    ],
)
def test_a_server_that_misbehaves_is_one_clear_line_and_nothing_is_kept(
    host: str, kept: Path, token: str, monkeypatch: pytest.MonkeyPatch, path: str, said: str
) -> None:
    monkeypatch.setattr(list_file, "MOST_BYTES", 500_000)
    monkeypatch.setattr(fetching, "TOTAL_SECONDS", 0.5)
    monkeypatch.setattr(fetching, "READ_SECONDS", 0.3)
    feed = Feed(url=f"{host}{path}?key=in-the-address", secret_env=token, keep_hours=12)
    with pytest.raises(Refused, match=said) as refused:
        fetch(feed, kept)
    told = str(refused.value)
    assert "\n" not in told and SECRET not in told and "in-the-address" not in told
    assert refused.value.__cause__ is None and SECRET.encode() not in bytes_kept(kept)
    Server.asked.clear()
    with pytest.raises(Refused):
        fetch(feed, kept)
    assert Server.asked, "a bad answer was kept"


def test_nobody_there_is_one_clear_line(kept: Path) -> None:
    with pytest.raises(Refused, match=r"could not be fetched from 127\.0\.0\.1: there is no connection"):
        fetch(Feed(url="http://127.0.0.1:1/list.csv?key=abc"), kept)


@pytest.mark.parametrize(
    "url", ["http://example.invalid/x", "ftp://x/y", "file:///etc/hosts", "https://me:pw@x/y", "", "http://[::1"]
)
def test_only_https_addresses_are_fetched(url: str, kept: Path) -> None:
    with pytest.raises(Refused, match="expected an https address") as refused:
        fetch(Feed(url=url), kept)
    assert "pw" not in str(refused.value)


@pytest.mark.parametrize(
    ("value", "said"), [("", "NO_SUCH_TOKEN"), ("a\x07b", "cannot be sent"), ("ä", "cannot be sent")]
)
def test_a_token_that_cannot_be_used_is_named_and_not_shown(
    kept: Path, monkeypatch: pytest.MonkeyPatch, value: str, said: str
) -> None:
    monkeypatch.setenv("NO_SUCH_TOKEN", value)
    with pytest.raises(Refused, match=said) as refused:
        fetch(Feed(url="https://example.invalid/x", secret_env="NO_SUCH_TOKEN"), kept)
    assert not value or value not in str(refused.value)


def test_a_fetched_list_is_called_by_its_host_and_file() -> None:
    assert shown_name("https://lists.example.invalid/k3y/prices.csv?key=abc") == "lists.example.invalid/prices.csv"
