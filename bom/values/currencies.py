"""Knows which currency codes there are, so that a mistyped one (GPB for GBP) is seen before it counts."""

from __future__ import annotations

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
    """The usual currency that a code which is none was likely meant to be, else nothing."""
    from difflib import get_close_matches  # loaded for a slip alone: it takes longer than many an answer

    usual = ("EUR", "GBP", "USD", "CHF", "JPY", "PLN", "CZK", "SEK", "DKK", "NOK", "CAD", "AUD", "CNY")
    return next(iter(get_close_matches(code.upper(), usual, 1, 0.6)), "")
