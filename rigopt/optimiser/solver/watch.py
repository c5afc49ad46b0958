"""What is known of a search while it runs, and whether it has been asked to stop.

It shows nothing and hears no signal: who wants that looks at it from outside.
"""

from __future__ import annotations


class Watch:
    """What is known of a search while it runs, and whether it has been asked to stop.

    `best` and `bound`: money of the best rig so far, and what no rig costs less than, in
    minor units. `busy`: a solver is at work, and will see `stopped`. `kept`: there is an
    answer that would be lost. `late`: until when a rig is made of what was found before a stop.
    """

    def __init__(self, currency: str = "") -> None:
        self.currency = currency
        self.about = ""
        self.best: int | None = None
        self.bound: int | None = None
        self.busy = False
        self.kept = False
        self.stopped = False
        self.late: float | None = None

    def question(self, about: str, currency: str) -> None:
        """Another question begins; `about` names it in a few words."""
        self.about, self.currency = about, currency
        self.best = self.bound = None

    def found(self, money: int) -> None:
        """A rig was found that costs this."""
        self.kept = True
        self.best = money if self.best is None else min(money, self.best)

    def bounded(self, money: int) -> None:
        """No rig costs less than this."""
        self.bound = money if self.bound is None else max(money, self.bound)


class Silent(Watch):
    """Part of a search whose numbers are not the money that is asked for: they are not shown.

    Whether to stop, and whether a solver is at work, is as in the watch that is shown.
    """

    def __init__(self, shown: Watch) -> None:
        self.shown = shown
        self.currency, self.about = shown.currency, ""
        self.best = self.bound = self.late = None

    @property
    def busy(self) -> bool:
        """Whether a solver is at work."""
        return self.shown.busy

    @busy.setter
    def busy(self, value: bool) -> None:
        self.shown.busy = value

    @property
    def kept(self) -> bool:
        """Whether there is an answer that would be lost."""
        return self.shown.kept

    @kept.setter
    def kept(self, value: bool) -> None:
        self.shown.kept = value

    @property
    def stopped(self) -> bool:
        """Whether the user said stop."""
        return self.shown.stopped

    @stopped.setter
    def stopped(self, value: bool) -> None:
        self.shown.stopped = value
