"""Short phrases that several outputs share: numbers in runs, rates, money, lists."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Sized
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from rigopt import money
from rigopt.catalogue.types import Catalogue

Labels = Mapping[str, str]
"""Those of rows of the catalogue, by id."""

NO_LABELS: Final[Labels] = {}

NOT_ALL: Final = "Not all of this could be found out in the time."
INVENTED: Final = "The demo catalogue's prices are invented."

_KIND_WORDS: Final = {"mic": "microphone", "line": "line source", "instrument": "instrument"}


def device_labels(catalogue: Catalogue) -> Labels:
    """Those of its devices."""
    return {device.id: device.label for device in catalogue.devices.values()}


def entry(item: str, label: str) -> str:
    """A row of the catalogue in a table, by id and label: 'desk-8: USB interface'."""
    return f"{item}: {label}" if label not in ("", item) else item


def labelled(item: str, label: str) -> str:
    """The same within a sentence: 'USB interface (desk-8)'."""
    return f"{label} ({item})" if label not in ("", item) else item


def legend(labels: Mapping[str, str]) -> list[str]:
    """What ids in a table stand for, a line each; nothing for ids without a label."""
    return [entry(item, label) for item, label in labels.items() if label not in ("", item)]


def seconds(value: float) -> str:
    """A time as people write it, never with an exponent: '60 s', '0.000001 s'."""
    return f"{Decimal(f'{value:g}'):f} s"


def span(first: int, last: int) -> str:
    """'4' for one number, '1–8' for several in a row."""
    return str(first) if first == last else f"{first}–{last}"


def runs(numbers: Iterable[int]) -> str:
    """Numbers in ascending order, folded: '1–4, 7'."""
    found: list[tuple[int, int]] = []
    for number in sorted(numbers):
        if found and found[-1][1] == number - 1:
            found[-1] = (found[-1][0], number)
        else:
            found.append((number, number))
    return ", ".join(span(first, last) for first, last in found)


def count(number: int, noun: str) -> str:
    """'1 unit', '2 units'; `noun` takes a plain s."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def plural(noun: str, numbers: Sized) -> str:
    """'channel' for one number, 'channels' for several."""
    return noun if len(numbers) == 1 else f"{noun}s"


def sources(number: int, kind: str) -> str:
    """'24 microphones', '1 line source'."""
    return count(number, _KIND_WORDS[kind])


def listed(words: Sequence[str], last: str = "and") -> str:
    """'a', 'a and b', 'a, b and c'."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def together(counts: Mapping[str, int]) -> str:
    """Counts by name: '1 desk-8 + 2 pre-8'."""
    return " + ".join(f"{number} {name}" for name, number in counts.items())


def khz(rate_hz: int) -> str:
    """48000 is '48', 44100 is '44.1'."""
    return f"{Decimal(rate_hz) / 1000:f}"


def priced(minor: int, catalogue: Catalogue) -> str:
    """An amount in the catalogue's currency: '512.00 GBP'."""
    return amount(minor, catalogue.currency)


def amount(minor: int, currency: str) -> str:
    """An amount in any currency, with it: '512.00 GBP'."""
    return f"{money.to_text(minor, currency)} {currency}"


def between(least: int, most: int, currency: str, dash: str = "–") -> str:
    """An amount that is not known to the penny, '180.00–240.00', or one that is."""
    ends = dict.fromkeys(money.to_text(minor, currency) for minor in (least, most))
    return dash.join(ends)


def signed(minor: int, currency: str) -> str:
    """A difference: '+74.42', '-12.00', 'none'."""
    return f"{'+' if minor > 0 else ''}{money.to_text(minor, currency)}" if minor else "none"


def plain(number: Decimal) -> str:
    """Without noughts at the end: '12.5', '40'."""
    return f"{number.normalize():f}"


def tenth(number: Decimal) -> str:
    """Rounded half up to a tenth: '16.6'."""
    return str(number.quantize(Decimal("0.1"), ROUND_HALF_UP))


def metres(length_mm: int) -> str:
    """'7.5 m', without noughts at the end."""
    return f"{Decimal(length_mm) / 1000:f} m"
