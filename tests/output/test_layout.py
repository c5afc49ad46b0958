"""Widths are checked against Unicode Standard Annex 11: wide and full-width take two."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from wcwidth import width

from rigopt.output.terminal.layout import COLUMNS, cut, paragraph, table, wrap

# A mark of one script on a letter of another is left out, and so is what this Python does
# not know for a mark: how many columns they take is anybody's guess, wcwidth's included.
LABEL = st.text(
    st.sampled_from("ab -–é漢字🎤\u0301\u0903\U0001f3fd\x1b\u202e\n\t=")
    | st.characters(exclude_categories=["Mn", "Mc", "Cn"]),
    max_size=200,
)


@pytest.mark.parametrize(
    ("text", "columns"),
    [("abc", 3), ("漢字", 4), ("Ｗ", 2), ("🎤", 2), ("e\u0301x", 2), ("", 0), ("–…", 2)],
)
def test_width(text: str, columns: int) -> None:
    assert width(text) == columns


@pytest.mark.parametrize(
    "text",
    [
        "👍🏽",  # A tone of skin lies on its hand.
        "\u1112\u119e\u11ab",  # Three letters make one syllable, and there is no sign for it.
    ],
)
def test_a_sign_made_of_several_takes_two_columns(text: str) -> None:
    """Sign by sign, by Annex 11 alone, each would take four."""
    assert table(["A", "End"], [[text, "|"]], "A").splitlines()[1:] == ["--  ---", f"{text}  |"]


def test_a_mark_alone_gets_a_circle_to_sit_on() -> None:
    """As the Unicode Standard shows marks; it would sit on what is to the left."""
    assert wrap("\u0301x \u0903") == ["◌\u0301x ◌\u0903"]


def test_a_letter_is_not_torn_from_its_marks() -> None:
    assert wrap("e\u0323\u0301" * 3, 2) == ["ẹ\u0301" * 2, "ẹ\u0301"]
    assert wrap("👍🏽👍🏽", 3) == ["👍🏽", "👍🏽"]


def test_wrap_breaks_at_spaces() -> None:
    assert wrap("one two three", 7) == ["one two", "three"]


def test_wrap_breaks_a_word_longer_than_a_line() -> None:
    assert wrap("a " + "x" * 9, 4) == ["a", "xxxx", "xxxx", "x"]


def test_a_number_stays_with_its_unit() -> None:
    assert wrap("needs 48 V here", 8) == ["needs", "48 V", "here"]
    assert wrap("1 2 3 4 5 6", 5) == ["1 2 3", "4 5 6"]


def test_a_wide_character_is_never_cut_in_two() -> None:
    assert wrap("漢字漢", 5) == ["漢字", "漢"]


def test_cut_keeps_three_lines_and_says_that_there_is_more() -> None:
    assert cut("one two three", 5) == ["one", "two", "three"]
    assert cut("one two three four", 5) == ["one", "two", "thre…"]


def test_paragraph_hangs_under_its_first_line() -> None:
    lines = paragraph("word " * 30, "- ").splitlines()
    assert lines[0].startswith("- word")
    assert all(line.startswith("  word") for line in lines[1:])
    assert len(lines) == 2


def test_table_aligns_and_draws_lines() -> None:
    drawn = table(["Name", "Total"], [["漢字", "5"], [], ["", "12"]], "Name", right="Total")
    assert drawn.splitlines() == [
        "Name  Total",
        "----  -----",
        "漢字      5",
        "----  -----",
        "         12",
    ]


def test_headers_alone_make_a_table() -> None:
    assert table(["A", "B"], [], "A") == "A  B\n-  -"


def test_a_soft_column_gives_way_first_and_then_the_widest() -> None:
    rows = [["a " * 30, "b " * 20, "c " * 8]]
    assert table(["A", "B", "C"], rows, "B").splitlines()[1].split() == [
        "-" * 49,
        "-" * 12,
        "-" * 15,
    ]


def test_a_soft_column_can_be_enough() -> None:
    drawn = table(["Short", "Long"], [["x" * 20, "y " * 100]], "Long")
    first = drawn.splitlines()[2]
    assert first.startswith("x" * 20 + "  y y")
    assert width(first) <= COLUMNS


@settings(deadline=None)
@given(st.lists(st.tuples(LABEL, LABEL, LABEL), max_size=4))
def test_columns_stand_in_line_whatever_the_labels(rows: list[tuple[str, ...]]) -> None:
    """A mark in the last column must stand at the same place in every row it is in."""
    drawn = table(["A", "B", "C", "End"], [[*row, "|#"] for row in rows], "B")
    lines = drawn.splitlines()
    assert max(map(width, lines)) <= COLUMNS
    ends = [width(line[: -len("|#")]) for line in lines if line.endswith("|#")]
    assert len(ends) >= len(rows)
    assert set(ends) <= {width(lines[0]) - len("End")}


def test_lines_after_the_first_begin_as_asked() -> None:
    assert paragraph("word " * 20, "- ", "").splitlines()[1].startswith("word")
    assert paragraph("word " * 20, "- ", "> ").splitlines()[1].startswith("> word")


def test_what_looks_like_a_number_stays_as_it_is() -> None:
    drawn = table(["A", "B"], [["1e5", "007"], ["2.50", "1"]], "A")
    assert drawn.splitlines()[2:] == ["1e5   007", "2.50  1"]


def test_a_hyphen_is_no_place_to_break() -> None:
    assert wrap("well-known", 6) == ["well-k", "nown"]
    assert wrap("a well-known", 11) == ["a", "well-known"]
