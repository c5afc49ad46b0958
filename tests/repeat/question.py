"""Questions asked again and again, in this process and in others."""

from __future__ import annotations

import contextlib
import io
import json
import os
import random
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from rigopt.catalogue import shipped
from rigopt.cli.main import run

ROOT = Path(__file__).parents[2]
DEMO = shipped.demo_catalogue()

QUESTIONS: dict[str, tuple[str, ...]] = {
    # Names to the words after `rigopt plan`; the catalogue is added.
    "sixteen": ("--mic", "16", "--phantom", "9", "--no-phantom", "2"),
    "mixed": ("--mic", "20", "--line", "6", "--instrument", "2", "--rate", "44.1"),
    "high rate": ("--mic", "12", "--rate", "96", "--master", "host"),
    "owned": ("--mic", "24", "--owned", "opt-1m=2", "--budget", "2000"),
}


SMALL = ROOT / "tests" / "golden" / "catalogues" / "small"
IMPOSSIBLE = ("--mic", "3", "--budget", "10")
"""Asked of the small catalogue: to say why there is none takes several looks."""


def answers(words: Sequence[str], catalogue: Path, room: Path) -> bytes:
    """Everything that `rigopt plan` has to say: text, JSON and shopping list, as bytes."""
    files = [room / "rig.json", room / "list.csv"]
    for file in files:
        file.unlink(missing_ok=True)
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(io.StringIO()):
        status = run(
            [
                "plan",
                "--catalog",
                str(catalogue),
                *words,
                "--json",
                str(files[0]),
                "--shopping-list",
                str(files[1]),
            ]
        )
    written = [file.read_bytes() if file.exists() else b"none" for file in files]
    return b"\0".join([str(status).encode(), out.getvalue().encode(), *written])


def everything(catalogue: Path, room: Path) -> dict[str, bytes]:
    """The answers to all questions."""
    found = {name: answers(words, catalogue, room) for name, words in QUESTIONS.items()}
    return {**found, "impossible": answers(IMPOSSIBLE, SMALL, room)}


def elsewhere(catalogue: Path, room: Path, cores: set[int], seed: str) -> dict[str, bytes]:
    """The same from a new process on these cores, with that seed for hashes."""
    done = subprocess.run(
        [
            sys.executable,
            "-B",
            str(Path(__file__)),
            str(catalogue),
            str(room),
            ",".join(map(str, sorted(cores))),
        ],
        env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=True,
        timeout=300,
    )
    return {name: bytes.fromhex(text) for name, text in json.loads(done.stdout).items()}


def shuffled(catalogue: Path, room: Path, seed: int) -> Path:
    """A catalogue with the rows of its tables in another order."""
    room.mkdir()
    for file in sorted(catalogue.iterdir()):
        text = file.read_text("utf-8")
        if file.suffix == ".csv":
            header, *rows = text.splitlines()
            random.Random(seed).shuffle(rows)
            text = "\n".join([header, *rows, ""])
        (room / file.name).write_text(text, encoding="utf-8")
    return room


def without(catalogue: Path, room: Path, kept: set[str]) -> Path:
    """A catalogue with no rows but those of the ids in `kept`."""
    room.mkdir()
    for file in sorted(catalogue.iterdir()):
        text = file.read_text("utf-8")
        if file.suffix == ".csv":
            header, *rows = text.splitlines()
            text = "\n".join([header, *(r for r in rows if r.partition(",")[0] in kept), ""])
        (room / file.name).write_text(text, encoding="utf-8")
    return room


def main() -> None:
    """Answer in a process of its own: catalogue, room and cores are the arguments."""
    catalogue, room, cores = sys.argv[1:]
    os.sched_setaffinity(0, {int(core) for core in cores.split(",")})
    found = everything(Path(catalogue), Path(room))
    print(json.dumps({name: text.hex() for name, text in found.items()}))


if __name__ == "__main__":
    main()
