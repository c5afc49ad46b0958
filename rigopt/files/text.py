"""Files that people edit, as text: found, small enough, and decoded."""

from __future__ import annotations

import codecs
import contextlib
from pathlib import Path
from typing import Final

from rigopt.files.faults import Gathered
from rigopt.files.values import escaped

LARGEST_MB: Final = 20

_MARKS: Final = (
    # UTF-32 first: its little-endian mark begins with that of UTF-16.
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
    (codecs.BOM_UTF8, "utf-8-sig"),
)
_WORKBOOKS: Final = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")
"""How .xlsx and .ods (zip archives) and .xls (compound files) begin; from memory."""


def place(path: Path) -> str:
    """`path` as messages name it: as it was given, control characters escaped."""
    return escaped(str(path))


def read_text(path: Path, faults: Gathered, most_mb: int = LARGEST_MB) -> str | None:
    """The text of a file with line feeds only, or None and a fault.

    UTF-8, UTF-16 and UTF-32 are told by their byte-order mark; without one the file is
    UTF-8, or else Windows-1252, which older spreadsheets write.
    """
    data = read_bytes(path, faults, most_mb)
    if data is None:
        return None
    if data.startswith(_WORKBOOKS):
        faults.add(
            "is a workbook under the name of a text file; export its sheet as CSV, or give it "
            "its own ending, such as .xlsx"
        )
        return None
    decoded = decode(data)
    if decoded is None or "\x00" in decoded[0]:
        faults.add("is not a text file; save it as UTF-8 text")
        return None
    return with_line_feeds(decoded[0])


def with_line_feeds(text: str) -> str:
    """`text` with one kind of line end."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def read_bytes(path: Path, faults: Gathered, most_mb: int) -> bytes | None:
    """What a file holds, at most so many millions of bytes, or None and a fault."""
    most = most_mb * 1_000_000
    try:
        if path.is_fifo():  # to open it could mean to wait for ever
            faults.add("is a pipe, not a file; save its text in a file first")
            return None
        with path.open("rb") as file:
            data = file.read(most + 1)
    except FileNotFoundError:
        faults.add("there is no such file")
    except IsADirectoryError:
        faults.add("is a folder, not a file")
    except PermissionError:
        faults.add("may not be read: permission denied")
    except (OSError, ValueError):
        faults.add("cannot be read")
    else:
        if len(data) <= most:
            return data
        faults.add(f"is larger than {most_mb} MB")
    return None


def decode(data: bytes) -> tuple[str, str] | None:
    """The text, without a byte-order mark, and its encoding; None where there is none."""
    marked = [name for mark, name in _MARKS if data.startswith(mark)]
    for encoding in marked[:1] or ["utf-8", "cp1252"]:
        with contextlib.suppress(UnicodeDecodeError):
            return data.decode(encoding), encoding
    return None
