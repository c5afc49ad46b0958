"""Changes of the optimiser after which the program is the same, each with the reason.

Some leave more to the solver or to a second look: what is pooled is wired apart afterwards,
and a bound that is lower, or a type more to look at, costs time and no money.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

_Key = tuple[str, str, str, str]


def _same(
    why: str, file: str, within: str, line: str, *whats: str
) -> Iterator[tuple[_Key, str]]:
    """Changes of one line that have one reason."""
    for what in whats:
        yield (f"rigopt/optimiser/{file}", within, line, what), why


_AT_FIRST: Final = "how much is looked at first is a matter of time: no better rig is left out"
_CONNECTORS: Final = (
    "`taps` says of units by name that a connector has one piece, and all end as units by name"
)

_ONE_VALUE: Final = "any value will do that is the same for all rows"

_ALL: Final = (
    _same(
        "which count is asked next is a matter of time: it ends where two are neighbours",
        "questions/growth/most.py",
        "_Reach._ask",
        "self.high, self.room = mic, 0",
        "0 -> -1",
    ),
    _same(
        "seats are looked up by the names of sources, and an input without one has none",
        "questions/repair/seats.py",
        "reseat",
        "seats = {",
        (
            "{item.source: StatedInput(None, item.unit, item.channel, item.use, item.source, "
            "through=through(item)) for item in seating.inputs if item.source is not None} -> "
            "({item.source: StatedInput(None, item.unit, item.channel, item.use, item.source, "
            "through=through(item)) for item in seating.inputs})"
        ),
    ),
    _same(
        "where no unit has so many links, each host has a socket for the one it locks to",
        "model/pooled_trees.py",
        "_left_over",
        "for links in range(2, max(each for _, _, each in units) + 1):",
        "1 -> 2",
    ),
    _same(
        "none are no more than the others",
        "model/pooled_trees.py",
        "_locked",
        "if free:",
        "free -> (True)",
    ),
    _same(
        "where all that look alike are others, as many as lock may be those",
        "model/pooled_trees.py",
        "_taken",
        "if not those or not locked:",
        "not those or not locked -> (not locked)",
    ),
    _same(
        "what is asked past the deadline is not found, and what is known is kept",
        "questions/repair/model.py",
        "solve",
        "if deadline.over:",
        "deadline.over -> (False)",
    ),
    _same(
        "sockets of two kinds have no link in common: together they say the same, and longer",
        "model/sockets.py",
        "_groups",
        "of_kind = {port: terms for port, terms in there.items() if port.kind == kind}",
        (
            "{port: terms for port, terms in there.items() if port.kind == kind} -> "
            "({port: terms for port, terms in there.items()})"
        ),
    ),
    _same(
        "whether there are any is the same of twice as many",
        "questions/repair/audio.py",
        "_one_host",
        "used[deal.way].append((deal.var, 1))",
        "1 -> 2",
    ),
    _same(
        "a share of the time, as good as another near it",
        "questions/repair/model.py",
        "solve",
        "result, proven = optimise(repair.model, order, deadline.share(2), known)",
        "2 -> 1",
        "2 -> 3",
    ),
    _same(
        "to let a piece go for nothing gains nothing, and without a price none is told as sold",
        "questions/growth/selling.py",
        "hold",
        "model.add(kept >= (total(before) if before else pieces))",
        "model.add(kept >= (total(before) if before else pieces)) -> pass",
    ),
    _same(
        "what the search begins with is a matter of time",
        "questions/repair/model.py",
        "_hint",
        "repair.model.add_hint(var, line in there)",
        "line in there -> (line not in there)",
    ),
    _same(
        "which count is asked next is a matter of time: it ends where two are neighbours",
        "questions/growth/most.py",
        "_Reach._ask",
        "self.room = microphones.used + microphones.spare",
        "microphones.used + microphones.spare -> (microphones.used - microphones.spare)",
    ),
    _same(
        _CONNECTORS,
        "model/leads.py",
        "_connectors",
        'if column.inlets and column.device.line_plug == "dsub":',
        "column.inlets and column.device.line_plug == 'dsub' -> (False)",
    ),
    _same(
        "what a socket speaks is all for audio or all for the clock",
        "problem/bounds.py",
        "_sockets",
        "(socket.ref.way == way or socket.duplex) and any(map(host.carries, socket.formats))",
        ("any(map(host.carries, socket.formats)) -> (all(map(host.carries, socket.formats)))"),
    ),
    _same(
        "where both ends of a price are the same, either way it counts as what it is",
        "model/regret.py",
        "_ranges",
        "if way.ranges and terms:",
        "way.ranges and terms -> (terms)",
    ),
    _same(
        "what this rig cannot buy a rival has more of, at its least price either way",
        "model/regret.py",
        "_ranges",
        "if way.ranges and terms:",
        "way.ranges and terms -> (way.ranges)",
    ),
    *(
        _same(
            "the time is looked at before and after too: its end is noticed a little later",
            file,
            within,
            "beat()",
            "beat() -> pass",
        )
        for file, within in (("problem/outlines.py", "told"), ("model/model.py", "build"))
    ),
    *(
        _same(
            "nobody asks for the price of what stands for a piece until it is known which",
            "decode/wires.py",
            "",
            f'{name}: Final = Cable("", "", {kind}, 0)',
            "0 -> 1",
            "0 -> -1",
        )
        for name, kind in (("A_TEE", "TEE"), ("A_TERMINATOR", "TERMINATOR"))
    ),
    _same(
        "where no bank was on, so many have changed as are on, which is the next wish",
        "decode/listing.py",
        "_settle_wishes",
        (
            "changed = [(var, -1 if bank in given else 1) for bank, var in made.on.items() "
            "if given]"
        ),
        (
            "[(var, -1 if bank in given else 1) for bank, var in made.on.items() if given] "
            "-> ([(var, -1 if bank in given else 1) for bank, var in made.on.items()])"
        ),
    ),
    _same(
        "nobody follows another there: the model is larger, and no more",
        "model/chains.py",
        "add",
        "long = rig.problem.needs.word_inputs > 1 and bool(rig.problem.cables_of(TEE))",
        (
            "rig.problem.needs.word_inputs > 1 and bool(rig.problem.cables_of(TEE)) "
            "-> (rig.problem.needs.word_inputs > 1 or "
            "bool(rig.problem.cables_of(TEE)))"
        ),
        (
            "rig.problem.needs.word_inputs > 1 and bool(rig.problem.cables_of(TEE)) "
            "-> (bool(rig.problem.cables_of(TEE)))"
        ),
        (
            "rig.problem.needs.word_inputs > 1 and bool(rig.problem.cables_of(TEE)) "
            "-> (rig.problem.needs.word_inputs > 1)"
        ),
        "rig.problem.needs.word_inputs > 1 -> (rig.problem.needs.word_inputs >= 1)",
        "1 -> 0",
    ),
    _same(
        "who has no word output left is no place where a chain may begin",
        "model/chains.py",
        "add",
        "senders = [",
        (
            "[end for end, offers in there.items() if any((WORD in offer.formats for "
            "offer in offers))] -> ([end for end, offers in there.items()])"
        ),
    ),
    _same(
        "nobody follows another there: the model is larger, and no more",
        "model/chains.py",
        "add",
        "if long:",
        "long -> (True)",
    ),
    _same(
        "where nobody follows, each that listens is the last of a chain",
        "model/chains.py",
        "add",
        "for host in sorted({host for host, _ in listeners}) if long else ():",
        (
            "sorted({host for host, _ in listeners}) if long else () -> "
            "(sorted({host for host, _ in listeners}))"
        ),
    ),
    _same(
        "hosts that are pooled are wired apart afterwards, each tree with a master",
        "model/trees.py",
        "_masters",
        "model.add(masters >= 1)",
        "model.add(masters >= 1) -> pass",
    ),
    _same(
        "in the one tree of all hosts there is room for any number",
        "model/trees.py",
        "_joined",
        "if tree == FREE or several:",
        "tree == FREE or several -> (True)",
    ),
    _same(
        "without any, all such links are none",
        "model/clock.py",
        "_routes",
        "if not taking:",
        "not taking -> (False)",
    ),
    _same(
        "without any, all such links are none",
        "model/clock.py",
        "_shared_by_hosts",
        "if not locked:",
        "not locked -> (False)",
    ),
    _same(
        "it is equal to a sum that is never less than nothing",
        "solver/linear.py",
        "variable_for",
        "var = model.new_int_var(0, upper, name)",
        "0 -> -1",
    ),
    _same(
        "of units by name none has more than it has, and all end as units by name",
        "model/channels.py",
        "_move",
        "model.add(var <= total([(unit, number * factor) for unit, factor in pool.units]))",
        (
            "model.add(var <= total([(unit, number * factor) for unit, factor in "
            "pool.units])) -> pass"
        ),
    ),
    _same(
        (
            "`taps` says of units by name that a connector has one piece, and all "
            "end as units by name"
        ),
        "model/leads.py",
        "add",
        "_connectors(model, rig)",
        "_connectors(model, rig) -> pass",
    ),
    _same(
        (
            "`taps` says of units by name that a connector has one piece, and all "
            "end as units by name"
        ),
        "model/leads.py",
        "_connectors",
        'if one is not None and one.plug == "dsub":',
        "one is not None and one.plug == 'dsub' -> (False)",
    ),
    _same(
        (
            "`taps` says of units by name that a connector has one piece, and all "
            "end as units by name"
        ),
        "model/leads.py",
        "_connectors",
        'sending[one].append((count, len(connectors(column.device, "mic"))))',
        "sending[one].append((count, len(connectors(column.device, 'mic')))) -> pass",
    ),
    _same(
        (
            "`taps` says of units by name that a connector has one piece, and all "
            "end as units by name"
        ),
        "model/leads.py",
        "_connectors",
        "model.add(total(pieces) <= total(sockets))",
        "model.add(total(pieces) <= total(sockets)) -> pass",
    ),
    _same(
        (
            "`taps` says of units by name that a connector has one piece, and all "
            "end as units by name"
        ),
        "model/leads.py",
        "_connectors",
        "pieces = [(var, 1) for lead, var in rig.leads.items() if lead.tap == one]",
        "1 -> 0",
    ),
    _same(
        "a bound that is one order lower",
        "model/model.py",
        "reweighed",
        "return found + min(objective, max(0, theirs.pack - 1))",
        "1 -> 2",
    ),
    _same(
        "what stands nowhere is bought to fill an order alone, which is allowed for besides",
        "model/money.py",
        "create",
        "item(model, rig, name, problem.max_units if units else 0)",
        "0 -> 1",
    ),
    _same(
        "of none there are no more than there are",
        "model/money.py",
        "add",
        "if used and rig.packs.get(name) != (used,):",
        "used and rig.packs.get(name) != (used,) -> (rig.packs.get(name) != (used,))",
    ),
    _same(
        "an order of nothing costs nothing",
        "model/orders.py",
        "create",
        "if packs and supply.seller is not None:",
        "packs and supply.seller is not None -> (supply.seller is not None)",
    ),
    _same(
        "only orders at named sellers are made of these lines",
        "model/orders.py",
        "create",
        "if packs and supply.seller is not None:",
        "packs and supply.seller is not None -> (packs)",
    ),
    _same(
        "units that are not there are looked at as well, and are not there",
        "model/taps.py",
        "_most",
        "most = min(problem.max_units, reach(numbers))",
        "min(problem.max_units, reach(numbers)) -> (max(problem.max_units, reach(numbers)))",
    ),
    _same(
        "units that are not there are looked at as well, and are not there",
        "model/taps.py",
        "_most",
        "return most if problem.most is None else min(most, problem.most.get(one.id, 0))",
        "most if problem.most is None else min(most, problem.most.get(one.id, 0)) -> (most)",
        "min(most, problem.most.get(one.id, 0)) -> (max(most, problem.most.get(one.id, 0)))",
    ),
    _same(
        "what can be had limits what is there, in `money`",
        "model/variables.py",
        "upper_of",
        "if problem.unlimited(column.device.id):",
        "problem.unlimited(column.device.id) -> (True)",
    ),
    _same(
        "the channels say that too",
        "problem/dominance.py",
        "_Judge.serves",
        "len(better.arriving) >= len(column.arriving)",
        (
            "len(better.arriving) >= len(column.arriving) and (not self.problem.feeds "
            "or better.line_outs >= column.line_outs) and beside(better, column) and "
            "self._analogue(better, column) and _clock(better, column) and "
            "self._as_host(better, column) and self._channels(better, column) and "
            "(self._less(better, column) or better.microphones >= column.microphones) "
            "-> ((not self.problem.feeds or better.line_outs >= column.line_outs) and "
            "beside(better, column) and self._analogue(better, column) and "
            "_clock(better, column) and self._as_host(better, column) and "
            "self._channels(better, column) and (self._less(better, column) or "
            "better.microphones >= column.microphones))"
        ),
    ),
    _same(
        "the same columns are listed once more",
        "search/fixing.py",
        "Narrow._posed",
        "if whole is None or upper > whole.upper:",
        "upper > whole.upper -> (upper >= whole.upper)",
    ),
    _same(
        "what a row comes to at least is never less than one",
        "model/capacity.py",
        "rounded",
        "found[row] = max(-(-least // same), found.get(row, 0))",
        "0 -> 1",
    ),
    _same(
        "what a row comes to at least is never less than one",
        "model/capacity.py",
        "rounded",
        "found[row] = max(-(-least // same), found.get(row, 0))",
        "0 -> -1",
    ),
    _same(
        (
            "seats are dealt out in full afterwards, and what has no room for pairs "
            "is passed over"
        ),
        "model/pairs.py",
        "_room",
        "return sum(len(list(run)) // 2 for _, run in runs)",
        "len(list(run)) // 2 -> (len(list(run)) * 2)",
    ),
    _same(
        "hosts that are pooled are wired apart afterwards",
        "model/sockets.py",
        "_together",
        "for size in range(2, max((number for _, number in links), default=0) + 1):",
        "1 -> 0",
    ),
    _same(
        "what goes into no connector is taken by none, and so is nothing",
        "model/taps.py",
        "_bunches",
        'ends = [Stub(None, None, ())] if inlet.plug != "dsub" else []',
        "[Stub(None, None, ())] if inlet.plug != 'dsub' else [] -> ([Stub(None, None, ())])",
    ),
    _same(
        "of what there is none nothing is made",
        "model/variables.py",
        "RigVars.read",
        "packs={item: numbers for item, numbers in packs.items() if any(numbers)},",
        (
            "{item: numbers for item, numbers in packs.items() if any(numbers)} -> "
            "({item: numbers for item, numbers in packs.items()})"
        ),
    ),
    _same(
        "of what there is none nothing is made",
        "model/variables.py",
        "RigVars.read",
        "tuple((p, value(p.number)) for p in self.pieces if value(p.number)),",
        (
            "((p, value(p.number)) for p in self.pieces if value(p.number)) -> ((p, "
            "value(p.number)) for p in self.pieces)"
        ),
    ),
    _same(
        "of what there is none nothing is made",
        "model/variables.py",
        "_positive",
        "return {key: value(var) for key, var in counts.items() if value(var)}",
        (
            "{key: value(var) for key, var in counts.items() if value(var)} -> "
            "({key: value(var) for key, var in counts.items()})"
        ),
    ),
    _same(
        "no side of a row is between the two",
        "solver/relaxation.py",
        "",
        "INFINITE = 10**15",
        "10 -> 11",
        "10 -> 9",
        "15 -> 16",
        "15 -> 14",
    ),
    _same(
        "no side of a row is between the two",
        "solver/relaxation.py",
        "_rows",
        "row.lower if row.lower > -INFINITE else None,",
        "row.lower if row.lower > -INFINITE else None -> (row.lower)",
        "row.lower > -INFINITE -> (row.lower >= -INFINITE)",
    ),
    _same(
        "no side of a row is between the two",
        "solver/relaxation.py",
        "_rows",
        "row.upper if row.upper < INFINITE else None,",
        "row.upper if row.upper < INFINITE else None -> (row.upper)",
        "row.upper < INFINITE -> (row.upper <= INFINITE)",
    ),
    _same(
        "the time is looked at once more at the end",
        "solver/relaxation.py",
        "_rows",
        "deadline.check()",
        "deadline.check() -> pass",
    ),
    _same(
        "a row of nothing says nothing",
        "solver/relaxation.py",
        "_rows",
        "if row is None or not row.terms or row.when:",
        "row is None or not row.terms or row.when -> (row is None or row.when)",
    ),
    _same(
        "what is nothing has no sign, and adds nothing",
        "solver/relaxation.py",
        "Linear._duals",
        "if (value > 0 and row.lower is None) or (value < 0 and row.upper is None)",
        "value > 0 -> (value >= 0)",
        "value < 0 -> (value <= 0)",
    ),
    _same(
        "of what is held none adds nothing",
        "solver/relaxation.py",
        "Relaxation.hold",
        "domain.extend((low, low + steps) if each > 0 else (high - steps, high))",
        "each > 0 -> (each >= 0)",
        "0 -> -1",
    ),
    _same(
        "what is nothing has no sign, and adds nothing",
        "solver/relaxation.py",
        "_priced",
        "if dual:",
        "dual -> (True)",
    ),
    _same(
        "what is nothing has no sign, and adds nothing",
        "solver/relaxation.py",
        "_priced",
        "bound += dual * ((row.lower if dual > 0 else row.upper) or 0)",
        (
            "(row.lower if dual > 0 else row.upper) or 0 -> ((row.lower if dual > 0 "
            "else row.upper))"
        ),
        "dual > 0 -> (dual >= 0)",
        "0 -> -1",
    ),
    _same(
        "what is nothing has no sign, and adds nothing",
        "solver/relaxation.py",
        "_priced",
        "bound += costs[index] * (low if costs[index] > 0 else high)",
        "costs[index] > 0 -> (costs[index] >= 0)",
        "0 -> -1",
    ),
    _same(
        "columns that are alike differ by their slot alone",
        "problem/dominance.py",
        "undominated",
        ("for same in sorted(alike.values(), key=lambda c: rank(judge.problem, c[0].device)):"),
        "0 -> -1",
    ),
    _same(
        "columns that are alike differ by their slot alone",
        "problem/dominance.py",
        "undominated",
        "column = same[0]",
        "0 -> -1",
    ),
    _same(
        "what a column of its own type serves is left out before, and names are kept once",
        "problem/dominance.py",
        "_Judge.droppable",
        "if better.device.id not in seen and self.replaces(better, column):",
        (
            "better.device.id not in seen and self.replaces(better, column) -> "
            "(self.replaces(better, column))"
        ),
    ),
    _same(
        "both are hosts, or neither is",
        "problem/dominance.py",
        "_Judge._as_host",
        "if not (isinstance(better, HostColumn) and isinstance(column, HostColumn)):",
        (
            "isinstance(better, HostColumn) and isinstance(column, HostColumn) -> "
            "(isinstance(better, HostColumn) or isinstance(column, HostColumn))"
        ),
        (
            "isinstance(better, HostColumn) and isinstance(column, HostColumn) -> "
            "(isinstance(column, HostColumn))"
        ),
        (
            "isinstance(better, HostColumn) and isinstance(column, HostColumn) -> "
            "(isinstance(better, HostColumn))"
        ),
    ),
    _same(
        "columns of one wiring have a clock both, or neither has",
        "problem/dominance.py",
        "_clock",
        "if one is None or other is None:",
        "one is None or other is None -> (one is None and other is None)",
        "one is None or other is None -> (other is None)",
        "one is None or other is None -> (one is None)",
    ),
    _same(
        "any number does that is no tree of a host",
        "problem/signatures.py",
        "",
        "FREE: Final = -1",
        "1 -> 2",
    ),
    _same(
        "a link that carries nothing feeds nothing, and is left out for that",
        "problem/wirings.py",
        "_returns",
        "rows = [row for row in satellite.formats if satellite.carries(row)]",
        (
            "[row for row in satellite.formats if satellite.carries(row)] -> ([row "
            "for row in satellite.formats])"
        ),
    ),
    _same(
        "a wiring that sends has a format",
        "problem/wirings.py",
        "_each_feeds",
        "if row is None or not row.duplex:",
        "row is None or not row.duplex -> (not row.duplex)",
    ),
    _same(
        "a wiring that sends has a format",
        "problem/wirings.py",
        "_may_be_mute",
        "row is not None",
        (
            "row is not None and row.duplex and (wiring.links == wiring.audio) and "
            "(row.socket not in satellite.device.rate_converter) and any((row.socket "
            "in host.device.rate_converter for host in problem.hosts)) and "
            "(fed(wiring.feeding, satellite) > 0) and problem.feeds -> (row.duplex "
            "and wiring.links == wiring.audio and (row.socket not in "
            "satellite.device.rate_converter) and any((row.socket in "
            "host.device.rate_converter for host in problem.hosts)) and "
            "(fed(wiring.feeding, satellite) > 0) and problem.feeds)"
        ),
    ),
    _same(
        "less than none takes no link",
        "problem/wirings.py",
        "_sendings",
        "outputs = satellite.device.line_out if problem.feeds else 0",
        "0 -> -1",
    ),
    _same(
        "who has too few sockets is left out later",
        "problem/wirings.py",
        "_sendings",
        'sockets = sum(row in s.formats and (s.ref.way == "out" or s.duplex) for s in mode)',
        (
            "row in s.formats and (s.ref.way == 'out' or s.duplex) -> (row in "
            "s.formats or (s.ref.way == 'out' or s.duplex))"
        ),
        (
            "row in s.formats and (s.ref.way == 'out' or s.duplex) -> ((s.ref.way == "
            "'out' or s.duplex))"
        ),
        "row in s.formats and (s.ref.way == 'out' or s.duplex) -> (row in s.formats)",
    ),
    _same(
        "who has too few sockets is left out later",
        "problem/wirings.py",
        "_returns",
        "for numbers in product(*(range(number + 1) for number in sockets)):",
        "1 -> 2",
    ),
    _same(
        "an analogue cable has two ends",
        "problem/problem.py",
        "Problem.plugs",
        "return frozenset(cable.ends for cable in self.cables_of(ANALOGUE) if cable.ends)",
        (
            "(cable.ends for cable in self.cables_of(ANALOGUE) if cable.ends) -> "
            "(cable.ends for cable in self.cables_of(ANALOGUE))"
        ),
    ),
    _same(
        "without hosts none is left",
        "problem/reach.py",
        "reaching",
        "best = others * max(map(brings, hosts), default=0)",
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        "a type that is bought is there",
        "problem/chosen.py",
        "chosen",
        "there = [box for box in small.devices if box.id in units]",
        (
            "[box for box in small.devices if box.id in units] -> ([box for box in "
            "small.devices])"
        ),
    ),
    _same(
        "no socket locks to a format without a clock",
        "problem/at_rate.py",
        "_clocks",
        "return frozenset(row.id for s in sockets for row in s.formats if row.clock)",
        (
            "(row.id for s in sockets for row in s.formats if row.clock) -> (row.id "
            "for s in sockets for row in s.formats)"
        ),
    ),
    _same(
        "the long way comes to the same",
        "problem/bargains.py",
        "cost",
        "if len(ways) == 1 and ways[0].seller is None and ways[0].pack == 1:",
        "len(ways) == 1 and ways[0].seller is None and (ways[0].pack == 1) -> (False)",
        "1 -> 0",
        "0 -> -1",
    ),
    _same(
        "the long way comes to the same",
        "problem/bargains.py",
        "cost",
        "return ways[0].price",
        "0 -> -1",
    ),
    _same(
        "none has fewer than no channels",
        "problem/ports.py",
        "Port.covers",
        "and all(mine.get(row, -1) >= number for row, number in other.arrives)",
        "1 -> 2",
    ),
    *(
        _same(
            "the time is looked at before and after too: its end is noticed a little later",
            f"model/{file}",
            within,
            "rig.beat()",
            "rig.beat() -> pass",
        )
        for file, places in (
            (
                "clock.py",
                (
                    "add",
                    "_states",
                ),
            ),
            ("leads.py", ("add",)),
            ("sockets.py", ("add",)),
            ("money.py", ("item",)),
            ("trees.py", ("_joined",)),
            (
                "channels.py",
                (
                    "add",
                    "_pools",
                ),
            ),
            (
                "taps.py",
                (
                    "_channels",
                    "_bunches",
                    "_ends",
                    "_pieces",
                    "_places",
                ),
            ),
            ("orders.py", ("create",)),
        )
        for within in places
    ),
    _same(
        "a number that is taken once, or taken away, is the same divided by that one",
        "model/channels.py",
        "_move",
        "model.add(var <= total([(unit, number * factor) for unit, factor in pool.units]))",
        "number * factor -> (number // factor)",
    ),
    _same(
        "an inequality that is the sum of others says nothing new",
        "model/transport.py",
        "_in_one_piece",
        "while near := [places for places in sets if piece & places]:",
        "piece & places -> (piece | places)",
    ),
    _same(
        "a host brings nothing to another, and is in its own tree",
        "model/trees.py",
        "_joined",
        "if signature.host or signature.slot != slot:",
        "signature.host or signature.slot != slot -> (signature.slot != slot)",
    ),
    _same(
        "hosts that are pooled are wired apart afterwards",
        "model/sockets.py",
        "_together",
        "for size in range(2, max((number for _, number in links), default=0) + 1):",
        "0 -> -1",
    ),
    _same(
        "hosts that are pooled are wired apart afterwards",
        "model/sockets.py",
        "_together",
        "(n, 1) for counts, number in links if number >= size for n in counts",
        "1 -> 0",
    ),
    _same(
        _CONNECTORS,
        "model/leads.py",
        "_connectors",
        "if taking:",
        "taking -> (False)",
    ),
    _same(
        "a host is at one hop, and who has no such output hands on nothing",
        "model/clock.py",
        "_routes",
        "if not itself and any(name in offer.formats for offer in offers):",
        "not itself and any((name in offer.formats for offer in offers)) -> (True)",
        (
            "not itself and any((name in offer.formats for offer in offers)) -> (not itself "
            "or any((name in offer.formats for offer in offers)))"
        ),
        (
            "not itself and any((name in offer.formats for offer in offers)) -> (any((name "
            "in offer.formats for offer in offers)))"
        ),
        "not itself and any((name in offer.formats for offer in offers)) -> (not itself)",
    ),
    _same(
        "where all hosts are in one tree, what is joined to one is in it",
        "model/trees.py",
        "_joined",
        "for tree, units in bound.items() if several else ():",
        "bound.items() if several else () -> (bound.items())",
    ),
    _same(
        "of no instruments none is in a box",
        "model/di.py",
        "add",
        'if column.device.role == "di" and instruments:',
        "column.device.role == 'di' and instruments -> (column.device.role == 'di')",
    ),
    _same(
        "of cables that do not suit, `cables` lays none",
        "model/leads.py",
        "_pieces",
        "cables = [c for c in rig.problem.cables_of(ANALOGUE) if c.ends == (one.plug, plug)]",
        (
            "[c for c in rig.problem.cables_of(ANALOGUE) if c.ends == (one.plug, plug)] -> "
            "([c for c in rig.problem.cables_of(ANALOGUE)])"
        ),
    ),
    _same(
        "lines that no cable suits are none",
        "model/leads.py",
        "add",
        "if (one.plug, other.plug) in rig.problem.plugs:",
        "(one.plug, other.plug) in rig.problem.plugs -> (True)",
    ),
    _same(
        "what counts nothing adds nothing",
        "model/orders.py",
        "_cost",
        "return [(var, factor * up) for var, factor in sums if factor]",
        (
            "[(var, factor * up) for var, factor in sums if factor] -> ([(var, factor * up) "
            "for var, factor in sums])"
        ),
    ),
    _same(
        "a piece of no length is longer than less than none",
        "model/cables.py",
        "add",
        "_pieces(model, rig, rig.problem.cables_of(kind), {Run(0, None): terms})",
        "0 -> -1",
    ),
    _same(
        "where nobody listens, amplifiers are fed for nobody",
        "model/outputs.py",
        "add",
        "if needs.out_phones:",
        "needs.out_phones -> (True)",
    ),
    _same(
        "without any, all such links are none",
        "model/clock.py",
        "_shared_by_hosts",
        "continue",
        "continue -> pass",
    ),
    _same(
        "by the names of units, as which all end, no lines are fewer than none",
        "model/leads.py",
        "add",
        "rig.lines[one, other] = model.new_int_var(0, rig.problem.most_lines, name)",
        "0 -> -1",
    ),
    _same(
        "units that are not there are looked at as well, and are not there",
        "model/taps.py",
        "_most",
        "return most if problem.most is None else min(most, problem.most.get(one.id, 0))",
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        "the linear solver is loaded early, which takes time",
        "search/posed.py",
        "",
        "if TYPE_CHECKING:",
        "TYPE_CHECKING -> (True)",
    ),
    _same(
        "the linear solver is loaded early, which takes time",
        "search/widening.py",
        "",
        "if TYPE_CHECKING:  # a small problem does not wait for the linear solver",
        "TYPE_CHECKING -> (True)",
    ),
    _same(
        _AT_FIRST,
        "search/pooled.py",
        "Search.__init__",
        "ranks: int = 1,",
        "1 -> 0",
        "1 -> 2",
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "",
        "MANY = 140",
        "140 -> 141",
        "140 -> 139",
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "",
        "FEW = 100",
        "100 -> 101",
        "100 -> 99",
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "",
        "FIRST_SHARE, FACTOR = 100, 20",
        "100 -> 101",
        "100 -> 99",
        "20 -> 21",
        "20 -> 19",
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "Narrow._near",
        "more = 2 * max(1, loose.bound // FIRST_SHARE) if room else 0",
        "2 * max(1, loose.bound // FIRST_SHARE) -> (2 // max(1, loose.bound // FIRST_SHARE))",
        "2 -> 3",
        "2 -> 1",
        "max(1, loose.bound // FIRST_SHARE) -> (min(1, loose.bound // FIRST_SHARE))",
        "1 -> 2",
        "1 -> 0",
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "_first",
        "return bound + max(1, bound // FIRST_SHARE)",
        "max(1, bound // FIRST_SHARE) -> (min(1, bound // FIRST_SHARE))",
        "1 -> 2",
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "",
        "LARGE, STEP, STEP_SHARE = 3000, 2, 25",
        "3000 -> 3001",
        "3000 -> 2999",
        "2 -> 3",
        "25 -> 26",
        "25 -> 24",
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "_is_near",
        "return (upper - bound) * STEP_SHARE < bound",
        "(upper - bound) * STEP_SHARE < bound -> ((upper - bound) * STEP_SHARE <= bound)",
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "_is_large",
        "return len(posed.model.proto.variables) > LARGE",
        (
            "len(posed.model.proto.variables) > LARGE -> (len(posed.model.proto.variables) >= "
            "LARGE)"
        ),
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "Narrow.solve",
        "near = _is_large(posed) and _is_near(whole.bound, upper)",
        (
            "_is_large(posed) and _is_near(whole.bound, upper) -> (_is_large(posed) or "
            "_is_near(whole.bound, upper))"
        ),
        ("_is_large(posed) and _is_near(whole.bound, upper) -> (_is_near(whole.bound, upper))"),
        "_is_large(posed) and _is_near(whole.bound, upper) -> (_is_large(posed))",
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "Narrow.solve",
        "steps = () if near else (whole.upper, *whole.steps)",
        "() if near else (whole.upper, *whole.steps) -> (())",
        "() if near else (whole.upper, *whole.steps) -> ((whole.upper, *whole.steps))",
    ),
    _same(
        _AT_FIRST,
        "search/widening.py",
        "",
        "CLOSE = 1000",
        "1000 -> 1001",
        "1000 -> 999",
    ),
    _same(
        "hosts go apart after fewer rounds or more, to the same rig",
        "search/pooled.py",
        "",
        "POOLED_ROUNDS, ROUNDS_OF_ONE = 12, 4",
        "12 -> 13",
        "12 -> 11",
        "4 -> 5",
        "4 -> 3",
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "Narrow.solve",
        "asked = Asked(posed, LARGEST if every else upper, whole.bound, steps)",
        "LARGEST if every else upper -> (upper)",
    ),
    _same(
        "a bound that is one lower is one too",
        "search/fixing.py",
        "Narrow._posed",
        "whole = Asked(posed, reach, min(posed.bound, reach + 1), (further,))",
        "1 -> 0",
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "Narrow._posed",
        "if len(self._listed(problem, deadline).outlines) > MANY:",
        "len(self._listed(problem, deadline).outlines) > MANY -> (True)",
        "len(self._listed(problem, deadline).outlines) > MANY -> (False)",
        (
            "len(self._listed(problem, deadline).outlines) > MANY -> "
            "(len(self._listed(problem, deadline).outlines) >= MANY)"
        ),
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "Narrow._posed",
        "if len(found) > FEW or problem.needs.max_hosts > 1:",
        "len(found) > FEW or problem.needs.max_hosts > 1 -> (True)",
        "len(found) > FEW or problem.needs.max_hosts > 1 -> (False)",
        (
            "len(found) > FEW or problem.needs.max_hosts > 1 -> (len(found) > FEW and "
            "problem.needs.max_hosts > 1)"
        ),
        "len(found) > FEW or problem.needs.max_hosts > 1 -> (problem.needs.max_hosts > 1)",
        "len(found) > FEW or problem.needs.max_hosts > 1 -> (len(found) > FEW)",
        "len(found) > FEW -> (len(found) >= FEW)",
        "problem.needs.max_hosts > 1 -> (problem.needs.max_hosts >= 1)",
        "1 -> 2",
        "1 -> 0",
    ),
    _same(
        _AT_FIRST,
        "search/pooled.py",
        "Search._mix",
        "posed.hold(objective)",
        "posed.hold(objective) -> pass",
    ),
    _same(
        _AT_FIRST,
        "search/pooled.py",
        "Search._any",
        "self._narrow.columns(problem, deadline) if whole else columns(problem, 0, (), beat)",
        (
            "self._narrow.columns(problem, deadline) if whole else columns(problem, 0, (), "
            "beat) -> (columns(problem, 0, (), beat))"
        ),
    ),
    _same(
        (
            "of an optimum the solver's bound is the objective, which is in the part that "
            "was asked"
        ),
        "search/widening.py",
        "Widening.best",
        "known = objective if optimal else min(result.bound, upper + 1)",
        (
            "objective if optimal else min(result.bound, upper + 1) -> (min(result.bound, "
            "upper + 1))"
        ),
    ),
    _same(
        _AT_FIRST,
        "search/fixing.py",
        "Narrow.solve",
        "if not (asked and asked.upper >= scope.lower and asked.posed.serves(cuts)):",
        (
            "asked and asked.upper >= scope.lower and asked.posed.serves(cuts) -> (asked and "
            "asked.posed.serves(cuts))"
        ),
        "asked.upper >= scope.lower -> (asked.upper > scope.lower)",
    ),
    _same(
        "of what is not found no value is asked",
        "search/pooled.py",
        "",
        'NOTHING_YET = Result("unknown", 0, lambda _: 0)',
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        "of what is not found no value is asked",
        "search/fixing.py",
        "",
        'NONE_SO_CHEAP = Result("infeasible", 0, lambda _: 0)',
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        (
            "a regret that is read as a sum of parts comes to less, and a bound that is "
            "lower is one too"
        ),
        "search/wiring.py",
        "_wire",
        "least = lower if rig.regret is not None else reweighed(lower, problem, small)",
        (
            "lower if rig.regret is not None else reweighed(lower, problem, small) -> "
            "(reweighed(lower, problem, small))"
        ),
    ),
    _same(
        "a variable that is nothing is none",
        "model/regret.py",
        "_beyond",
        "if most <= number:",
        "most <= number -> (most < number)",
    ),
    _same(
        "without a master nobody is in a tree: each hop hangs on the one before",
        "model/trees.py",
        "_masters",
        "model.add(total(_in(rig, slot, tree)) <= total(_in(rig, tree, tree)))",
        "model.add(total(_in(rig, slot, tree)) <= total(_in(rig, tree, tree))) -> pass",
    ),
    _same(
        "hosts that are pooled are wired apart afterwards",
        "model/sockets.py",
        "_together",
        "groups = [(var, number // size) for var, number in sockets]",
        "number // size -> (number * size)",
    ),
    _same(
        "a master is a host, or is joined to one",
        "model/hosts.py",
        "add",
        "model.add_linear_constraint(pool, 1, rig.problem.per_slot)",
        "1 -> 0",
    ),
    _same(
        _CONNECTORS,
        "model/leads.py",
        "_connectors",
        'taking.append((count, len(connectors(column.device, "line"))))',
        "taking.append((count, len(connectors(column.device, 'line')))) -> pass",
    ),
    _same(
        "of a wish that counts twice the least is where it was",
        "decode/seating.py",
        "_costs",
        "hot, on = [(var, 1) for var in made.hot], [(var, 1) for var in made.on.values()]",
        "1 -> 2",
    ),
    _same(
        "every line leaves some unit",
        "decode/leads.py",
        "_singles",
        "if bunch.end.site is None and bunch.stub.site is not None and bunch.inlet == inlet",
        (
            "bunch.end.site is None and bunch.stub.site is not None and (bunch.inlet == "
            "inlet) -> (bunch.end.site is None and bunch.inlet == inlet)"
        ),
    ),
    _same(
        "every line leaves some unit",
        "decode/leads.py",
        "_into_connectors",
        "if end is None or bunch.stub.site is None:",
        "end is None or bunch.stub.site is None -> (end is None)",
    ),
    _same(
        (
            "those without 48 V go first: with all that have it that is all the room, as "
            "without a way"
        ),
        "decode/di.py",
        "fewest",
        "for powered in range(room.get(True, 0) + 1)",
        "1 -> 0",
    ),
    _same(
        "an inequality that is the sum of others says nothing new",
        "model/transport.py",
        "_unions",
        "if _in_one_piece([places for places in several if places and places <= union]):",
        "_in_one_piece([places for places in several if places and places <= union]) -> (True)",
    ),
    _same(
        "no numbers are fewer than none",
        "decode/boxes.py",
        "Box._deal_host",
        "enough = len(visible.sockets.get(socket.ref, range(0))) >= end.arrives",
        "0 -> -1",
    ),
    _same(
        "hosts that are pooled are wired apart afterwards",
        "model/sockets.py",
        "add",
        "if rig.problem.per_slot > 1:",
        "rig.problem.per_slot > 1 -> (False)",
    ),
    _same(
        "other rules say that it is no less than nothing",
        "model/regret.py",
        "_against",
        'dear = [(model.new_int_var(0, number, "dear"), 1)]',
        "0 -> -1",
    ),
    _same(
        "with the clock it takes longer, and says no less that is true",
        "model/model.py",
        "build",
        "if clocked or rule is not clock:",
        "clocked or rule is not clock -> (True)",
    ),
    _same(
        "without lines there is nothing to settle",
        "model/taps.py",
        "add",
        "if rig.problem.pooled or not rig.lines:",
        "rig.problem.pooled or not rig.lines -> (rig.problem.pooled)",
    ),
    _same(
        "no more hosts are fed than are there",
        "model/clock.py",
        "_routes",
        "upper = rig.problem.max_links if receiver == RACK else rig.problem.per_slot",
        (
            "rig.problem.max_links if receiver == RACK else rig.problem.per_slot -> "
            "(rig.problem.max_links)"
        ),
    ),
    _same(
        "a bound that is one lower is one too",
        "search/posed.py",
        "Posed.bound",
        "return 0 if self.known is None else self.known.bound",
        "0 -> -1",
    ),
    _same(
        "a looser model is only what is looked at first",
        "model/model.py",
        "build",
        "if clocked or rule is not clock:",
        "clocked or rule is not clock -> (clocked)",
    ),
    _same(
        "without devices nothing is counted",
        "model/channels.py",
        "_pools",
        "(box.device.analogue for box in rig.problem.devices), default=0",
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        "what is bought one by one is as much as it is",
        "model/money.py",
        "add",
        "if used and rig.packs.get(name) != (used,):",
        "used and rig.packs.get(name) != (used,) -> (used)",
    ),
    _same(
        "no channels are fewer than none",
        "decode/boxes.py",
        "Box.hears",
        "self, row: Format, arrives: int = 0, locks: bool = False, alone: bool = False",
        "0 -> -1",
    ),
    _same(
        "of fewer than none there is no piece",
        "decode/pieces.py",
        "_pool",
        "pieces = laid.get(cable.id, 0)",
        "0 -> -1",
    ),
    _same(
        "goods of no order come to nothing, which is less than what delivery is free for",
        "model/orders.py",
        "_order",
        "model.add(free <= used)",
        "model.add(free <= used) -> pass",
    ),
    _same(
        "that is what it is when the program runs",
        "search/posed.py",
        "",
        "if TYPE_CHECKING:",
        "TYPE_CHECKING -> (False)",
    ),
    _same(
        "that is what it is when the program runs",
        "search/widening.py",
        "",
        "if TYPE_CHECKING:  # a small problem does not wait for the linear solver",
        "TYPE_CHECKING -> (False)",
    ),
    _same(
        _AT_FIRST,
        "search/posed.py",
        "Posed.hold",
        "return self.known is not None and self.known.hold(self.model, upper)",
        (
            "self.known is not None and self.known.hold(self.model, upper) -> (self.known is "
            "not None)"
        ),
    ),
    _same(
        "channels that leave by a direct out are gone by then",
        "decode/leads.py",
        "_singles",
        "free = [",
        (
            "[(box, channel) for site, box in by_site.items() if site.face.inlet == inlet "
            "for channel in moved[site] if channel in site.face.inlets] -> ([(box, channel) "
            "for site, box in by_site.items() if site.face.inlet == inlet for channel in "
            "moved[site]])"
        ),
    ),
    _same(
        "a rig has a unit, so that each objective is more than nothing",
        "search/fixing.py",
        "Scope",
        "lower: int = 0",
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        "of nothing there is as much as before",
        "search/ties.py",
        "earlier",
        "if terms:",
        "terms -> (True)",
    ),
    _same(
        "what is neither owned nor bought is not looked at",
        "search/wiring.py",
        "_idle_leads",
        "if problem.owned(cable.id)",
        (
            "problem.owned(cable.id) and cable.id not in wired.mix.packs and ((cable.ends, "
            "cable.ways) not in used) -> (cable.id not in wired.mix.packs and (cable.ends, "
            "cable.ways) not in used)"
        ),
    ),
    _same(
        "a bound that is known only saves time",
        "search/wiring.py",
        "_wire",
        "model.add_linear_constraint(total(objective.terms), least, LARGEST)",
        "model.add_linear_constraint(total(objective.terms), least, LARGEST) -> pass",
    ),
    _same(
        "both halves have the name of their pair",
        "decode/listing.py",
        "listed",
        'tuple(sources[piece[0]].pair or "" for piece in parted),',
        "0 -> -1",
        "0 -> 1",
    ),
    _same(
        _AT_FIRST,
        "search/widening.py",
        "Outlook.reaching",
        "return self.bound + (extra[number] - 1 if number < len(extra) else extra[-1])",
        "1 -> 2",
    ),
    _same(
        "what is there when time is up may be of more units or of fewer",
        "search/pooled.py",
        "Search._fallback",
        "some = {item: number + number // 2 + 1 for item, number in first.mix.units.items()}",
        "number + number // 2 -> (number - number // 2)",
    ),
    _same(
        "no number is below none, so that way to be another mix is never open",
        "search/ties.py",
        "no_good",
        "if now:",
        "now -> (True)",
    ),
    _same(
        "to drop more drops nothing more",
        "search/pooled.py",
        "",
        "MOST_DROPPED = 2",
        "2 -> 3",
    ),
    _same(
        "no more packs are bought than there may be",
        "search/ties.py",
        "earlier",
        "upper = 1 + problem.max_packs",
        "1 -> 0",
        "1 -> 2",
    ),
    _same(
        "the careful way comes to the same",
        "decode/deal.py",
        "deal",
        "free = next((n for n in ways if n not in chosen), None)",
        "n not in chosen -> (n in chosen)",
    ),
    _same(
        "no rule asks how many single sources are split, and of splits there are the fewest",
        "decode/places.py",
        "places",
        "pairs = [block for block in wanted if len(block) == 2]",
        ("[block for block in wanted if len(block) == 2] -> ([block for block in wanted])"),
    ),
    _same(
        "of a wish that counts twice the least is where it was",
        "decode/listing.py",
        "_settle_wishes",
        "split: Terms = [(var, 1) for var in made.split.values()]",
        "1 -> 2",
    ),
    _same(
        "of a wish that counts twice the least is where it was",
        "decode/listing.py",
        "_settle_wishes",
        "hot: Terms = [(var, 1) for var in made.hot]",
        "1 -> 2",
    ),
    _same(
        "any number will do that stays the same",
        "solver/run.py",
        "",
        "SEED = 1",
        "1 -> 2",
        "1 -> 0",
    ),
    _same(
        "below one the solver looks for no symmetry",
        "solver/run.py",
        "run",
        "solver.parameters.symmetry_level = 0",
        "0 -> -1",
    ),
    _same(
        "a rig has a unit, so that each objective is more than nothing",
        "search/posed.py",
        "Posed.bound",
        "return 0 if self.known is None else self.known.bound",
        "0 -> 1",
    ),
    _same(
        "it is read only of what is best, and that was found",
        "search/fixing.py",
        "Narrow.solve",
        "return result, amount(terms, result.value) if result.found else 0",
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        "all of these are wired",
        "search/pooled.py",
        "Search._unproven",
        "best = min(found, key=lambda first: first.wired.objective if first.wired else 0)",
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        "what is there when time is up may be of more units or of fewer",
        "search/pooled.py",
        "Search._fallback",
        "some = {item: number + number // 2 + 1 for item, number in first.mix.units.items()}",
        "1 -> 2",
    ),
    _same(
        "where few types will not do all are tried",
        "search/pooled.py",
        "Search._any",
        "self._narrow.columns(problem, deadline) if whole else columns(problem, 0, (), beat)",
        "0 -> 1",
    ),
    _same(
        "packs are no fewer than units, links and leads, and any number will do that is larger",
        "search/ties.py",
        "earlier",
        "if problem.order_terms or problem.extras:",
        "problem.order_terms or problem.extras -> (True)",
    ),
    _same(
        "what counts nothing comes to nothing at either end",
        "solver/linear.py",
        "smallest",
        (
            "ends = ((min if factor > 0 else max)(var.proto.domain) * factor for var, factor "
            "in terms)"
        ),
        "factor > 0 -> (factor >= 0)",
        "0 -> -1",
    ),
    _same(
        "nobody reads what was not found",
        "solver/run.py",
        "run",
        'return Result("unknown", 0, lambda _: 0)',
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        "what is looked at anew comes to the same",
        "solver/rows.py",
        "linear_row",
        "if len(terms) < len(indices) or min(indices, default=0) < 0:",
        "0 -> 1",
        "min(indices, default=0) < 0 -> (min(indices, default=0) <= 0)",
        "len(terms) < len(indices) -> (len(terms) <= len(indices))",
    ),
    _same(
        "factors are whole, and those here are not nothing",
        "solver/second.py",
        "_Linear._always",
        (
            "factor * self.bounds[index][factor < 0] for index, factor in terms.items() if "
            "factor"
        ),
        "0 -> 1",
        "factor < 0 -> (factor <= 0)",
    ),
    _same(
        "how a model is simplified is a matter of time",
        "solver/run.py",
        "",
        "SMALL = 400",
        "400 -> 399",
        "400 -> 401",
    ),
    _same(
        "how a model is simplified is a matter of time",
        "solver/run.py",
        "run",
        "solver.parameters.cp_model_probing_level = 0",
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        "no rule asks that a bank of those without any is on, and as few are as can be",
        "decode/places.py",
        "places",
        "for bank in dict.fromkeys(seat.bank for seat in seats if seat.bank is not None):",
        (
            "(seat.bank for seat in seats if seat.bank is not None) -> "
            "(seat.bank for seat in seats)"
        ),
    ),
    _same(
        "what is parted is a pair, and has a name",
        "decode/listing.py",
        "listed",
        'tuple(sources[piece[0]].pair or "" for piece in parted),',
        "sources[piece[0]].pair or '' -> (sources[piece[0]].pair)",
    ),
    _same(
        "without names each sits alone",
        "decode/seating.py",
        "_costs",
        "low.append((var, at[0] * first))",
        "0 -> -1",
    ),
    _same(
        "no piece is shorter than nothing",
        "decode/pieces.py",
        "_take",
        "def _take(pool: list[Cable], kind: str, length_mm: int = 0) -> Cable:",
        "0 -> -1",
    ),
    _same(
        "who has a clock has a state",
        "decode/lowest.py",
        "_able",
        "state is not None",
        (
            "state is not None and mine is not None and ((state.hop, state.tree) == "
            "(mine.hop - 1, mine.tree)) and ((end.row.socket, end.row.clock, end.alone) == "
            "(clock[0].row.socket, True, False)) and (end.socket in locking) -> (state is not "
            "None and (state.hop, state.tree) == (mine.hop - 1, mine.tree) and "
            "((end.row.socket, end.row.clock, end.alone) == (clock[0].row.socket, True, "
            "False)) and (end.socket in locking))"
        ),
    ),
    _same(
        "without names each sits alone",
        "decode/seating.py",
        "_unlisted",
        (
            "seats[at[0]].number: block[0] for (block, at), var in made.takes.items() if "
            "value(var)"
        ),
        "0 -> -1",
    ),
    _same(
        "past the deadline it is looked at again before anything is settled",
        "decode/listing.py",
        "_in_order",
        "while len(settled) < len(blocks) and not deadline.over:",
        ("len(settled) < len(blocks) and (not deadline.over) -> (len(settled) < len(blocks))"),
    ),
    _same(
        "of fewer than none there is none",
        "decode/di.py",
        "chosen",
        (
            "asked = [in_box(powered) for powered in (True, False) for _ in "
            "range(boxed.get(powered, 0))]"
        ),
        "0 -> -1",
    ),
    _same(
        "no slot has so large a number",
        "decode/boxes.py",
        "_order",
        "joined = wiring.slot if wiring.slot is not None else 10**6",
        "6 -> 7",
        "10 -> 11",
        "10 -> 9",
        "6 -> 5",
    ),
    _same(
        "it is the less of two that are 0 at least",
        "questions/growth/selling.py",
        "_before",
        'before = model.new_int_var(0, owned, "before")',
        "0 -> -1",
    ),
    _same(
        "a share of the time, as good as another near it",
        "questions/growth/most.py",
        "",
        "SHARES: Final = 4",
        "4 -> 5",
        "4 -> 3",
    ),
    _same(
        "which count is asked next is a matter of time: it ends where two are neighbours",
        "questions/growth/most.py",
        "_Reach._next",
        "return min(self.room, self.high - 1)",
        "min(self.room, self.high - 1) -> (max(self.room, self.high - 1))",
        "self.high - 1 -> (self.high + 1)",
        "1 -> 0",
    ),
    _same(
        "which count is asked next is a matter of time: it ends where two are neighbours",
        "questions/growth/most.py",
        "_Reach._next",
        "if self.low < self.room:",
        "self.low < self.room -> (False)",
    ),
    _same(
        "a bound that is lower leaves more to be looked at, and no journey out",
        "questions/growth/solve.py",
        "_prospect",
        "whole.model.minimize(total([(var, price * parts) for var, price in whole.spent]))",
        "price * parts -> (price // parts)",
    ),
    _same(
        "a row without a trunk has no sockets of one",
        "questions/checks/weaker.py",
        "_at_class",
        "most += device.trunk_in * (device.trunk.channels[0] if device.trunk else 0)",
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        "a guess by which one of two prices is asked for first",
        "questions/prices/prices.py",
        "",
        "CABLE_SHARE = 20",
        "20 -> 19",
        "20 -> 21",
    ),
    _same(
        _ONE_VALUE,
        "questions/checks/checks.py",
        "_effect",
        "optical_in=0,",
        "0 -> -1",
        "0 -> 1",
    ),
    _same(
        _ONE_VALUE,
        "questions/checks/checks.py",
        "_effect",
        "optical_out=0,",
        "0 -> -1",
        "0 -> 1",
    ),
    _same(
        _ONE_VALUE,
        "questions/checks/checks.py",
        "_effect",
        "coax_in=0,",
        "0 -> -1",
        "0 -> 1",
    ),
    _same(
        _ONE_VALUE,
        "questions/checks/checks.py",
        "_effect",
        "coax_out=0,",
        "0 -> -1",
        "0 -> 1",
    ),
    _same(
        _ONE_VALUE,
        "questions/checks/checks.py",
        "_effect",
        "optical_1x=0,",
        "0 -> -1",
        "0 -> 1",
    ),
    _same(
        _ONE_VALUE,
        "questions/checks/checks.py",
        "_effect",
        "optical_2x=0,",
        "0 -> -1",
        "0 -> 1",
    ),
    _same(
        _ONE_VALUE,
        "questions/checks/checks.py",
        "_effect",
        "optical_4x=0,",
        "0 -> -1",
        "0 -> 1",
    ),
    _same(
        "none counts as 0 there",
        "questions/prices/prices.py",
        "_Round._fewest",
        "return Probes(at_price(plain, {item}, 1), self.deadline).total(needs) or 0",
        (
            "Probes(at_price(plain, {item}, 1), self.deadline).total(needs) or 0 -> "
            "(Probes(at_price(plain, {item}, 1), self.deadline).total(needs))"
        ),
    ),
    _same(
        "a rig that buys more than so many is as good as none, and here all do",
        "questions/prices/prices.py",
        "_Round._fewest",
        "return Probes(at_price(plain, {item}, 1), self.deadline).total(needs) or 0",
        "0 -> -1",
    ),
    _same(
        "what is blank in a rig is bought once at least",
        "questions/prices/prices.py",
        "_Round._telling",
        "open_ends = [item for item in blank if bought[item] > always.get(item, 0)]",
        "0 -> -1",
    ),
    _same(
        "a rig without it costs nothing there, which is the least",
        "questions/prices/prices.py",
        "_Round._fewest",
        "if Probes(without, self.deadline).possible(self.needs):",
        "Probes(without, self.deadline).possible(self.needs) -> (False)",
    ),
    _same(
        "a unit that is there is one at least",
        "questions/why/why.py",
        "_Prices._switch",
        "if blank.units <= self.needs.owned.get(blank.device, 0):",
        "0 -> -1",
    ),
    _same(
        "there are never fewer than none",
        "questions/why/prices.py",
        "switch_price_by_halves",
        "other = market.cheapest(0, 0, units - 1)",
        "0 -> -1",
    ),
    _same(
        "a socket holds one cable, and who is locked to it has one with clock in it there",
        "questions/repair/clock.py",
        "_follow",
        "if not route.format.clock or place not in repair.locked:",
        (
            "not route.format.clock or place not in repair.locked -> "
            "(place not in repair.locked)"
        ),
    ),
    _same(
        "where a row is not cut every number is seen, whatever its sockets hold",
        "questions/repair/numbers.py",
        "Numbers.changing",
        "if self.base.row <= self.base.total:",
        "self.base.row <= self.base.total -> (False)",
    ),
    _same(
        "chains are of word inputs, and no duplex cable is in one",
        "questions/repair/read.py",
        "_places",
        "there = (plug.route.end for plug in plugs if not plug.route.format.duplex)",
        (
            "(plug.route.end for plug in plugs if not plug.route.format.duplex) -> "
            "(plug.route.end for plug in plugs)"
        ),
    ),
    _same(
        "what is proven costs no more than what serves more microphones",
        "questions/curve.py",
        "_dearer",
        "return not point.answer.proven and point.answer.rig.total > above.rig.total",
        (
            "not point.answer.proven and point.answer.rig.total > above.rig.total -> "
            "(point.answer.rig.total > above.rig.total)"
        ),
    ),
    _same(
        "what share of the time a question gets changes no answer that is known in time",
        "questions/stretch.py",
        "",
        "SHARES: Final = 4",
        "4 -> 3",
    ),
    _same(
        "after a stop the next question ends it, and what was asked is known already",
        "questions/stretch.py",
        "_Bracket.closed",
        "while self.low + 1 < self.high and not self.series.stopped:",
        (
            "self.low + 1 < self.high and (not self.series.stopped) -> "
            "(self.low + 1 < self.high)"
        ),
    ),
    _same(
        "a rig is one of those beside which it is measured, so it is below 0 only where that "
        "is not proven, and then nobody reads it",
        "questions/regret/largest.py",
        "largest_regret",
        "max(0, regret(problem, rig, other)),",
        "0 -> -1",
    ),
    _same(
        "no rig of the part is below that either, and it is looked at again from there",
        "questions/alternatives.py",
        "_After._look",
        "self._put(upper + 1, search, None)",
        "1 -> 0",
    ),
    _same(
        "those with the last cost are found once more, and sorted all the same",
        "questions/alternatives.py",
        "_alternatives",
        "if after.more(last):",
        "after.more(last) -> (True)",
    ),
    _same(
        "no packs more cost nothing at either end",
        "questions/regret/largest.py",
        "regret",
        "more += beyond * (way.price if beyond > 0 else way.low)",
        "beyond > 0 -> (beyond >= 0)",
    ),
    _same(
        "a rig is one of those that the bound speaks of, so it costs no less",
        "questions/regret/largest.py",
        "largest_regret",
        "max(0, rig.total - found.bound),",
        "0 -> -1",
    ),
    _same(
        "only the sign of the difference counts, and there is one at least of what there is",
        "questions/regret/plan.py",
        "_worst",
        "more = one.get(item, 0) - two.get(item, 0)",
        "0 -> -1",
    ),
    _same(
        "how far it looks ahead at first is a matter of time",
        "questions/conflict/smaller.py",
        "_least_number",
        "while low + step < most and not works(low + step):",
        "low + step < most -> (low + step <= most)",
    ),
    _same(
        "how far it looks ahead at first is a matter of time",
        "questions/conflict/smaller.py",
        "_least_number",
        "low, step = was, 1  # which does not work",
        "1 -> 2",
    ),
    _same(
        "how far it looks ahead at first is a matter of time",
        "questions/conflict/smaller.py",
        "_least_number",
        "low, step = low + step, 2 * step",
        "2 -> 3",
        "2 -> 1",
    ),
    _same(
        "it is not asked where money is in the way",
        "questions/conflict/analogue_way.py",
        "_with_ideal",
        "0,",
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        "either is longer than any run",
        "questions/repair/analogue.py",
        "",
        "FAR: int = 10**9",
        "10 -> 11",
        "10 -> 9",
        "9 -> 10",
        "9 -> 8",
    ),
    _same(
        "a cable of no use is never plugged in",
        "questions/repair/routes.py",
        "routes",
        "audio = row.carries(RATE_MULTIPLIER[rate_hz]) > 0 and _heard(",
        (
            "row.carries(RATE_MULTIPLIER[rate_hz]) > 0 -> "
            "(row.carries(RATE_MULTIPLIER[rate_hz]) >= 0)"
        ),
        (
            "row.carries(RATE_MULTIPLIER[rate_hz]) > 0 and _heard(row, one, other, "
            "rate_hz) -> (_heard(row, one, other, rate_hz))"
        ),
    ),
    _same(
        "a cable of no use is never plugged in",
        "questions/repair/routes.py",
        "_heard",
        "sends = converted(one.device, RATE_MULTIPLIER[rate_hz]) > 0",
        (
            "converted(one.device, RATE_MULTIPLIER[rate_hz]) > 0 -> "
            "(converted(one.device, RATE_MULTIPLIER[rate_hz]) >= 0)"
        ),
        "0 -> -1",
    ),
    _same(
        "a second variable for the same product is as good",
        "questions/repair/demands.py",
        "_and",
        "if key not in repair.both:",
        "key not in repair.both -> (True)",
    ),
    _same(
        "how often the time is looked at changes no answer",
        "questions/repair/returns.py",
        "_feeds",
        "repair.beat()",
        "repair.beat() -> pass",
    ),
    _same(
        "how often the time is looked at changes no answer",
        "questions/repair/clock.py",
        "_follow",
        "repair.beat()",
        "repair.beat() -> pass",
    ),
    _same(
        "any weight above that of a crossing keeps the order",
        "questions/repair/objectives.py",
        "_uncrossed",
        "return 1000 * (line.out + line.into) - line.out * line.into",
        "1000 -> 1001",
        "1000 -> 999",
    ),
    _same(
        "a rank has its outputs in order, so no later one fits an early output",
        "questions/repair/audio.py",
        "_deals",
        "most = min(-(-case.sent(unit) // width), lower + 1)",
        "1 -> 2",
    ),
    _same(
        "one link to a host takes one of its sockets anyway",
        "model/sockets.py",
        "_together",
        "for size in range(2, max((number for _, number in links), default=0) + 1):",
        "2 -> 1",
    ),
    _same(
        (
            "beyond none is all of them, and a variable that is no less than they are "
            "says the same"
        ),
        "model/regret.py",
        "_beyond",
        "if not number:",
        "not number -> (False)",
    ),
    _same(
        "where a row is not cut every number is seen, whatever its sockets hold",
        "questions/repair/numbers.py",
        "Numbers.changing",
        "if self.base.row <= self.base.total:",
        "self.base.row <= self.base.total -> (self.base.row < self.base.total)",
    ),
    _same(
        "it is 0 or 1, and more than that is as good",
        "questions/repair/returns.py",
        "_fed",
        "model.add(total((brought[feed][0], 1) for feed in here) >= top)",
        "1 -> 2",
    ),
    _same(
        "it is 0 or 1, and more than that is as good",
        "questions/repair/sockets.py",
        "purpose",
        "repair.model.add(total((var, 1) for var in reasons) >= plug)",
        "1 -> 2",
    ),
    _same(
        "it is 0 or 1, and more than that is as good",
        "questions/repair/clock.py",
        "add",
        "cables = [(repair.plug[r], 1) for r in case.taken(place) if r.format.clock]",
        "1 -> 2",
    ),
    _same(
        "it is 0 or 1, and more than that is as good",
        "questions/repair/sockets.py",
        "add",
        "model.add(total((repair.plug[route], 1) for route in routes) >= repair.kept[index])",
        "1 -> 2",
    ),
    _same(
        (
            "how many rounds there are with hosts pooled is a matter of time: no better "
            "rig is left out"
        ),
        "search/pooled.py",
        "Search.best",
        "alone = self.problem.needs.max_hosts == 1",
        "1 -> 0",
        "1 -> 2",
        "self.problem.needs.max_hosts == 1 -> (self.problem.needs.max_hosts != 1)",
    ),
    _same(
        (
            "how many rounds there are with hosts pooled is a matter of time: no better "
            "rig is left out"
        ),
        "search/pooled.py",
        "Search.best",
        "for turn in range(ROUNDS_OF_ONE if alone else POOLED_ROUNDS):",
        "ROUNDS_OF_ONE if alone else POOLED_ROUNDS -> (ROUNDS_OF_ONE)",
        "ROUNDS_OF_ONE if alone else POOLED_ROUNDS -> (POOLED_ROUNDS)",
    ),
    _same(
        "how large a step is looked at in haste is a matter of time",
        "search/widening.py",
        "_far",
        "return (limit - upper) * CLOSE > upper",
        "(limit - upper) * CLOSE > upper -> ((limit - upper) * CLOSE >= upper)",
    ),
    _same(
        "a part that is not far from the limit ends with the same, asked up to either",
        "search/widening.py",
        "Widening.best",
        "most = upper if near or (last and not fine) else limit",
        "last and (not fine) -> (last)",
    ),
    _same(
        "without looks, what is asked next is a matter of time",
        "search/widening.py",
        "Widening.best",
        "look, fine = (None, False) if fine else (look, True)",
        "False -> True",
    ),
    _same(
        "where a rig is known, the same part once more is a matter of time",
        "search/widening.py",
        "Widening.best",
        "if last is None:",
        "last is None -> (True)",
    ),
    _same(
        "more of an earlier type comes before as well",
        "search/ties.py",
        "earlier",
        "model.add(number <= now + slack)",
        "model.add(number <= now + slack) -> pass",
    ),
    _same(
        "an outline that is there twice is as near as if it were there once",
        "problem/outlines.py",
        "outlines",
        "if wiring not in seen:",
        "wiring not in seen -> (True)",
    ),
    _same(
        "an outline that is there twice is as near as if it were there once",
        "problem/outlines.py",
        "outlines",
        "seen.add(wiring)",
        "seen.add(wiring) -> pass",
    ),
    _same(
        "a step that is the end itself is where it ends without steps",
        "search/widening.py",
        "Asked.next",
        "return next((one for one in self.steps if self.upper < one < upper), upper)",
        "self.upper < one < upper -> (self.upper < one <= upper)",
    ),
    _same(
        "what is kept is read only where the same is asked again",
        "search/fixing.py",
        "Narrow.solve",
        "if again:",
        "again -> (True)",
    ),
    _same(
        "mixes that neither come before the other are the same",
        "search/pooled.py",
        "Incumbent.better_of",
        "self if alike and place(self.mix, other.mix) < place(other.mix, self.mix) else other",
        (
            "place(self.mix, other.mix) < place(other.mix, self.mix) -> (place(self.mix, "
            "other.mix) <= place(other.mix, self.mix))"
        ),
    ),
    _same(
        "types that are more than it takes leave more to be looked at, and no rig out",
        "questions/second.py",
        "_beaten",
        "types = {item for item, each in units if amount(each, lambda var: found[var.index])}",
        (
            "{item for item, each in units if amount(each, lambda var: "
            "found[var.index])} -> ({item for item, each in units})"
        ),
    ),
    _same(
        "the first of one is the last",
        "questions/conflict/blank_cells.py",
        "_alone",
        "yield next(f for f in tries[0] if f == tries[0][-1] or _possible(probes, needs, [f]))",
        "0 -> -1",
    ),
    _same(
        "no rule lets more hosts stand than there may be: names for more of them stay unused",
        "model/taps.py",
        "_most",
        "if one.host:",
        "one.host -> (False)",
    ),
    _same(
        "a unit without inputs for line takes nothing in any connector",
        "model/taps.py",
        "_ends",
        'if unit.face.inlets and unit.face.inlet.plug == "dsub":',
        (
            "unit.face.inlets and unit.face.inlet.plug == 'dsub' -> "
            "(unit.face.inlet.plug == 'dsub')"
        ),
    ),
    _same(
        "a unit without outputs has none that a cable could feed",
        "questions/repair/returns.py",
        "add",
        "if unit.device.line_out:",
        "unit.device.line_out -> (True)",
    ),
    _same(
        "past the deadline nothing is made less",
        "questions/repair/model.py",
        "solve",
        "break",
        "break -> pass",
    ),
    _same(
        "a weight may be larger than it must be",
        "questions/growth/model.py",
        "Posed._size",
        "hop = missing * (sum(problem.max_arriving for problem in problems) + 1)",
        "1 -> 2",
    ),
    _same(
        "a bound on prices may be higher than it must be",
        "problem/problem.py",
        "Problem.dearest",
        "return math.ceil(max(costs, default=0) + (1 if self.order_terms else 0))",
        "0 -> 1",
    ),
    _same(
        "a limit that is just reached cuts nothing off, whatever the formats",
        "problem/ports.py",
        "_spoken",
        "if not several or limit is None or box.visible.row <= limit:",
        "box.visible.row <= limit -> (box.visible.row < limit)",
    ),
    _same(
        "a range that ends before it begins is as empty",
        "problem/ports.py",
        "_port",
        "numbers = visible.sockets.get(socket.ref, range(0))",
        "0 -> -1",
    ),
    _same(
        "what is dear is at least what is bought then, and the least of it is the best",
        "model/regret.py",
        "_against",
        "if most > number:",
        "most > number -> (True)",
    ),
    _same(
        "a mix has one or more of each type that it names",
        "questions/alternatives.py",
        "_held",
        "if all(mix.units.get(item, 0) >= n for item, n in other.units.items()):",
        "0 -> -1",
    ),
    _same(
        "parts are told apart by a number that grows, whatever its step",
        "questions/alternatives.py",
        "_After._put",
        "self._made += 1",
        "1 -> 2",
    ),
    _same(
        "there are never fewer than none",
        "questions/why/prices.py",
        "switch_price",
        "return price - market.earlier(price, 0, fewer, line, found)",
        "0 -> -1",
    ),
    _same(
        "without a device there is no rig that pieces could be bought for",
        "problem/bounds.py",
        "max_pieces",
        "counted = units * max((weight(extra.per, device) for device in devices), default=0)",
        "0 -> 1",
        "0 -> -1",
    ),
    _same(
        "how large a rig is repaired at all was chosen, and one variable more is as good",
        "questions/repair/repair.py",
        "",
        "LARGEST = 60_000",
        "60000 -> 60001",
        "60000 -> 59999",
    ),
    _same(
        "what no rig up to an objective holds is left out to save time alone",
        "search/posed.py",
        "Posed.at",
        "if span[1] < LARGEST:",
        "span[1] < LARGEST -> (False)",
    ),
    _same(
        "models made anew are slower, and what they say is the same",
        "search/pooled.py",
        "Search.best_exact",
        "if problem.dropped != self.problem.dropped:",
        "problem.dropped != self.problem.dropped -> (True)",
    ),
    _same(
        "without a master nobody is in a tree: each hop hangs on the one before",
        "model/trees.py",
        "_masters",
        "for slot in rig.slots[tree + 1 :]:",
        "1 -> 2",
        "1 -> 0",
    ),
    _same(
        "of what both have as many of nothing is said",
        "questions/regret/plan.py",
        "_worst",
        "found.append((item, way.price if more > 0 else way.low))",
        "more > 0 -> (more >= 0)",
    ),
    _same(
        "any rig will do to begin with",
        "model/regret.py",
        "add",
        (
            "rig.counted += [(v, n * (way.price + way.low)) for way, x in _ranges(rig) "
            "for v, n in x]"
        ),
        "way.price + way.low -> (way.price - way.low)",
    ),
    _same(
        "one count more is asked for, and it cannot be had",
        "questions/growth/most.py",
        "_Reach.__init__",
        "self.high = max(self.low, most) + 1",
        "1 -> 2",
    ),
    _same(
        "sums are exact at the limit and a little beyond",
        "questions/growth/model.py",
        "pose",
        "if reach(spent) * len(baskets) > LARGEST:",
        "reach(spent) * len(baskets) > LARGEST -> (reach(spent) * len(baskets) >= LARGEST)",
    ),
    _same(
        "what is so far away is no limit",
        "solver/second.py",
        "",
        "INFINITE: Final = 2**60",
        "2 -> 3",
        "60 -> 61",
    ),
    _same(
        "a literal that is true is true once",
        "solver/second.py",
        "_Linear._rows",
        "yield from (_count([one], 1, 1, when) for one in rule.bool_and.literals)",
        "1 -> 2",
    ),
    _same(
        "what is asked by halves is the same price",
        "questions/why/why.py",
        "_Prices._last",
        "if limit is None or limit >= now:",
        "limit >= now -> (limit > now)",
    ),
    _same(
        "a limit and a cut say the same of the units",
        "questions/why/market.py",
        "Market._search",
        "if self.among is None:",
        "self.among is None -> (self.among is not None)",
    ),
    _same(
        "a box that sends to no host stands by no socket of one",
        "decode/kept.py",
        "_Names._fitness",
        "stay = was.sockets.get((host, joint[1]), ()) if joint and host else ()",
        "joint and host -> (host)",
    ),
    _same(
        _CONNECTORS,
        "model/leads.py",
        "_connectors",
        'if column.inlets and column.device.line_plug == "dsub":',
        (
            "column.inlets and column.device.line_plug == 'dsub' -> "
            "(column.device.line_plug == 'dsub')"
        ),
    ),
    _same(
        "what a relaxation buys is a price to begin at: any will do",
        "search/posed.py",
        "Posed.outlook",
        "if not known.reduced_costs:",
        "not known.reduced_costs -> (False)",
    ),
    _same(
        "no cable is as long as that",
        "questions/repair/leads.py",
        "_enough",
        "for end in (*sorted(set(runs.values())), FAR + 1):",
        "1 -> 2",
    ),
    _same(
        "a socket for word clock speaks nothing else",
        "questions/repair/routes.py",
        "_chained",
        "if socket.locks and chains(socket.formats[0])",
        "0 -> -1",
    ),
    _same(
        "where a search begins is a matter of time",
        "questions/repair/model.py",
        "_hint",
        "repair.model.add_hint(var, 0)",
        "0 -> 1",
    ),
)

EQUAL: Final[dict[_Key, str]] = {key: why for one in _ALL for key, why in one}
