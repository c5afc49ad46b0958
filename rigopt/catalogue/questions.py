"""What is asked about a box, in plain words, and the column that each answer fills.

`QUESTIONS` is the order in which they are asked. A new column of `devices.csv` takes an entry
here; its own reader and the rules of a row test the answer.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

from rigopt.catalogue import replies
from rigopt.catalogue.answers import PARTS, Answers
from rigopt.catalogue.replies import Reader
from rigopt.catalogue.types import COMPUTERS, PLUGS, Role

DECIMALS: Final = ("price", "watts", "rates_khz")
"""Columns of `devices.csv` whose numbers may have decimals."""


class Unknown(NamedTuple):
    """What 'don't know' stands for, and what the truth would change."""

    cell: str
    changes: str


class Question(NamedTuple):
    """One question. In `text`, `default` and `unknown`, `{names}` are facts of `Answers`.

    `key`: the column that the answer fills, or a name of its own. `read`: the answer as the
    cell holds it. `when`: whether it is asked. `default`: what Enter alone stands for, shown
    as `shown` where that is plainer; None where something must be said. `unknown` is None
    where it must be known.
    """

    key: str
    text: str
    why: str = ""
    read: Reader = replies.text
    when: Callable[[Answers], bool] = lambda _: True
    default: str | None = "0"
    unknown: Unknown | None = None
    shown: str = ""


def _are(*roles: Role) -> Callable[[Answers], bool]:
    """Asked of boxes of some roles."""
    return lambda answers: answers.role in roles


def _both(
    one: Callable[[Answers], bool], other: Callable[[Answers], bool]
) -> Callable[[Answers], bool]:
    return lambda answers: one(answers) and other(answers)


def _digital(answers: Answers) -> bool:
    return answers.digital


_hosts: Final = _are("host", "either")
_audio: Final = _are("host", "either", "expander")
_microphones: Final = _are("host", "either", "expander", "preamp")


def _has(*keys: str) -> Callable[[Answers], bool]:
    return lambda answers: any(answers.number(key) for key in keys)


def _at(multiplier: int, *keys: str) -> Callable[[Answers], bool]:
    """Asked of what has rates of a class and any of these."""
    return lambda answers: multiplier in answers.classes and _has(*keys)(answers)


OPTICAL: Final = ("optical_in", "optical_out")
COAX: Final = ("coax_in", "coax_out")
ANALOGUE: Final = ("mics", "others")
NO_LINK = "Taken as none. With such sockets, expanders could be joined over them, or locked."

QUESTIONS: Final[tuple[Question, ...]] = (
    Question(
        "id",
        "A short name for the box, such as desk-8",
        "It stands for the box in questions and lists: letters, digits and - _ . +",
        default=None,
    ),
    Question(
        "label",
        "What should be printed for it",
        default="",
        unknown=Unknown("", "Taken as the short name."),
        shown="the short name",
    ),
    Question(
        "price",
        "What does it cost, in {currency}",
        "Blank is not for sale: it is then used only where you own it.",
        replies.price,
        default="",
        unknown=Unknown("", "Taken as not for sale. With a price it could be bought."),
        shown="not for sale",
    ),
    Question(
        "connection",
        "How does a computer see it as an audio interface: {computers} or no",
        "What the computer sees is a host; a box that is seen over another one says no.",
        replies.one_of(*COMPUTERS, "no"),
        default=None,
        unknown=Unknown("no", "Taken as no. Only what a computer sees can be a host."),
    ),
    Question(
        "alone",
        "Does it also work without the computer, its inputs sent out by a digital cable",
        "Such a box (stand-alone mode) can expand another interface.",
        replies.yes_no,
        _hosts,
        "no",
        Unknown("no", "Taken as no. With yes, it could be an expander too."),
    ),
    Question(
        "part",
        "What is it: audio, preamp, clock, di or headphones",
        "audio has digital sockets, preamp has analogue outputs alone, clock is for word "
        "clock, di is a DI box, headphones an amplifier for them.",
        replies.one_of(*PARTS),
        lambda answers: not _hosts(answers),
        "audio",
        Unknown("audio", "Taken as audio."),
    ),
    Question(
        "mics",
        "How many inputs take a microphone (XLR or combo sockets, front and back)",
        read=replies.count,
        when=_microphones,
        unknown=Unknown("0", "Taken as none. Each one more is a microphone more."),
    ),
    Question(
        "mic_line_inst",
        "Of these {left_mics}, how many take line too, and an instrument (switch INST or Hi-Z)",
        "Line sources and instruments need an input that takes them.",
        replies.most("left_mics"),
        lambda answers: answers.left_mics > 0,
        unknown=Unknown("0", "Taken as none. With some, instruments could go in there."),
    ),
    Question(
        "mic_line",
        "Of the other {left_mics}, how many take line too",
        "A combo socket nearly always does; a plain XLR with a pad may.",
        replies.most("left_mics"),
        lambda answers: answers.left_mics > 0,
        unknown=Unknown("0", "Taken as none. With some, line sources could go in there."),
    ),
    Question(
        "others",
        "How many more analogue inputs are there, for line or instrument without microphone",
        read=replies.count,
        when=_audio,
        unknown=Unknown("0", "Taken as none. With some, line sources could go in there."),
    ),
    Question(
        "line_inst",
        "Of these {left_others}, how many take either line or an instrument",
        read=replies.most("left_others"),
        when=lambda answers: answers.left_others > 0,
        unknown=Unknown("0", "Taken as none. With some, instruments could go in there."),
    ),
    Question(
        "line",
        "Of the other {left_others}, how many take line alone",
        "What is then left takes an instrument alone.",
        replies.most("left_others"),
        lambda answers: answers.left_others > 0,
        "{left_others}",
        Unknown("{left_others}", "Taken as all. With less, instruments could go in there."),
    ),
    Question(
        "instruments",
        "How many instruments does it take",
        "One for each of its channels: each goes on into a microphone input.",
        replies.count,
        _are("di"),
        unknown=Unknown("0", "Taken as none. Each one more is an instrument more."),
    ),
    Question(
        "channel_order",
        "In which order are these inputs numbered: {kinds}",
        "The number of an input is where its source arrives at the computer.",
        replies.order,
        lambda answers: len(answers.kinds) > 1,
        "{letters}",
        Unknown("", "Taken as that. If it is another, sources arrive on other numbers."),
    ),
    Question(
        "phantom_bank",
        "How many microphone inputs share one 48 V switch",
        "1: a switch for each; 0: no 48 V; all; sizes such as 4;2;2 if they differ.",
        replies.banks,
        _has("mics"),
        None,
        Unknown("0", "Taken as no 48 V. With it, microphones that need it could go in there."),
    ),
    Question(
        "rates_khz",
        "At which sample rates does it run, in kHz",
        "Every box of a rig runs at the same rate.",
        replies.rates,
        _digital,
        "44.1;48",
        unknown=Unknown("", "Taken as 44.1 and 48. With more, it could be in finer rigs."),
    ),
    Question(
        "analogue_2x",
        "How many of its analogue inputs work at 88.2 and 96 kHz",
        read=replies.limit,
        when=_at(2, *ANALOGUE),
        default="all",
        unknown=Unknown("", "Taken as all. With less, fewer sources arrive at these rates."),
    ),
    Question(
        "analogue_4x",
        "How many of its analogue inputs work at 176.4 and 192 kHz",
        read=replies.limit,
        when=_at(4, *ANALOGUE),
        default="all",
        unknown=Unknown("", "Taken as all. With less, fewer sources arrive at these rates."),
    ),
    Question(
        "line_out",
        "How many line outputs does it have",
        "For loudspeakers and headphone amplifiers; headphone sockets are not counted here.",
        replies.count,
        _audio,
        unknown=Unknown("0", "Taken as none. With some, it could feed loudspeakers."),
    ),
    Question(
        "direct_out",
        "How many of its {mics} microphone inputs have a line output of their own (DIRECT OUT)",
        "These go on by analogue cable. They are not counted among the line outputs.",
        replies.all_is("mics"),
        _both(_are("expander", "either", "preamp"), _has("mics")),
        "{direct}",
        Unknown("{direct}", "Taken as {direct}. Each one more could go on by analogue cable."),
    ),
    Question(
        "direct_plug",
        "The plug of these direct outputs: {plugs}",
        "dsub is a connector of 25 pins for 8 channels.",
        replies.one_of(*PLUGS),
        _has("direct_out"),
        "jack",
        Unknown("", "Taken as jack. If not, other cables fit."),
    ),
    Question(
        "line_plug",
        "The plug of its inputs that take line: {plugs}",
        "A combo socket takes line on a jack.",
        replies.one_of(*PLUGS),
        lambda answers: _audio(answers) and answers.takes_line,
        "jack",
        Unknown("", "Taken as jack. If not, other cables fit."),
    ),
    Question(
        "phones",
        "How many headphone outputs does it have",
        read=replies.count,
        when=_are("host", "either", "expander", "headphones"),
        unknown=Unknown("0", "Taken as none. With some, it could feed headphones."),
    ),
    Question(
        "line_in",
        "How many line outputs of an interface feed it",
        "A stereo mix for all of its headphones takes 2.",
        replies.count,
        _are("headphones"),
        "2",
        Unknown("", "Taken as 2. With 1, it would leave a line output more for others."),
    ),
    Question(
        "di_phantom",
        "Does it need 48 V from the microphone input that it goes into",
        "An active DI box without a battery does.",
        replies.yes_no,
        _are("di"),
        "no",
        Unknown("", "Taken as no. If it does, it only works where 48 V is on."),
    ),
    Question(
        "optical_in",
        "How many square optical sockets say IN",
        "A light-pipe brings 8 channels at 48 kHz over one thin cable.",
        replies.count,
        _digital,
        unknown=Unknown("0", NO_LINK),
    ),
    Question(
        "optical_out",
        "How many square optical sockets say OUT",
        "An expander sends its microphones here; any box sends its clock.",
        replies.count,
        _digital,
        unknown=Unknown("0", NO_LINK),
    ),
    Question(
        "optical_1x",
        "How many of them, each way, can carry a light-pipe of their own at 44.1 and 48 kHz",
        "Some optical sockets do two-channel stereo alone, and some only help at 96 kHz.",
        replies.limit,
        _has(*OPTICAL),
        "all",
        Unknown("", "Taken as all. With less, fewer channels come over them."),
    ),
    Question(
        "optical_2x",
        "How many of them, each way, still carry a light-pipe at 88.2 and 96 kHz",
        "Then 4 channels each. Where the data sheet is silent, they may be off.",
        replies.limit,
        lambda answers: _at(2, *OPTICAL)(answers) and answers.cell("optical_1x") != "0",
        "all",
        Unknown("0", "Taken as none. If they work, 4 channels come over each at 96 kHz."),
    ),
    Question(
        "optical_4x",
        "How many of them, each way, still carry a light-pipe at 176.4 and 192 kHz",
        "Then 2 channels each. Many boxes switch it off there.",
        replies.all_is("optical"),
        _at(4, *OPTICAL),
        unknown=Unknown("", "Taken as none. If they work, 2 channels come over each."),
    ),
    Question(
        "optical_stereo",
        "How many of them, each way, can carry two-channel stereo instead",
        read=replies.all_is("optical"),
        when=_has(*OPTICAL),
        unknown=Unknown("", "Taken as none. If some can, two-channel boxes fit there."),
    ),
    Question(
        "coax_in",
        "How many coaxial digital sockets say IN (one plug for two channels)",
        read=replies.count,
        when=_digital,
        unknown=Unknown("0", NO_LINK),
    ),
    Question(
        "coax_out",
        "How many coaxial digital sockets say OUT",
        read=replies.count,
        when=_digital,
        unknown=Unknown("0", NO_LINK),
    ),
    Question(
        "coax_2x",
        "How many of them, each way, work at 88.2 and 96 kHz",
        read=replies.limit,
        when=_at(2, *COAX),
        default="all",
        unknown=Unknown("0", "Taken as none. If they work, 2 channels come over each."),
    ),
    Question(
        "coax_4x",
        "How many of them, each way, work at 176.4 and 192 kHz",
        read=replies.all_is("coax"),
        when=_at(4, *COAX),
        unknown=Unknown("", "Taken as none. If they work, 2 channels come over each."),
    ),
    Question(
        "trunk",
        "Does it have a socket for one of these links of many channels: {trunks} or no",
        "They are the rows of formats.csv.",
        replies.trunk,
        lambda answers: bool(answers.trunks) and _audio(answers),
        "no",
        Unknown("", NO_LINK),
    ),
    Question(
        "trunk_in",
        "How many such sockets does it have for receiving, or for both ways",
        read=replies.count,
        when=lambda answers: bool(answers.cell("trunk")),
        unknown=Unknown("0", NO_LINK),
    ),
    Question(
        "trunk_out",
        "How many such sockets does it have for sending",
        read=replies.count,
        when=lambda answers: bool(answers.cell("trunk")) and not answers.duplex,
        unknown=Unknown("0", NO_LINK),
    ),
    Question(
        "word_in",
        "How many round sockets (BNC) say WORD CLOCK IN",
        read=replies.count,
        when=_digital,
        unknown=Unknown("0", "Taken as none. With one, it could follow a word clock."),
    ),
    Question(
        "word_out",
        "How many round sockets (BNC) say WORD CLOCK OUT",
        read=replies.count,
        when=_digital,
        unknown=Unknown("0", "Taken as none. With some, it could give others their clock."),
    ),
    Question(
        "word_end",
        "Its word clock input's 75-ohm end: switch, fixed or none",
        "It decides whether the box may stand in the middle of a chain.",
        replies.one_of("switch", "fixed", "none"),
        _has("word_in"),
        "switch",
        Unknown("", "Taken as a switch. If not, chains of word clock cost other pieces."),
    ),
    Question(
        "clock_in",
        "Which inputs can it take its clock from (see its clock menu): {locks} or none",
        "A box that cannot follow must be the clock master; single ones as optical 1.",
        replies.several,
        lambda answers: bool(answers.locks),
        None,
        Unknown("", "Taken as none: it can only be the clock master. Most boxes can follow."),
    ),
    Question(
        "internal_clock",
        "Can it run on a clock of its own (INTERNAL in its clock menu)",
        read=replies.yes_no,
        when=_digital,
        default="yes",
        unknown=Unknown("", "Taken as yes. If not, it cannot be the clock master."),
    ),
    Question(
        "rate_converter",
        "Which of its digital inputs have a sample-rate converter: {converts} or none",
        "Such an input takes audio from a box with another clock.",
        replies.several,
        lambda answers: _audio(answers) and bool(answers.converts),
        "none",
        Unknown("", "Taken as none. With one, boxes that cannot follow could be joined."),
    ),
    Question(
        "either",
        "Are there sockets of which only one works at a time, such as {both}",
        "Often optical and coax share one receiver. Groups are separated by ;",
        replies.several,
        lambda answers: bool(answers.both),
        "none",
        Unknown("", "Taken as none. If there are, fewer cables can be plugged in at once."),
    ),
    Question(
        "max_in_1x",
        "How many inputs in all does the computer see at 44.1 and 48 kHz",
        "The data sheet says it as 18 in / 20 out. Blank where nothing is cut off.",
        replies.limit,
        _hosts,
        "all",
        Unknown("", "Taken as all. With less, the last ones do not arrive."),
    ),
    Question(
        "max_in_2x",
        "How many inputs in all does the computer see at 88.2 and 96 kHz",
        read=replies.limit,
        when=lambda answers: _hosts(answers) and 2 in answers.classes,
        default="all",
        unknown=Unknown("", "Taken as all. With less, the last ones do not arrive."),
    ),
    Question(
        "max_in_4x",
        "How many inputs in all does the computer see at 176.4 and 192 kHz",
        read=replies.limit,
        when=lambda answers: _hosts(answers) and 4 in answers.classes,
        default="all",
        unknown=Unknown("", "Taken as all. With less, the last ones do not arrive."),
    ),
    Question(
        "input_order",
        "In which order does the computer number its inputs: {blocks}",
        "'blank 2' stands for two numbers with nothing on them, such as loopback.",
        replies.blocks,
        lambda answers: _hosts(answers) and bool(answers.blocks),
        "{blocks}",
        Unknown("", "Taken as that. If it is another, sources arrive on other numbers."),
    ),
    Question(
        "rack_units",
        "How many rack units is it high (0: not for a rack)",
        read=replies.count,
        unknown=Unknown("0", "Taken as 0. The height of a rig is then too small."),
    ),
    Question(
        "watts",
        "How many watts does it take",
        read=replies.watts,
        unknown=Unknown("", "Taken as 0. The power of a rig is then too small."),
    ),
    Question(
        "mains",
        "How many mains plugs does it need (0: it takes no mains power)",
        read=replies.count,
        default="{mains}",
        unknown=Unknown("{mains}", "Taken as {mains}."),
    ),
    Question(
        "note",
        "Anything to note",
        default="",
        unknown=Unknown("", "Taken as nothing."),
        shown="nothing",
    ),
)
