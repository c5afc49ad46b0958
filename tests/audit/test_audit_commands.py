"""`rigopt audit` and `rigopt rates` as they are typed: text, JSON, statuses, 80 columns."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, get_args

import pytest

from rigopt.answers.rates import at_rate, by_rate
from rigopt.cli.main import COMMANDS, run
from rigopt.output.words.audit_rules import RULES
from rigopt.rig.audit import finding
from tests.audit.audit_world import BAND, RETURNED, WIDE, Bench, as_json, toml

BROKEN = toml(
    "host-1=desk; expander-1=pre",
    "expander-1 optical 1 > host-1 optical 1",
    "host-1=internal; expander-1=optical 1",
    more='title = "Rehearsal room"',
)

WORKS = """\
The rig works
=============
Rate:   48 kHz, 2 units, 1 digital cable

CLOCK: SET EACH UNIT TO
Unit        Clock
----------  ---------------------------------------
host-1      locked to optical in 1, from expander-1
expander-1  internal (clock master)

INPUTS AT THE COMPUTER
Computer  Unit and channel  48 V  Takes
--------  ----------------  ----  -----------------------
     1–2  host-1 1–2        off   mic, line or instrument
     3–8  host-1 3–8        off   mic or line
   11–18  expander-1 1–8    off   mic or line

FREE SOCKETS
Unit        Inputs             Outputs
----------  -----------------  -----------------
host-1      coax 1, word 1     optical 1, coax 1
expander-1  optical 1, word 1  –
"""

FAULTY = """\
The rig does not work: 1 fault
==============================
Rig:    Rehearsal room
Rate:   48 kHz, 2 units, 1 digital cable

FAULTS
1. expander-1 is locked to optical input 1, and no cable is in it. [clock-link]
   Change: Plug the optical cable that is missing from host-1 out 1 into
           expander-1 in 1.

RULES BROKEN
- Each unit runs on its internal clock, or is locked to a socket with a cable
  from a chain that ends in one that does. [clock-link]
"""


def test_a_rig_that_works(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    # Host with 8 analogue, a stereo pair, a light-pipe: 1-8, 9-10, 11-18 whichever is
    # master (common practice, no source).
    assert bench.run("audit", str(bench.file(BAND))) == 0
    assert capsys.readouterr() == (WORKS, "")


def test_a_rig_that_does_not(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    assert bench.run("audit", str(bench.file(BROKEN))) == 3
    hint = "\nWith --fix you are told the cheapest repair that keeps the units.\n"
    assert capsys.readouterr() == (FAULTY + hint, "")


def test_a_repair_is_shown_with_the_rig_it_makes(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    needs = bench.file('title = "Trio"\n[inputs]\nmic = 9\n[clock]\nmaster = "host"', "n.toml")
    assert bench.run("audit", str(bench.file(BROKEN)), "--needs", str(needs), "--fix") == 0
    out = capsys.readouterr().out
    assert "Needs:  Trio: not met, or not by a rig that works\n" in out
    assert (
        """
REPAIR: 6.00 GBP
Buy:      1 x Optical 1 m, 6.00 GBP
Add:      optical host-1 out 1 -> expander-1 in 1, for 8 channels and clock:
          Optical 1 m

After the repair the rig works:

CLOCK: SET EACH UNIT TO
Unit        Clock
----------  -----------------------------------
host-1      internal (clock master)
expander-1  locked to optical in 1, from host-1
"""
        in out
    )
    assert not WIDE.search(out)


def test_needs_that_are_met(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    needs = bench.file("[inputs]\nmic = 16", "n.toml")
    assert bench.run("audit", str(bench.file(BAND)), "--needs", str(needs), "--fix") == 0
    out = capsys.readouterr().out
    assert "Needs:  met\n" in out
    assert "REPAIR" not in out
    needs.write_text("[inputs]\nmic = 17")
    assert bench.run("audit", str(bench.file(BAND)), "--needs", str(needs)) == 3
    out = capsys.readouterr().out
    assert "16 arriving channels can take 17 microphones; 17 are needed. [demand]" in out
    assert "RULES BROKEN\n- The rig does what is asked of it. [demand]\n" in out


def test_the_rate_may_be_typed(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    needs = bench.file("[inputs]\nmic = 16", "n.toml")
    rig = str(bench.file(BAND))
    assert bench.run("audit", rig, "--rate", "44.1k", "--needs", str(needs)) == 0
    assert "Rate:   44.1 kHz" in capsys.readouterr().out
    assert bench.run("audit", rig, "--rate", "96") == 3
    assert "does not run at 96 kHz" in capsys.readouterr().out


def test_when_there_is_no_repair(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    text = toml("a=bare; b=bare", "", "a=internal; b=internal")
    assert bench.run("audit", str(bench.file(text)), "--fix") == 3
    assert capsys.readouterr().out.endswith("""
NO REPAIR THAT KEEPS THE UNITS
No such repair was found, because:
- a and b can lock to nothing at this rate, so each would have to be the one
  clock master
""")
    assert bench.run("audit", str(bench.file(text)), "--fix", "--json", "-") == 3
    answer = json.loads(capsys.readouterr().out)
    assert answer["status"] == "no repair"
    assert answer["repair"]["reasons"][0].startswith("a and b can lock to nothing")


def test_json_can_be_audited_again(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    target = bench.folder / "answer.json"
    status = bench.run("audit", str(bench.file(BROKEN)), "--fix", "--json", str(target))
    assert (status, "REPAIR: nothing to buy" in capsys.readouterr().out) == (0, True)
    answer = json.loads(target.read_text())
    assert (answer["format"], answer["status"]) == ("rigopt-audit/2", "repaired")
    assert [found["rule"] for found in answer["findings"]] == ["clock-link"]
    assert answer["findings"][0]["facts"]["unit"] == "expander-1"
    assert answer["repair"]["total"] == "0.00"
    assert bench.run("audit", str(target)) == 0
    assert "The rig works" in capsys.readouterr().out
    assert bench.run("audit", str(bench.file(BROKEN)), "--json", "-") == 3
    shown = capsys.readouterr()
    assert json.loads(shown.out)["status"] == "does not work"
    assert shown.err.startswith("The rig does not work: 1 fault\n")
    assert bench.run("audit", str(bench.file(BAND)), "--json", "-") == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["status"] == "works"
    assert "repair" not in answer
    assert answer["free_sockets"][0] == {
        "unit": "host-1",
        "kind": "optical",
        "way": "output",
        "sockets": [1],
    }


def test_what_is_bought_moved_and_removed_is_in_the_json(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    text = toml(
        "host-1=twin; expander-1=pre; x=two",
        "expander-1 optical 1 > host-1 optical 7 @opt-1m; x coax 1 > host-1 coax 1;"
        "x optical 1 > host-1 optical 2 @opt-12m",
        "host-1=internal; expander-1=word; x=internal",
    )
    assert bench.run("audit", str(bench.file(text)), "--fix", "--json", "-") == 0
    repair = json.loads(capsys.readouterr().out)["repair"]
    assert [moved["after"]["to_socket"] for moved in repair["moved"]] == [1]
    assert len(repair["removed"]) == 2
    assert {line["item"] for line in repair["purchases"]} >= {"opt-1m"}
    assert repair["steps"][0].startswith("Take off: coax x out 1 -> host-1 in 1")
    assert bench.run("audit", str(bench.file(text)), "--fix") == 0
    out = capsys.readouterr().out
    assert "Move:     optical expander-1 out 1 -> host-1 in 7: Optical 1 m; to " in out


@pytest.mark.full
def test_a_rig_as_planned_works(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    target = str(bench.folder / "plan.json")
    assert bench.run("plan", "--mic", "14", "--phantom", "8", "--json", target) == 0
    needs = bench.file("[inputs]\nmic = 14\nphantom = 8", "n.toml")
    assert bench.run("audit", target, "--needs", str(needs)) == 0
    out = capsys.readouterr().out
    assert "The rig works" in out
    assert "Needs:  met" in out
    assert bench.run("plan", "--mic", "99", "--json", target) == 3
    assert bench.run("audit", target) == 2
    assert "holds no rig" in capsys.readouterr().err


def test_what_to_mind(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    text = toml(
        "host-1=desk; expander-1=two; expander-2=two",
        "expander-1 optical 1 > host-1 optical 1 @opt-7m; host-1 optical 1 > expander-1 word 1",
        "host-1=optical; expander-1=internal",
        rate="96",
    ).replace('"expander-1 word in 1"', '"expander-1 optical in 1"')
    text = text.replace('expander-2 = "two"\n', "")
    text = "\n".join(line for line in text.splitlines() if "host-1 optical out" not in line)
    assert bench.run("audit", str(bench.file(text))) == 0
    out = capsys.readouterr().out
    assert "- 4 of the 8 channels of expander-1 reach the computer.\n" in out
    assert "longer than 5 m" in out
    # Receivers cannot detect 2x on light-pipe (Linux kernel hdspm.c).
    assert "Set 96 kHz by hand at both ends of every light-pipe" in out


def test_dead_sockets_and_none_that_is_free(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    text = toml("host-1=desk", "", "host-1=internal", rate="192")
    assert bench.run("audit", str(bench.file(text))) == 0
    assert "host-1  1 optical dead, 1 coax dead, word 1  1 optical dead, 1 coax dead\n" in (
        capsys.readouterr().out
    )
    assert bench.run("audit", str(bench.file(toml("h=bare", "", "")))) == 0
    assert "FREE SOCKETS\nNone.\n" in capsys.readouterr().out
    # Two distributors: no host, and one of them has no cable, so it needs no clock.
    text = toml("h=mute; x=mute", "", "h=internal").replace("mute", "dist")
    assert bench.run("audit", str(bench.file(text))) == 3
    out = capsys.readouterr().out
    assert "No unit is a host" in out
    assert "x runs" not in out


def test_named_inputs_have_rows_of_their_own(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    text = BAND + '[phantom]\nhost-1 = 1\n[inputs]\n1 = "Voice"\n2 = { use = "line" }\n'
    assert bench.run("audit", str(bench.file(text))) == 0
    out = capsys.readouterr().out
    assert "       1  host-1 1          on    Voice\n" in out
    assert "       2  host-1 2          on    line\n" in out


def test_hosts_without_inputs(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    shop = bench.catalogue_folder / "devices.csv"
    rows = shop.read_text()
    assert "Desk without sockets,host,100,2,,,2" in rows
    shop.write_text(rows.replace("sockets,host,100,2,,,2", "inputs,host,100,,,,"))
    text = toml("h=bare; x=bare", "", "h=internal; x=internal")
    assert bench.run("audit", str(bench.file(text))) == 3
    text = toml("h=bare", "", "")
    assert bench.run("audit", str(bench.file(text))) == 0
    assert "None: this rig brings no input to the computer." in capsys.readouterr().out


def test_names_from_files_are_harmless_and_wrapped(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    name = "the long rack in the corner by the organ, second from the top, with the scratch"
    raw = json.loads(as_json(BROKEN).replace("expander-1", name))
    raw["title"] = "x" * 300
    rig = bench.file(json.dumps(raw), "r.json")
    assert bench.run("audit", str(rig), "--fix") == 0
    assert not WIDE.search(capsys.readouterr().out.replace("–", "-"))
    assert bench.run("rates", str(rig)) == 0
    assert not WIDE.search(capsys.readouterr().out)
    raw["title"] = "\x1b[31mred"
    assert bench.run("audit", str(bench.file(json.dumps(raw), "r.json"))) == 2
    assert "\x1b" not in capsys.readouterr().err


@pytest.mark.parametrize("command", ["audit", "rates"])
def test_wrong_use(command: str, bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    assert bench.run(command) == 2
    assert bench.run(command, "none.json") == 2
    assert "there is no such file" in capsys.readouterr().err
    assert run([command, str(bench.file(BAND)), "--catalog", "none"]) == 2
    assert bench.run(command, str(bench.file("[", "x.toml"))) == 2
    assert run([command, "--help"]) == 0
    out = capsys.readouterr().out
    assert "Exit status: 0" in " ".join(out.split())
    assert not WIDE.search(out)
    assert command in COMMANDS


def test_no_input_is_overwritten(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    rig = str(bench.file(BAND))
    assert bench.run("audit", rig, "--json", rig) == 2
    assert "would overwrite an input file" in capsys.readouterr().err
    assert Path(rig).read_text() == BAND


def test_the_demo_says_that_its_prices_are_invented(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    text = toml(
        "host-1=desk-8; x=pre-8-1x",
        "x optical 1 > host-1 optical 1",
        "host-1=internal; x=optical",
    )
    needs = bench.file("[inputs]\nmic = 16\n[clock]\nmaster = 'host'", "n.toml")
    rig = str(bench.file(text))
    assert run(["audit", rig, "--needs", str(needs), "--fix"]) == 0
    assert "The demo catalogue's prices are invented." in capsys.readouterr().out
    assert run(["rates", rig]) == 0


def test_packs_sellers_and_short_time_are_told(bench: Bench) -> None:
    from dataclasses import replace

    from rigopt.answers.repair import Repaired
    from rigopt.output.terminal.audit_repair import repair_text
    from rigopt.rig.types import Purchase

    rig = bench.read(BAND)
    line = Purchase("word-x4", "", "cable", 2, 1400, 4, "north")
    repair = Repaired(rig, (), (), (), (line,), (), 2800, 0, False)
    assert repair_text(rig, repair, bench.catalogue) == (
        "REPAIR: 28.00 GBP\n"
        "Buy:      2 x word-x4 (pack of 4) from north, 28.00 GBP\n"
        "The time was short: a cheaper repair may exist."
    )
    nothing = replace(repair, purchases=(), money=0, proven=True)
    assert repair_text(rig, nothing, bench.catalogue) == (
        "REPAIR: nothing to buy\nPlug and set nothing: only what the file says has to change."
    )


# --- rates -----------------------------------------------------------------------------------

RATES = """\
Inputs at the computer, by sample rate in kHz
=============================================

Unit         44.1   48  88.2   96  176.4  192
-----------  ----  ---  ----  ---  -----  ---
host-1          8    8     8    8      8    8
expander-1      8    8     4    4      –    –
-----------  ----  ---  ----  ---  -----  ---
All            16   16    12   12      8    8
Clock holds   yes  yes   yes  yes     no   no
Rig works     yes  yes   yes  yes     no   no

AT 176.4 and 192 kHz
- expander-1 does not run at this rate.
- Optical input 1 of host-1 dies, 1 cable on it.
- Optical output 1 of host-1 dies.
- Coax input 1 of host-1 dies.
- Coax output 1 of host-1 dies.
- The clock does not hold: no unit runs on its internal clock; one must.
- The clock does not hold: host-1 is locked to optical input 1, and no cable
  from expander-1 is in it.
"""


def test_a_rig_at_every_rate(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    # 8, 4 and 2 channels a light-pipe (lib_xua feat_adat_tx.rst); off at 4x here.
    text = toml(
        "host-1=desk; expander-1=two",
        "expander-1 optical 1 > host-1 optical 1",
        "host-1=optical; expander-1=internal",
        rate="96",
    )
    assert bench.run("rates", str(bench.file(text))) == 0
    assert capsys.readouterr().out == RATES


def test_four_light_pipes_at_each_class(bench: Bench) -> None:
    """Four optical sockets and 4 fixed inputs: 36, 20, 12 (Linux kernel hdspm.c)."""
    from dataclasses import replace

    rig = bench.read(
        toml(
            "host-1=desk; a=two; b=two; c=two; d=two",
            "".join(f"{u} optical 1 > host-1 optical {n};" for n, u in enumerate("abcd", 1)),
            "host-1=internal; a=internal; b=internal; c=internal; d=internal",
        )
    )
    every = (48000, 96000, 192000)
    card: dict[str, Any] = {
        "mic_line_inst": 0,
        "mic_line": 4,
        "optical_in": 4,
        "optical_2x": 4,
        "optical_4x": 4,
        "coax_in": 0,
        "rates_hz": every,
    }
    units = tuple(
        replace(
            u,
            device=replace(
                u.device, **(card if u.role == "host" else {"optical_4x": 2, "rates_hz": every})
            ),
        )
        for u in rig.units
    )
    columns = by_rate(replace(rig, units=units)).rates
    assert [len(column.verdict.inputs) for column in columns] == [36, 20, 12]
    assert [column.rate_hz for column in columns] == list(every)


def test_a_dead_socket_without_clock_is_told_once(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    text = toml(
        "host-1=twin; b=solo; x=tick",
        "b optical 1 > host-1 optical 2; x word 1 > host-1 word 1; host-1 word 1 > b word 1",
        "host-1=word; b=word; x=internal",
    ).replace('"solo"', '{ device = "solo", role = "expander" }')
    assert bench.run("audit", str(bench.file(text))) == 0
    assert "The farthest unit is 2 cables away from its master.\n" in capsys.readouterr().out
    shop = bench.catalogue_folder / "devices.csv"
    shop.write_text(
        shop.read_text().replace(
            "optical;word,yes,44.1;48;88.2;96,", "optical;word,yes,44.1;48;192,"
        )
    )
    assert bench.run("rates", str(bench.file(text))) == 0
    told = capsys.readouterr().out.partition("AT 192 kHz\n")[2]
    assert told == (
        "- Optical input 2 of host-1 dies, 1 cable on it.\n"
        "- Optical output 2 of host-1 dies.\n"
        "- Coax input 1 of host-1 dies.\n"
        "- Coax output 1 of host-1 dies.\n"
        "- Optical input 1 of b dies.\n"
        "- Optical output 1 of b dies, 1 cable on it.\n"
    )


def test_dead_sockets_are_counted_with_their_cables(bench: Bench) -> None:
    text = toml(
        "host-1=twin; expander-1=two",
        "expander-1 optical 1 > host-1 optical 2",
        "host-1=optical; expander-1=internal",
    )
    rig = bench.read(text)
    column = at_rate(rig, 176400)
    assert [(dead.way, dead.first, dead.last, dead.cables) for dead in column.dead] == [
        ("input", 2, 2, 1),
        ("output", 2, 2, 0),
        ("input", 1, 1, 0),
        ("output", 1, 1, 0),
    ]
    assert column.missing == ("expander-1",)
    assert not column.works
    assert at_rate(rig, 48000).works


def test_several_sockets_die_at_once(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    from dataclasses import replace

    from rigopt.output.terminal.rates import rates_text

    rig = bench.read(toml("host-1=twin", "", "host-1=internal"))
    units = tuple(replace(u, device=replace(u.device, optical_4x=0)) for u in rig.units)
    text = rates_text(by_rate(replace(rig, units=units)))
    assert "AT 176.4 and 192 kHz\n- Optical inputs 1–2 of host-1 die.\n" in text
    bare = bench.file(toml("a=pre", "", "a=internal"))
    assert bench.run("rates", str(bare)) == 0
    assert "- No unit is a host, so the computer sees no inputs.\n" in capsys.readouterr().out


def test_a_lock_to_a_dead_socket_does_not_hold(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    text = toml(
        "host-1=twin; b=twin", "b optical 2 > host-1 optical 2", "host-1=optical; b=internal"
    )
    assert bench.run("rates", str(bench.file(text))) == 0
    out = capsys.readouterr().out
    assert "- Optical inputs 2 of" not in out
    assert (
        "- The clock does not hold: optical output 2 of b carries neither audio nor clock\n"
        "  at 176.4 kHz.\n"
    ) in out
    other = toml(
        "host-1=twin; b=twin; x=desk",
        "b optical 2 > host-1 optical 2; b word 1 > host-1 word 1; host-1 word 1 > b word 1",
        "host-1=word; b=internal; x=internal",
        rate="192",
    )
    assert [f.rule for f in at_rate(bench.read(other), 192000).clock] == ["clock-hosts"]


def test_the_returned_band_is_the_same_at_both_1x_rates(bench: Bench) -> None:
    columns = by_rate(bench.read(RETURNED)).rates
    assert [column.works for column in columns] == [True, True, False, False, False, False]


def test_at_a_rate_that_a_unit_does_not_run_at_that_is_all_that_is_said(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    for rate in ("96", "192"):
        assert bench.run("audit", str(bench.file(BAND)), "--rate", rate) == 3
        out = capsys.readouterr().out
        assert out.startswith("The rig does not work: 1 fault\n")
        assert "expander-1 does not run at" in out


def test_every_rule_that_a_wired_rig_can_break_has_a_sentence() -> None:
    asked = {
        *get_args(finding.Limits),
        *get_args(finding.Demands),
        *("rate-asked", "clock-hops", "clock-far", "clock-wish", "chain-long", "spare"),
        *("use-count", "use-phantom"),
    }
    answers_alone = {
        *("clock-lowest", "clock-idle", "piece-unnamed", "format-differs", "cable-unnamed"),
        "optical-long",
    }
    kinds = (finding.OfWiring, finding.Inputs, finding.Channels, finding.Sources)
    every = {rule for kind in kinds for rule in _rules_in(kind)}
    assert every - asked - answers_alone - RULES.keys() == {"input-missing", "input-accepts"}


def _rules_in(kind: object) -> list[str]:
    if isinstance(kind, str):
        return [kind]
    return [rule for part in get_args(kind) for rule in _rules_in(part)]
