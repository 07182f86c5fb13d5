"""Money: an integer number of millionths of a currency unit, and the currency's ISO 4217 code.

Unit prices carry fractions of a cent, so a millionth is the grain; a line total is rounded once, to the currency's
own exponent. The exponent table is ours because programs' locale data disagree with the standard. Which codes there
are is known, so that a mistyped one (GPB for GBP) is seen before it counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal, InvalidOperation

from bom.values.problem import Refused

MILLION = 1_000_000

# ISO 4217 minor-unit exponents. Most currencies have two digits; these are the ones that have not.
# Source: ISO 4217 list one; JPY and BHD read in reprints, the rest from memory.
_NO_DIGITS = (
    "BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "VND", "VUV", "XAF", "XOF", "XPF",
)  # fmt: skip
_THREE_DIGITS = ("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND")
EXPONENTS = {
    **dict.fromkeys(_NO_DIGITS, 0),
    **dict.fromkeys(_THREE_DIGITS, 3),
}


@dataclass(frozen=True, slots=True, order=False)
class Money:
    """``millionths`` of one unit of ``currency``; adding different currencies is refused."""

    millionths: int
    currency: str

    def __post_init__(self) -> None:
        if len(self.currency) != 3 or not self.currency.isascii() or not self.currency.isupper():
            raise Refused(f"expected an ISO 4217 currency code such as EUR, found {self.currency!r}")

    @classmethod
    def of(cls, amount: str | int | float | Decimal, currency: str) -> Money:
        """An amount as people write it, to the nearest millionth. Floats go through their shortest text."""
        try:
            exact = Decimal(str(amount))
        except InvalidOperation as error:
            raise Refused(f"expected an amount of money, found {amount!r}") from error
        if not exact.is_finite():
            raise Refused(f"expected an amount of money, found {amount!r}")
        return cls(int((exact * MILLION).to_integral_value(ROUND_HALF_UP)), currency)

    @classmethod
    def zero(cls, currency: str) -> Money:
        return cls(0, currency)

    @property
    def amount(self) -> Decimal:
        return Decimal(self.millionths) / MILLION

    @property
    def exponent(self) -> int:
        """Digits after the point in this currency: 2 for most, 0 for JPY, 3 for KWD."""
        return EXPONENTS.get(self.currency, 2)

    def rounded(self) -> Money:
        """Rounded to the currency's smallest unit, halves away from zero.

        >>> print(Money.of("3.105", "GBP").rounded())
        3.11 GBP
        """
        grain = Decimal(1).scaleb(-self.exponent)
        return Money.of(self.amount.quantize(grain, ROUND_HALF_UP), self.currency)

    def times(self, factor: str | int | float | Decimal) -> Money:
        """This amount multiplied, to the nearest millionth.

        >>> print(Money.of("3.10", "GBP").times(3))
        9.30 GBP
        """
        return Money.of(self.amount * Decimal(str(factor)), self.currency)

    def __add__(self, other: Money) -> Money:
        return Money(self.millionths + self._same(other), self.currency)

    def __sub__(self, other: Money) -> Money:
        return Money(self.millionths - self._same(other), self.currency)

    def __neg__(self) -> Money:
        return Money(-self.millionths, self.currency)

    def __lt__(self, other: Money) -> bool:
        return self.millionths < self._same(other)

    def __le__(self, other: Money) -> bool:
        return self.millionths <= self._same(other)

    def __gt__(self, other: Money) -> bool:
        return self.millionths > self._same(other)

    def __ge__(self, other: Money) -> bool:
        return self.millionths >= self._same(other)

    def __bool__(self) -> bool:
        return self.millionths != 0

    def __str__(self) -> str:
        return f"{self.rounded().amount:.{self.exponent}f} {self.currency}"

    def _same(self, other: Money) -> int:
        if other.currency != self.currency:
            raise Refused(f"cannot put {other.currency} and {self.currency} together without a dated rate")
        return other.millionths


def total(amounts: Sequence[Money], currency: str) -> Money:
    """The sum of amounts that are all in one currency; nothing sums to zero of it.

    >>> print(total([Money.of("1.20", "GBP"), Money.of("0.35", "GBP")], "GBP"))
    1.55 GBP
    """
    answer = Money.zero(currency)
    for amount in amounts:
        answer = answer + amount
    return answer


def apportion(whole: Money, weights: Sequence[int | float | Decimal]) -> tuple[Money, ...]:
    """Shares of a rounded amount by weight, in whole smallest units that sum to it; for the published apportionments.

    Largest remainder first, earlier shares first among equals. All weights zero: equal shares.

    >>> print(*apportion(Money.of("10.00", "EUR"), [1, 1, 1]))
    3.34 EUR 3.33 EUR 3.33 EUR
    """
    if not weights:
        raise Refused("expected at least one share to apportion to")
    grain = MILLION // 10**whole.exponent
    units = whole.rounded().millionths // grain
    exact = [Decimal(str(w)) for w in weights]
    if not any(exact):
        exact = [Decimal(1)] * len(exact)
    ideal = [units * w / sum(exact) for w in exact]
    floor = [int(i.to_integral_value(ROUND_FLOOR)) for i in ideal]
    order = sorted(range(len(ideal)), key=lambda i: (floor[i] - ideal[i], i))
    for i in order[: units - sum(floor)]:
        floor[i] += 1
    return tuple(Money(f * grain, whole.currency) for f in floor)


_CODES = """
    AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CLP
    CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR
    ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT
    MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD
    SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX USD UYU UZS VED VES
    VND VUV WST XAF XCD XCG XOF XPF YER ZAR ZMW ZWG
"""


KNOWN = frozenset(_CODES.split())
"""Currencies people pay in. Source: ISO 4217 list one, from memory; funds, metals and codes no longer used left out."""


def meant(code: str) -> str:
    """The usual currency that a code which is none was likely meant to be, else nothing.

    >>> meant("GPB")
    'GBP'
    """
    from difflib import get_close_matches  # loaded for a slip alone: it takes longer than many an answer

    usual = ("EUR", "GBP", "USD", "CHF", "JPY", "PLN", "CZK", "SEK", "DKK", "NOK", "CAD", "AUD", "CNY")
    return next(iter(get_close_matches(code.upper(), usual, 1, 0.6)), "")
