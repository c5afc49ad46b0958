import pytest

from rigopt.output.words import phrases
from tests.output.rigs import CATALOGUE


@pytest.mark.parametrize(
    ("numbers", "text"),
    [([], ""), ([3], "3"), ([1, 2, 3, 7], "1–3, 7"), ((4, 1, 2), "1–2, 4")],
)
def test_runs(numbers: list[int], text: str) -> None:
    assert phrases.runs(numbers) == text


@pytest.mark.parametrize(
    ("words", "text"),
    [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")],
)
def test_listed(words: list[str], text: str) -> None:
    assert phrases.listed(words) == text


@pytest.mark.parametrize(("hertz", "text"), [(48000, "48"), (44100, "44.1"), (176400, "176.4")])
def test_khz(hertz: int, text: str) -> None:
    assert phrases.khz(hertz) == text


def test_counts_and_amounts() -> None:
    assert phrases.sources(1, "mic") == "1 microphone"
    assert phrases.sources(2, "line") == "2 line sources"
    assert phrases.priced(1234, CATALOGUE) == "12.34 GBP"
    assert phrases.metres(7500) == "7.5 m"
    assert phrases.metres(10000) == "10 m"
