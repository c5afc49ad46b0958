"""A small catalogue on disk and rigs wired to it. Devices are generic, prices invented."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from rigopt.answers.repair import NoRepair, Repaired
from rigopt.answers.verdict import Verdict, examine
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.types import Catalogue
from rigopt.cli.main import run
from rigopt.needs.types import Needs
from rigopt.rig.reading.read import read_rig
from rigopt.rig.wired import WiredRig

COLUMNS = (
    "id,label,role,price,mic_line_inst,mic_line,line,phantom_bank,line_out,phones,"
    "optical_in,optical_out,optical_2x,optical_4x,coax_in,coax_out,word_in,word_out,"
    "clock_in,internal_clock,rates_khz,max_in_1x\n"
)
RATES = {"ALL": "44.1;48;88.2;96;176.4;192", "TWICE": "44.1;48;88.2;96"}
DEVICES = """\
desk,Desk of 8,host,300,2,6,,4,4,2,1,1,1,,1,1,1,,optical;coax;word,yes,ALL,
twin,Desk with two light-pipes,host,400,2,6,,1,4,2,2,2,2,1,1,1,1,1,optical;coax;word,yes,ALL,
cut,Desk that shows 14 inputs,host,250,2,6,,4,4,1,1,1,1,,,,,,optical,yes,44.1;48,14
bare,Desk without sockets,host,100,2,,,2,2,1,,,,,,,,,,yes,44.1;48,
solo,Desk or expander,either,350,2,6,,4,4,1,1,1,1,,,,1,1,optical;word,yes,TWICE,
pre,Expander of 8,expander,200,,8,,8,8,,1,1,,,,,1,,optical;word,yes,44.1;48,
two,Expander with two light-pipes,expander,260,,8,,4,,,,2,2,,,,1,,word,yes,TWICE,
deaf,Expander without clock input,expander,150,,8,,8,,,,1,,,,,,,,yes,44.1;48,
mute,Converter without channels,expander,120,,,,,8,,1,,,,1,,,,optical;coax,no,44.1;48,
tick,Word clock,clock,90,,,,,,,,,,,,,,4,,yes,ALL,
dist,Word clock distributor,clock,60,,,,,,,,,,,,,1,4,word,no,44.1;48,
"""

CABLES = """\
id,label,kind,length_m,price,pack
opt-1m,Optical 1 m,optical,1,6.00,1
opt-3m,Optical 3 m,optical,3,8.00,1
opt-7m,Optical 7 m,optical,7,20.00,1
opt-12m,Optical 12 m,optical,12,30.00,1
opt-old,Optical that is not sold,optical,1,,1
coax-1m,Coax 1 m,coax,1,5.00,1
word-1m,Word 1 m,word,1,7.00,1
word-x4,Word 1 m,word,1,14.00,4
"""


def write_catalogue(folder: Path) -> Path:
    folder.mkdir()
    (folder / "catalog.toml").write_text('title = "Small"\ncurrency = "GBP"\n')
    rows = DEVICES
    for name, rates in RATES.items():
        rows = rows.replace(name, rates)
    (folder / "devices.csv").write_text(COLUMNS + rows)
    (folder / "cables.csv").write_text(CABLES)
    return folder


class Bench:
    """A folder with the catalogue; rigs are written as text and read back."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.catalogue_folder = write_catalogue(folder / "shop")
        self.catalogue: Catalogue = read_folder(self.catalogue_folder)

    def file(self, text: str, name: str = "rig.toml") -> Path:
        path = self.folder / name
        path.write_text(text, "utf-8")
        return path

    def read(self, text: str, name: str = "rig.toml", **more: Any) -> WiredRig:
        return read_rig(self.file(text, name), self.catalogue, **more)

    def verdict(self, text: str, needs: Needs | None = None) -> Verdict:
        return examine(self.read(text), needs)

    def rules(self, text: str, needs: Needs | None = None) -> list[str]:
        return [found.rule for found in self.verdict(text, needs).findings]

    def mend(self, text: str, needs: Needs | None = None) -> Repaired | NoRepair:
        from rigopt.api.repair import ask_repair

        return ask_repair(self.read(text), self.catalogue, needs)

    def run(self, *args: str) -> int:
        return run([*args, "--catalog", str(self.catalogue_folder)])


def toml(
    units: str, cables: str = "", clock: str = "", more: str = "", rate: str = "48"
) -> str:
    """A rig in few words: 'host-1=desk', 'expander-1 optical 1 > host-1 optical 1',
    'host-1=optical 1', parts separated by ';'."""
    lines = [f"rate_khz = {rate}", more, "[units]"]
    lines += [f'{name} = "{value}"' for name, value in _pairs(units)]
    lines += ["[cables]"]
    for cable in filter(None, (part.strip() for part in cables.split(";"))):
        route, _, piece = cable.partition("@")
        ends = [end.split() for end in route.split(">")]
        (a, kind, out), (b, _, socket) = ends
        value = f'to = "{b} {kind} in {socket}"'
        value += f', cable = "{piece.strip()}"' if piece else ""
        lines.append(f'"{a} {kind} out {out}" = {{ {value} }}')
    lines += ["[clock]", *(f'{name} = "{value}"' for name, value in _pairs(clock))]
    return "\n".join(lines) + "\n"


def _pairs(text: str) -> list[list[str]]:
    return [part.strip().split("=") for part in text.split(";") if part.strip()]


def as_json(text: str) -> str:
    """The TOML of `toml` as hand-written JSON."""
    import tomllib

    raw = tomllib.loads(text)
    links = []
    for start, value in raw["cables"].items():
        a, kind, _, out = start.split()
        b, _, _, socket = value["to"].split()
        link = {"kind": kind, "from": a, "from_socket": int(out), "to": b}
        links.append({**link, "to_socket": int(socket), "cable": value.get("cable")})
    units = [
        {"name": name, "device": device, "clock": raw["clock"].get(name)}
        for name, device in raw["units"].items()
    ]
    return json.dumps({"rate_khz": raw["rate_khz"], "units": units, "links": links})


BAND = toml(
    "host-1=desk; expander-1=pre",
    "expander-1 optical 1 > host-1 optical 1 @opt-1m",
    "host-1=optical 1; expander-1=internal",
)
RETURNED = toml(
    "host-1=desk; expander-1=pre",
    "expander-1 optical 1 > host-1 optical 1; host-1 optical 1 > expander-1 optical 1",
    "host-1=internal; expander-1=optical 1",
)

WIDE = re.compile(r"^.{81,}$", re.MULTILINE)
