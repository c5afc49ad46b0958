"""Text from files made safe for a terminal, a table and a spreadsheet.

A label may hold anything: escape sequences that recolour or clear a terminal, marks that
reverse the reading direction, line ends that would break a table.
"""

from __future__ import annotations

import unicodedata
from typing import Final

REPLACEMENT: Final = "\N{REPLACEMENT CHARACTER}"

_SPACES: Final = frozenset("\t\n\v\f\r\x85\N{LINE SEPARATOR}\N{PARAGRAPH SEPARATOR}")
_DROPPED: Final = frozenset(
    # Invisible and harmless in themselves, but each terminal gives them another width:
    # joiners, the soft hyphen, a byte-order mark, the two emoji variation selectors.
    "\u00ad\u200b\u200c\u200d\u2060\ufeff\ufe0e\ufe0f"
)
_UNSAFE: Final = frozenset(["Cc", "Cf", "Co", "Cs"])
"""Unicode categories: controls, format marks (bidi among them), private, surrogates."""


def clean(text: str) -> str:
    """`text` on one line, with every control character visible instead of at work.

    White space of any kind becomes single spaces; ASCII controls become their Unicode
    control pictures (escape is shown as one sign); other controls become U+FFFD.
    """
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    composed = unicodedata.normalize("NFC", text)
    return " ".join("".join(map(_safe, composed)).split())


def _safe(char: str) -> str:
    if char in _SPACES:
        return " "
    if char in _DROPPED:
        return ""
    if char < " ":
        return chr(0x2400 + ord(char))
    if char == "\x7f":
        return "\N{SYMBOL FOR DELETE}"
    return REPLACEMENT if unicodedata.category(char) in _UNSAFE else char
