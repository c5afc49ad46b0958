"""A needs statement: the file, then what the command line overrides, then the checks."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from rigopt.catalogue.sources import Place, Places, check
from rigopt.catalogue.types import Catalogue
from rigopt.errors import InputError
from rigopt.files.faults import Gathered
from rigopt.files.text import place
from rigopt.files.toml import read_toml
from rigopt.needs.overrides import option, parse_overrides
from rigopt.needs.sources import COUNTS, counts, read_sources
from rigopt.needs.table import TABLE
from rigopt.needs.types import Needs, Question, SourceLine, Stage

COMMAND_LINE: Final = "command line"

TABLES: Final = [row.name for row in TABLE if row.kind == "table"]
"""Tables of which each entry is overridden by itself."""

LAYERED: Final = [*TABLES, "resale"]
"""The same as `Needs` has them: what is owned is apart from what it is sold for."""

LISTS: Final = [row.name for row in TABLE if row.is_list]
"""Lists in which an entry counts once."""

ALONE: Final = ("title", "price_factor", "outlay")
"""What a stage says of itself: no stage after it keeps that."""

Sources = tuple[SourceLine, ...]

Said = dict[str, Any]
"""What a file, a stage or the command line says, by the field names of `Needs`."""


def read_needs(
    asked: Path | Question | None, catalogue: Catalogue, overrides: Mapping[str, object]
) -> Needs:
    """The needs in a file or in the words of a question, if any, under `overrides`.

    `overrides` are the options of the table of needs by name (`no_phantom`), with values
    as typed; None is not given. `owned` and `exchange` add to the file's tables and win
    where both name an entry. `sources` is a file whose list stands for what the needs file
    says of its inputs; without any of these, the catalogue's list does.

    Raises:
        InputError: When anything is wrong with the file, the question or the options, or
            when they do not go together; it holds every fault found.
    """
    options = Gathered(COMMAND_LINE)
    faults = Gathered(_name(asked))
    values = dict(overrides)
    file = values.pop("sources", None)
    listed, wrong = ((), []) if file is None else read_sources(Path(str(file)))
    typed = parse_overrides(values, catalogue, options)
    said = {} if asked is None else _said(asked, catalogue, faults)
    needs = _Statement(typed, faults, options).needs(said, listed, catalogue.sources)
    if found := [*faults.faults, *wrong, *options.faults]:
        raise InputError(found)
    return needs


def _name(asked: Path | Question | None) -> str:
    """What messages call it."""
    return place(asked) if isinstance(asked, Path) else "question"


def _said(asked: Path | Question, catalogue: Catalogue, faults: Gathered) -> Said:
    """What the file or the question says, or nothing and a fault."""
    # Here and not above, so that options alone do not wait for what only these need.
    if isinstance(asked, Question):
        from rigopt.needs.question import read_question  # noqa: PLC0415

        return read_question(asked, catalogue, faults)
    if asked.suffix.casefold() == ".json":
        faults.add("is JSON, and needs are TOML; if it is a rig, 'rigopt audit' tests it")
        return {}
    if (raw := read_toml(asked, faults)) is None:
        return {}
    from rigopt.needs.schema import parse_needs  # noqa: PLC0415

    return parse_needs(raw, catalogue, faults)


def parse_needs_tables(raw: dict[str, Any], name: str, catalogue: Catalogue) -> Needs:
    """The needs in tables as a file has them; `name` stands in messages for the file's.

    Raises:
        InputError: When anything is wrong with them; it holds every fault found.
    """
    from rigopt.needs.schema import parse_needs  # noqa: PLC0415

    faults = Gathered(name)
    table = parse_needs(raw, catalogue, faults)
    statement = _Statement({}, faults, Gathered(COMMAND_LINE))
    needs = statement.needs(table, (), catalogue.sources)
    if faults:
        raise InputError(faults.faults)
    return needs


def _asks(said: Said) -> bool:
    """Whether anything is said of the inputs."""
    return bool(said.keys() & {*COUNTS, "sources"})


def _places(prefix: str) -> Places:
    """Where a needs file says something of its n-th source."""
    return lambda number, key: Place(None, f"{prefix}source[{number}].{key}")


class _Statement:
    """Lays what is said in one place over what is said in another, and checks it."""

    def __init__(self, typed: Said, faults: Gathered, options: Gathered) -> None:
        self._typed = _apart(typed)
        self._faults = faults
        self._options = options
        self._sound = not faults and not options

    def needs(self, said: Said, listed: Sources, stock: Sources) -> Needs:
        """The needs of the whole file, those of its stages included.

        `listed`: the sources of a file of their own; `stock`: those of the catalogue.
        """
        stages = said.pop("stages", ())
        if listed:
            for key in (*COUNTS, "sources"):
                said.pop(key, None)
        elif not any(_asks(part) for part in (said, self._typed, *stages)):
            listed = stock
        under: Said = {"sources": listed, **counts(listed)}
        base = self._layer(said, under, "")
        found: list[Stage] = []
        under = base
        for number, stage in enumerate(stages, start=1):
            alone = {key: stage.pop(key) for key in ALONE if key in stage}
            limit = stage.get("budget")
            under = self._layer(stage, under, f"stage[{number}].")
            found.append(self._stage(alone, under, limit, number))
        return self._finish(base, "", tuple(found))

    def _stage(self, alone: Said, said: Said, limit: int | None, number: int) -> Stage:
        """One stage: what stands at it, `limit` if it says so itself, and `alone` over that."""
        prefix = f"stage[{number}]."
        outlay = alone.get("outlay")
        if outlay is not None:
            if limit not in (None, outlay):
                problem = "says another sum than limits.budget of this stage; leave one out"
                self._faults.add(problem, column=f"{prefix}budget")
            said, limit = {**said, "budget": outlay}, outlay
        titled = {"title": alone["title"]} if "title" in alone else {}
        title = alone.get("title") or f"Stage {number}"
        factor = alone.get("price_factor", Decimal(1))
        return Stage(title, self._finish({**said, **titled}, prefix), factor, limit)

    def _layer(self, said: Said, under: Said, prefix: str) -> Said:
        """What is said in one place, over what is said `under` it."""
        if lines := said.pop("sources", ()):
            said["sources"] = tuple(lines)
            check(said["sources"], _places(prefix), self._faults)
        listed = said.get("sources") or under.get("sources", ())
        if listed:
            self._compare_counts(said, listed, prefix)
            said |= counts(listed)
        said = _apart(said)
        for key in LAYERED:
            said[key] = {**under.get(key, {}), **said.get(key, {})}
        return {**under, **said}

    def _compare_counts(self, said: Said, listed: tuple[SourceLine, ...], prefix: str) -> None:
        """Note counts beside a list of sources that are not those of the list."""
        number = counts(listed)
        advice = "leave the count out, it follows from the list"
        if "sources" not in said:
            advice = "give this stage its own list, [[stage.source]]"
        for key in COUNTS:
            if said.get(key, number[key]) != number[key]:
                problem = f"is {number[key]} in the list of sources; {advice}"
                self._faults.add(problem, column=f"{prefix}inputs.{key}", value=said[key])

    def _finish(self, said: Said, prefix: str, stages: tuple[Stage, ...] = ()) -> Needs:
        """`said` with the command line over it, as needs."""
        self._check_typed_counts(said)
        final = {**said, **self._typed}
        for key in LAYERED:
            entries = {**said[key], **self._typed.get(key, {})}
            final[key] = {name: number for name, number in entries.items() if number}
        there = final["owned"]
        final["resale"] = {item: n for item, n in final["resale"].items() if item in there}
        for key in LISTS:
            if key in final:
                final[key] = tuple(dict.fromkeys(final[key]))
        needs = Needs(**final, stages=stages)
        self._check_phantom(needs, prefix)
        return needs

    def _check_typed_counts(self, said: Said) -> None:
        """Note options that count what the file lists, each once for all stages."""
        for key in COUNTS if said.get("sources") else ():
            if key in self._typed and not self._options.about(option(key)):
                self._options.add(
                    "the sources are listed, and the counts follow from the list; "
                    "leave the option out or change the list",
                    column=option(key),
                    value=self._typed[key],
                )

    def _check_phantom(self, needs: Needs, prefix: str) -> None:
        """Note more microphones that need 48 V, or must not get it, than there are."""
        if not self._sound or needs.phantom + needs.no_phantom <= needs.mic:
            return
        typed = [key for key in ("phantom", "no_phantom", "mic") if key in self._typed]
        faults = self._options if typed else self._faults
        both = f"{needs.phantom} that need 48 V and {needs.no_phantom} that must not get it"
        faults.add(
            f"{both} are more than all {needs.mic} microphones",
            column=option(typed[0]) if typed else f"{prefix}inputs.phantom",
        )


def _apart(said: Said) -> Said:
    """The same, what is owned apart from what it is sold for.

    A number alone says nothing of the price, so that one said elsewhere stands.
    """
    held = {item: one for item, one in said.get("owned", {}).items() if one is not None}
    priced = {item: one.resale for item, one in held.items() if one.resale is not None}
    return {**said, "owned": {item: one.pieces for item, one in held.items()}, "resale": priced}
