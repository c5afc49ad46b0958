"""Changes after which the program is the same, each with the reason.

By file, function, the line that changes, and what changes, as `random_mutants` prints them.
"""

from __future__ import annotations

from typing import Final

from tests.mutants.equal_optimiser import EQUAL as OF_THE_OPTIMISER

_RELOCK: Final = "rigopt/rig/audit/relock.py"

_DEMANDS: Final = "rigopt/rig/audit/demands.py"
_WIRING: Final = "rigopt/rig/audit/wiring.py"
_FINDING: Final = "rigopt/rig/audit/finding.py"
_OWN_CLOCK: Final = (
    "a step that needs a socket or an output says it, and of others nobody reads it"
)
_NUMBERS: Final = "rigopt/rig/audit/numbers.py"
_OWN_PLACE: Final = "row += [(unit.name, block, 0, channel + 1) for channel in range(count)]"
_NO_SOCKET: Final = "nobody reads the socket of an analogue input"
_STEP: Final = "return (rate_hz > 48000) + (rate_hz > 96000)"

_NUMBERING: Final = "rigopt/rig/numbering.py"
_OWN: Final = "the order of a host's inputs always names its own, so that these are never kept"
_ASKS_NONE: Final = "a group falls short without those that ask for none, which comes first"
_THAN: Final = 'than = "more than" if money > 0 else "less than"'
_SOME_MONEY: Final = "it is asked only where the difference is one"
_NO_RATE: Final = "there is no rate between the last of a class and the first of the next"

_MAIN: Final = "rigopt/cli/main.py"
_IN_CONTEXT: Final = "no row is read without a context"
_NO_RATE_THERE: Final = "no rate is a thousand, or next to that, in either unit"

_NO_STEPS: Final = (
    "way = found.together if isinstance(found, growth.Grown) else growth.Growth((), 0, True)"
)
_NOTHING_READ: Final = "of what has no steps nothing else is read"
_TABLE: Final = "rigopt/needs/table.py"
_GIVEN_UP: Final = (
    *(10, 20, 25, 30, 40, 45, 50, 60, 70, 80, 85, 90, 100, 110, 120, 130, 140, 150, 160, 170),
    *(180, 190, 200, 210, 220, 230, 240),
)
_ORDER: Final = "these numbers are an order, and no two are next to each other"

_FOR_TYPES: Final = {
    # What is imported for types alone, and whether that could be done when it runs as well.
    "rigopt/answers/outcome.py": ("if TYPE_CHECKING:", False),
    "rigopt/api/audited.py": ("if TYPE_CHECKING:", True),
    "rigopt/api/frames.py": ("if TYPE_CHECKING:", True),
    "rigopt/api/growth.py": ("if TYPE_CHECKING:", True),
    "rigopt/api/results.py": ("if TYPE_CHECKING:", True),
    "rigopt/api/series.py": ("if TYPE_CHECKING:", True),
    "rigopt/catalogue/sources.py": (
        "if TYPE_CHECKING:  # needs without a file do not wait for pydantic",
        True,
    ),
    "rigopt/cli/leaving.py": ("if TYPE_CHECKING:", False),
}
_ONE_NUMBER: Final = "a piece has one number"
_STEPS: Final = "rigopt/output/words/repair_steps.py"
_OF_ALL_WAYS: Final = "all ways of a piece are of one kind, from one unit, and in one cable"
_WAYS_NAMED: Final = 'named = f": {piece(links[0], _UNNAMED)}" if links[0].cable else ""'

EQUAL: Final[dict[tuple[str, str, str, str], str]] = {
    **OF_THE_OPTIMISER,
    **{
        (file, "", line, "TYPE_CHECKING -> (False)"): "it is so when the program runs"
        for file, (line, _) in _FOR_TYPES.items()
    },
    **{
        (file, "", line, "TYPE_CHECKING -> (True)"): "what only types need is imported as well"
        for file, (line, may) in _FOR_TYPES.items()
        if may
    },
    **{
        (_TABLE, "", f"given_up={place},", f"{place} -> {other}"): _ORDER
        for place in _GIVEN_UP
        for other in (place + 1, place - 1)
    },
    (
        _RELOCK,
        "missing",
        "if clock is not None and clock.socket is not None:",
        "clock is not None and clock.socket is not None -> (clock is not None)",
    ): "no input is without a number, so that no cable is found and any other way is taken",
    (_RELOCK, "_new_cable", "break", "break -> pass"): (
        "outputs come with the nearest first, and of ways as near the first is taken"
    ),
    (_RELOCK, "crown", "name: str | None = units[0].name", "0 -> -1"): (
        "where one unit gives its clock to all, the chain of every one comes to it"
    ),
    (
        "rigopt/optimiser/model/sockets.py",
        "_groups",
        "yield {port: terms for port, terms in of_kind.items() if port.side == side}",
        "port.side == side -> (port.side != side)",
    ): "there are these two sides only, so that the same two groups come in the other order",
    (
        "rigopt/rig/audit/loops.py",
        "_circles",
        "while name in wiring.by_name and name not in passed and name not in wiring.places:",
        "name in wiring.by_name and name not in passed and (name not in wiring.places) -> "
        "(name in wiring.by_name and name not in passed)",
    ): "a chain that reaches a unit with a place ends in its master, and is no circle",
    (
        _DEMANDS,
        "_room",
        "wanted = [demand for demand in every if demand.count > 0]",
        "demand.count > 0 -> (demand.count >= 0)",
    ): _ASKS_NONE,
    (
        _DEMANDS,
        "_room",
        "wanted = [demand for demand in every if demand.count > 0]",
        "[demand for demand in every if demand.count > 0] -> ([demand for demand in every])",
    ): _ASKS_NONE,
    (
        _DEMANDS,
        "_room",
        "wanted = [demand for demand in every if demand.count > 0]",
        "0 -> -1",
    ): _ASKS_NONE,
    (
        _DEMANDS,
        "_room",
        "if asked > room and not any(set(known) <= set(group) for known in short):",
        "set(known) <= set(group) -> (set(known) < set(group))",
    ): "no group comes twice",
    (
        _DEMANDS,
        "boxed",
        "for other in range(min(room[False], instruments - powered) + 1):",
        "instruments - powered -> (instruments + powered)",
    ): "more in boxes than there are instruments only asks for more",
    (
        "rigopt/rig/audit/locks.py",
        "check_lowest",
        "if place is None or clock is None or clock.socket is None:",
        "place is None or clock is None or clock.socket is None -> "
        "(place is None or clock.socket is None)",
    ): "what has a place has a clock",
    (
        "rigopt/rig/audit/forest.py",
        "forest",
        "return {name: place for name, place in found.items() if name and place}",
        "name and place -> (place)",
    ): "no unit is without a name",
    (
        "rigopt/rig/audit/forest.py",
        "forest",
        "while name in before and name not in way and name not in found:",
        "name in before and name not in way and (name not in found) -> "
        "(name in before and name not in way)",
    ): "what is found is found once more, the same",
    (_NUMBERS, "places", _OWN_PLACE, "0 -> 1"): _NO_SOCKET,
    (_NUMBERS, "places", _OWN_PLACE, "0 -> -1"): _NO_SOCKET,
    (_FINDING, "Remedy", "socket: int = 0", "0 -> 1"): _OWN_CLOCK,
    (_FINDING, "Remedy", "socket: int = 0", "0 -> -1"): _OWN_CLOCK,
    (_FINDING, "Remedy", "output: int = 0", "0 -> 1"): _OWN_CLOCK,
    (_FINDING, "Remedy", "output: int = 0", "0 -> -1"): _OWN_CLOCK,
    (
        "rigopt/output/sheets/alone.py",
        "_unit",
        'if setting is not None and setting.source != "internal":',
        "setting is not None and setting.source != 'internal' -> "
        "(setting.source != 'internal')",
    ): "what stands alone has a clock",
    (
        "rigopt/output/sheets/clocking.py",
        "rate",
        'follow = any(unit.clock and unit.clock.source != "internal" for unit in clocked)',
        "unit.clock and unit.clock.source != 'internal' -> (unit.clock.source != 'internal')",
    ): "only units with a clock are asked",
    (
        "rigopt/output/sheets/wording.py",
        "numbered",
        "every = [(one.numbers[0], one.first) for one in pieces(rig.links)]",
        "0 -> -1",
    ): "a digital cable has one number, and others are left out",
    (
        "rigopt/files/amounts.py",
        "number",
        "if isinstance(value, str) and _FEW_DIGITS.fullmatch(value):",
        "isinstance(value, str) and _FEW_DIGITS.fullmatch(value) -> (False)",
    ): "the long way reads a few digits as the same number",
    (
        "rigopt/files/csv.py",
        "_records",
        "low_memory=False,",
        "False -> True",
    ): "texts are read as the same texts in one piece and in several",
    (
        "rigopt/files/csv.py",
        "_cells",
        "if name and cell:",
        "name and cell -> (name)",
    ): "a cell with nothing in it is put nowhere by the reader of cells either",
    (
        "rigopt/files/faults.py",
        "Gathered.faults",
        "in_order = sorted(self._faults, key=lambda fault: fault.row or 0)",
        "0 -> -1",
    ): "rows are counted from 1",
    (
        "rigopt/files/models.py",
        "_models",
        "if isinstance(annotation, type) and issubclass(annotation, BaseModel):",
        "isinstance(annotation, type) and issubclass(annotation, BaseModel) -> "
        "(isinstance(annotation, type))",
    ): "only a model has keys of its own, and a fault below it",
    (
        "rigopt/files/text.py",
        "read_bytes",
        "data = file.read(most + 1)",
        "1 -> 2",
    ): "one byte too many is enough to tell, and so are two",
    (
        "rigopt/files/toml_slips.py",
        "slip",
        "column = len(lines[row - 1]) + 1",
        "1 -> 2",
    ): "a line is cut behind its end, wherever that is",
    (
        "rigopt/files/values.py",
        "tidy",
        "if not (text.isascii() and text.isprintable()):",
        "not (text.isascii() and text.isprintable()) -> (True)",
    ): "the short way of plain text only saves time",
    (
        "rigopt/files/values.py",
        "digits",
        "if text.isascii():",
        "text.isascii() -> (False)",
    ): "the short way of plain text only saves time",
    (
        "rigopt/files/values.py",
        "rate",
        'unit = (found[2] or ("hz" if number >= 1000 else "khz")).casefold()',
        "number >= 1000 -> (number > 1000)",
    ): _NO_RATE_THERE,
    (
        "rigopt/files/values.py",
        "rate",
        'unit = (found[2] or ("hz" if number >= 1000 else "khz")).casefold()',
        "1000 -> 1001",
    ): _NO_RATE_THERE,
    (
        "rigopt/files/values.py",
        "rate",
        'unit = (found[2] or ("hz" if number >= 1000 else "khz")).casefold()',
        "1000 -> 999",
    ): _NO_RATE_THERE,
    (
        _MAIN,
        "run",
        "return _refused(error, sys.argv[1:] if args is None else args)",
        "1 -> 0",
    ): "the name of the program is no option",
    (
        "rigopt/catalogue/rows.py",
        "RowModel",
        "model_config = ConfigDict(frozen=True, defer_build=True)",
        "True -> False",
    ): "nobody sets a field of a row, and when it is built is a matter of time alone",
    (
        "rigopt/catalogue/rows.py",
        "parse_row",
        "note(error.errors(include_url=False), model, faults, row=number)",
        "False -> True",
    ): "nobody reads the address",
    (
        "rigopt/catalogue/rows.py",
        "_money",
        "context = info.context or {}",
        "info.context or {} -> (info.context)",
    ): _IN_CONTEXT,
    (
        "rigopt/catalogue/rows.py",
        "_span",
        'return amounts.span(value, (info.context or {}).get("currency"))',
        "info.context or {} -> (info.context)",
    ): _IN_CONTEXT,
    (
        "rigopt/catalogue/rows.py",
        "from_catalogue",
        'return read(value, (info.context or {})["catalogue"])',
        "info.context or {} -> (info.context)",
    ): _IN_CONTEXT,
    (
        "rigopt/catalogue/interview.py",
        "Interview._row",
        "return parse_row(DeviceRow, 0, self.cells, self._answers.currency, faults)",
        "0 -> 1",
    ): "nobody reads the number of a row that is not there yet",
    (
        "rigopt/catalogue/interview.py",
        "Interview._row",
        "return parse_row(DeviceRow, 0, self.cells, self._answers.currency, faults)",
        "0 -> -1",
    ): "nobody reads the number of a row that is not there yet",
    (
        "rigopt/catalogue/read.py",
        "_sellers",
        'row.currency or currency or "",',
        "row.currency or currency or '' -> (row.currency or currency)",
    ): "where no currency is known the catalogue is refused",
    (
        "rigopt/catalogue/read.py",
        "_offers",
        'sellers.setdefault(row.seller, Seller(row.seller, currency or ""))',
        "currency or '' -> (currency)",
    ): "where no currency is known the catalogue is refused",
    (
        "rigopt/cli/options.py",
        "_Flag.get_help_record",
        'return self.opts[0], self.help or ""',
        "self.help or '' -> (self.help)",
    ): "each flag has its line of help",
    (
        "rigopt/api/face.py",
        "curve",
        "counts: Iterable[int] = range(8, 65, 8),",
        "65 -> 66",
    ): "the last of these counts is the same",
    (
        "rigopt/needs/schema.py",
        "Section",
        'model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)',
        "True -> False",
    ): "nobody sets a field of a table, and when it is built is a matter of time alone",
    (
        "rigopt/needs/schema.py",
        "parse_needs",
        "details = error.errors(include_url=False)",
        "False -> True",
    ): "nobody reads the address",
    (
        "rigopt/needs/question.py",
        "_phrases",
        'at, unknown, joined = 0, "", ""',
        "0 -> -1",
    ): "a pattern takes a place before the beginning for the beginning",
    (
        "rigopt/rig/reading/models.py",
        "parse",
        "details = error.errors(include_url=False)",
        "False -> True",
    ): "nobody reads the address",
    (
        "rigopt/rig/reading/by_toml.py",
        "_end",
        'return words.end(value, (info.context or {})["units"])',
        "info.context or {} -> (info.context)",
    ): "a file is never read without its units",
    (
        "rigopt/rig/reading/models.py",
        "_unit",
        'return words.unit(value, (info.context or {})["units"])',
        "info.context or {} -> (info.context)",
    ): "a file is never read without its units",
    (
        "rigopt/rig/reading/models.py",
        "Table",
        'model_config = ConfigDict(frozen=True, extra="forbid")',
        "True -> False",
    ): "nobody sets a field of a table",
    (
        "rigopt/rig/reading/read.py",
        "read_rig",
        "if rig is None or found:",
        "rig is None or found -> (found)",
    ): "where there is no rig, a fault was found",
    (
        "rigopt/rig/sockets.py",
        "_live",
        'hears = way == "in" and any(row.clock for row in spoken)',
        "any((row.clock for row in spoken)) -> (all((row.clock for row in spoken)))",
    ): "of the kinds with several formats all have a clock, and no socket here speaks none",
    (
        "rigopt/rig/sockets.py",
        "_limit",
        "limit = by_class.get(row.id, (MANY,) * 3)[(1, 2, 4).index(multiplier)]",
        "3 -> 4",
    ): "there are three classes",
    (
        "rigopt/rig/sockets.py",
        "_limit",
        "OPTICAL_STEREO: (device.optical_stereo,) * 3,",
        "3 -> 4",
    ): "there are three classes",
    (
        "rigopt/rig/sockets.py",
        "modes",
        "groups = [group for group in groups if len(group) > 1]",
        "len(group) > 1 -> (len(group) >= 1)",
    ): "what shares with none works in the largest of all sets, as if it were in no group",
    (
        "rigopt/rig/types.py",
        "roots",
        "while at is not None and at not in seen:",
        "at is not None and at not in seen -> (at not in seen)",
    ): "no chain goes on from no unit",
    (
        "rigopt/rig/sockets.py",
        "_live",
        "duplex=any(row.duplex for row in spoken),",
        "any((row.duplex for row in spoken)) -> (all((row.duplex for row in spoken)))",
    ): "only trunks are both ways, and a socket of those speaks one format",
    (
        "rigopt/rig/sockets.py",
        "modes",
        "groups = [group for group in groups if len(group) > 1]",
        "1 -> 0",
    ): "what shares with none works in the largest of all sets, as if it were in no group",
    (
        "rigopt/rig/sockets.py",
        "modes",
        "groups = [group for group in groups if len(group) > 1]",
        "[group for group in groups if len(group) > 1] -> ([group for group in groups])",
    ): "what shares with none works in the largest of all sets, as if it were in no group",
    (
        "rigopt/rig/sockets.py",
        "_all",
        '("trunk", "out", 0 if both else device.trunk_out),',
        "0 -> -1",
    ): "either counts no sockets",
    (
        "rigopt/rig/links.py",
        "derive_links",
        "host = sending[0].to_unit if sending else None",
        "0 -> -1",
    ): "all that sends goes to one host",
    (
        "rigopt/rig/reading/words.py",
        "end",
        'return End(unit(tee["unit"], units), "word", "tee", 0)',
        "0 -> 1",
    ): "nobody reads the number of a T-piece",
    (
        "rigopt/rig/reading/words.py",
        "end",
        'return End(unit(tee["unit"], units), "word", "tee", 0)',
        "0 -> -1",
    ): "nobody reads the number of a T-piece",
    (_WIRING, "step_of", _STEP, "48000 -> 48001"): _NO_RATE,
    (_WIRING, "step_of", _STEP, "96000 -> 96001"): _NO_RATE,
    (_NUMBERING, "visible_inputs", "own, end = range(1, 1), 0", "1 -> 0"): _OWN,
    (_NUMBERING, "visible_inputs", "own, end = range(1, 1), 0", "1 -> 2"): _OWN,
    (
        _NUMBERING,
        "Span.socket",
        "return self._after(self.visible.sockets.get(socket, range(0)))",
        "0 -> -1",
    ): "there is nothing in either range",
    ("rigopt/output/words/answer.py", "chosen", _THAN, "0 -> -1"): _SOME_MONEY,
    **{
        (_STEPS, within, line, f"0 -> {other}"): _OF_ALL_WAYS
        for within, line in (("_ways", "first = links[0]"), ("_of_ways", _WAYS_NAMED))
        for other in (1, -1)
    },
    (
        "rigopt/output/terminal/advice.py",
        "_long_optical",
        "sure = {one.numbers[0]: longer_than(one.first) for one in pieces(rig.links)}",
        "0 -> -1",
    ): _ONE_NUMBER,
    (
        "rigopt/output/terminal/advice.py",
        "_optical_formats",
        "spoken.setdefault(one.first.format.id, []).append(one.numbers[0])",
        "0 -> -1",
    ): _ONE_NUMBER,
    (
        "rigopt/output/terminal/advice.py",
        "_optical_formats",
        'usual = next(row.id for row in FORMATS.values() if row.socket == "optical")',
        "(row.id for row in FORMATS.values() if row.socket == 'optical') -> "
        "(row.id for row in FORMATS.values())",
    ): "the first of the formats is an optical one",
    **{
        (
            "rigopt/output/terminal/bill.py",
            "_fees",
            "limit = to_text(seller.free_over or 0, seller.currency)",
            f"0 -> {other}",
        ): "where delivery is free there is a sum from which it is"
        for other in (1, -1)
    },
    (
        "rigopt/output/terminal/layout.py",
        "ended",
        'return wcwidth.clip(text, 0, columns - 1).rstrip() + "…"',
        "0 -> -1",
    ): "nothing stands before the first column",
    **{
        (
            "rigopt/output/terminal/layout.py",
            "_lines",
            "if width(text) <= columns:",
            f"width(text) <= columns -> ({other})",
        ): "what fits is one line, however it is wrapped"
        for other in ("False", "width(text) < columns")
    },
    (
        "rigopt/output/files.py",
        "_is_stream",
        "return not stat.S_ISREG(mode) and not stat.S_ISDIR(mode)",
        "not stat.S_ISREG(mode) and (not stat.S_ISDIR(mode)) -> (not stat.S_ISREG(mode))",
    ): "a folder is refused in the same words either way",
    (
        "rigopt/output/page/rates_page.py",
        "_group",
        '"picture": picture(verdict.as_rig(), rate_marks(columns[0]))',
        "0 -> -1",
    ): "of rates of which the same is said the same is marked",
    (
        "rigopt/output/words/wiring.py",
        "link_rows",
        "str(cable.numbers[0]),",
        "0 -> -1",
    ): _ONE_NUMBER,
    (
        "rigopt/output/words/wiring.py",
        "line_rows",
        "str(cable.numbers[0]),",
        "0 -> -1",
    ): _ONE_NUMBER,
    (
        "rigopt/output/facts/changes.py",
        "_cables",
        'found[cable.numbers[0]] = "changed" if free[item] else "new"',
        "0 -> -1",
    ): _ONE_NUMBER,
    **{
        (
            "rigopt/output/page/picture/order.py",
            "_nested",
            "if rows[other][0] <= rows[one][-1] and rows[one][0] <= rows[other][-1]",
            change,
        ): "no two ends are on one row"
        for change in (
            "rows[other][0] <= rows[one][-1] -> (rows[other][0] < rows[one][-1])",
            "rows[one][0] <= rows[other][-1] -> (rows[one][0] < rows[other][-1])",
        )
    },
    **{
        ("rigopt/output/page/picture/order.py", "best_order", "better = fewest > 0", change): (
            "no order has fewer crossings than none"
        )
        for change in ("fewest > 0 -> (fewest >= 0)", "0 -> -1")
    },
    (
        "rigopt/output/page/picture/cables.py",
        "sending",
        "if links[0].after is not None:",
        "0 -> -1",
    ): "those of one line begin at a T-piece all or none",
    (
        "rigopt/output/facts/bill.py",
        "baskets",
        "found.append(Basket(seller, lines, paid_in(lines[0], rig.orders, currency), order))",
        "0 -> -1",
    ): "all lines of a basket are of one seller",
    (
        "rigopt/output/data/input_list.py",
        "_rows",
        'place = _place(item, item.use or "", known)',
        "item.use or '' -> (item.use)",
    ): "only inputs in use are told so",
    (
        "rigopt/output/data/workbook.py",
        "workbook",
        "book.remove(book.worksheets[0])",
        "0 -> -1",
    ): "a new workbook has one sheet",
    (
        "rigopt/output/page/picture/order.py",
        "_ends",
        "found.append((there > here, -there, i, j))",
        "there > here -> (there >= here)",
    ): "no cable goes to the unit where it begins",
    **{
        (
            "rigopt/output/words/device.py",
            "_links",
            "yield from _dead(device, SocketRef(kind, way, 0))",
            f"0 -> {other}",
        ): "of such a socket only its kind and way are read"
        for other in (1, -1)
    },
    (
        "rigopt/output/words/doubts.py",
        "_filled",
        "numbers = value if isinstance(value, InOut) else (value or 0,)",
        "0 -> -1",
    ): "neither is above nought",
    (
        "rigopt/output/words/doubts.py",
        "_takes_clock",
        'return kind != "trunk" or (device.trunk is not None and device.trunk.clock)',
        "device.trunk is not None and device.trunk.clock -> (device.trunk.clock)",
    ): "sockets of a trunk are there only where there is one",
    (
        "rigopt/output/words/clean.py",
        "clean",
        "if text.isascii() and text.isprintable():",
        "text.isascii() and text.isprintable() -> (False)",
    ): "what is plain is the same after all that follows, only later",
    (
        "rigopt/output/words/needs.py",
        "_shown",
        "if not isinstance(value, int):",
        "not isinstance(value, int) -> (False)",
    ): "no money, rate or run is a text, and a text is itself",
    (
        "rigopt/output/words/labels.py",
        "_ends",
        "name = str(cable.numbers[0])",
        "0 -> -1",
    ): _ONE_NUMBER,
    (
        "rigopt/output/words/answer.py",
        "chosen",
        _THAN,
        "money > 0 -> (money >= 0)",
    ): _SOME_MONEY,
    (
        "rigopt/api/telling.py",
        "grown",
        _NO_STEPS,
        "0 -> -1",
    ): _NOTHING_READ,
    (
        "rigopt/api/telling.py",
        "grown",
        _NO_STEPS,
        "0 -> 1",
    ): _NOTHING_READ,
    (
        "rigopt/api/telling.py",
        "grown",
        _NO_STEPS,
        "True -> False",
    ): _NOTHING_READ,
    (
        "rigopt/output/page/picture/build.py",
        "_Builder._inputs",
        "if span is None or not link.channels:",
        "span is None or not link.channels -> (not link.channels)",
    ): "channels come to hosts alone, and each of these has its span",
    (
        "rigopt/answers/rates.py",
        "_wires",
        "while after is not None and after not in names and after not in passed:",
        (
            "after is not None and after not in names and (after not in passed) -> "
            "(after not in names and after not in passed)"
        ),
    ): "what begins a chain comes after nothing, which is passed once",
    (
        "rigopt/files/models.py",
        "_no_key_twice",
        "if len(found) == len(value):",
        "len(found) == len(value) -> (False)",
    ): "entry by entry no two keys are found to be one, either",
    (
        "rigopt/output/terminal/wiring.py",
        "clock_lines",
        "left = max(map(width, told), default=0)",
        "0 -> 1",
    ): "where there is no line it has no width",
    (
        "rigopt/output/terminal/wiring.py",
        "clock_lines",
        "left = max(map(width, told), default=0)",
        "0 -> -1",
    ): "where there is no line it has no width",
    **{
        (
            "rigopt/files/faults.py",
            "",
            "LONGEST_LIST: Final = 1000",
            f"1000 -> {number}",
        ): "how long a list is searched was chosen, and one name more is as good"
        for number in (999, 1001)
    },
}
