"""The smallest changes that would make impossible needs possible.

For each member of the conflict, the least change of it alone that lets some rig meet all
the other needs as they are. Where no member will do alone, several needs change together:
no more than it takes, and each as little as it can once those before it are settled.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from rigopt.answers.choice import Change, Need, NeedName, Setting
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.conflict.conflict import possible, stated
from rigopt.optimiser.questions.conflict.edited_needs import edited, with_settings
from rigopt.optimiser.questions.conflict.probes import Probes, TimeUpError
from rigopt.optimiser.questions.conflict.smaller import least_change

_OF_MICS: Final[tuple[NeedName, ...]] = ("phantom", "no_phantom")


def advice(probes: Probes, needs: Needs, conflict: Sequence[Need]) -> tuple[Change, ...]:
    """The least change of each member of `conflict`, or one change of several needs.

    What is not known when the time is up is left out.
    """
    found: list[Change] = []
    try:
        for need in conflict:
            setting = least_change(probes, needs, need)
            if setting is not None:
                found.append(_costed(probes, needs, [setting]))
        if conflict and not found:
            found += _together(probes, needs)
    except TimeUpError:
        pass
    return tuple(found)


def _costed(probes: Probes, needs: Needs, settings: Iterable[Setting]) -> Change:
    merged: dict[NeedName, Setting] = {}
    now = needs
    for setting in settings:
        for part in _parts(now, setting):
            merged[part.name] = part
        now = with_settings(now, [setting])
    parts = tuple(merged.values())
    return Change(parts, probes.total(with_settings(needs, parts)))


def _parts(needs: Needs, setting: Setting) -> list[Setting]:
    """`setting`, and with fewer microphones what has to be said of 48 V."""
    parts = [setting]
    if setting.name == "mic":
        fewer = edited(needs, "mic", setting.now)
        parts += [
            Setting(name, getattr(fewer, name))
            for name in _OF_MICS
            if getattr(needs, name) != getattr(fewer, name)
        ]
    return parts


def _together(probes: Probes, needs: Needs) -> list[Change]:
    """The least changes that do together, if there are any worth telling.

    Starting with every need given up, needs are kept as long as some rig is left; those
    that cannot be kept have to change.
    """
    given_up = stated(needs)
    for need in reversed(stated(needs)):
        fewer = [other for other in given_up if other != need]
        if possible(probes, needs, fewer):
            given_up = fewer
    settings: list[Setting] = []
    for place, need in enumerate(given_up):
        now = with_settings(needs, settings)
        setting = least_change(probes, now, need, given_up[place + 1 :])
        if setting is None:
            return []
        settings.append(setting)
    return [_costed(probes, needs, settings)]
