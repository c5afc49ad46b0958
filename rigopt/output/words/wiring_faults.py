"""What is wrong with a wired rig, or with what it can do, in sentences, by rule and case."""

from __future__ import annotations

from typing import Final

from rigopt.output.words.sentence import Sentence

ONE_CLOCK: Final = (
    "keep one on its internal clock and lock the others to it; no cable that is there and no "
    "free socket does that, so move cables or replace a unit"
)

WIRING_FAULTS: Final[dict[str, Sentence]] = {
    "name-twice": Sentence(
        "{count} units are called {unit}", "give each unit a name of its own"
    ),
    "unit-unknown": Sentence(
        "the cable {link} names {unit}, which is not in the rig",
        "add {unit} to the units, or take the cable off",
    ),
    "role": Sentence(
        "{unit} is in the rig as {role}; {device} can only be {allowed}",
        "put {unit} in the rig as {allowed}, or use another device",
    ),
    "no-host": Sentence(
        "no unit is a host, so the computer sees no inputs",
        "add a host, or use a unit that can be one as the host",
    ),
    "bank-missing": Sentence(
        "{unit} has no 48 V bank {bank}; {device} has {count}", "leave bank {bank} out"
    ),
    "rate-unknown": Sentence(
        "{rate} is not a rate that light-pipe or stereo links run at", "use one of {known}"
    ),
    "rate": Sentence(
        "{unit} does not run at {rate}; {device} runs at {listed}",
        "run the rig at a rate that every unit lists, or replace {unit}",
    ),
    "socket-missing": Sentence(
        "{unit} has no {kind} {way} {socket}; {device} has {count}",
        "move the cable {link} to a socket that is there",
    ),
    "socket-dead": Sentence(
        "{kind} {way} {socket} of {unit} carries neither audio nor clock at {rate}",
        "move the cable {link} to one of the first {live}, or run at a lower rate",
    ),
    "socket-dead all": Sentence(
        "{kind} {way} {socket} of {unit} carries neither audio nor clock at {rate}",
        "take the cable {link} off, or run at a lower rate",
    ),
    "socket-taken": Sentence(
        "{kind} {way} {socket} of {unit} has {count} cables; it takes one",
        "move all but one of them to free sockets",
    ),
    "socket-format": Sentence(
        "{kind} {way} {socket} of {unit} does not speak {format} at {rate}",
        "move the cable {link} to a socket that does, or use another format at both ends",
    ),
    "socket-either": Sentence(
        "of {sockets} of {unit} one works at a time; {count} have cables",
        "leave a cable in one of them and take the others off",
    ),
    "duplex-start": Sentence(
        "the cable {link} carries audio both ways, and is said to begin at a host",
        "let it begin at the expander",
    ),
    "two-hosts": Sentence(
        "{unit} sends audio {ways}; it sends to one host in one format",
        "keep the audio of {unit} on one of these and take the other cables off",
    ),
    "clock-audio": Sentence(
        "the cable {link} is said to carry audio; {unit} carries none",
        "leave 'audio' and the channels out",
    ),
    "channels": Sentence(
        "the cable {link} is said to have {said} channels; {count} get through",
        "state {count} channels",
    ),
    "channels back": Sentence(
        "the cable {link} is said to bring {said} channels back; {count} do",
        "state {count} channels back",
    ),
    "carries-audio": Sentence(
        "the cable {link} is said to carry {said}; {count} channels do",
        "{cure} 'audio' in what it carries",
    ),
    "carries-nothing": Sentence(
        "the cable {link} carries neither audio nor clock", "take it off"
    ),
    "clock-wish": Sentence(
        "{unit} is clock master; the needs ask for {wish}",
        "make a unit that is {wish} the master and lock {unit} to it",
    ),
    "clock-far": Sentence(
        "{unit} is {hops} links from the clock master; at most {limit}",
        "take the clock of {unit} from a unit nearer to the master",
    ),
    "clock-hops": Sentence(
        "the rig says {stated} clock hops; its chains have {counted}", "state {counted}"
    ),
    "clock-master none": Sentence(
        "no unit runs on its internal clock; one must", "set one unit to its internal clock"
    ),
    "clock-none": Sentence(
        "nothing says where {unit} has its clock from", "set it to its internal clock"
    ),
    "clock-tree": Sentence(
        "{count} units run on clocks of their own ({units}), and audio goes between them: "
        "{link}",
        ONE_CLOCK,
    ),
    "clock-hosts": Sentence(
        "the hosts run on {count} clocks ({units}); they need one, unless the computer "
        "resamples between them",
        ONE_CLOCK,
    ),
    "clock-format": Sentence(
        "{unit} is locked to {link}, which carries no clock", "lock it to another socket"
    ),
    "clock-lowest": Sentence(
        "{unit} is locked to {kind} {said}; {socket} would do", "lock it to {kind} {socket}"
    ),
    "clock-idle": Sentence(
        "{unit} has no digital link, and a clock setting", "leave the setting out"
    ),
    "clock-internal": Sentence(
        "{unit} is clock master; {device} has no clock of its own",
        "make another unit the master and lock {unit} to it",
    ),
    "clock-kind": Sentence(
        "{unit} is locked to {kind}; {device} locks to {listed}",
        "lock it to another kind of socket",
    ),
    "clock-link": Sentence(
        "{unit} is locked to {kind} input {socket}, and no cable{sender} is in it",
        "lock it to a socket with a cable in it",
    ),
    "clock-loop nowhere": Sentence(
        "the clock of {unit} comes from no unit of the rig", "lock it to a unit of the rig"
    ),
    "clock-loop circle": Sentence(
        "the clock goes in a circle: {circle}",
        "lock one of them to a chain that ends in the master",
    ),
    "carries-clock": Sentence(
        "the cable {link} is said to carry {said}; {unit} {does} locked to it",
        "{cure} 'clock' in what it carries, or change what {unit} is locked to",
    ),
    "chain-start": Sentence(
        "the cable {link} begins at a T-piece of {unit}, where no cable from that output "
        "ends, or another goes on",
        "begin it where the cable before it ends",
    ),
    "chain-end": Sentence(
        "{unit} has a fixed 75-ohm end and is not the last of its chain", "put {unit} last"
    ),
    "chain-lock": Sentence(
        "{unit} hangs in a chain of word inputs and is not locked to it",
        "lock {unit} to word in {socket}, or take it out of the chain",
    ),
    "chain-long": Sentence(
        "word output {socket} of {unit} feeds {count} inputs; at most {limit} may hang on one",
        "use another output for some of them",
    ),
    "open-end": Sentence(
        "the word input of {unit} has no 75-ohm end, and none is named",
        "put a T-piece and a terminator there",
    ),
    "piece-extra": Sentence(
        "a {piece} is said to sit where {link} ends; none is needed", "leave it out"
    ),
    "piece-unnamed": Sentence(
        "nothing says which {piece} sits where {link} ends", "name one of the catalogue"
    ),
    "cable-kind piece": Sentence(
        "the {piece} of {link} is {cable}, which is {kind}", "use a {piece}"
    ),
    "cable-kind": Sentence(
        "the cable of {link} is {cable}, which is {kind}",
        "use a cable of the kind the sockets have",
    ),
    "cable-long": Sentence(
        "the cable of {link} is {length} long; it works up to {limit}",
        "use a shorter one, and move the units closer together if it must be",
    ),
    "cable-short": Sentence(
        "the cable of {link} is {length} long; its run is {run}", "use a longer one"
    ),
    "cable-unnamed": Sentence(
        "nothing says which cable {link} is", "name a cable of the catalogue"
    ),
    "optical-long": Sentence(
        "the {kind} cable of {link} is longer than {limit}",
        "use a good one, or move the units closer together",
    ),
    "line-out": Sentence(
        "{link} begins at a direct out that is not there; {device} has {count}",
        "move it to a direct out of {unit}",
    ),
    "line-in": Sentence(
        "{link} ends at channel {channel} of {unit}, which does not take line",
        "move it to an input that takes line",
    ),
    "line-self": Sentence(
        "{link} leads from {unit} back into {unit}", "move it to an input of another unit"
    ),
    "line-twice": Sentence(
        "{link} shares a direct out or an input with another cable",
        "leave one cable on each direct out and on each input",
    ),
    "line-idle": Sentence(
        "{link} ends at an input of {unit} that does not reach the computer",
        "move it to an input that does, or take it off",
    ),
    "line-needless": Sentence(
        "{link} carries a channel of {unit} that is at the computer already", "take it off"
    ),
    "line-bank": Sentence(
        "{link} is plugged by XLR into bank {bank} of {unit}, which has 48 V on",
        "switch that bank off, or use another input: 48 V can destroy a line output",
    ),
    "line-channels": Sentence(
        "{link} is not said to carry one channel of audio", "put channels 1 and audio"
    ),
    "preamp-linked": Sentence(
        "{unit} is in the rig as preamp and has a digital cable",
        "put it in as expander, or take the digital cable off",
    ),
    "piece-units": Sentence(
        "the piece of cable of {link} comes from several units",
        "give each unit pieces of its own",
    ),
    "piece-differs": Sentence(
        "the ways of the piece of {link} are said to be different cables",
        "name one cable for all of them",
    ),
    "piece-plugs": Sentence(
        "{cable} on {link} has the plugs {plugs}; the units there have {wanted}",
        "use a cable with those plugs, that of the direct out first",
    ),
    "piece-ways": Sentence(
        "{count} lines are on one piece of {cable}, which has {ways}",
        "use another piece for the rest",
    ),
    "piece-places": Sentence(
        "{link} joins different places of two D-sub connectors",
        "put it on equal places: a cable between two such connectors joins only those",
    ),
    "connector-taken": Sentence(
        "D-sub connector {connector} ({side}) of {unit} has more than one cable, or a cable "
        "more than one connector",
        "one cable goes into one connector; use another",
    ),
    "di-missing": Sentence(
        "input {number} is said to come through {box}, which has no free channel for that",
        "put the instrument into a DI box with a free channel",
    ),
    "di-phantom": Sentence(
        "{box} at input {number} needs 48 V, which is off there",
        "switch its bank on, or use a passive box",
    ),
    "spare": Sentence(
        "{count} microphone inputs stay free; {asked} are to",
        "bring in more channels for microphones",
    ),
    "input-path": Sentence(
        "input {number} is said to come another way than {path}", "put that way"
    ),
    "use": Sentence(
        "input {number} is used for {use}; it accepts {listed}",
        "use an input that accepts {use}",
    ),
    "use-count": Sentence(
        "{used} inputs are used for {kind}; the needs ask for {asked}",
        "use {asked} inputs for {kind}",
    ),
    "use-phantom": Sentence(
        "{found} microphone inputs in use have 48 V {state}; {asked} microphones need it so",
        "switch a bank {state}, or use inputs that have 48 V {state}",
    ),
    "demand": Sentence(
        "{room} arriving channels can take {sources}; {asked} are needed",
        "bring in {missing} more such channels (switch a 48 V bank, add a cable or a unit)",
    ),
    "line-outputs": Sentence(
        "{fed} line outputs are fed; {asked} are needed",
        "add a cable from a host to an expander with line outputs, or another unit",
    ),
    "phones": Sentence(
        "the hosts have {count} headphone outputs; {asked} are needed",
        "use a host with more of them",
    ),
    "rate-asked": Sentence(
        "the rig runs at {rate}; the needs ask for {asked}", "run it at {asked}"
    ),
    "port": Sentence(
        "{unit} is joined by {port}; the computer has {ports}",
        "use a host with one of these ports",
    ),
    "hosts": Sentence(
        "{count} units are hosts; the computer may have {limit}",
        "use a unit that can be an expander as one, or allow more hosts",
    ),
    **dict.fromkeys(
        ("rack-units", "mains", "units"),
        Sentence(
            "the rig has {found} {words}; at most {limit} are allowed",
            "leave out or replace a unit, or allow {found}",
        ),
    ),
    "require": Sentence("{device} must be in the rig, and is not", "add it"),
}
