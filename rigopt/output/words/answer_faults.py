"""What is wrong with inputs, purchases, money or figures, in sentences, by rule and case."""

from __future__ import annotations

from typing import Final

from rigopt.output.words.sentence import Sentence

ANSWER_FAULTS: Final[dict[str, Sentence]] = {
    "input-missing": Sentence(
        "input {number}, channel {channel} of {unit}, is not listed", "list it"
    ),
    "input-extra": Sentence(
        "input {number} is listed, and no channel stands behind it", "leave it out"
    ),
    "input-order": Sentence(
        "input {number} is listed after input {before}",
        "list every input once, in ascending order",
    ),
    "input-channel": Sentence(
        "input {number} is listed as channel {said} of {said_unit}; it is channel "
        "{channel} of {unit}",
        "list it as channel {channel} of {unit}",
    ),
    "input-accepts": Sentence(
        "input {number} is listed as accepting {said}; it is {right}", "list {right}"
    ),
    "input-phantom": Sentence(
        "48 V on input {number} is listed as {said}; it is {right}", "list it as {right}"
    ),
    "source-unknown": Sentence(
        "input {number} is for {source}, which is not asked for", "leave the name out"
    ),
    "source-places": Sentence(
        "{source} sits on {count} inputs; it needs {times}", "put {source} on {times} inputs"
    ),
    "source-use": Sentence(
        "{source} is a {kind} source; its input {number} is not", "use input {number} as {kind}"
    ),
    "source-phantom": Sentence(
        "{source} needs 48 V {state}; input {number} has it not so",
        "put {source} on an input with 48 V {state}, or switch its bank",
    ),
    "pair": Sentence(
        "the pair {pair} is split: {seats}", "put the two on neighbouring channels of one unit"
    ),
    "pair whole": Sentence(
        "the pair {pair} is said to be split, and is not", "do not list it as split"
    ),
    "input-channel listed": Sentence(
        "channel {channel} of {unit} is listed as input {said}; it is input {number}",
        "use input {number} for it",
    ),
    "use": Sentence(
        "input {number} is used for {use}; it accepts {listed}",
        "use an input that accepts {use}",
    ),
    "input-phantom listed": Sentence(
        "48 V on input {number} is listed as {said}; it is {right}",
        "switch the bank of channel {channel} of {unit} {said}, or move what is in it",
    ),
    "input-extra listed": Sentence(
        "{where} is used for {what}; it does not reach the computer", "use another input"
    ),
    "input-order twice": Sentence("input {number} is listed twice", "list every input once"),
    "device-differs": Sentence(
        "{unit} is a {device} that the catalogue does not have",
        "take the device from the catalogue",
    ),
    "cable-differs": Sentence(
        "{link} is a {cable} that the catalogue does not have",
        "take the cable from the catalogue",
    ),
    "format-differs": Sentence(
        "{link} is of a format {format} that the catalogue does not have",
        "take the format from the catalogue",
    ),
    "purchase-twice": Sentence(
        "{item} is on {count} lines of the purchases", "make it one line"
    ),
    "purchase-unknown": Sentence(
        "the purchase {item} is no {kind} of the catalogue", "leave it out"
    ),
    "quantity": Sentence(
        "{quantity} packs of {item} are on the list of purchases", "leave the line out"
    ),
    "not-for-sale": Sentence(
        "{item} is bought, and the catalogue has no price for it",
        "use another, or one that is owned",
    ),
    "price": Sentence(
        "{item} is bought at {said} minor units for {said_pack}; the catalogue asks "
        "{price} for {pack}",
        "put the catalogue's price, pack and seller",
    ),
    "price offer": Sentence(
        "no seller offers {item} at {said} minor units for {pack}, as {seller} is said to do",
        "take an offer of the catalogue",
    ),
    "stock": Sentence(
        "{quantity} packs of {item} are bought; {seller} has {stock}",
        "buy {stock} there, and the rest elsewhere",
    ),
    "not-new": Sentence(
        "{item} is bought, and is '{condition}'; only new things may be",
        "take an offer of a new one",
    ),
    "owned": Sentence(
        "{said} of {device} are marked as owned; {own} are", "mark {own} as owned"
    ),
    **dict.fromkeys(
        ("bought few", "packs-few few", "extras-few few"),
        Sentence(
            "{there} of {item} are bought or owned; {count} are called for", "buy more of it"
        ),
    ),
    **dict.fromkeys(
        ("bought many", "packs-many many", "extras-many many"),
        Sentence(
            "{there} of {item} are bought or owned; {count} are called for",
            "buy a pack less of it",
        ),
    ),
    "exchange": Sentence(
        "{seller} sells in {code}, and no rate is given for it", "give the rate"
    ),
    "order": Sentence(
        "the order at {seller} is stated as {said}; it is {right}", "state {right}"
    ),
    "order unsorted": Sentence(
        "the orders are not one for each seller, by name", "put them in order"
    ),
    "sellers": Sentence(
        "{count} sellers are ordered from; at most {limit} are allowed",
        "order from fewer, or allow {count}",
    ),
    "sold number": Sentence(
        "{said} of {item} are to be sold; {right} are not needed", "sell {right} of it"
    ),
    "sold line": Sentence(
        "what is said of the sale of {item} is not what the catalogue has",
        "make it one line with the catalogue's name",
    ),
    "sold price": Sentence(
        "{item} is sold at {said} minor units; {right} is what is said of it", "state {right}"
    ),
    "sold stages": Sentence(
        "{said} of {item} are sold at stage {stage}; it is to be {right}", "sell {right} then"
    ),
    "total": Sentence(
        "the total is {stated} minor units; purchases less sales come to {paid}",
        "state {paid}",
    ),
    "budget": Sentence(
        "purchases less sales come to {paid} minor units; the budget is {budget}",
        "spend {over} less, or raise the budget",
    ),
    "avoid": Sentence(
        "{item} is bought, and is to be avoided",
        "use another device, or take {item} off the list",
    ),
    "owned-only": Sentence(
        "{item} is bought, and nothing is to be bought", "use what is owned"
    ),
    "demand stages": Sentence(
        "{steps} stages are answered; {stages} are asked for", "ask again"
    ),
    "owned counted": Sentence(
        "what is counted as owned is not what is there", "count what was bought"
    ),
    "name-twice stages": Sentence(
        "{unit} is the name of another unit at a stage before", "give it a name of its own"
    ),
    "name-twice another": Sentence(
        "a unit of {item} that stays has another name than before", "keep its name"
    ),
    "demand another": Sentence("another question is answered", "ask again"),
    **dict.fromkeys(
        ("bought idle", "packs-many idle", "extras-many idle"),
        Sentence("a pack of {item} is bought that no stage uses", "buy a pack less of it"),
    ),
    "stock all stages": Sentence(
        "{seller} has fewer than {number} packs of {item}", "buy the rest elsewhere"
    ),
    "total bound": Sentence(
        "all stages come to {total} minor units; it is said that nothing costs less than "
        "{bound}",
        "state {total}",
    ),
    "figure": Sentence("the figure '{name}' is {said}; it comes to {right}", "state {right}"),
}
