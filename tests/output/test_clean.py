import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigopt.output.words.clean import clean

NASTY = st.text(
    st.characters() | st.sampled_from("\x1b\x7f\x9b\u202e\u2066\u200f\u2028\r\n\t\ue000\ufeff"),
    max_size=60,
)


@pytest.mark.parametrize(
    ("raw", "safe"),
    [
        ("plain", "plain"),
        ("  two\t\r\n lines ", "two lines"),
        ("\x1b[2Jgone", "␛[2Jgone"),
        ("del\x7f", "del␡"),
        ("c1 \x9b31m", "c1 \ufffd31m"),
        ("\u202eesrever", "\ufffdesrever"),
        ("a\u2066b\u2069", "a\ufffdb\ufffd"),
        ("lone \ud800", "lone \ufffd"),
        ("private \ue000", "private \ufffd"),
        ("zero\u200bwidth\u00ad", "zerowidth"),
        ("e\u0301", "é"),
        ("漢字 🎤\ufe0f", "漢字 🎤"),
        ("a\u2028b\u0085c", "a b c"),
        ("", ""),
    ],
)
def test_each_kind_of_character(raw: str, safe: str) -> None:
    assert clean(raw) == safe


@settings(deadline=None)
@given(NASTY)
def test_nothing_unsafe_remains(raw: str) -> None:
    safe = clean(raw)
    assert not {unicodedata.category(char) for char in safe} & {"Cc", "Cf", "Cs", "Co"}
    assert len(safe.splitlines()) <= 1
    assert clean(safe) == safe
