"""Which prices look like slips: more than five times, or less than a fifth of, what else is known of the part.

What was last paid, and what somebody confirmed, is trusted. Without either, the other suppliers' prices are asked.
Such a price is not refused, because it may be true; no plan chooses it until somebody says that it is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from statistics import median_high, median_low

from bom.buying.offer import Break, Offer
from bom.values.money import Money

FAR_OFF = 5
"""A price so many times another is more likely a slip than a price. Own choice, no source."""

WorthOf = Callable[[Offer], Decimal | None]
"""What one unit of an offer's currency comes to in the shop's, without tax; None where there is no rate."""


@dataclass(frozen=True, slots=True)
class Trusted:
    """A price a piece that is known to be right, in the shop's currency, and where it is from: *was last paid*.

    ``supplier`` and ``breaks`` are those of an offer that somebody confirmed, empty for what was paid.
    """

    each: Decimal
    said: str
    supplier: str = ""
    breaks: tuple[Break, ...] = ()


def doubt(offer: Offer, others: Sequence[Offer], trusted: Sequence[Trusted], worth: WorthOf) -> str:
    """Why this price looks like a slip, as in *0.31 EUR, where Fennmoor's list asks 3.10 EUR: less than a fifth of it*.

    Empty where it does not, and where there is nothing to compare it with. ``others`` are the part's other offers.
    """
    if not offer.breaks or any(t.supplier == offer.supplier and t.breaks == offer.breaks for t in trusted):
        return ""
    return _between_steps(offer) or _beside(offer, others, trusted, worth)


def all_near(offers: Sequence[Offer], trusted: Sequence[Trusted], worth: WorthOf) -> bool:
    """Whether no two prices among these, at any break, are so far apart that one could look like a slip.

    It is asked before each offer is looked at beside the others, because nearly always it settles all of them.
    """
    each = [t.each for t in trusted]
    for offer in offers:
        if (rate := worth(offer)) is None:
            return False
        each += [b.price.amount * rate for b in offer.breaks]
    return not each or (min(each) > 0 and max(each) / min(each) <= FAR_OFF)


def kept_out(offer: Offer) -> str:
    """What is said of an offer in doubt: why, and how it is taken into plans."""
    supplier, part = (f'"{name}"' if " " in name else name for name in (offer.supplier, offer.part_number))
    return f"{offer.doubt}; kept out of plans until bom supplier confirm {supplier} {part}"


def _between_steps(offer: Offer) -> str:
    """One price break after the other: a digit lost in one of them."""
    for one, other in pairwise(sorted(offer.breaks, key=lambda b: b.from_quantity)):
        if _times(one.price.amount, other.price.amount) > FAR_OFF:
            here, there = (f"{shown(b.price)} from {b.from_quantity} on" for b in (other, one))
            return f"{here}, after {there}: {_far(other.price > one.price)}"
    return ""


def _beside(offer: Offer, others: Sequence[Offer], trusted: Sequence[Trusted], worth: WorthOf) -> str:
    if (rate := worth(offer)) is None:
        return ""
    if held := [t for t in trusted if _holds(t, offer, others)]:
        each = price_at(offer, offer.fewest).amount * rate
        near = min(held, key=lambda t: _times(each, t.each))
        return _said(offer, each / near.each, near.said)
    shares = {o: share for o in others if (share := _share(offer, o, worth))}
    if not shares:
        return ""
    # Of an even number the middle one that is nearer: two who agree are right against a third.
    middle = min((median_low(shares.values()), median_high(shares.values())), key=lambda s: _times(s, Decimal(1)))
    other = next(o for o, share in shares.items() if share == middle)
    kind = "list" if other.valid_until is None else "quote"
    return _said(offer, middle, f"{other.supplier}'s {kind} asks {shown(price_at(other, other.fewest))}")


def _holds(trusted: Trusted, offer: Offer, others: Sequence[Offer]) -> bool:
    """What another supplier's price was confirmed at counts for as long as it is still asked."""
    if trusted.supplier in ("", offer.supplier):
        return True
    return any(o.supplier == trusted.supplier and o.breaks == trusted.breaks for o in others)


def _share(offer: Offer, other: Offer, worth: WorthOf) -> Decimal | None:
    """The offer's price as a share of the other's, both for the fewest pieces that either of them sells."""
    mine, theirs = worth(offer), worth(other)
    if not mine or not theirs:
        return None
    pieces = max(offer.fewest, other.fewest)
    return price_at(offer, pieces).amount * mine / (price_at(other, pieces).amount * theirs)


def price_at(offer: Offer, pieces: int) -> Money:
    """The price a piece that this many reach; below the first break, the first one's.

    >>> two = (Break(1, Money.of("3.10", "EUR")), Break(10, Money.of("2.80", "EUR")))
    >>> str(price_at(Offer("Osmere", "TW2-12S", two), 12).amount)
    '2.8'
    """
    reached = [b for b in offer.breaks if b.from_quantity <= pieces]
    return max(reached, key=lambda b: b.from_quantity, default=offer.breaks[0]).price


def _said(offer: Offer, share: Decimal, beside: str) -> str:
    if _times(share, Decimal(1)) <= FAR_OFF:
        return ""
    return f"{shown(price_at(offer, offer.fewest))}, where {beside}: {_far(share > FAR_OFF)}"


def _far(more: bool) -> str:
    return f"more than {FAR_OFF} times as much" if more else "less than a fifth of it"


def _times(one: Decimal, other: Decimal) -> Decimal:
    less, more = sorted((one, other))
    return more / less if less else Decimal("Infinity")  # no test can tell it from another word for the same


def shown(price: Money) -> str:
    """A price without the digits that say nothing: *0.31 EUR*."""
    return f"{price.amount.normalize():f} {price.currency}"
