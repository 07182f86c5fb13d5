"""Knows which addresses a price list may be fetched from: https, or http on this machine, without a password in it."""

from __future__ import annotations

from ipaddress import ip_address
from urllib.parse import SplitResult, urlsplit

from bom.values.problem import Refused


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
