"""What stands where a file should: pipes, devices, loops, folders; and files that are huge."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from ortools.sat.python import cp_model

from rigopt.cli.main import COMMANDS
from rigopt.files.csv import LONGEST_CELL, MOST_COLUMNS, MOST_LINES
from rigopt.optimiser.solver.run import Deadline
from rigopt.optimiser.solver.run import run as solver_run
from tests.hostile import attack

pytestmark = pytest.mark.full

Stand = Callable[[Path], object]
"""Puts something else where a path says that there is a file."""

QUICK = 30.0
"""Seconds; a refusal takes far less."""


def loop(path: Path) -> None:
    path.symlink_to(path.name)


def link_to_a_pipe(path: Path) -> None:
    os.mkfifo(path.parent / "p")
    path.symlink_to("p")


def long_loop(path: Path) -> None:
    path.symlink_to("other")
    (path.parent / "other").symlink_to(path.name)


STANDS: dict[str, tuple[Stand, str]] = {
    "pipe": (os.mkfifo, "is a pipe, not a file"),
    "link to a pipe": (
        link_to_a_pipe,
        "is a pipe, not a file",
    ),
    "folder": (Path.mkdir, "is a folder, not a file"),
    "loop": (loop, "cannot be read"),
    "long loop": (long_loop, "cannot be read"),
    "link to nothing": (lambda path: path.symlink_to("none"), "there is no such file"),
    "endless device": (lambda path: path.symlink_to("/dev/zero"), "is larger than"),
    "noise": (lambda path: path.symlink_to("/dev/urandom"), "is larger than"),
    "full device": (lambda path: path.symlink_to("/dev/full"), "is larger than"),
    "no disk": (lambda path: path.symlink_to("/proc/self/mem"), "cannot be read"),
}
TABLES = ("catalog.toml", "devices.csv", "cables.csv", "offers.csv", "sellers.csv")


@pytest.mark.parametrize("stand", STANDS)
@pytest.mark.parametrize("name", TABLES)
def test_a_catalogue_file_that_is_none(name: str, stand: str, tmp_path: Path) -> None:
    folder = attack.write(tmp_path / "c")
    (folder / name).unlink(missing_ok=True)
    put, why = STANDS[stand]
    put(folder / name)
    said = attack.plan(folder, "--mic", 3, seconds=QUICK)
    assert said.status == 2
    assert f"{name}: {why}" in said.err


@pytest.mark.parametrize("stand", STANDS)
def test_needs_that_are_no_file(stand: str, tmp_path: Path) -> None:
    folder, needs = attack.write(tmp_path / "c"), tmp_path / "needs.toml"
    put, why = STANDS[stand]
    put(needs)
    said = attack.plan(folder, needs, seconds=QUICK)
    assert said.status == 2
    assert f"needs.toml: {why}" in said.err


@pytest.mark.skipif("audit" not in COMMANDS, reason="there is no such command")
@pytest.mark.parametrize("name", ["rig.json", "rig.toml"])
@pytest.mark.parametrize("stand", STANDS)
def test_a_rig_that_is_no_file(stand: str, name: str, tmp_path: Path) -> None:
    folder, rig = attack.write(tmp_path / "c"), tmp_path / name
    put, why = STANDS[stand]
    put(rig)
    said = attack.rigopt("audit", rig, "--catalog", folder, seconds=QUICK)
    assert said.status == 2
    assert f"{name}: {why}" in said.err


@pytest.mark.parametrize("stand", [*STANDS, "file", "/proc", "/sys", "/dev"])
def test_a_catalogue_folder_that_is_none(stand: str, tmp_path: Path) -> None:
    folder = tmp_path / "c"
    if stand.startswith("/"):
        folder = Path(stand)
    elif stand == "file":
        folder.write_text("x")
    else:
        STANDS[stand][0](folder)
    said = attack.plan(folder, "--mic", 3, seconds=QUICK)
    assert said.status == 2
    assert str(folder) in said.err


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is denied to an administrator")
@pytest.mark.parametrize("name", TABLES[:3])
def test_without_permission_to_read(name: str, tmp_path: Path) -> None:
    folder = attack.write(tmp_path / "c")
    (folder / name).chmod(0)
    said = attack.plan(folder, "--mic", 3, seconds=QUICK)
    assert said.status == 2
    assert "permission denied" in said.err


# --- huge ----------------------------------------------------------------------------------

HEADER = "id,role,price\n"
HUGE: dict[str, tuple[str, str | bytes, str]] = {
    "rows": (
        "devices.csv",
        HEADER + "".join(f"b{n},host,1\n" for n in range(100_000)),
        f"{MOST_LINES} are the most",
    ),
    "a cell": (
        "devices.csv",
        HEADER + "box,host," + "x" * 10_000_000,
        f"longer than {LONGEST_CELL} characters",
    ),
    "a quoted cell": (
        "devices.csv",
        HEADER + 'box,host,"' + "x\n" * 4000 + "y" * 9_000_000 + '"\n',
        f"longer than {LONGEST_CELL} characters",
    ),
    "columns": (
        "devices.csv",
        HEADER + "box" + 5_000_000 * ",",
        "",
    ),
    "filled columns": (
        "devices.csv",
        HEADER + "x," * 2_000_000 + "x",
        f"{MOST_COLUMNS} are the most",
    ),
    "open quotes": ("devices.csv", HEADER + ",\"'" * 1_000_000, f"{MOST_COLUMNS} are the most"),
    "one open quote": ("devices.csv", HEADER + ',"' + 'a""' * 3_000_000, "never closed"),
    "blank lines": ("cables.csv", "\n" * 10_000_000 + "x", f"{MOST_LINES} are the most"),
    "spaces": ("cables.csv", "id,kind,length_m\nopt," + " " * 10_000_000, "must not be blank"),
    "a file": ("cables.csv", b"x" * 20_000_001, "is larger than 20 MB"),
    "a head": ("catalog.toml", b"#" * 1_000_001, "is larger than 1 MB"),
    "brackets": ("catalog.toml", "title = " + "[" * 400_000, "nested too deeply"),
    "braces": ("catalog.toml", "title = " + "{a = " * 190_000, "nested too deeply"),
    "a dotted key": ("catalog.toml", ".".join("a" * 400_000) + " = 1", "more than 16 parts"),
    "a number": ("catalog.toml", "title = " + "9" * 900_000, "4300 digits"),
    "keys": ("catalog.toml", "".join(f"k{n} = 1\n" for n in range(20_000)), "not listed"),
}


@pytest.mark.parametrize("what", HUGE)
def test_a_huge_catalogue_is_refused_soon(what: str, tmp_path: Path) -> None:
    name, content, why = HUGE[what]
    folder = attack.write(tmp_path / "c", {name: content})
    said = attack.plan(folder, "--mic", 3)
    assert said.status == (2 if why else said.status)
    assert why in said.err
    assert len(said.err) < 200_000


NEEDS: dict[str, tuple[str, str]] = {
    "sources": ('[[source]]\nname = "x"\n' * 40_000, "has more than 1000 entries"),
    "stages": ('[[stage]]\ntitle = "x"\n' * 40_000, "has more than 32 entries"),
    "owned": ("[owned]\n" + "".join(f"k{n} = 1\n" for n in range(20_000)), "not listed"),
    "avoid": ("[choose]\navoid = [" + '"k",' * 30_000 + "]", ""),
    "a title": ('title = "' + "x" * 990_000 + '"', "longer than 500 characters"),
    "inline tables": ("owned = " + "{a = " * 150_000, "nested too deeply"),
}


@pytest.mark.parametrize("what", NEEDS)
def test_huge_needs_are_refused_soon(what: str, tmp_path: Path) -> None:
    content, why = NEEDS[what]
    needs = tmp_path / "needs.toml"
    needs.write_text(content)
    said = attack.plan(attack.write(tmp_path / "c"), needs)
    assert said.status == 2
    assert why in said.err
    assert len(said.err) < 200_000


RIGS: dict[str, tuple[str, str, str]] = {
    "brackets": ("rig.json", "[" * 4_000_000, "nested too deeply"),
    "objects": ("rig.json", '{"a":' * 800_000, "nested too deeply"),
    "a number": ("rig.json", '{"a": ' + "9" * 4_000_000 + "}", "thousands of digits"),
    "a file": ("rig.json", " " * 5_000_001, "is larger than 5 MB"),
    "keys": (
        "rig.json",
        "{" + ",".join(f'"{n}":0' for n in range(400_000)) + ',"399999":0}',
        "is twice in one object",
    ),
    "units": ("rig.json", '{"units": [' + ",".join(["{}"] * 300_000) + "]}", "more than"),
    "links": (
        "rig.json",
        '{"units": [{"name": "a", "device": "desk-8"}], "links": ['
        + ",".join(["{}"] * 300_000)
        + "]}",
        "more than",
    ),
    "names": ("rig.toml", "[units]\n" + "".join(f"u{n} = 'x'\n" for n in range(20_000)), ""),
    "cables": ("rig.toml", "[cables]\n" + "".join(f"u{n} = 'x'\n" for n in range(20_000)), ""),
}


@pytest.mark.skipif("audit" not in COMMANDS, reason="there is no such command")
@pytest.mark.parametrize("what", RIGS)
def test_a_huge_rig_is_refused_soon(what: str, tmp_path: Path) -> None:
    name, content, why = RIGS[what]
    rig = tmp_path / name
    rig.write_text(content)
    said = attack.rigopt("audit", rig, "--catalog", attack.write(tmp_path / "c"))
    assert said.status == 2
    assert why in said.err
    assert len(said.err) < 200_000


# --- questions at the edge of what is read ----------------------------------------------------

EDGES = (
    "[inputs]\nmic = 1000000\n",
    "[inputs]\nmic = 10\n[clock]\nmax_hops = 0\n",
    "[inputs]\nmic = 10\n[clock]\nmax_hops = 32\n",
    "[inputs]\nmic = 24\n[computer]\nmax_hosts = 16\n",
    "[inputs]\nmic = 24\n[computer]\nmax_hosts = 16\n[clock]\nmax_hops = 32\n",
    "[inputs]\nmic = 10\n[cables]\nhost_to_rack_m = 1000\nwithin_rack_m = 0\n",
    "[inputs]\nmic = 10\n[limits]\nbudget = 1000000000\nrack_units = 1000000\nunits = 0\n",
    "[inputs]\nmic = 10\n[owned]\npre-8 = 1000000\nopt-1m = 1000000\n",
)


@pytest.mark.parametrize("needs", EDGES)
@pytest.mark.parametrize("price", ["0", "1000000000"])
def test_the_largest_questions_that_are_read(needs: str, price: str, tmp_path: Path) -> None:
    # Whatever the answer, it is one: what is too large to add up exactly is said to be so.
    devices = attack.DEVICES.replace("179.00", price).replace("329.00", price)
    folder = attack.write(tmp_path / "c", {"devices.csv": devices})
    (tmp_path / "needs.toml").write_text(needs)
    attack.plan(folder, tmp_path / "needs.toml", "--time-limit", 5)


@pytest.mark.parametrize(("hosts", "hops"), [(2, 32), (16, 8), (16, 32)])
def test_sums_that_grow_too_large_are_told(hosts: int, hops: int, tmp_path: Path) -> None:
    # Many types, hosts and hops: the solver's sums would leave 64 bits, some of them only
    # while it simplifies. Either there is an answer or it is said why there is none.
    (tmp_path / "needs.toml").write_text(
        f"[inputs]\nmic = 24\n[computer]\nmax_hosts = {hosts}\n[clock]\nmax_hops = {hops}\n"
    )
    said = attack.rigopt("plan", tmp_path / "needs.toml", "--time-limit", 5)
    assert said.status != 2 or "too large to add up exactly" in said.err


def test_a_model_that_is_not_well_formed_is_a_fault_of_the_program() -> None:
    model = cp_model.CpModel()
    model.maximize(2**40 * model.new_int_var(0, 2**40, "much"))
    with pytest.raises(RuntimeError, match="overflow"):
        solver_run(model, Deadline(None))


@pytest.mark.full
def test_units_with_as_many_sockets_as_can_be_said(tmp_path: Path) -> None:
    header, desk, pre = (line.split(",") for line in attack.DEVICES.splitlines())
    del desk, pre
    names = ",".join(name for name in header if name not in ("label", "note"))
    rows = "big,host,1,1000,1,1000,1000,100,100,100,optical,48\n"
    rows += "more,expander,1,1000,8,1000,,100,100,,optical,48\n"
    folder = attack.write(tmp_path / "c", {"devices.csv": f"{names}\n{rows}"})
    attack.plan(folder, "--mic", 1800, "--time-limit", 2)
