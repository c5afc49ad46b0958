"""Numbers and money as people and spreadsheets write them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from rigopt.files import amounts
from rigopt.files.amounts import Span
from rigopt.files.values import BadValueError


@pytest.mark.parametrize(
    ("written", "number"),
    [
        ("0", "0"),
        ("8", "8"),
        (8, "8"),
        ("8.0", "8"),
        ("8,5", "8.5"),
        ("8.", "8"),
        (".5", "0.5"),
        (",5", "0.5"),
        ("0,125", "0.125"),
        ("1.234", "1.234"),
        ("1234,567", "1234.567"),
        ("1,234.5", "1234.5"),
        ("1.234,5", "1234.5"),
        ("1,234.567", "1234.567"),
        ("1.234,567", "1234.567"),
        ("1,234,567", "1234567"),
        ("1.234.567", "1234567"),
        ("1,234,567.8", "1234567.8"),
        ("1 234", "1234"),
        ("1 234 567,8", "1234567.8"),
        ("1'234.5", "1234.5"),
        ("1’234", "1234"),
        ("1\u202f234,5", "1234.5"),
        ("+5", "5"),
        ("-0", "0"),
        ("-0,0", "0"),
        ("−0", "0"),
        ("１２．５", "12.5"),
        ("१२", "12"),
        ("1234567890", "1234567890"),
        ("123456789012345678", "123456789012345678"),
    ],
)
def test_a_number_is_read_as_meant(written: object, number: str) -> None:
    assert amounts.number(written) == Decimal(number)


@pytest.mark.parametrize(
    ("written", "problem"),
    [
        ("1,234", "could mean 1234 or 1.234; write it without a comma"),
        ("-1", "must not be negative"),
        ("−1", "must not be negative"),
        ("- 1", "must not be negative"),
        ("--1", "is not a number"),
        ("1e400", "is a power of ten; write the number in full"),
        ("1,5E-3", "is a power of ten"),
        ("nan", "is not a number"),
        ("inf", "is not a number"),
        ("", "is not a number"),
        (".", "is not a number"),
        ("8²", "is not a number"),
        ("½", "is not a number"),
        ("1,23,456", "is not a number"),
        ("1 23", "is not a number"),
        ("1 234'567", "is not a number"),
        ("1.2.3", "is not a number"),
        ("0x10", "is not a number"),
        ("1_000", "is not a number"),
        ("1234567890123456789", "is a number of more than 18 digits"),
        pytest.param(10**6000, "is not a number", id="huge"),
        (float("nan"), "is not a number"),
        (False, "must be a text or a number"),
    ],
)
def test_what_is_no_number_is_refused(written: object, problem: str) -> None:
    with pytest.raises(BadValueError) as raised:
        amounts.number(written)
    assert str(raised.value).startswith(problem)


@pytest.mark.parametrize("written", ["2", "2 U", "2u", "2.0"])
def test_a_stray_unit_is_dropped(written: str) -> None:
    assert amounts.whole(written, 10, unit="U") == 2


@pytest.mark.parametrize("written", ["1", "5"])
def test_whole_numbers_up_to_the_limits(written: str) -> None:
    assert amounts.whole(written, 5, least=1) == int(written)


@pytest.mark.parametrize("written", ["0", "6", "1.5"])
def test_whole_numbers_past_the_limits(written: str) -> None:
    with pytest.raises(BadValueError, match=r"^must be a whole number from 1 to 5$"):
        amounts.whole(written, 5, least=1)


@pytest.mark.parametrize(
    ("written", "length"),
    [("1", 1000), ("0,5 m", 500), ("1.234", 1234), ("0", 0), ("9M", 9000)],
)
def test_lengths(written: str, length: int) -> None:
    assert amounts.millimetres(written, 9) == length
    assert amounts.millimetres("0.001", 9, 1) == 1


@pytest.mark.parametrize(
    ("written", "least", "problem"),
    [
        ("9.001", 0, "must be a length from 0 to 9 metres"),
        ("0", 1, "must be a length above 0 and up to 9 metres"),
        ("0.0005", 0, "is finer than a millimetre"),
    ],
)
def test_lengths_that_are_refused(written: str, least: int, problem: str) -> None:
    with pytest.raises(BadValueError, match=problem):
        amounts.millimetres(written, 9, least)


def test_fractions() -> None:
    assert amounts.fraction("20 %", 100, "%") == 20
    assert amounts.fraction("8.875", 100) == Decimal("8.875")
    assert amounts.fraction("100", 100) == 100
    assert amounts.fraction("0.000001", 100) == Decimal("0.000001")
    for written in ("100.1", "0.0000001"):
        with pytest.raises(BadValueError, match="from 0 to 100 with up to 6 decimals"):
            amounts.fraction(written, 100)


@pytest.mark.parametrize(
    ("written", "minor"),
    [
        ("12", 1200),
        ("12.5", 1250),
        ("12,50", 1250),
        ("£12.50", 1250),
        ("12,50 £", 1250),
        ("£ 1,234.50", 123450),
        ("GBP 12", 1200),
        ("12 gbp", 1200),
        ("¤ 5", 500),
        ("12.", 1200),
        (".5", 50),
        ("£.50", 50),
        (".50 £", 50),
        ("gbp.5", 500),
        ("0", 0),
        ("-0.00", 0),
        ("£１２", 1200),
        (12, 1200),
        ("1000000000", 100000000000),
    ],
)
def test_money_is_read_as_meant(written: object, minor: int) -> None:
    assert amounts.amount(written, "GBP") == minor


@pytest.mark.parametrize(
    ("written", "currency", "problem"),
    [
        ("-5", "GBP", "must not be negative"),
        ("-£5", "GBP", "must not be negative"),
        ("£-5", "GBP", "must not be negative"),
        ("12 EUR", "GBP", r"says 'EUR', but the currency is GBP \(key currency in catalog"),
        ("12 €", "GBP", "says '€', but the currency is GBP"),
        ("$5", "GBP", "says '\\$', but the currency is GBP"),
        ("US$5", "CAD", "says 'US\\$', but the currency is CAD"),
        ("12,50 kr.", "PLN", "says 'kr.', but the currency is PLN"),
        ("12k", "GBP", "says 'k', but the currency is GBP"),
        ("12k", "USD", "says 'k', but the currency is USD"),
        ("12.500", "GBP", "could mean 12500 or 12.50; write it as one of these"),
        ("TBD", "GBP", "is no number; if it is not known, leave the cell blank"),
        ("12.345", "GBP", "has more decimals than GBP, which has 2; no thousands mark"),
        ("12.3456", "GBP", "has more decimals than GBP, which has 2$"),
        ("12.5", "JPY", "has more decimals than JPY, which has 0$"),
        ("1.234", "JPY", "has more decimals than JPY, which has 0; no thousands mark"),
        ("£5 EUR", "GBP", "says 'EUR', but the currency is GBP"),
        ("12\x9b", "GBP", "holds a control character"),
        ("5 \u200d", "GBP", "^is not an amount in GBP$"),
        ("1,234", "GBP", "could mean 1234 or 1.234"),
        ("1000000001", "GBP", "must be an amount of up to 1000000000"),
        ("1000000001", None, "must be an amount of up to 1000000000"),
        ("£", "GBP", "is not a number"),
        ("NaN", "GBP", "is not a number"),
        ("1e400", "GBP", "is a power of ten"),
    ],
)
def test_money_that_is_refused(written: str, currency: str | None, problem: str) -> None:
    with pytest.raises(BadValueError, match=problem):
        amounts.amount(written, currency)


@pytest.mark.parametrize(
    ("written", "currency"),
    [
        ("$ 1,234.50", "USD"),
        ("US$ 1,234.50", "USD"),
        ("AU$1234.50", "AUD"),
        ("1.234,50 €", "EUR"),
        ("1 234,50 kr.", "SEK"),
        ("1 234,50 zł", "PLN"),
        ("R$ 1.234,50", "BRL"),
        ("¥1234.5", "CNY"),
        ("1234.5 CHF", "CHF"),
        ("Fr. 1'234.50", "CHF"),
    ],
)
def test_the_sign_of_the_currency_is_dropped(written: str, currency: str) -> None:
    assert amounts.amount(written, currency) == 123450


@pytest.mark.parametrize("written", ["N/A", "n/a", "-", "–", "?", "TBD", "k.A.", "#N/A"])
def test_what_is_put_for_an_unknown_number_says_to_leave_it_blank(written: str) -> None:
    for read in (amounts.number, lambda value: amounts.whole(value, 9)):
        with pytest.raises(BadValueError, match="leave the cell blank"):
            read(written)


def test_the_decimals_are_those_of_the_currency() -> None:
    assert amounts.amount("1.234", "KWD") == 1234
    assert amounts.amount("1234", "JPY") == 1234


def test_without_a_currency_only_the_form_is_checked() -> None:
    assert amounts.amount("12.3456 EUR", None) == 0


@pytest.mark.parametrize(
    ("written", "found"),
    [
        (" ? ", Span(0, None)),
        ("5", Span(500, 500)),
        ("5-5", Span(500, 500)),
        ("£180 – £240", Span(18000, 24000)),
        ("180..240 GBP", Span(18000, 24000)),
        ("1.5 to 2", Span(150, 200)),
    ],
)
def test_a_price_or_a_range(written: str, found: Span) -> None:
    assert amounts.span(written, "GBP") == found


def test_ranges_that_are_none() -> None:
    with pytest.raises(BadValueError, match="is a range that ends before it begins"):
        amounts.span("5.01-5", "GBP")
    for written in ("5-", "-5", "5-x", "1e-5"):
        with pytest.raises(BadValueError):
            amounts.span(written, "GBP")
    assert amounts.amount("1.300", None) == 0
