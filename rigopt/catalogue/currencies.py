"""The currencies that a catalogue or a seller may use.

ISO 4217 alphabetic codes of currencies in everyday use, from memory, not verified.
Left out on purpose: precious metals, funds and units of account, the codes for tests
and for no currency (XTS, XXX), and currencies that have been withdrawn.
"""

from __future__ import annotations

import re
from typing import Final

from rigopt.files.values import BadValueError, tidy

CODES: Final[tuple[str, ...]] = tuple(
    # One text, so that it can be read beside the list of the standard.
    """
    AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP
    BYN BZD CAD CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP
    GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES
    KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU
    MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON
    RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND
    TOP TRY TTD TWD TZS UAH UGX USD UYU UZS VED VES VND VUV WST XAF XCD XCG XOF XPF YER ZAR
    ZMW ZWG
    """.split()  # noqa: SIM905
)


def currency_code(value: object) -> str:
    """An ISO 4217 code of three capital letters.

    Raises:
        BadValueError: When it is anything else.
    """
    text = tidy(value)
    if not re.fullmatch("[A-Z]{3}", text):
        raise BadValueError("must be an ISO 4217 code of three capital letters", CODES)
    if text not in CODES:
        raise BadValueError("is not a currency of ISO 4217 that things are sold in", CODES)
    return text
