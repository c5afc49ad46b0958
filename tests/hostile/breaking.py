"""Strategies that break a file as a spreadsheet, an editor, a disk or an attacker does."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from tests.hostile.attack import ENCODINGS, VALUES

Break = Callable[[bytes], bytes]

HOSTILE = st.one_of(st.sampled_from(VALUES), st.text(max_size=12), st.integers().map(str))


def _cut(at: int) -> Break:
    return lambda data: data[: at % (len(data) + 1)]


def _put(at: int, what: bytes) -> Break:
    def put(data: bytes) -> bytes:
        place = at % (len(data) + 1)
        return data[:place] + what + data[place:]

    return put


def _encode(encoding: str) -> Break:
    return lambda data: _text(data).encode(encoding, "replace")


def _swap(old: str, new: str) -> Break:
    return lambda data: data.replace(old.encode(), new.encode())


def _text(data: bytes) -> str:
    return data.decode("utf-8", "replace")


PLACES = st.integers(0, 10**6)
BYTES = st.sampled_from(
    [
        b"\x00",
        b"\xff",
        b"\xfe\xff",
        b"\xef\xbb\xbf",
        b"\x1a",
        b"\x1b[31m",
        b"\xed\xa0\x80",
        b"\xc0\xaf",
        b'"',
        b'"""',
        b"'",
        b"\r",
        b"\n\n",
        b",",
        b";",
        b"\t",
        b"\\",
        b"=",
        b"[",
        b"{",
    ]
)
ANY_FILE: st.SearchStrategy[Break] = st.one_of(
    st.builds(_cut, PLACES),
    st.builds(_put, PLACES, BYTES),
    st.builds(_put, PLACES, st.binary(max_size=8)),
    st.builds(_encode, st.sampled_from(ENCODINGS)),
    st.builds(_swap, st.just("\n"), st.sampled_from(["\r", "\r\n", "\n\n", "\x0b", "\u2028"])),
    st.just(lambda data: data + data),
    st.just(bytes.lower),
    st.just(_cut(0)),
)
"""Breaks that any file can suffer."""


def _cell(row: int, column: int, value: str) -> Break:
    """Another value in one cell, quoted as a spreadsheet does."""

    def change(data: bytes) -> bytes:
        rows = [re.findall(r'"[^"]*"|[^,]+|(?<=,)(?=,)', line) for line in _lines(data)]
        rows = [cells for cells in rows if cells]
        if rows:
            cells = rows[row % len(rows)]
            quoted = value.replace('"', '""')
            cells[column % len(cells)] = f'"{quoted}"'
        return "\n".join(",".join(cells) for cells in rows).encode("utf-8", "surrogatepass")

    return change


def _again(row: int) -> Break:
    """A row, or the header, a second time."""

    def change(data: bytes) -> bytes:
        lines = _lines(data)
        return "\n".join([*lines, lines[row % len(lines)]] if lines else []).encode()

    return change


def _column_again(column: int) -> Break:
    """A column of the table a second time."""

    def change(data: bytes) -> bytes:
        rows = [line.split(",") for line in _lines(data)]
        return "\n".join(",".join([*r, r[column % len(r)]]) for r in rows).encode()

    return change


def _lines(data: bytes) -> list[str]:
    return _text(data).split("\n")


CSV: st.SearchStrategy[Break] = st.one_of(
    st.builds(_cell, PLACES, PLACES, HOSTILE),
    st.builds(_cell, PLACES, PLACES, HOSTILE),
    st.builds(_again, PLACES),
    st.builds(_column_again, PLACES),
    st.builds(_swap, st.just(","), st.sampled_from([";", "\t", "|", ", ", ",,"])),
    ANY_FILE,
)


def _line_value(line: int, value: str) -> Break:
    """Another value after the '=' of one line of TOML: bare, and so perhaps no TOML."""

    def change(data: bytes) -> bytes:
        lines = _lines(data)
        keys = [n for n, text in enumerate(lines) if "=" in text]
        if keys:
            place = keys[line % len(keys)]
            lines[place] = f"{lines[place].partition('=')[0]}= {value}"
        return "\n".join(lines).encode("utf-8", "surrogatepass")

    return change


def _quoted(value: str) -> str:
    return json.dumps(value, ensure_ascii=False)  # TOML's basic strings are close enough


TOML: st.SearchStrategy[Break] = st.one_of(
    st.builds(_line_value, PLACES, HOSTILE),
    st.builds(_line_value, PLACES, HOSTILE.map(_quoted)),
    st.builds(
        _line_value,
        PLACES,
        st.sampled_from(["[]", "[[]]", "{}", "{a = 1}", "[1, 'a']", "1979-05-27", "0b1"]),
    ),
    st.builds(_again, PLACES),
    ANY_FILE,
)

WRONG = st.one_of(
    HOSTILE,
    st.integers(-(2**70), 2**70),
    st.floats(),
    st.booleans(),
    st.none(),
    st.sampled_from([[], {}, [[]], [{}], {"a": 1}, [None], "host-1", "expander-1", 0, -1, 2]),
)


def _spots(tree: Any) -> list[tuple[Any, Any]]:
    """Every container in `tree` with each of its keys."""
    found: list[tuple[Any, Any]] = []
    pairs = tree.items() if isinstance(tree, dict) else enumerate(tree)
    for key, value in pairs:
        found.append((tree, key))
        if isinstance(value, (dict, list)):
            found += _spots(value)
    return found


@st.composite
def broken_tree(draw: st.DrawFn, tree: Any) -> bytes:
    """A JSON document whose values, keys or entries are changed, lost or doubled."""
    tree = copy.deepcopy(tree)
    for _ in range(draw(st.integers(1, 3))):
        spots = _spots(tree)
        if not spots:
            break
        holder, key = spots[draw(PLACES) % len(spots)]
        deed = draw(st.sampled_from(["change", "change", "lose", "double", "rename"]))
        if deed == "lose":
            del holder[key]
        elif deed == "double" and isinstance(holder, list):
            holder.append(copy.deepcopy(holder[key]))
        elif deed == "rename" and isinstance(holder, dict):
            holder[draw(HOSTILE)] = holder.pop(key)
        else:
            holder[key] = draw(WRONG)
    return json.dumps(tree, ensure_ascii=draw(st.booleans())).encode("utf-8", "surrogatepass")
