"""Every need, a row each: from here the needs file, the options of the command line, the
words of answers, the search for conflicts and the steps of `--why` are made.

The order is that of the options in the help; within a table of the needs file it is also
the order in which faults are told.
"""

from __future__ import annotations

from typing import Final

from rigopt.catalogue.types import COMPUTERS, Catalogue
from rigopt.files import amounts, values
from rigopt.needs import ids, keys
from rigopt.needs.keys import MOST_COUNT, MOST_HOPS, MOST_HOSTS, MOST_WORD_INPUTS
from rigopt.needs.row import Option, Reader, Row


def _whole(most: int, least: int = 0) -> Reader:
    return lambda value, _: amounts.whole(value, most, least)


def _run(value: object, _: Catalogue) -> int:
    return amounts.millimetres(value, keys.LONGEST_RUN_M)


def _yes(value: object, _: Catalogue) -> bool:
    return values.yes(value)


_COUNT: Final = _whole(MOST_COUNT)

TABLE: Final = (
    Row(
        "inputs.mic",
        "mic",
        "count",
        _COUNT,
        neutral=0,
        given_up=220,
        say="{} microphone{s}",
        option=Option("--mic", "N", "Microphones in use at once."),
    ),
    Row(
        "inputs.phantom",
        "phantom",
        "count",
        _COUNT,
        neutral=0,
        given_up=60,
        say="{} microphone{s} with 48 V",
        option=Option("--phantom", "N", "Of those, how many need 48 V."),
    ),
    Row(
        "inputs.no_phantom",
        "no_phantom",
        "count",
        _COUNT,
        neutral=0,
        given_up=50,
        say="{} microphone{s} kept off 48 V",
        option=Option("--no-phantom", "N", "Of those, how many must not get 48 V."),
    ),
    Row(
        "inputs.line",
        "line",
        "count",
        _COUNT,
        neutral=0,
        given_up=190,
        say="{} line source{s}",
        option=Option("--line", "N", "Line sources in use at once."),
    ),
    Row(
        "inputs.instrument",
        "instrument",
        "count",
        _COUNT,
        neutral=0,
        given_up=180,
        say="{} instrument{s}",
        option=Option("--instrument", "N", "Instruments in use at once."),
    ),
    Row(
        "inputs.spare",
        "spare",
        "count",
        _COUNT,
        neutral=0,
        given_up=45,
        say="{} microphone input{s} to spare",
        option=Option("--spare", "N", "Microphone inputs that stay free."),
    ),
    Row(
        "outputs.line",
        "out_line",
        "count",
        _COUNT,
        neutral=0,
        given_up=170,
        say="{} line output{s}",
        option=Option("--line-out", "N", "Line outputs in use at once."),
    ),
    Row(
        "outputs.phones",
        "out_phones",
        "count",
        _COUNT,
        neutral=0,
        given_up=160,
        say="{} headphone output{s}",
        option=Option("--phones", "N", "Headphone outputs in use at once."),
    ),
    Row(
        "rate_khz",
        "rate_hz",
        "rate",
        lambda value, _: values.rate(value),
        given_up=200,
        say="{} kHz",
        option=Option("--rate", "KHZ", "Sample rate: 48, 44.1, 96 and so on."),
    ),
    Row(
        "clock.master",
        "master",
        "master",
        ids.master,
        neutral="any",
        given_up=90,
        say="{} as clock master",
        named={
            "any": "any unit as clock master",
            "host": "a host as clock master",
            "expander": "an expander as clock master",
            "clock": "a clock box as clock master",
        },
        option=Option(
            "--master", "WHICH", "Clock master: any, host, expander, clock, or a device id."
        ),
    ),
    Row(
        "clock.max_hops",
        "max_hops",
        "reach",
        _whole(MOST_HOPS),
        neutral=MOST_HOPS,
        given_up=30,
        say="up to {} cable{s} between clock master and unit",
        option=Option("--hops", "N", "Most cables between clock master and unit."),
    ),
    Row(
        "clock.own_clocks",
        "own_clocks",
        "flag",
        _yes,
        neutral=True,
        given_up=85,
        named={True: "hosts on clocks of their own", False: "all hosts on one clock"},
        option=Option("--own-clocks", "", "Hosts may run on clocks of their own."),
    ),
    Row(
        "clock.word_inputs",
        "word_inputs",
        "reach",
        _whole(MOST_WORD_INPUTS, least=1),
        neutral=MOST_WORD_INPUTS,
        given_up=25,
        say="up to {} word input{s} fed by one output",
        option=Option("--word-inputs", "N", "Most word inputs that one output feeds."),
    ),
    Row(
        "computer.ports",
        "ports",
        "ports",
        lambda value, _: values.one_of(COMPUTERS, value),
        neutral=COMPUTERS,
        given_up=110,
        say="hosts on {}",
        option=Option(
            "--port", "PORT", "A kind of computer connection to allow; may be given again."
        ),
    ),
    Row(
        "computer.max_hosts",
        "max_hosts",
        "reach",
        _whole(MOST_HOSTS, least=1),
        neutral=MOST_HOSTS,
        given_up=210,
        say="up to {} hosts",
        named={1: "one host"},
        option=Option("--hosts", "N", "Most hosts, joined at the computer."),
    ),
    Row(
        "cables.host_to_rack_m",
        "host_to_rack_mm",
        "run",
        _run,
        neutral=0,
        given_up=20,
        say="{} from a host to other units",
        option=Option("--host-cable", "M", "Metres of cable from a host to other units."),
    ),
    Row(
        "cables.within_rack_m",
        "within_rack_mm",
        "run",
        _run,
        neutral=0,
        given_up=10,
        say="{} between other units",
        option=Option("--rack-cable", "M", "Metres of cable between other units."),
    ),
    Row(
        "limits.budget",
        "budget",
        "money",
        lambda value, catalogue: amounts.amount(value, catalogue.currency),
        given_up=240,
        say="a budget of {}",
        option=Option("--budget", "MONEY", "The most the rig may cost."),
    ),
    Row(
        "limits.rack_units",
        "rack_units",
        "limit",
        _COUNT,
        given_up=140,
        say="up to {} U of rack",
        named={None: "no limit on height"},
        option=Option("--rack-units", "U", "The most height in a rack."),
    ),
    Row(
        "limits.mains",
        "mains",
        "limit",
        _COUNT,
        given_up=120,
        say="up to {} mains plug{s}",
        named={None: "no limit on mains plugs"},
        option=Option("--mains", "N", "The most mains plugs."),
    ),
    Row(
        "limits.units",
        "units",
        "limit",
        _COUNT,
        given_up=130,
        say="up to {} unit{s}",
        named={None: "no limit on units"},
        option=Option("--units", "N", "The most units."),
    ),
    Row(
        "owned",
        "owned",
        "table",
        keys.holding,
        read_name=ids.ownable,
        option=Option(
            "--owned",
            "ID=N",
            "A device, cable or extra you have, and how many; with @MONEY, what an unused one "
            "is sold for; may be given again.",
            example="desk-8=1",
        ),
    ),
    Row(
        "choose.avoid",
        "avoid",
        "ids",
        ids.device,
        neutral=(),
        given_up=100,
        say="{} avoided",
        named={(): "no device avoided"},
        option=Option(
            "--avoid", "ID", "A device that is not to be in the rig; may be given again."
        ),
    ),
    Row(
        "choose.require",
        "require",
        "ids",
        ids.device,
        neutral=(),
        given_up=150,
        say="{} in the rig",
        named={(): "no device required"},
        option=Option(
            "--require", "ID", "A device that must be in the rig; may be given again."
        ),
    ),
    Row(
        "choose.owned_only",
        "owned_only",
        "flag",
        _yes,
        neutral=False,
        given_up=230,
        named={True: "nothing bought", False: "things to be bought"},
        option=Option("--owned-only", "", "Buy nothing: use what you have."),
    ),
    Row(
        "choose.new_only",
        "new_only",
        "flag",
        _yes,
        neutral=False,
        given_up=70,
        named={True: "new things only", False: "used things as well"},
        option=Option("--new-only", "", "Leave out offers of used things."),
    ),
    Row(
        "limits.sellers",
        "sellers",
        "limit",
        _COUNT,
        given_up=80,
        say="up to {} seller{s}",
        named={None: "no limit on sellers"},
        option=Option("--sellers", "N", "The most sellers to order from."),
    ),
    Row(
        "exchange",
        "exchange",
        "table",
        lambda value, _: keys.exchange_rate(value),
        read_name=ids.foreign,
        option=Option(
            "--exchange",
            "CUR=RATE",
            "How much CUR one unit of the catalogue's currency buys; may be given again.",
            example="EUR=1.17",
        ),
    ),
    Row(
        "source.pair",
        "pairs",
        "pairs",
        None,
        neutral=0,
        given_up=40,
        say="{} pair{s} side by side",
        named={0: "no pair side by side"},
    ),
)

ROWS: Final = {row.name: row for row in TABLE}
"""Each row by the field of `Needs`."""
