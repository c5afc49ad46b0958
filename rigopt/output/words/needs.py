"""Needs in words: what is asked, what it would be instead, and what to type for that.

Every key is named as in the needs statement, and what can be typed as an option is.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Final

from rigopt.answers.choice import NeedName, Setting, Value
from rigopt.money import to_text
from rigopt.output.words.phrases import count, khz, listed, metres, sources

KEYS: Final[dict[NeedName, str]] = {
    "mic": "inputs.mic",
    "phantom": "inputs.phantom",
    "no_phantom": "inputs.no_phantom",
    "line": "inputs.line",
    "instrument": "inputs.instrument",
    "out_line": "outputs.line",
    "out_phones": "outputs.phones",
    "rate_hz": "rate_khz",
    "master": "clock.master",
    "max_hops": "clock.max_hops",
    "ports": "computer.ports",
    "max_hosts": "computer.max_hosts",
    "host_to_rack_mm": "cables.host_to_rack_m",
    "within_rack_mm": "cables.within_rack_m",
    "budget": "limits.budget",
    "rack_units": "limits.rack_units",
    "mains": "limits.mains",
    "units": "limits.units",
    "sellers": "limits.sellers",
    "avoid": "choose.avoid",
    "require": "choose.require",
    "new_only": "choose.new_only",
    "owned_only": "choose.owned_only",
    "pairs": "source.pair",
}
"""Keys of the needs statement."""

_OPTIONS: Final[dict[NeedName, str]] = {
    "mic": "--mic",
    "phantom": "--phantom",
    "no_phantom": "--no-phantom",
    "line": "--line",
    "instrument": "--instrument",
    "rate_hz": "--rate",
    "master": "--master",
    "budget": "--budget",
    "sellers": "--sellers",
}

_COUNTS: Final = ("mic", "phantom", "no_phantom", "line", "instrument")

_MASTERS: Final = {
    "any": "any unit as clock master",
    "host": "a host as clock master",
    "expander": "an expander as clock master",
    "clock": "a clock box as clock master",
}

NUMBERS: Final[dict[NeedName, Callable[[int], str]]] = {
    "mic": lambda n: sources(n, "mic"),
    "phantom": lambda n: f"{sources(n, 'mic')} with 48 V",
    "no_phantom": lambda n: f"{sources(n, 'mic')} kept off 48 V",
    "line": lambda n: sources(n, "line"),
    "instrument": lambda n: sources(n, "instrument"),
    "out_line": lambda n: count(n, "line output"),
    "out_phones": lambda n: count(n, "headphone output"),
    "max_hosts": lambda n: "one host" if n == 1 else f"up to {n} hosts",
    "max_hops": lambda n: f"up to {count(n, 'cable')} between clock master and unit",
    "rack_units": lambda n: f"up to {n} U of rack",
    "mains": lambda n: f"up to {count(n, 'mains plug')}",
    "units": lambda n: f"up to {count(n, 'unit')}",
    "sellers": lambda n: f"up to {count(n, 'seller')}",
    "host_to_rack_mm": lambda n: f"{metres(n)} from a host to other units",
    "within_rack_mm": lambda n: f"{metres(n)} between other units",
}
"""Needs that are numbers, as a noun."""

_NO_LIMIT: Final[dict[NeedName, str]] = {
    "rack_units": "no limit on height",
    "mains": "no limit on mains plugs",
    "units": "no limit on units",
    "sellers": "no limit on sellers",
}


def noun(name: NeedName, value: Value, currency: str) -> str:
    """A need with its value as a noun: '24 microphones', 'a budget of 300.00 GBP'."""
    if value is None:
        return _NO_LIMIT[name]
    if name == "rate_hz":
        return f"{khz(_int(value))} kHz"
    if name == "budget":
        return f"a budget of {to_text(_int(value), currency)} {currency}"
    if name == "master":
        return _MASTERS.get(str(value), f"{value} as clock master")
    if name in NUMBERS:
        return NUMBERS[name](_int(value))
    return _wish(name, value)


def _wish(name: NeedName, value: Value) -> str:
    if name == "new_only":
        return "new things only" if value else "used things as well"
    if name == "pairs":
        number = _int(value)
        return f"{count(number, 'pair')} side by side" if number else "no pair side by side"
    if name == "owned_only":
        return "nothing bought" if value else "things to be bought"
    items = [str(value)] if isinstance(value, str) else [str(item) for item in _tuple(value)]
    if name == "ports":
        return f"hosts on {listed(items, 'or')}"
    if not items:
        return "no device avoided" if name == "avoid" else "no device required"
    return f"{listed(items)} {'avoided' if name == 'avoid' else 'in the rig'}"


def option(setting: Setting, currency: str, has_list: bool = False) -> str:
    """What to type for a setting: an option, or a line of the needs statement.

    `has_list`: the sources are listed one by one, so their counts follow from the list.
    """
    name, value = setting.name, setting.now
    if has_list and name in _COUNTS:
        return f"a shorter [[source]] list: {NUMBERS[name](_int(value))}"
    if name == "pairs":
        return "[[source]] without pair"
    if name in _OPTIONS and value is not None:
        return f"{_OPTIONS[name]} {_typed(name, value, currency)}"
    table, _, key = KEYS[name].rpartition(".")
    if value is None or value is False:
        return f"[{table}] without {key}"
    return f"[{table}] {key} = {_typed(name, value, currency)}"


def _typed(name: NeedName, value: Value, currency: str) -> str:
    found = as_json(name, value, currency)
    return str(found) if isinstance(value, str) or name == "budget" else json.dumps(found)


def as_json(name: NeedName, value: Value, currency: str) -> object:
    """A value as the needs statement has it, money as a decimal string."""
    if value is None or isinstance(value, (bool, str)):
        return value
    if isinstance(value, tuple):
        return list(value)
    if name == "budget":
        return to_text(value, currency)
    if name == "rate_hz" or name.endswith("_mm"):
        return value // 1000 if value % 1000 == 0 else value / 1000
    return value


def _int(value: Value) -> int:
    assert isinstance(value, int)
    return value


def _tuple(value: Value) -> tuple[str, ...]:
    assert isinstance(value, tuple)
    return value
